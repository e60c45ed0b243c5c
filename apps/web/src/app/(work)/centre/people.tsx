"use client";
import { useQuery } from "@tanstack/react-query";
import { Notice } from "../../../components/notice.tsx";
import { useTRPC } from "../../../trpc/client.ts";
import { errorWords } from "../../../words.ts";
import { PersonSheet } from "./person-sheet.tsx";

/** Everybody with a role at this site. */
export function People() {
  const trpc = useTRPC();
  const people = useQuery(trpc.people.list.queryOptions());
  if (people.error !== null) {
    return (
      <Notice kind="stop" title="Could not be read" announce>
        <p>{errorWords(people.error)}</p>
      </Notice>
    );
  }
  if (people.data === undefined) return <p role="status">Being read…</p>;
  return (
    <ul className="grid gap-6">
      {people.data.map((person) => (
        <li key={person.id}>
          <PersonSheet person={person} />
        </li>
      ))}
    </ul>
  );
}
