"use client";
import { useQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import { Link } from "../../../../components/link.tsx";
import { useMemo } from "react";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { Plate } from "../../../../components/plate.tsx";
import { StateMark } from "../../../../components/state-mark.tsx";
import { Day } from "../../../../components/when.tsx";
import { useHasRole, useWho } from "../../../../components/who.tsx";
import { contextOf } from "../../../../desk-words.ts";
import { countText, daysBetween, numberText, type Units } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { errorWords } from "../../../../words.ts";
import { outSince, reasonsOf } from "../waiting.ts";

type Row = Outputs["sets"]["outOfService"]["rows"][number];

const column = createColumnHelper<TableFeatures, Row>();

/** Why each set stays, who makes it go out again, and since when it waits. */
export function OutOfService() {
  const trpc = useTRPC();
  const { site } = useWho();
  const { units, timeZone } = site;
  // The bench is the technician's and the manager's screen.
  const technician = useHasRole("technician");
  const manager = useHasRole("manager");
  const toBench = technician || manager;
  const found = useQuery(trpc.sets.outOfService.queryOptions());
  const columns = useMemo(() => columnsFor(units, timeZone, toBench), [units, timeZone, toBench]);
  const missing = found.data === undefined ? 0 : found.data.total - found.data.rows.length;
  return (
    <>
      <DataTable
        caption={found.data === undefined ? "Sets out of service" : `${countText(found.data.total, "set")} out of service`}
        columns={columns}
        rows={found.data?.rows}
        wide
        rowKey={(row) => row.setId}
        failed={found.error === null ? null : errorWords(found.error)}
        empty="No set is out of service."
      />
      {missing > 0 ? (
        <div className="mt-4">
          <Notice kind="warn" title="Not all are shown">
            <p>{numberText(missing)} more are out of service. The list of every set shows them, filtered by state.</p>
          </Notice>
        </div>
      ) : null}
    </>
  );
}

function columnsFor(units: Units, timeZone: string, toBench: boolean) {
  return column.columns([
    column.accessor("tag", { header: "Set", cell: (cell) => <Tag tag={cell.getValue()} toBench={toBench} /> }),
    column.accessor("state", { header: "State", cell: (cell) => <StateMark state={cell.getValue()} /> }),
    column.display({ id: "why", header: "Why, and who clears it", enableSorting: false, cell: ({ row }) => <Reasons row={row.original} units={units} /> }),
    column.accessor((row) => outSince(row, timeZone), {
      id: "since",
      header: "Since",
      cell: (cell) => (
        <>
          <Day day={cell.getValue()} /> <span className="whitespace-nowrap">{waitedText(cell.getValue(), cell.row.original.today)}</span>
        </>
      ),
    }),
  ]);
}

function Tag({ tag, toBench }: { tag: string; toBench: boolean }) {
  return (
    <>
      <Plate tag={tag} to={`/sets/${encodeURIComponent(tag)}`} />
      {toBench ? (
        <Link href={`/bench/${encodeURIComponent(tag)}`} className="screen-only flex min-h-12 items-center font-normal">
          To the bench<span className="sr-only"> with set {tag}</span>
        </Link>
      ) : null}
    </>
  );
}

function Reasons({ row, units }: { row: Row; units: Units }) {
  return (
    <ul className="grid gap-2">
      {reasonsOf(row.holds, contextOf(row, units)).map(({ title, sentences, cleared }) => (
        <li key={`${title} ${cleared}`}>
          <strong>{title}.</strong> {sentences.join(" ")} <span className="font-semibold">{cleared}</span>
        </li>
      ))}
    </ul>
  );
}

function waitedText(since: string, today: string): string {
  const days = daysBetween(since, today);
  return days <= 0 ? "(today)" : `(${countText(days, "day")})`;
}
