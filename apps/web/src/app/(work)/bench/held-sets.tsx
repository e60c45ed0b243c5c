"use client";
import { contextOf } from "../../../desk-words.ts";
import { useWho } from "../../../components/who.tsx";
import { countText } from "../../../format.ts";
import { holdGroups } from "../../../hold-words.ts";
import type { ShownSet } from "./blocks.ts";
import { SetLine } from "./set-line.tsx";

/** Sets held by something that is neither a fault nor due work nor a release. */
export function Held({ sets }: { sets: readonly ShownSet[] }) {
  if (sets.length === 0) return null;
  return (
    <section aria-labelledby="otherwise-held" className="grid gap-4">
      <h2 id="otherwise-held">Held for another reason: {countText(sets.length, "set")}</h2>
      <ul className="grid items-start gap-4 xl:grid-cols-2">
        {sets.map((set) => (
          <SetLine key={set.setId} set={set}>
            <HoldLines set={set} />
          </SetLine>
        ))}
      </ul>
    </section>
  );
}

function HoldLines({ set }: { set: ShownSet }) {
  const { site } = useWho();
  const groups = holdGroups(set.holds.filter((hold) => hold.code !== "not-clean"), contextOf(set, site.units));
  return (
    <ul className="grid gap-1">
      {groups.map(({ title, sentences, cleared }) => (
        <li key={`${title} ${cleared}`}>
          <strong>{title}.</strong> {sentences.join(" ")}
        </li>
      ))}
    </ul>
  );
}
