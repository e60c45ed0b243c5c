"use client";
import { useQuery } from "@tanstack/react-query";
import { ButtonLink } from "../../../components/button.tsx";
import { Icon } from "../../../components/icon.tsx";
import { Notice } from "../../../components/notice.tsx";
import { dayText, listText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { errorWords } from "../../../words.ts";
import { progressText } from "./notice-words.ts";

/** Every notice, those with something left to do first. */
export function NoticesList() {
  const trpc = useTRPC();
  const notices = useQuery(trpc.notices.list.queryOptions());
  if (notices.error !== null) {
    return (
      <Notice kind="stop" title="Could not be read">
        <p>{errorWords(notices.error)}</p>
      </Notice>
    );
  }
  if (notices.data === undefined) return <p role="status">Being read…</p>;
  if (notices.data.length === 0) return <p>No notice is recorded. Look at the makers&apos; pages and the public safety notices from time to time.</p>;
  return (
    <ul className="grid gap-6">
      {notices.data.map((notice) => (
        <li key={notice.id} className="sheet grid gap-3">
          <h2>
            {notice.title} <span className="font-normal">({notice.reference})</span>
          </h2>
          <p className="flex gap-2 font-semibold">
            <Icon name={notice.open + notice.check === 0 ? "tick" : "triangle"} /> {progressText(notice)}
          </p>
          <p className="text-soft">
            {listText(notice.models)}. Published {dayText(notice.publishedOn)}.
          </p>
          <div>
            <ButtonLink href={`/notices/${notice.id}`}>{`Open ${notice.reference}`}</ButtonLink>
          </div>
        </li>
      ))}
    </ul>
  );
}
