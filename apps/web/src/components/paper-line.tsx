"use client";
import { Day } from "./when.tsx";
import { useWho } from "./who.tsx";

/** Stands on paper alone: of which site and which day a page is, and who printed it. */
export function PaperLine() {
  const { site, staff, today } = useWho();
  return (
    <p className="paper-only mt-2">
      {site.name}, <Day day={today} />, printed by {staff.name}
    </p>
  );
}
