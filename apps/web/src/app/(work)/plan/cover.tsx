"use client";
import type { JudgedPlan } from "@hangrail/api/plan-view";
import { createColumnHelper } from "@tanstack/react-table";
import dynamic from "next/dynamic";
import { useState } from "react";
import { ChartFrame } from "../../../components/chart-frame.tsx";
import { DataTable, type TableFeatures } from "../../../components/data-table.tsx";
import { SelectField } from "../../../components/field.tsx";
import { countText, hoursText, listText } from "../../../format.ts";
import { kindText } from "./plan-words.ts";
import { coverText, loadText, most, type CoverPoint, type LoadRow } from "./cover-words.ts";
import { weekAndDay } from "./weeks.ts";
import type { Outlook } from "./plan-types.ts";

const Waiting = () => <p>The chart is being drawn…</p>;
const CoverChart = dynamic(() => import("./week-charts.tsx").then((module) => module.CoverChart), { ssr: false, loading: Waiting });
const LoadChart = dynamic(() => import("./week-charts.tsx").then((module) => module.LoadChart), { ssr: false, loading: Waiting });

type CoverProps = { outlook: Outlook; plan: JudgedPlan | null };

/** What is booked against the sets able to go out, one kind at a time; the kind that is shortest first. */
export function Cover({ outlook, plan }: CoverProps) {
  const [chosen, setChosen] = useState<string | null>(null);
  const { kinds, weeks } = outlook;
  const cover = plan?.cover ?? outlook.cover;
  const shortOf = (kind: string) => (cover.find((one) => one.kind === kind)?.short ?? []).reduce((sum, sets) => sum + sets, 0);
  const bySorrow = [...kinds].sort((a, b) => shortOf(b.id) - shortOf(a.id) || most(b.sets) - most(a.sets));
  const kind = bySorrow.find(({ id }) => id === chosen) ?? bySorrow[0];
  if (kind === undefined) {
    return (
      <section className="mb-10">
        <h2>Cover</h2>
        <p className="mt-1 max-w-prose">No bookings are entered for these weeks, so there is nothing to cover. Enter them under Bookings: from a sheet, or from what was hired a year ago.</p>
      </section>
    );
  }
  const now = cover.find((one) => one.kind === kind.id);
  const before = outlook.cover.find((one) => one.kind === kind.id);
  const points = weeks.map((week, at): CoverPoint => ({ week, booked: now?.booked[at] ?? 0, able: now?.able[at] ?? 0, before: before?.able[at] ?? 0, short: now?.short[at] ?? 0 }));
  const says = coverText(points, plan !== null);
  return (
    <ChartFrame
      title={`Cover: ${kindText(kind)}`}
      says={
        <>
          <p className="font-semibold">{says}</p>
          <p className="mt-2 text-soft">
            The grey steps are sets booked, of each week the busiest day; the thick line sets able to go out{plan === null ? ", were nothing serviced" : " with this plan, the dotted line without any"}. A set that could serve two kinds counts for both, so a week may be short although the line lies above.
          </p>
          {kinds.length < 2 ? null : (
            <div className="screen-only mt-3 max-w-md">
              <SelectField label="Kind of set" value={kind.id} onChange={(event) => setChosen(event.target.value)}>
                {bySorrow.map((one) => (
                  <option key={one.id} value={one.id}>
                    {kindText(one)}
                    {shortOf(one.id) > 0 ? ": short" : ""}
                  </option>
                ))}
              </SelectField>
            </div>
          )}
        </>
      }
      picture={`Sets booked and sets able to go out, week by week. ${says}`}
      height={320}
      numbers={<CoverTable points={points} />}
    >
      <CoverChart points={points} />
    </ChartFrame>
  );
}

const coverColumn = createColumnHelper<TableFeatures, CoverPoint>();
const coverColumns = coverColumn.columns([
  coverColumn.accessor("week", { header: "Week", cell: ({ row }) => weekAndDay(row.original.week) }),
  coverColumn.accessor("booked", { header: "Booked" }),
  coverColumn.accessor("able", { header: "Able to go out" }),
  coverColumn.accessor("before", { header: "Were nothing serviced" }),
  coverColumn.accessor("short", { header: "Short", cell: ({ row }) => (row.original.short === 0 ? "no" : countText(row.original.short, "set")) }),
]);

function CoverTable({ points }: { points: readonly CoverPoint[] }) {
  return <DataTable caption="Booked against able, by week" columns={coverColumns} rows={points} rowKey={(row) => row.week} empty="No weeks." />;
}

/** Bench work against the hours there are. */
export function Load({ outlook, plan, kitName }: CoverProps & { kitName: (id: string) => string }) {
  const rows = outlook.weeks.map((week, at): LoadRow & { kits: string } => {
    const of = plan?.weeks[at];
    return { week, load: of?.load ?? 0, room: of?.room ?? outlook.room[at] ?? 0, going: of?.going ?? 0, kits: listText((of?.kits ?? []).map(({ kit, count }) => `${count} × ${kitName(kit)}`)) };
  });
  const says = loadText(rows, plan !== null);
  const columns = loadColumn.columns([
    loadColumn.accessor("week", { header: "Week", cell: ({ row }) => weekAndDay(row.original.week) }),
    loadColumn.accessor("going", { header: "Sets going" }),
    loadColumn.accessor("load", { header: "Work", cell: ({ row }) => hoursText(row.original.load) }),
    loadColumn.accessor("room", { header: "Bench hours", cell: ({ row }) => hoursText(row.original.room) }),
    loadColumn.accessor("kits", { header: "Kits", enableSorting: false, cell: ({ row }) => row.original.kits || "none" }),
  ]);
  return (
    <ChartFrame
      title="Bench work against hours"
      says={
        <>
          <p className="font-semibold">{says}</p>
          <p className="mt-2 text-soft">Bars are the hours of work of the sets that go in that week, the dashed line the hours the technicians have. It does not say who does what: that is decided at the bench.</p>
        </>
      }
      picture={`Hours of bench work and hours there are, week by week. ${says}`}
      height={280}
      numbers={<DataTable caption="Bench work by week" columns={columns} rows={rows} rowKey={(row) => row.week} empty="No weeks." />}
    >
      <LoadChart points={rows.map(({ week, load, room }) => ({ week, hours: load / 60, room: room / 60 }))} />
    </ChartFrame>
  );
}

const loadColumn = createColumnHelper<TableFeatures, LoadRow & { kits: string }>();
