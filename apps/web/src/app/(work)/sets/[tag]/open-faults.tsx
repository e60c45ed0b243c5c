"use client";
import { faultOf, isFaultCode } from "@hangrail/rules/faults";
import { Instant } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";
import { foundWords } from "../../../../act-words.ts";
import { partNamer } from "../../../../desk-words.ts";
import { severityWords } from "../../../../words.ts";
import { FaultPhotos } from "../../bench/fault-photos.tsx";
import type { OneSet } from "./set-page.tsx";

/** Faults nobody has cleared yet, the oldest first. */
export function OpenFaults({ set }: { set: OneSet }) {
  const { site } = useWho();
  if (set.faults.length === 0) return null;
  const name = partNamer(set.parts);
  return (
    <section aria-labelledby="faults" className="grid gap-4">
      <h2 id="faults">Open faults</h2>
      <ul className="grid gap-4">
        {set.faults.map((fault) => (
          <li key={fault.id} className="sheet">
            <p>
              <strong>
                {fault.code}
                {isFaultCode(fault.code) ? `: ${faultOf(fault.code).words}` : ""}
              </strong>
              {fault.component === null ? "" : `, ${name(fault.component)}`}
            </p>
            {fault.words === "" ? null : <p>“{fault.words}”</p>}
            {fault.found === null ? null : (
              <p>
                {fault.found.by} found: {fault.found.code}
                {isFaultCode(fault.found.code) ? `, ${faultOf(fault.found.code).words}` : ""}
                {fault.found.component === null ? "" : `, ${name(fault.found.component)}`}.{fault.found.words === "" ? null : ` “${fault.found.words}”`}
              </p>
            )}
            <FaultPhotos photos={fault.photos} of={fault.code} />
            <p className="text-soft">
              Reported{foundWords(fault.where)} by {fault.reportedBy}, <Instant at={fault.reportedAt} timeZone={site.timeZone} />; {severityWords(fault.severity)}.
            </p>
          </li>
        ))}
      </ul>
    </section>
  );
}
