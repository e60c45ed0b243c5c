"use client";
import { countText } from "../../../format.ts";
import { partName } from "../../../desk-words.ts";
import type { ShownSet } from "./blocks.ts";
import { FaultLines, type OpenFault } from "./fault-lines.tsx";
import { SetLine } from "./set-line.tsx";

type TaggedOutProps = { sets: readonly ShownSet[]; faults: readonly OpenFault[] };

type Tagged = { tag: string; set: ShownSet | null; faults: readonly OpenFault[] };

/** Every set with an open fault, the oldest fault first; small faults to watch stand by themselves. */
export function TaggedOut({ sets, faults }: TaggedOutProps) {
  const holding = bySet(faults.filter((fault) => fault.severity !== "watch"), sets);
  const watched = bySet(faults.filter((fault) => fault.severity === "watch"), sets);
  return (
    <>
      <section aria-labelledby="tagged-out" className="grid gap-4">
        <h2 id="tagged-out">Tagged out: {countText(holding.length, "set")}</h2>
        {holding.length === 0 ? <p>No set is tagged out.</p> : <TaggedSets all={holding} />}
      </section>
      {watched.length === 0 ? null : (
        <details className="grid gap-4">
          <summary className="min-h-12 py-3 text-lg font-bold">Small faults to look at again: {countText(watched.length, "set")}</summary>
          <TaggedSets all={watched} />
        </details>
      )}
    </>
  );
}

function TaggedSets({ all }: { all: readonly Tagged[] }) {
  return (
    <ul className="grid items-start gap-4 xl:grid-cols-2">
      {all.map(({ tag, set, faults }) => (
        <SetLine key={tag} set={{ tag, state: set?.state ?? null }}>
          {faults.map((fault) => (
            <FaultLines key={fault.id} fault={fault} part={partOf(fault, set)} />
          ))}
        </SetLine>
      ))}
    </ul>
  );
}

function bySet(faults: readonly OpenFault[], sets: readonly ShownSet[]): readonly Tagged[] {
  const tags = [...new Set(faults.map((fault) => fault.tag))];
  return tags.map((tag) => ({ tag, set: sets.find((set) => set.tag === tag) ?? null, faults: faults.filter((fault) => fault.tag === tag) }));
}

function partOf(fault: OpenFault, set: ShownSet | null): string | null {
  const part = set?.parts.find((one) => one.id === fault.component);
  return part === undefined ? null : partName(part);
}
