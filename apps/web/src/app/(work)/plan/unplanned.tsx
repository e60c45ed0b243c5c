"use client";
import { Plate } from "../../../components/plate.tsx";
import { StateMark } from "../../../components/state-mark.tsx";
import { unplannedText } from "./plan-words.ts";
import type { Outlook } from "./plan-types.ts";

/** Sets no plan can place, each with why. They count for no booking. */
export function Unplanned({ outlook: { unplanned } }: { outlook: Outlook }) {
  if (unplanned.length === 0) return null;
  return (
    <section aria-labelledby="unplanned" className="mb-10">
      <h2 id="unplanned">Cannot be planned: {unplanned.length}</h2>
      <p className="mt-1 mb-3 max-w-prose">Nobody can say when these fall due, so no week can be right for them, and none of them is counted for a booking.</p>
      <ul className="grid gap-2">
        {unplanned.map((set) => (
          <li key={set.id} className="grid gap-x-4 border-t border-hairline pt-2 sm:grid-cols-[8rem_12rem_1fr]">
            <Plate tag={set.tag} to={`/sets/${set.tag}`} />
            <span className="self-center">
              <StateMark state={set.state} />
            </span>
            <span className="self-center">{unplannedText(set)}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}
