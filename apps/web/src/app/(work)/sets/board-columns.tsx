"use client";
import { createColumnHelper } from "@tanstack/react-table";
import type { TableFeatures } from "../../../components/data-table.tsx";
import { Plate } from "../../../components/plate.tsx";
import { StateMark } from "../../../components/state-mark.tsx";
import { Day, Instant } from "../../../components/when.tsx";
import { partNamer } from "../../../desk-words.ts";
import type { Units } from "../../../format.ts";
import { holdWords } from "../../../hold-words.ts";
import type { Outputs } from "../../../trpc/types.ts";
import { setDueLines } from "./due-words.ts";
import type { LimbName } from "@hangrail/rules/due-dates";

export type BoardRow = Outputs["sets"]["board"]["rows"][number];

const column = createColumnHelper<TableFeatures, BoardRow>();

/** The board's columns; the ids of the sortable ones are the orders the server knows. */
export function boardColumns(units: Units, timeZone: string) {
  return column.columns([
    column.accessor("tag", { header: "Set", cell: (cell) => <Plate tag={cell.getValue()} to={`/sets/${cell.getValue()}`} /> }),
    column.accessor("state", { header: "State", cell: (cell) => <StateMark state={cell.getValue()} /> }),
    column.display({ id: "held", header: "Held first by", enableSorting: false, cell: ({ row }) => <FirstHold row={row.original} units={units} /> }),
    column.accessor((row) => row.due.dueOn?.value ?? null, { id: "dueOn", header: "Next due", cell: ({ row }) => <LimbCell row={row.original} limb="months" none="no date" /> }),
    column.accessor((row) => row.due.divesLeft?.value ?? null, { id: "divesLeft", header: "Dives left", cell: ({ row }) => <LimbCell row={row.original} limb="dives" none="no limit in dives" /> }),
    column.accessor("backOn", { header: "Back on", cell: ({ row: { original } }) => (original.backOn === null ? <span className="text-soft">not out</span> : <Day day={original.backOn} today={original.today} />) }),
    column.accessor("lastAt", { header: "Last act", cell: (cell) => <Instant at={cell.getValue()} timeZone={timeZone} /> }),
    column.display({ id: "parts", header: "First stage", enableSorting: false, cell: ({ row: { original } }) => firstStage(original) }),
  ]);
}

function FirstHold({ row, units }: { row: BoardRow; units: Units }) {
  const [first, ...others] = row.holds;
  if (first === undefined) return <span className="text-soft">nothing</span>;
  const { title } = holdWords(first, { units, componentName: partNamer(row.parts) });
  const on = first.component === null ? null : row.parts.find((part) => part.id === first.component);
  return (
    <>
      <strong>{title}</strong>
      {on == null ? null : `, ${partNamer(row.parts)(on.id)}`}
      {others.length === 0 ? null : <span className="text-soft">; {others.length} more</span>}
    </>
  );
}

function LimbCell({ row, limb, none }: { row: BoardRow; limb: LimbName; none: string }) {
  const line = setDueLines(row.due, row.today, partNamer(row.parts)).find((one) => one.limb === limb);
  const unjudged = row.due.notJudged.length > 0;
  if (line === undefined) return <span className="text-soft">{unjudged ? "not judged" : none}</span>;
  return (
    <>
      <span className={line.overdue ? "font-bold" : ""}>
        {line.overdue ? "Overdue: " : ""}
        {line.value}
      </span>
      <span className="block text-[0.9rem] text-soft">
        {line.decides}
        {unjudged ? "; other components are not judged" : ""}
      </span>
    </>
  );
}

function firstStage(row: BoardRow): string {
  const part = row.parts.find((one) => one.role === "first-stage");
  return part === undefined ? "none" : `${part.maker} ${part.model}, ${part.serial}`;
}
