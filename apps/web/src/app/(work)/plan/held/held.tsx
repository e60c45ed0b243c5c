"use client";
import type { HeldAnswer } from "@hangrail/api/plan-view";
import { useQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import dynamic from "next/dynamic";
import { ChartFrame } from "../../../../components/chart-frame.tsx";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { countText, numberText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { Counted } from "../../trends/counted.tsx";
import { againstNaiveText, coverageText, daysOff, lossRows, missText, tooFewText } from "./held-words.ts";

const HeldChart = dynamic(() => import("../week-charts.tsx").then((module) => module.HeldChart), { ssr: false, loading: () => <p>The chart is being drawn…</p> });

export function Held() {
  const trpc = useTRPC();
  const held = useQuery(trpc.plan.forecastsHeld.queryOptions());
  return (
    <Counted query={held}>
      {(found) =>
        found.answer === "told" ? (
          <Told held={found} />
        ) : (
          <Notice kind="info" title="Too little to tell">
            <p>{tooFewText(found.forecasts)}</p>
          </Notice>
        )
      }
    </Counted>
  );
}

type ToldAnswer = Extract<HeldAnswer, { answer: "told" }>;

function Told({ held }: { held: ToldAnswer }) {
  return (
    <>
      <section aria-labelledby="promise" className="mb-10">
        <h2 id="promise">Did they keep their promise?</h2>
        <p className="mt-1 max-w-prose font-semibold">{coverageText(held)}</p>
        <p className="mt-2 max-w-prose">{missText(held)}</p>
        <Shares held={held} />
        <p className="mt-2 max-w-prose text-soft">
          {held.saidBeyond === 0 ? "" : `Besides, ${countText(held.saidBeyond, "forecast")} said “not within a year”; ${numberText(held.wasBeyond)} kept it. `}Only limits by dives can be marked like this; a due day by the calendar is exact. It does not say what the next season brings.
        </p>
      </section>
      <ChartFrame
        title="Against what could be worked out by hand"
        says={
          <>
            <p className="font-semibold">{againstNaiveText(held)}</p>
            <p className="mt-2 text-soft">Days off, a miss to the costly side weighing more (pinball loss, averaged over the earliest, the most likely and the latest day). The shorter the better.</p>
          </>
        }
        picture={`Days off for each way of forecasting. ${againstNaiveText(held)}`}
        height={240}
        numbers={<DataTable caption="Days off, by way of forecasting" columns={columns} rows={lossRows(held)} rowKey={(row) => row.name} empty="Nothing." />}
      >
        <HeldChart points={lossRows(held)} />
      </ChartFrame>
    </>
  );
}

/** Early, inside, late, as a bar of three lengths with their words; the promise as a mark. */
function Shares({ held: { early, inside, late, forecasts } }: { held: ToldAnswer }) {
  const parts = [
    { name: "earlier than said", count: early, look: "border-danger bg-stop text-on-stop" },
    { name: "as said", count: inside, look: "border-sea bg-ready text-on-ready" },
    { name: "later than said", count: late, look: "border-edge bg-rest text-on-rest" },
  ];
  return (
    <ul className="my-4 grid max-w-3xl gap-2">
      {parts.map(({ name, count, look }) => (
        <li key={name} className="grid grid-cols-[9rem_minmax(0,1fr)_4rem] items-center gap-3">
          <span>{name}</span>
          <span aria-hidden="true" className={`h-8 min-w-1 rounded-r-lg border-2 ${look}`} style={{ width: `${(100 * count) / forecasts}%` }} />
          <span className="font-semibold">{numberText(count)}</span>
        </li>
      ))}
    </ul>
  );
}

const column = createColumnHelper<TableFeatures, ReturnType<typeof lossRows>[number]>();
const columns = column.columns([
  column.accessor("name", { header: "Way" }),
  column.accessor("days", { header: "Off by", cell: ({ row }) => daysOff(row.original.days) }),
  column.accessor("what", { header: "What it rests on", enableSorting: false }),
]);
