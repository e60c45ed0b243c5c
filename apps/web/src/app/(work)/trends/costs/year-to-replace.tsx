"use client";
import { createColumnHelper } from "@tanstack/react-table";
import dynamic from "next/dynamic";
import { useState } from "react";
import { ChartFrame } from "../../../../components/chart-frame.tsx";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { SelectField } from "../../../../components/field.tsx";
import { Link } from "../../../../components/link.tsx";
import { countText } from "../../../../format.ts";
import { amountText, moneyText } from "../../../../money.ts";
import { Drill } from "../drill.tsx";
import { monthBefore, readAbout } from "../filter.ts";
import type { ModelRow } from "./costs-view.tsx";
import { agelessText, asGoodText, faultsText, replaceText, yearlyFaultsText, type YearFound } from "./replace-words.ts";

const YearsChart = dynamic(() => import("../years-chart.tsx"), { ssr: false, loading: () => <p>The chart is being drawn…</p> });

type Props = { models: readonly ModelRow[]; currency: string; today: string };

/** Model by model, the year in which replacing one beats keeping it; and the years of one of them. */
export function YearToReplace({ models, currency, today }: Props) {
  const found = models.flatMap((model) => (model.replacement.answer === "replace" ? [{ model, replacement: model.replacement }] : []));
  const [chosen, setChosen] = useState<string | null>(null);
  const shown = found.find(({ model }) => model.id === chosen) ?? [...found].sort((a, b) => Number(a.replacement.atEdge) - Number(b.replacement.atEdge))[0];
  return (
    <section aria-labelledby="replace-heading" className="mb-10">
      <h2 id="replace-heading">The year to replace</h2>
      <p className="mt-1 mb-4 max-w-prose text-soft">
        Buying is shared among the years one is kept, so it falls with each of them; faults may rise with age. The best year is where both together cost least. Its age alone takes no part out of use: that is for the bench, the limits and the notices.
      </p>
      <ReplaceTable rows={models} currency={currency} />
      {shown === undefined ? null : (
        <div className="mt-8">
          <div className="screen-only mb-4 max-w-md">
            <SelectField label="Year by year" value={shown.model.id} onChange={(event) => setChosen(event.target.value)}>
              {found.map(({ model }) => (
                <option key={model.id} value={model.id}>
                  {model.name}
                </option>
              ))}
            </SelectField>
          </div>
          <YearsOf key={shown.model.id} model={shown.model} found={shown.replacement} currency={currency} today={today} />
        </div>
      )}
    </section>
  );
}

const column = createColumnHelper<TableFeatures, ModelRow>();

function ReplaceTable({ rows, currency }: { rows: readonly ModelRow[]; currency: string }) {
  const columns = column.columns([
    column.accessor("name", { header: "Model" }),
    column.display({ id: "answer", header: "What it says", enableSorting: false, cell: ({ row: { original } }) => [replaceText(original.replacement), agelessText(original.ageless)].filter(Boolean).join(" ") }),
    column.accessor(({ replacement }) => (replacement.answer === "replace" ? replacement.leastAnnualCents : -1), {
      id: "least",
      header: `One costs a year then, in ${currency}`,
      cell: ({ row: { original } }) => (original.replacement.answer === "replace" ? amountText(original.replacement.leastAnnualCents) : "not known"),
    }),
  ]);
  return <DataTable caption="When to replace one of each model" columns={columns} rows={rows} rowKey={(row) => row.id} empty="No set is in the fleet yet." />;
}

type YearsProps = { model: ModelRow; found: YearFound; currency: string; today: string };

const yearColumn = createColumnHelper<TableFeatures, { year: number; cents: number; faults: number }>();

function YearsOf({ model, found, currency, today }: YearsProps) {
  const says = [replaceText(found), asGoodText(found)].filter((text) => text !== null).join(" ");
  // All that was kept count of, as far back as a question may go.
  const about = { ...readAbout(new URLSearchParams(), today), from: monthBefore(today, 119), modelId: model.id };
  const bars = found.annualCentsByYear.map((cents, index) => ({ year: index + 1, cents, faults: found.faultsByYear[index] ?? 0 }));
  const columns = yearColumn.columns([
    yearColumn.accessor("year", { header: "Kept for", cell: ({ row: { original: { year } } }) => countText(year, "year") }),
    yearColumn.accessor("cents", {
      header: "One costs a year",
      cell: ({ row: { original: { year, cents } } }) => (
        <>
          {moneyText(cents, currency)}
          {year === found.years ? <strong>, the least</strong> : null}
        </>
      ),
    }),
    yearColumn.accessor("faults", { header: "Faults in that year of its age", cell: ({ row }) => yearlyFaultsText(row.original.faults) }),
  ]);
  return (
    <ChartFrame
      title={`What one ${model.name} costs a year, by how long it is kept`}
      says={
        <>
          <p className="font-semibold">{says}</p>
          <p className="mt-2 text-soft">
            It rests on the price, on what one sells for at the end whenever that comes, on the maker&apos;s interval and on the minutes of repairs. {faultsText(found)} It does not count a dive that was spoilt or a hirer who went elsewhere, prices that rise, or a better model. Look at the faults behind it before you buy.
          </p>
          <p className="mt-1 flex flex-wrap gap-x-6">
            <Drill about={about}>{`The faults of ${model.name}`}</Drill>
            <Link href={`/sets?model=${model.id}`} className="inline-flex min-h-12 items-center">
              Its sets
            </Link>
          </p>
        </>
      }
      picture={`What one costs a year, if it is kept for 1 to ${bars.length} years. ${says}`}
      height={320}
      numbers={<DataTable caption={`${model.name}, year by year`} columns={columns} rows={bars} rowKey={({ year }) => String(year)} empty="No year was watched." />}
    >
      <YearsChart points={bars.map(({ year, cents }) => ({ year, amount: cents / 100 }))} least={found.years} currency={currency} />
    </ChartFrame>
  );
}
