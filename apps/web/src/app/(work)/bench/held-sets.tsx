"use client";
import type { ReactNode } from "react";
import { contextOf, dueLine } from "../../../desk-words.ts";
import { useWho } from "../../../components/who.tsx";
import { countText, listText } from "../../../format.ts";
import { holdWords } from "../../../hold-words.ts";
import type { ShownSet } from "./blocks.ts";
import { SetLine } from "./set-line.tsx";

type Sets = { sets: readonly ShownSet[] };

/** Sets whose service or inspection is overdue or was never done. */
export function DueWork({ sets }: Sets) {
  return (
    <Block id="due-work" title={`Held by due work: ${countText(sets.length, "set")}`} empty="No set is held by overdue work." sets={sets}>
      {(set) => <HoldLines set={set} />}
    </Block>
  );
}

/** Sets held by something that is neither a fault nor due work nor a release. */
export function Held({ sets }: Sets) {
  if (sets.length === 0) return null;
  return (
    <Block id="otherwise-held" title={`Held for another reason: ${countText(sets.length, "set")}`} empty="" sets={sets}>
      {(set) => <HoldLines set={set} />}
    </Block>
  );
}

/** Sets in date whose limits end soon: what to plan for. */
export function SoonDue({ sets }: Sets) {
  const { today } = useWho();
  if (sets.length === 0) return null;
  return (
    <details>
      <summary className="min-h-12 py-3 text-lg font-bold">Falls due within 30 days or 10 dives: {countText(sets.length, "set")}</summary>
      <ul className="grid items-start gap-4 lg:grid-cols-2 xl:grid-cols-3">
        {sets.map((set) => (
          <SetLine key={set.setId} set={set}>
            <p>{dueLine(set, today)}</p>
          </SetLine>
        ))}
      </ul>
    </details>
  );
}

/** Each reason once, with the components it is true of. */
function HoldLines({ set }: { set: ShownSet }) {
  const { site } = useWho();
  const context = contextOf(set, site.units);
  const holds = set.holds.filter((hold) => hold.code !== "not-clean");
  const codes = [...new Set(holds.map((hold) => hold.code))];
  return (
    <ul className="grid gap-1">
      {codes.map((code) => {
        const [first, ...others] = holds.filter((hold) => hold.code === code);
        if (first === undefined) return null;
        const { title, sentence } = holdWords(first, context);
        const likewise = others.flatMap((hold) => (hold.component === null ? [] : [context.componentName(hold.component)]));
        return (
          <li key={code}>
            <strong>{title}.</strong> {sentence} {likewise.length === 0 ? null : `Likewise: ${listText(likewise)}.`}
          </li>
        );
      })}
    </ul>
  );
}

type BlockProps = Sets & { id: string; title: string; empty: string; children: (set: ShownSet) => ReactNode };

function Block({ id, title, empty, sets, children }: BlockProps) {
  return (
    <section aria-labelledby={id} className="grid gap-4">
      <h2 id={id}>{title}</h2>
      {sets.length === 0 ? (
        <p>{empty}</p>
      ) : (
        <ul className="grid items-start gap-4 xl:grid-cols-2">
          {sets.map((set) => (
            <SetLine key={set.setId} set={set}>
              {children(set)}
            </SetLine>
          ))}
        </ul>
      )}
    </section>
  );
}
