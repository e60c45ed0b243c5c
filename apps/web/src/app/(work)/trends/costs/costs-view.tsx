"use client";
import { useSuspenseQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { divesText, numberText } from "../../../../format.ts";
import { amountText } from "../../../../money.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { kindWords } from "../../models/limits-words.ts";
import { notKnownText } from "./cost-words.ts";
import { EnterMoney } from "./enter-money.tsx";
import { TwoModels } from "./two-models.tsx";
import { YearToReplace } from "./year-to-replace.tsx";

export type ModelRow = Outputs["costs"]["models"]["models"][number];

export function CostsView() {
  const trpc = useTRPC();
  const { data } = useSuspenseQuery(trpc.costs.models.queryOptions());
  return (
    <>
      <CostTable rows={data.models} currency={data.money.currency} />
      <p className="mt-3 mb-10 max-w-prose text-soft">
        Interest {data.money.interestPermille / 10} % a year. Dives and faults are those of the last twelve months, shared among the parts in use. What the hire brings in is not taken off here; the comparison of two models can do so, where a first stage carries the hire of its set.
      </p>
      <YearToReplace models={data.models} currency={data.money.currency} today={data.today} />
      <TwoModels models={data.models} money={data.money} />
      <EnterMoney models={data.models} money={data.money} />
    </>
  );
}

const column = createColumnHelper<TableFeatures, ModelRow>();

function CostTable({ rows, currency }: { rows: readonly ModelRow[]; currency: string }) {
  const known = <Value,>({ cost }: ModelRow, figure: (cost: Extract<ModelRow["cost"], { answer: "cost" }>) => Value) => (cost.answer === "refused" ? null : figure(cost));
  const amount = (id: string, header: string, figure: (row: ModelRow) => number | null) =>
    column.accessor((row) => figure(row) ?? -1, { id, header, cell: ({ row }) => amountOr(figure(row.original), "not known") });
  const columns = column.columns([
    column.accessor("name", {
      header: "Model",
      cell: ({ row: { original } }) => (
        <span className="block min-w-44">
          {original.name}
          <span className="block font-normal text-soft">{`${kindWords(original.kind)}, ${numberText(original.parts)} in use, ${divesText(original.divesInYear)}`}</span>
          {original.cost.answer === "refused" ? <span className="block font-normal">{notKnownText(original.cost.which)}</span> : null}
        </span>
      ),
    }),
    amount("annual", "A year", (row) => known(row, (cost) => cost.annualCents)),
    amount("buying", "Buying", (row) => known(row, (cost) => cost.parts.capital)),
    amount("service", "Service", (row) => known(row, (cost) => cost.parts.service)),
    amount("repair", "Repair", (row) => known(row, (cost) => cost.parts.repair)),
    column.accessor((row) => known(row, (cost) => cost.perDiveCents) ?? -1, {
      id: "dive",
      header: "A dive",
      cell: ({ row: { original } }) => (original.cost.answer === "refused" ? "not known" : amountOr(original.cost.perDiveCents, "no dives")),
    }),
    amount("all", "All of them", (row) => known(row, (cost) => cost.annualCents * row.parts)),
  ]);
  return <DataTable caption={`What one of each model costs a year, in ${currency}`} columns={columns} rows={rows} rowKey={(row) => row.id} empty="No set is in the fleet yet." wide />;
}

const amountOr = (cents: number | null, none: string): string => (cents === null ? none : amountText(cents));
