"use client";
import { countText } from "../../../format.ts";
import { partName } from "../../../desk-words.ts";
import type { ShownSet } from "./blocks.ts";
import { FaultLines, type OpenFault } from "./fault-lines.tsx";
import { SetLine } from "./set-line.tsx";

/** What the bench leaves alone: sets sealed as evidence, and small faults to look at again. */
export function SealedAndWatched({ sets, faults }: { sets: readonly ShownSet[]; faults: readonly OpenFault[] }) {
  const small = faults.filter((fault) => fault.severity === "watch");
  const watched = [...new Set(small.map((fault) => fault.tag))];
  return (
    <>
      {sets.length === 0 ? null : (
        <section aria-labelledby="sealed" className="grid gap-4">
          <div>
            <h2 id="sealed">Sealed as evidence: {countText(sets.length, "set")}</h2>
            <p className="text-soft">Nobody cleans, opens, tests or services these.</p>
          </div>
          <ul className="grid items-start gap-4 xl:grid-cols-2">
            {sets.map((set) => (
              <SetLine key={set.setId} set={set}>
                {faults
                  .filter((fault) => fault.tag === set.tag)
                  .map((fault) => (
                    <FaultLines key={fault.id} fault={fault} part={partOf(fault, set)} />
                  ))}
              </SetLine>
            ))}
          </ul>
        </section>
      )}
      {watched.length === 0 ? null : (
        <details className="grid gap-4">
          <summary className="min-h-12 py-3 text-lg font-bold">Small faults to look at again: {countText(watched.length, "set")}</summary>
          <ul className="grid items-start gap-4 xl:grid-cols-2">
            {watched.map((tag) => (
              <SetLine key={tag} set={{ tag, state: null }}>
                {small
                  .filter((fault) => fault.tag === tag)
                  .map((fault) => (
                    <FaultLines key={fault.id} fault={fault} part={null} />
                  ))}
              </SetLine>
            ))}
          </ul>
        </details>
      )}
    </>
  );
}

function partOf(fault: OpenFault, set: ShownSet): string | null {
  const part = set.parts.find((one) => one.id === fault.component);
  return part === undefined ? null : partName(part);
}
