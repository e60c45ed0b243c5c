"use client";
import { ACCIDENT } from "@hangrail/rules/faults";
import { Icon } from "../../../components/icon.tsx";
import { Instant } from "../../../components/when.tsx";
import { useWho } from "../../../components/who.tsx";
import { faultWords, foundWords, isFoundWhere } from "../../../bench-words.ts";
import type { Outputs } from "../../../trpc/types.ts";
import { severityWords } from "../../../words.ts";
import { FaultPhotos } from "./fault-photos.tsx";

export type OpenFault = Outputs["bench"]["queue"]["faults"][number];

type FaultLinesProps = {
  fault: OpenFault;
  part: string | null;
  /** A component's name from its id, for what the technician found. */
  nameOf?: (id: string) => string;
  /** It is cleared: what it did to the set is over. */
  cleared?: boolean;
};

/** One fault: its line of the list, what it does to the set, what was said and found, since when and by whom. */
export function FaultLines({ fault, part, nameOf, cleared = false }: FaultLinesProps) {
  const { site } = useWho();
  const { found } = fault;
  return (
    <div className="flex gap-3">
      <Icon name={fault.severity === "watch" ? "clock" : fault.code === ACCIDENT ? "lock" : "tag"} size={28} />
      <div className="grid min-w-0 gap-1">
        <p className="font-semibold">
          <span className="font-plate">{fault.code}</span> {faultWords(fault.code)}
        </p>
        {part === null ? null : <p>On the {part}.</p>}
        {fault.words === "" ? null : <p>“{fault.words}”</p>}
        {found === null ? null : (
          <p>
            <strong>{found.by} found:</strong> <span className="font-plate">{found.code}</span> {faultWords(found.code)}
            {found.component === null || nameOf === undefined ? "" : `, on the ${nameOf(found.component)}`}.{found.words === "" ? null : ` “${found.words}”`}
          </p>
        )}
        <FaultPhotos photos={fault.photos} of={fault.code} />
        <p className="text-soft">
          {cleared ? "Reported" : "Since"} <Instant at={fault.reportedAt} timeZone={site.timeZone} />, found {isFoundWhere(fault.where) ? foundWords(fault.where) : fault.where}, reported by {fault.reportedBy}
          {cleared ? "" : `; ${fault.code === ACCIDENT ? "sealed as evidence, to be left as it is" : severityWords(fault.severity)}`}.
        </p>
      </div>
    </div>
  );
}
