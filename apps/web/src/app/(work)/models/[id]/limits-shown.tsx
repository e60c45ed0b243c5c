"use client";
import { Instant } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";
import { cylinderText } from "../../../../format.ts";
import { coldWords, connectionWords } from "../../../../words.ts";
import { asksCold, asksConnection, gasText, inspectionText, serviceText, type AcceptedLimits, type ModelRow } from "../limits-words.ts";

/** Accepted limits, each with its unit, and who answers for them. */
export function LimitsShown({ model, limits }: { model: ModelRow; limits: AcceptedLimits }) {
  const { site } = useWho();
  const lines: [string, string][] = [
    ["Service after", serviceText(limits)],
    ["Inspection after", inspectionText(limits)],
    ["Gas", gasText(limits)],
    ...(asksCold(model.kind) ? [["Cold water", coldWords(limits.coldRating)] as [string, string]] : []),
    ...(asksConnection(model.kind)
      ? ([
          ["Connection", limits.connection === null ? "not recorded" : connectionWords(limits.connection)],
          ["Cylinder pressure", limits.maxSupplyBar === null ? "not recorded" : `to ${cylinderText(limits.maxSupplyBar * 100, site.units)}`],
        ] as [string, string][])
      : []),
    ["From the manual", limits.manualPage],
  ];
  return (
    <>
      <dl className="grid gap-x-6 gap-y-2 sm:grid-cols-[auto_1fr]">
        {lines.map(([term, value]) => (
          <div key={term} className="contents">
            <dt className="text-soft">{term}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      <p className="text-soft">
        Accepted by {limits.acceptedBy}, <Instant at={limits.acceptedAt} timeZone={site.timeZone} />.
      </p>
    </>
  );
}
