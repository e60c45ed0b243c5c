"use client";
import { useQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import dynamic from "next/dynamic";
import { useState } from "react";
import { Button, ButtonLink } from "../../../../../components/button.tsx";
import { ChartFrame } from "../../../../../components/chart-frame.tsx";
import { DataTable, type TableFeatures } from "../../../../../components/data-table.tsx";
import { Notice } from "../../../../../components/notice.tsx";
import { PageHead } from "../../../../../components/page-head.tsx";
import { useWho } from "../../../../../components/who.tsx";
import { countText, dayText, type Units } from "../../../../../format.ts";
import { useTRPC } from "../../../../../trpc/client.ts";
import { errorWords } from "../../../../../words.ts";
import { driftText, MARK_WORDS, readingName, valueText, type Picture, type Series } from "./life-words.ts";

const Waiting = () => <p>The chart is being drawn…</p>;
const TimelineChart = dynamic(() => import("./timeline-chart.tsx"), { ssr: false, loading: Waiting });
const ReadingsChart = dynamic(() => import("./readings-chart.tsx"), { ssr: false, loading: Waiting });

const PERIODS = [
  { name: "Its whole life", days: null },
  { name: "The last year", days: 365 },
  { name: "The last three months", days: 92 },
] as const;

export function SetLife({ tag }: { tag: string }) {
  const trpc = useTRPC();
  const found = useQuery(trpc.setLife.picture.queryOptions({ tag }));
  return (
    <>
      <PageHead title={`The life of ${tag}`} lead="What it has lived through on one line of time, and how the readings of its parts went.">
        <ButtonLink href={`/sets/${encodeURIComponent(tag)}`}>To the set</ButtonLink>
      </PageHead>
      {found.error !== null ? (
        <Notice kind="stop" title="Could not be read">
          <p>{errorWords(found.error)}</p>
        </Notice>
      ) : found.data === undefined ? (
        <p role="status">Being read…</p>
      ) : (
        <>
          <LineOfTime timeline={found.data.timeline} />
          <Readings series={found.data.series} />
        </>
      )}
    </>
  );
}

function LineOfTime({ timeline }: { timeline: Picture["timeline"] }) {
  const [period, setPeriod] = useState<(typeof PERIODS)[number]>(PERIODS[0]);
  const begin = period.days === null ? timeline.from : new Date(Date.parse(timeline.until) - period.days * 86_400_000).toISOString().slice(0, 10);
  const from = begin < timeline.from ? timeline.from : begin;
  const marks = timeline.marks.filter((one) => one.on >= from);
  const dives = timeline.dives.filter((one) => one.on >= from);
  const total = dives.reduce((sum, one) => sum + one.dives, 0);
  const counts = Object.entries(MARK_WORDS).map(([mark, words]) => ({ words, times: marks.filter((one) => one.mark === mark).reduce((sum, one) => sum + one.times, 0) }));
  const says = `From ${dayText(from)} to ${dayText(timeline.until)}: ${countText(total, "dive")}; ${counts.filter(({ times }) => times > 0).map(({ words, times }) => `${words.toLowerCase()} ${countText(times, "time")}`).join(", ") || "nothing else recorded"}.`;
  return (
    <>
      <div role="group" aria-label="Period shown" className="screen-only mb-4 flex flex-wrap gap-4">
        {PERIODS.map((one) => (
          <Button key={one.name} aria-pressed={one === period} tone={one === period ? "primary" : "plain"} onClick={() => setPeriod(one)}>
            {one.name}
          </Button>
        ))}
      </div>
      <ChartFrame
        title="On a line of time"
        says={<p className="font-semibold">{says}</p>}
        picture={says}
        height={430}
        numbers={<DataTable caption="Day by day, newest first" columns={dayColumns} rows={daysOf(marks, dives)} rowKey={({ on }) => on} empty="Nothing is recorded in this time." />}
      >
        <TimelineChart timeline={timeline} from={from} />
      </ChartFrame>
    </>
  );
}

const dayColumn = createColumnHelper<TableFeatures, { on: string; words: string }>();
const dayColumns = dayColumn.columns([
  dayColumn.accessor("on", { header: "Day", cell: ({ row }) => dayText(row.original.on) }),
  dayColumn.accessor("words", { header: "What" }),
]);

const readingColumn = createColumnHelper<TableFeatures, Series["readings"][number] & { nth: number }>();
const readingColumns = (series: Series, units: Units) =>
  readingColumn.columns([
    readingColumn.accessor("on", { header: "Day", cell: ({ row }) => dayText(row.original.on) }),
    readingColumn.accessor("value", { header: "Reading", cell: ({ row }) => valueText(series, row.original.value, units) }),
    readingColumn.accessor("phase", { header: "As found or as left", cell: ({ row }) => (row.original.phase === "as-left" ? "as left" : "as found") }),
  ]);

function daysOf(marks: Picture["timeline"]["marks"], dives: Picture["timeline"]["dives"]): { on: string; words: string }[] {
  const days = new Map<string, string[]>();
  for (const { on, dives: count } of dives) days.set(on, [...(days.get(on) ?? []), countText(count, "dive")]);
  for (const { on, mark, times } of marks) days.set(on, [...(days.get(on) ?? []), `${MARK_WORDS[mark].toLowerCase()}${times > 1 ? ` ${times} times` : ""}`]);
  return [...days].sort(([a], [b]) => (a < b ? 1 : -1)).map(([on, words]) => ({ on, words: words.join(", ") }));
}

function Readings({ series }: { series: readonly Series[] }) {
  const { site } = useWho();
  if (series.length === 0) {
    return (
      <section>
        <h2>Readings over time</h2>
        <p className="mt-2">No bench test of the parts fitted now has been recorded yet.</p>
      </section>
    );
  }
  return series.map((one) => {
    const name = readingName(one, site.units);
    const says = driftText(one.drift, one, site.units);
    return (
      <ChartFrame
        key={name}
        title={name}
        says={<p className="font-semibold">{says}</p>}
        picture={`${name}. ${says}`}
        height={260}
        numbers={<DataTable caption={name} columns={readingColumns(one, site.units)} rows={one.readings.map((reading, nth) => ({ ...reading, nth }))} rowKey={({ nth }) => String(nth)} empty="No reading." />}
      >
        <ReadingsChart points={one.readings.map(({ on, value }) => ({ on, value: value / 100 }))} low={one.low === null ? null : one.low / 100} high={one.high === null ? null : one.high / 100} />
      </ChartFrame>
    );
  });
}
