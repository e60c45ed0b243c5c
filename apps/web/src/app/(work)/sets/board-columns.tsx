"use client";
import { dayOf } from "@hangrail/rules/calendar";
import { createColumnHelper } from "@tanstack/react-table";
import type { TableFeatures } from "../../../components/data-table.tsx";
import { Plate } from "../../../components/plate.tsx";
import { StateMark } from "../../../components/state-mark.tsx";
import { Day, Instant } from "../../../components/when.tsx";
import type { Units } from "../../../format.ts";
import { holdWords } from "../../../hold-words.ts";
import type { Outputs } from "../../../trpc/types.ts";
import { positionWords } from "../../../words.ts";
import { setDueLines } from "./due-words.ts";

export type BoardRow = Outputs["sets"]["board"]["rows"][number];

const column = createColumnHelper<TableFeatures, BoardRow>();

/** The board's columns; the ids of the sortable ones are the orders the server knows. */
export function boardColumns(units: Units, timeZone: string) {
  return column.columns([
    column.accessor("tag", { header: "Set", cell: (cell) => <Plate tag={cell.getValue()} to={`/sets/${cell.getValue()}`} /> }),
    column.accessor("state", { header: "State, and what holds it", cell: ({ row }) => <Standing row={row.original} units={units} /> }),
    column.accessor((row) => row.due.dueOn?.value ?? null, { id: "dueOn", header: "Next due", cell: ({ row }) => <NextDue row={row.original} /> }),
    column.accessor((row) => row.due.divesLeft?.value ?? null, { id: "divesLeft", header: "Dives left", cell: (cell) => cell.getValue() ?? <span className="text-soft">no limit</span> }),
    column.accessor("backOn", { header: "Back on", cell: ({ row: { original } }) => (original.backOn === null ? <span className="text-soft">not out</span> : <Day day={original.backOn} today={original.today} />) }),
    column.accessor("lastAt", { header: "Last act", cell: (cell) => <LastAct at={cell.getValue()} timeZone={timeZone} /> }),
    column.display({ id: "parts", header: "First stage", enableSorting: false, cell: ({ row: { original } }) => firstStage(original) }),
  ]);
}

function LastAct({ at, timeZone }: { at: string; timeZone: string }) {
  return (
    <>
      <Day day={dayOf(Date.parse(at), timeZone)} /> <Instant at={at} timeZone={timeZone} short />
    </>
  );
}

/** The state, and below it the hold that leads when the word alone does not say it. */
function Standing({ row, units }: { row: BoardRow; units: Units }) {
  const [first, ...others] = row.holds;
  const place = placeNamer(row);
  return (
    <>
      <StateMark state={row.state} />
      {first === undefined ? null : (
        <span className="mt-1 block">
          {holdWords(first, { units, componentName: place }).title}
          {first.component === null ? null : `: ${place(first.component)}`}
          {others.length === 0 ? null : <span className="text-soft">, and {others.length} more</span>}
        </span>
      )}
    </>
  );
}

/** "first stage": which place of the set a component holds; its serial is on the set's page. */
function placeNamer(row: BoardRow): (id: string) => string {
  return (id) => {
    const part = row.parts.find((one) => one.id === id);
    return part === undefined ? "a component" : positionWords(part.role).toLowerCase();
  };
}

/** Every limb with the work and the component that decide it: which comes first depends on how much it dives. */
function NextDue({ row }: { row: BoardRow }) {
  const lines = setDueLines(row.due, row.today, placeNamer(row));
  const unjudged = row.due.notJudged.length;
  if (lines.length === 0) return <span className="text-soft">{unjudged > 0 ? "not judged" : "no limit"}</span>;
  return (
    <ul className="grid gap-1">
      {lines.map((line) => (
        <li key={line.limb}>
          <span className={line.overdue ? "font-bold" : ""}>
            {line.overdue ? "Overdue: " : ""}
            {line.value}
          </span>
          <span className="block text-[0.9rem] text-soft">{line.decides}</span>
        </li>
      ))}
      {unjudged > 0 ? <li className="text-[0.9rem]">{unjudged === 1 ? "1 component is not judged" : `${unjudged} components are not judged`}</li> : null}
    </ul>
  );
}

function firstStage(row: BoardRow): string {
  const part = row.parts.find((one) => one.role === "first-stage");
  return part === undefined ? "none" : `${part.maker} ${part.model}, ${part.serial}`;
}
