"use client";
import { useSuspenseQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { numberText } from "../../../../format.ts";
import { moneyText } from "../../../../money.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { kindWords } from "../../models/limits-words.ts";
import { notKnownText } from "./cost-words.ts";
import { EnterMoney } from "./enter-money.tsx";
import { TwoModels } from "./two-models.tsx";

export type ModelRow = Outputs["costs"]["models"]["models"][number];

export function CostsView() {
  const trpc = useTRPC();
  const { data } = useSuspenseQuery(trpc.costs.models.queryOptions());
  return (
    <>
      <CostTable rows={data.models} currency={data.money.currency} />
      <p className="mt-3 mb-10 max-w-prose text-soft">
        Interest {data.money.interestPermille / 10} % a year. Dives and faults are those of the last twelve months, shared among the parts in use. A first stage carries the hire of its set; what it brings in is shown in the comparison below, not taken off here.
      </p>
      <TwoModels models={data.models} money={data.money} />
      <EnterMoney models={data.models} money={data.money} />
    </>
  );
}

const column = createColumnHelper<TableFeatures, ModelRow>();

function CostTable({ rows, currency }: { rows: readonly ModelRow[]; currency: string }) {
  const annual = ({ cost }: ModelRow) => (cost.answer === "refused" ? -1 : cost.annualCents);
  const columns = column.columns([
    column.accessor("name", { header: "Model" }),
    column.accessor((row) => kindWords(row.kind), { id: "kind", header: "Kind" }),
    column.accessor("parts", { header: "In use" }),
    column.accessor(annual, { id: "annual", header: "One costs a year", cell: ({ row: { original } }) => (original.cost.answer === "refused" ? notKnownText(original.cost.which) : moneyText(original.cost.annualCents, currency)) }),
    column.accessor((row) => (row.cost.answer === "refused" ? -1 : (row.cost.perDiveCents ?? -1)), {
      id: "dive",
      header: "A dive",
      cell: ({ row: { original } }) => (original.cost.answer === "refused" ? "not known" : original.cost.perDiveCents === null ? "no dives" : moneyText(original.cost.perDiveCents, currency)),
    }),
    column.display({
      id: "parts-of-cost",
      header: "Made up of",
      enableSorting: false,
      cell: ({ row: { original } }) =>
        original.cost.answer === "refused" ? "not known" : `buying ${moneyText(original.cost.parts.capital, currency)}, service ${moneyText(original.cost.parts.service, currency)}, repair ${moneyText(original.cost.parts.repair, currency)}`,
    }),
    column.accessor((row) => annual(row) * row.parts, {
      id: "all",
      header: "All of them a year",
      cell: ({ row: { original } }) => (original.cost.answer === "refused" ? "not known" : moneyText(original.cost.annualCents * original.parts, currency)),
    }),
    column.accessor("divesInYear", { header: "Dives in a year", cell: ({ row }) => numberText(row.original.divesInYear) }),
  ]);
  return <DataTable caption="What one of each model costs" columns={columns} rows={rows} rowKey={(row) => row.id} empty="No set is in the fleet yet." wide />;
}
