"use client";
import { useQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import dynamic from "next/dynamic";
import { ChartFrame } from "../../../../components/chart-frame.tsx";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { monthText, numberText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { Counted } from "../counted.tsx";
import { Drill, useOpenFaults } from "../drill.tsx";
import type { About } from "../filter.ts";
import { Question } from "../question.tsx";
import { monthsText, rateText, sumText, type Months } from "../trends-words.ts";
import { useAbout } from "../use-about.ts";

const Waiting = () => <p>The chart is being drawn…</p>;
const RateChart = dynamic(() => import("../months-chart.tsx").then((module) => module.RateChart), { ssr: false, loading: Waiting });
const SumChart = dynamic(() => import("../months-chart.tsx").then((module) => module.SumChart), { ssr: false, loading: Waiting });

/** The single bad month, and the lasting rise. */
export function MonthsView() {
  const trpc = useTRPC();
  const { about } = useAbout();
  const found = useQuery(trpc.trends.months.queryOptions(about));
  return (
    <>
      <Question />
      <Counted query={found}>
        {({ chart }) =>
          chart.answer === "refused" ? (
            <Notice kind="info" title="Nothing to draw">
              <p>No dives were counted in this period, so there is no rate. Choose a longer one, or leave more open.</p>
            </Notice>
          ) : (
            <Charts chart={chart} about={about} />
          )
        }
      </Counted>
    </>
  );
}

function Charts({ chart, about }: { chart: Months; about: About }) {
  const rates = chart.months.map(({ month, point }) => ({ month, rate: point?.rate ?? null, upper: point?.upperLimit ?? null, lower: point?.lowerLimit ?? null, signal: point?.signal ?? null }));
  const risen = new Set(chart.cusum.answer === "refused" ? [] : chart.cusum.signalMonths);
  const sums = chart.months.map(({ month, sum }) => ({ month, sum, signal: risen.has(month) }));
  const open = useOpenFaults();
  const numbers = <MonthTable chart={chart} about={about} />;
  return (
    <>
      <ChartFrame
        title="Each month by itself"
        says={
          <>
            <p className="font-semibold">{monthsText(chart)}</p>
            <p className="mt-2 text-soft">
              The dotted lines are where chance alone would keep a month with so many dives (about one in four hundred falls outside by luck). A busy month has narrow limits, a quiet one wide ones. It does not show a slow rise; the next picture does.
            </p>
            <p className="screen-only mt-2">A point opens the faults of its month; so do the links below the picture.</p>
          </>
        }
        picture={`Faults per 100 dives month by month. ${monthsText(chart)}`}
        height={360}
        numbers={numbers}
      >
        <RateChart points={rates} mean={chart.meanRate} onPick={(month) => open({ ...about, from: month, until: month })} />
      </ChartFrame>
      <ChartFrame
        title="A lasting rise"
        says={
          <>
            <p className="font-semibold">{sumText(chart)}</p>
            {chart.cusum.answer === "refused" ? null : (
              <p className="mt-2 text-soft">
                The line adds up what each month had beyond the usual and starts again at nought when there is nothing. It is set to find a doubling; by luck alone it would cross its limit about once in ten years.
              </p>
            )}
          </>
        }
        picture={`A running sum of faults beyond the usual. ${sumText(chart)}`}
        height={chart.cusum.answer === "refused" ? 40 : 300}
        numbers={numbers}
      >
        {chart.cusum.answer === "refused" ? <p>No picture.</p> : <SumChart points={sums} limit={chart.cusum.h} />}
      </ChartFrame>
    </>
  );
}

const column = createColumnHelper<TableFeatures, Months["months"][number]>();

function MonthTable({ chart, about }: { chart: Months; about: About }) {
  const columns = column.columns([
    column.accessor("month", { header: "Month", cell: ({ row }) => monthText(row.original.month) }),
    column.accessor("faults", { header: "Faults" }),
    column.accessor("dives", { header: "Dives of parts", cell: ({ row }) => numberText(row.original.dives) }),
    column.accessor((row) => row.point?.rate ?? -1, { id: "rate", header: "Per 100 dives", cell: ({ row: { original } }) => (original.point === null ? "no dives" : rateText(original.point.rate)) }),
    column.accessor((row) => row.point?.mostExpected ?? -1, {
      id: "expected",
      header: "Faults chance explains",
      cell: ({ row: { original } }) => (original.point === null ? "no dives" : `${original.point.leastExpected} to ${original.point.mostExpected}`),
    }),
    column.accessor((row) => row.point?.signal ?? "", { id: "signal", header: "Stands out", cell: ({ row: { original } }) => (original.point?.signal === "above" ? "more than chance explains" : original.point?.signal === "below" ? "fewer than chance explains" : "no") }),
    column.accessor((row) => row.sum ?? -1, { id: "sum", header: "Running sum", cell: ({ row: { original } }) => (original.sum === null ? "none" : original.sum.toFixed(1)) }),
    column.display({
      id: "drill",
      header: "Behind it",
      enableSorting: false,
      cell: ({ row: { original } }) => (original.faults === 0 ? "no fault" : <Drill about={{ ...about, from: original.month, until: original.month }}>{`The faults of ${monthText(original.month)}`}</Drill>),
    }),
  ]);
  return <DataTable caption="Faults by month" columns={columns} rows={chart.months} rowKey={(row) => row.month} empty="No months." wide />;
}
