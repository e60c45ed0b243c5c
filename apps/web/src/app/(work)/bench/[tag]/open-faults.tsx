"use client";
import { useState } from "react";
import { Button } from "../../../../components/button.tsx";
import { useHasRole } from "../../../../components/who.tsx";
import { partName } from "../../../../desk-words.ts";
import { countText } from "../../../../format.ts";
import { FaultLines, type OpenFault } from "../fault-lines.tsx";
import type { BenchSetView } from "./bench-set.tsx";
import { ClearFault } from "./clear-fault.tsx";

type OpenFaultsProps = { set: BenchSetView; sealed: boolean; onDone: (sentence: string) => void };

/** The set's open faults, each with the form that clears it, unless the set is sealed. */
export function OpenFaults({ set, sealed, onDone }: OpenFaultsProps) {
  return (
    <section aria-labelledby="faults" className="grid gap-4">
      <h2 id="faults">Open faults: {countText(set.faults.length, "fault")}</h2>
      {set.faults.length === 0 ? <p>No fault is open.</p> : null}
      <ul className="grid gap-4">
        {set.faults.map((fault) => (
          <FaultItem key={fault.id} fault={fault} set={set} sealed={sealed} onDone={onDone} />
        ))}
      </ul>
    </section>
  );
}

function FaultItem({ fault, set, sealed, onDone }: { fault: OpenFault } & OpenFaultsProps) {
  const technician = useHasRole("technician");
  const desk = useHasRole("desk");
  const [open, setOpen] = useState(false);
  const mayClear = !sealed && set.out === null && (technician || (desk && fault.severity !== "out"));
  const part = set.parts.find((one) => one.id === fault.component);
  return (
    <li className="sheet grid gap-4">
      <FaultLines fault={fault} part={part === undefined ? null : partName(part)} />
      {!mayClear ? null : open ? (
        <ClearFault fault={fault} mayOpen={technician} onDone={onDone} onClose={() => setOpen(false)} />
      ) : (
        <div>
          <Button onClick={() => setOpen(true)}>Clear {fault.code}…</Button>
        </div>
      )}
    </li>
  );
}
