"use client";
import { useState } from "react";
import { Button } from "../../../../components/button.tsx";
import { useHasRole } from "../../../../components/who.tsx";
import { partName, partNamer } from "../../../../desk-words.ts";
import { countText } from "../../../../format.ts";
import { ConfirmFault } from "../confirm-fault.tsx";
import { FaultLines, type OpenFault } from "../fault-lines.tsx";
import { AddPhoto } from "../fault-photos.tsx";
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
  const [open, setOpen] = useState<"clear" | "confirm" | null>(null);
  const mayClear = !sealed && set.out === null && (technician || (desk && fault.severity !== "out"));
  const mayConfirm = technician && !sealed && set.out === null && fault.found === null;
  const part = set.parts.find((one) => one.id === fault.component);
  return (
    <li className="sheet grid gap-4">
      <FaultLines fault={fault} part={part === undefined ? null : partName(part)} nameOf={partNamer(set.parts)} />
      {open === "clear" ? (
        <ClearFault fault={fault} mayOpen={technician} onDone={onDone} onClose={() => setOpen(null)} />
      ) : open === "confirm" ? (
        <ConfirmFault fault={fault} parts={set.parts} onDone={onDone} onClose={() => setOpen(null)} />
      ) : (
        <div className="flex flex-wrap gap-4">
          {mayConfirm ? <Button onClick={() => setOpen("confirm")}>What I found of {fault.code}…</Button> : null}
          {mayClear ? <Button onClick={() => setOpen("clear")}>Clear {fault.code}…</Button> : null}
        </div>
      )}
      <details>
        <summary className="min-h-12 py-3 font-semibold">Add a photograph of {fault.code}</summary>
        <AddPhoto faultId={fault.id} />
      </details>
    </li>
  );
}
