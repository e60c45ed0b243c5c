"use client";
import { ACCIDENT } from "@hangrail/rules/faults";
import { Icon } from "../../../components/icon.tsx";
import { Instant } from "../../../components/when.tsx";
import { useWho } from "../../../components/who.tsx";
import { faultWords, foundWords, isFoundWhere } from "../../../bench-words.ts";
import type { Outputs } from "../../../trpc/types.ts";
import { severityWords } from "../../../words.ts";

export type OpenFault = Outputs["bench"]["queue"]["faults"][number];

/** One open fault: its line of the list, what it does to the set, what was said, since when and by whom. */
export function FaultLines({ fault, part }: { fault: OpenFault; part: string | null }) {
  const { site } = useWho();
  return (
    <div className="flex gap-3">
      <Icon name={fault.severity === "watch" ? "clock" : fault.code === ACCIDENT ? "lock" : "tag"} size={28} />
      <div className="min-w-0">
        <p className="font-semibold">
          <span className="font-plate">{fault.code}</span> {faultWords(fault.code)}
        </p>
        {part === null ? null : <p>On the {part}.</p>}
        {fault.words === "" ? null : <p>“{fault.words}”</p>}
        <p className="text-soft">
          Since <Instant at={fault.reportedAt} timeZone={site.timeZone} />, found {isFoundWhere(fault.where) ? foundWords(fault.where) : fault.where}, reported by {fault.reportedBy}; {fault.code === ACCIDENT ? "sealed as evidence, to be left as it is" : severityWords(fault.severity)}.
        </p>
      </div>
    </div>
  );
}
