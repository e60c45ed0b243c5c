"use client";
import { createColumnHelper } from "@tanstack/react-table";
import { DataTable, type TableFeatures } from "../../../components/data-table.tsx";
import { Notice } from "../../../components/notice.tsx";
import { countText, numberText } from "../../../format.ts";
import { clashWords, type Clash } from "./import-words.ts";

type Numbered = Clash & { nth: number };

const column = createColumnHelper<TableFeatures, Numbered>();
const columns = column.columns([
  column.accessor("row", { header: "Row", cell: (cell) => numberText(cell.getValue()) }),
  column.accessor((one) => one.tag ?? "", { id: "tag", header: "Tag" }),
  column.accessor((one) => one.serial ?? "", { id: "serial", header: "Serial" }),
  column.display({ id: "why", header: "What it contradicts", enableSorting: false, cell: ({ row }) => clashWords(row.original) }),
]);

/** Rows of the sheet that say one thing while the record says another. */
export function ClashTable({ clashes }: { clashes: readonly Clash[] }) {
  return (
    <div className="grid gap-4">
      <Notice kind="stop" title="Nothing was recorded" announce>
        <p>{countText(clashes.length, "row")} of the sheet contradict{clashes.length === 1 ? "s" : ""} what is recorded. Correct the sheet, or the record at the bench, and choose the file again.</p>
      </Notice>
      <DataTable caption="Rows against the record" columns={columns} rows={clashes.map((clash, nth) => ({ ...clash, nth }))} rowKey={(one) => String(one.nth)} empty="None." />
    </div>
  );
}
