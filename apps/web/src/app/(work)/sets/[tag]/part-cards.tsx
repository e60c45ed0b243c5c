"use client";
import { Link } from "../../../../components/link.tsx";
import type { ReactNode } from "react";
import { Icon } from "../../../../components/icon.tsx";
import { Day } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";
import { countText, cylinderText, dayText, divesText, numberText, oxygenText, type Units } from "../../../../format.ts";
import { coldWords, connectionWords, positionWords } from "../../../../words.ts";
import { isOverdue, workDueText } from "../due-words.ts";
import type { OneSet } from "./set-page.tsx";

type Part = OneSet["parts"][number];

/** The components, in the order of the set, each with what is due and what it has behind it. */
export function PartCards({ set }: { set: OneSet }) {
  const { site } = useWho();
  return (
    <section aria-labelledby="parts" className="grid gap-4">
      <h2 id="parts">Components</h2>
      {set.parts.length === 0 ? <p>Nothing is fitted.</p> : null}
      <ul className="grid items-start gap-4 md:grid-cols-2 2xl:grid-cols-3">
        {set.parts.map((part) => (
          <li key={part.id} className={`sheet grid gap-3 ${isOverdue(part.due) ? "border-s-8 border-s-danger" : ""}`}>
            <div>
              <h3>{positionWords(part.role)}</h3>
              <p>
                <Link href={`/models/${part.modelId}`} className="inline-flex min-h-12 items-center">
                  {part.maker} {part.model}
                </Link>
                , serial <span className="font-plate font-bold">{part.serial}</span>
              </p>
            </div>
            <dl className="grid grid-cols-[minmax(7rem,auto)_1fr] gap-x-4 gap-y-1.5">
              {linesOf(part, set, site.units).map(([term, value]) => (
                <div key={term} className="contents">
                  <dt className="text-soft">{term}</dt>
                  <dd>{value}</dd>
                </div>
              ))}
            </dl>
            <PastWork part={part} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function linesOf(part: Part, set: OneSet, units: Units): [string, ReactNode][] {
  const isStage = part.role === "first-stage" || part.role === "primary" || part.role === "alternate";
  const lines: [string, ReactNode][] = [];
  if (part.due === null) lines.push(["Due", <NotJudged key="due" />]);
  else {
    lines.push(["Service", <DueText key="service" text={workDueText(part.due.service, set.today)} overdue={part.due.service.state === "overdue"} />]);
    lines.push(["Inspection", part.due.inspection === null ? "the maker asks for none between services" : <DueText key="inspection" text={workDueText(part.due.inspection, set.today)} overdue={part.due.inspection.state === "overdue"} />]);
  }
  lines.push(["Since service", divesText(part.divesSinceService)]);
  lines.push(["In all", part.estimatedDives === 0 ? divesText(part.totalDives) : `${divesText(part.totalDives)}, ${numberText(part.estimatedDives)} of them estimated`]);
  lines.push(["Gas", gasText(part)]);
  if (isStage) lines.push(["Cold water", coldWords(part.coldRating)]);
  if (part.role === "first-stage") {
    const most = part.maxSupplyCentibar === null ? "" : `, to ${cylinderText(part.maxSupplyCentibar, units)}`;
    lines.push(["Connection", part.connection === null ? "not recorded" : `${connectionWords(part.connection)}${most}`]);
  }
  lines.push(["Bought", part.boughtOn === null ? "not known" : <Day key="bought" day={part.boughtOn} />]);
  lines.push(["In use from", part.inUseOn === null ? "not known" : <Day key="use" day={part.inUseOn} />]);
  lines.push(["Last used", part.lastUsedOn === null ? "never" : <Day key="used" day={part.lastUsedOn} />]);
  return lines;
}

/** What it may meet now, and what its model may meet where the last service costs it the rest. */
function gasText({ maxO2Tenths: most, modelMostO2 }: Part): string {
  if (most === null) return "no maximum recorded: the site's nitrox line";
  const rest = modelMostO2 === null || modelMostO2 <= most ? "" : `; to ${oxygenText(modelMostO2)} only after a service done oxygen-clean`;
  return `to ${oxygenText(most)} oxygen${rest}`;
}

function NotJudged() {
  return <strong>Not judged: its limits, or the days or dives they count from, are not recorded.</strong>;
}

function DueText({ text, overdue }: { text: string; overdue: boolean }) {
  if (!overdue) return text;
  return (
    <strong className="inline-flex gap-2">
      <Icon name="octagon" size={22} /> <span>{text}</span>
    </strong>
  );
}

function PastWork({ part }: { part: Part }) {
  const [last] = part.work;
  if (last === undefined) return <p>No work is recorded.</p>;
  return (
    <details>
      <summary className="min-h-12 content-center font-semibold">
        Last work: {workLine(last)} ({countText(part.work.length, "entry", "entries")})
      </summary>
      <ul className="mt-2 grid gap-2">
        {part.work.map((work, at) => (
          <li key={`${work.kind} ${work.doneOn} ${at}`}>
            <strong>{workLine(work)}</strong>, at {divesText(work.divesAt)}
            {work.words === "" ? "" : `: ${work.words}`}
          </li>
        ))}
      </ul>
    </details>
  );
}

function workLine({ kind, doneOn, by, imported }: Part["work"][number]): string {
  const what = kind === "service" ? "service" : kind === "inspection" ? "inspection" : "bedding check";
  return `${what} on ${dayText(doneOn)}, ${imported ? "from an imported sheet" : `by ${by ?? "nobody named"}`}`;
}
