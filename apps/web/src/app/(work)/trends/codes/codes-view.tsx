"use client";
import { faultOf, isFaultCode, type FaultCode } from "@hangrail/rules/faults";
import { useQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import dynamic from "next/dynamic";
import { ChartFrame } from "../../../../components/chart-frame.tsx";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { countText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { Counted } from "../counted.tsx";
import { Drill, useOpenFaults } from "../drill.tsx";
import type { About } from "../filter.ts";
import { Question } from "../question.tsx";
import { useAbout } from "../use-about.ts";

const ParetoChart = dynamic(() => import("../pareto-chart.tsx"), { ssr: false, loading: () => <p>The chart is being drawn…</p> });
type Pareto = Extract<Outputs["trends"]["codes"]["pareto"], { answer: "pareto" }>;

const percent = (share: number) => `${Math.round(share * 100)} %`;
const wordsOf = (code: string) => (isFaultCode(code) ? faultOf(code).words : code);

export function CodesView() {
  const trpc = useTRPC();
  const asked = useAbout().about;
  // One code alone would be all of its own faults.
  const about = { ...asked, code: null };
  const found = useQuery(trpc.trends.codes.queryOptions(about));
  return (
    <>
      <Question without={["code"]} />
      <Counted query={found}>
        {({ pareto }) =>
          pareto.answer === "refused" ? (
            <Notice kind="info" title="Nothing to draw">
              <p>No fault was counted in this period.</p>
            </Notice>
          ) : (
            <Codes pareto={pareto} about={about} />
          )
        }
      </Counted>
    </>
  );
}

const MOST_DRAWN = 15;
/** Fewer faults than this come in an order that the next few could turn round. */
const FEW_FAULTS = 30;

function Codes({ pareto, about }: { pareto: Pareto; about: About }) {
  const most = pareto.codes.findIndex((one) => one.cumulativeShare >= 0.5) + 1;
  const first = pareto.codes.slice(0, most);
  const open = useOpenFaults();
  const says = `${first.map((one) => `${one.code} (${wordsOf(one.code).toLowerCase()})`).join(", ")} ${first.length === 1 ? "makes" : "make"} up ${percent(first.at(-1)?.cumulativeShare ?? 0)} of ${countText(pareto.total, "fault")}.`;
  return (
    <ChartFrame
      title="Faults by code"
      says={
        <>
          <p className="font-semibold">{says}</p>
          <p className="mt-2 text-soft">
            It counts how often, not how bad: a rare fault may still be the one to act on first. {pareto.total < FEW_FAULTS ? `Too little to tell which comes first for good: so few faults make an order that luck could turn round.` : "Open the first and see whether one model, one batch or one habit is behind most of them."}
          </p>
          <p className="screen-only mt-2">A bar opens the faults behind it; so do the links below the picture.</p>
        </>
      }
      picture={says}
      height={400}
      numbers={<CodeTable codes={pareto.codes} about={about} />}
    >
      <ParetoChart onPick={(code) => open({ ...about, code: code as FaultCode })} bars={pareto.codes.slice(0, MOST_DRAWN).map(({ code, count, cumulativeShare }) => ({ code, count, cumulative: Math.round(cumulativeShare * 100) }))} />
    </ChartFrame>
  );
}

const column = createColumnHelper<TableFeatures, Pareto["codes"][number]>();

function CodeTable({ codes, about }: { codes: Pareto["codes"]; about: About }) {
  const columns = column.columns([
    column.accessor("code", { header: "Code" }),
    column.accessor((row) => wordsOf(row.code), { id: "words", header: "What is seen or heard" }),
    column.accessor("count", { header: "Faults" }),
    column.accessor("share", { header: "Share", cell: ({ row }) => percent(row.original.share) }),
    column.accessor("cumulativeShare", { header: "With those before it", cell: ({ row }) => percent(row.original.cumulativeShare) }),
    column.display({ id: "drill", header: "Behind it", enableSorting: false, cell: ({ row: { original } }) => <Drill about={{ ...about, code: original.code as FaultCode }}>{`The faults ${original.code}`}</Drill> }),
  ]);
  return <DataTable caption="Faults by code" columns={columns} rows={codes} rowKey={(row) => row.code} empty="No fault." />;
}
