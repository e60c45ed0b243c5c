"use client";
import type { ReactNode } from "react";
import { Instant } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";

/** Where a version stands in the manual, who accepted it and when. */
export function AcceptedLine({ accepted: { page, acceptedBy, acceptedAt } }: { accepted: { page: string; acceptedBy: string; acceptedAt: string } }) {
  const { site } = useWho();
  return (
    <p className="text-soft">
      {page}. Accepted by {acceptedBy}, <Instant at={acceptedAt} timeZone={site.timeZone} />.
    </p>
  );
}

/** Versions that are no longer in force, folded away. */
export function EarlierVersions({ count, children }: { count: number; children: ReactNode }) {
  if (count === 0) return null;
  return (
    <details>
      <summary className="min-h-12 py-3 font-semibold">Earlier versions: {count}</summary>
      {children}
    </details>
  );
}

/** Terms and what they say, side by side where there is room. */
export function Lines({ lines }: { lines: readonly (readonly [string, ReactNode])[] }) {
  return (
    <dl className="grid gap-x-6 gap-y-2 sm:grid-cols-[auto_1fr]">
      {lines.map(([term, value]) => (
        <div key={term} className="contents">
          <dt className="text-soft">{term}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  );
}
