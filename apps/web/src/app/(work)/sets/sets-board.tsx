"use client";
import { keepPreviousData, useQuery } from "@tanstack/react-query";
import { useMemo } from "react";
import { Button } from "../../../components/button.tsx";
import { DataTable } from "../../../components/data-table.tsx";
import { useTableView } from "../../../components/table-view.ts";
import { useWho } from "../../../components/who.tsx";
import { useTRPC } from "../../../trpc/client.ts";
import { errorWords } from "../../../words.ts";
import { boardColumns } from "./board-columns.tsx";
import { BoardSearch, StateChips } from "./board-filter.tsx";
import { boardPage, firstSort } from "./board-question.ts";
import { useBoardFilter } from "./use-board-filter.ts";

/** Every set of the site, as the address asks for it. */
export function SetsBoard() {
  const trpc = useTRPC();
  const { site } = useWho();
  const { units, timeZone } = site;
  const filter = useBoardFilter();
  const { question } = filter;
  const view = useTableView("", { sort: firstSort, pageSize: boardPage, hidden: ["parts"] });
  const columns = useMemo(() => boardColumns(units, timeZone), [units, timeZone]);
  const board = useQuery(trpc.sets.board.queryOptions(question, { placeholderData: keepPreviousData }));
  const filtered = question.search !== null || question.states.length > 0 || question.modelId !== null;
  return (
    <>
      <StateChips {...filter} counts={board.data?.states} />
      <DataTable
        caption={filtered ? "Sets that fit the filter" : "Every set in the fleet"}
        columns={columns}
        rows={board.data?.rows}
        rowKey={(row) => row.setId}
        total={board.data?.total}
        view={{ ...view, page: question.page + 1, sort: question.sort, descending: question.descending }}
        choosable
        wide
        failed={board.error === null ? null : errorWords(board.error)}
        empty={filtered ? "No set fits this filter." : "There is no set yet. Register one, or bring the fleet in from a sheet."}
      >
        <BoardSearch {...filter} />
        {filtered ? <Button onClick={() => filter.change({ q: "", states: [], model: "" })}>Show every set</Button> : null}
      </DataTable>
    </>
  );
}
