"use client";
import { createColumnHelper } from "@tanstack/react-table";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { Instant } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";
import { positionWords } from "../../../../words.ts";
import type { OneSet } from "./set-page.tsx";

type Fitting = OneSet["fittings"][number];

const column = createColumnHelper<TableFeatures, Fitting>();

/** What was fitted where and when: the set as it was on any day. */
export function PastFittings({ fittings }: { fittings: OneSet["fittings"] }) {
  const { site } = useWho();
  const columns = column.columns([
    column.accessor((one) => positionWords(one.position), { id: "position", header: "Position" }),
    column.accessor((one) => `${one.model}, serial ${one.serial}`, { id: "component", header: "Component" }),
    column.accessor("fromAt", { header: "Fitted", cell: (cell) => <Instant at={cell.getValue()} timeZone={site.timeZone} /> }),
    column.accessor("untilAt", { header: "Taken off", cell: (cell) => (cell.getValue() === null ? "still fitted" : <Instant at={cell.getValue() ?? ""} timeZone={site.timeZone} />) }),
  ]);
  return (
    <section aria-label="Components over time">
      <DataTable caption="Components over time" columns={columns} rows={fittings} rowKey={(one) => `${one.component} ${one.fromAt}`} empty="Nothing was ever fitted." />
    </section>
  );
}
