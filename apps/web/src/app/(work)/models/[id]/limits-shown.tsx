"use client";
import { Instant } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";
import { cylinderText } from "../../../../format.ts";
import { coldWords, connectionWords } from "../../../../words.ts";
import { asksCold, asksConnection, gasText, inspectionText, serviceText, type AcceptedLimits, type ModelRow } from "../limits-words.ts";
import { Lines } from "./accepted-line.tsx";

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
      <Lines lines={lines} />
      <p className="text-soft">
        Accepted by {limits.acceptedBy}, <Instant at={limits.acceptedAt} timeZone={site.timeZone} />.
      </p>
    </>
  );
}
