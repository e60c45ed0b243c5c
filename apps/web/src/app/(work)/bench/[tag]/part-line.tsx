"use client";
import { partName } from "../../../../desk-words.ts";
import { useWho } from "../../../../components/who.tsx";
import { daysLeftText, dayText, divesText } from "../../../../format.ts";
import type { BenchSetView } from "./bench-set.tsx";

export type BenchPart = BenchSetView["parts"][number];

/** A component in two lines: what it is, and where its limits stand. */
export function PartLine({ part }: { part: BenchPart }) {
  const { today } = useWho();
  return (
    <span className="min-w-0">
      <span className="block font-semibold first-letter:uppercase">{partName(part)}</span>
      <span className="block">
        {part.maker} {part.model}
      </span>
      <span className="block font-normal text-soft">{limitsLine(part, today)}</span>
    </span>
  );
}

function limitsLine(part: BenchPart, today: string): string {
  const serviced = part.servicedOn === null ? "never serviced here" : `serviced ${dayText(part.servicedOn)}, ${divesText(part.divesSinceService)} since`;
  if (part.due === null) return `${serviced}; not judged, no limits recorded`;
  const { service, inspection } = part.due;
  const limbs = [workLine("service", service, today), inspection === null ? null : workLine("inspection", inspection, today)].filter((line) => line !== null);
  return limbs.length === 0 ? `${serviced}; the maker sets no limit` : [serviced, ...limbs].join("; ");
}

function workLine(name: string, due: NonNullable<BenchPart["due"]>["service"], today: string): string | null {
  const day = due.dueOn === null ? null : `${due.dueOn < today ? "was due" : "due"} ${dayText(due.dueOn)} (${daysLeftText(today, due.dueOn)})`;
  const dives = due.divesLeft === null ? null : due.divesLeft >= 0 ? `${divesText(due.divesLeft)} left` : `${divesText(-due.divesLeft)} over`;
  const parts = [day, dives].filter((part) => part !== null);
  return parts.length === 0 ? null : `${name} ${parts.join(", ")}`;
}
