"use client";
import { useQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import { useMemo } from "react";
import { DataTable, type TableFeatures } from "../../../components/data-table.tsx";
import { Instant } from "../../../components/when.tsx";
import { useWho } from "../../../components/who.tsx";
import { numberText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { errorWords } from "../../../words.ts";
import { isRunning, phaseWords, type ImportJob } from "./import-words.ts";

const column = createColumnHelper<TableFeatures, ImportJob>();

/** The newest imports, and what became of each. */
export function PastImports() {
  const trpc = useTRPC();
  const { site } = useWho();
  const imports = useQuery(trpc.fleet.imports.queryOptions(undefined, { refetchInterval: (query) => (query.state.data?.some(isRunning) === true ? 2_000 : false) }));
  const columns = useMemo(() => columnsFor(site.timeZone), [site.timeZone]);
  return (
    <section aria-label="Imports so far">
      <DataTable caption="Imports so far" columns={columns} rows={imports.data} rowKey={(job) => job.id} failed={imports.error === null ? null : errorWords(imports.error)} empty="Nothing was brought in yet." />
    </section>
  );
}

function columnsFor(timeZone: string) {
  return column.columns([
    column.accessor("fileName", { header: "File" }),
    column.accessor("startedAt", { header: "Begun", cell: (cell) => <Instant at={cell.getValue()} timeZone={timeZone} /> }),
    column.accessor("rowsTotal", { header: "Rows", cell: (cell) => numberText(cell.getValue()) }),
    column.accessor("phase", {
      header: "What became of it",
      cell: ({ row: { original } }) => (
        <>
          <strong>{phaseWords(original.phase)}</strong>
          {original.words === null || original.phase !== "refused" ? "" : `: ${original.words}`}
        </>
      ),
    }),
  ]);
}
