"use client";
import { MODEL_KINDS, type ModelKind } from "@hangrail/rules/models";
import { useQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import dynamic from "next/dynamic";
import { ChartFrame } from "../../../components/chart-frame.tsx";
import { DataTable, type TableFeatures } from "../../../components/data-table.tsx";
import { SelectField } from "../../../components/field.tsx";
import { Icon } from "../../../components/icon.tsx";
import { numberText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { kindWords } from "../models/limits-words.ts";
import { Counted } from "./counted.tsx";
import { Drill, useOpenFaults } from "./drill.tsx";
import { GROUPS, type About, type By } from "./filter.ts";
import { Question } from "./question.tsx";
import { groupName, intervalText, ratesDoNot, ratesText, rateText, verdictIcon, verdictText, verdictWord, type RateRow } from "./trends-words.ts";
import { useAbout } from "./use-about.ts";

const Waiting = () => <p>The chart is being drawn…</p>;
const ForestChart = dynamic(() => import("./forest-chart.tsx"), { ssr: false, loading: Waiting });

/** More rows than this make a picture nobody reads; the table has them all. */
const MOST_DRAWN = 12;

/** Faults per 100 dives, group against group. */
export function ModelsView() {
  const trpc = useTRPC();
  const { about, by, ask } = useAbout();
  const found = useQuery(trpc.trends.rates.queryOptions({ ...about, by }));
  return (
    <>
      <Question />
      <div className="screen-only mb-6 max-w-72">
        <SelectField label="Compare" value={by} onChange={(event) => ask({}, event.target.value as By)}>
          {GROUPS.map((group) => (
            <option key={group} value={group}>
              {groupName(group)}
            </option>
          ))}
        </SelectField>
      </div>
      <Counted query={found}>{(rates) => <Compared rates={rates} by={by} about={about} />}</Counted>
    </>
  );
}

function Compared({ rates, by, about }: { rates: Parameters<typeof ratesText>[0]; by: By; about: About }) {
  const rows = rates.rows.map((row) => ({ ...row, name: nameOf(row, by) }));
  const drawn = rows.filter((row) => row.dives > 0).slice(0, MOST_DRAWN);
  const exact = (row: RateRow) => (row.interval.answer === "refused" ? null : row.interval);
  const open = useOpenFaults();
  const lines = drawn.map((row) => ({ name: row.name, exact: exact(row), shrunken: row.shrunken, verdict: verdictWord(row.verdict), faults: row.faults }));
  const says = ratesText({ ...rates, rows }, by);
  return (
    <ChartFrame
      title="Faults per 100 dives"
      says={
        <>
          <p className="font-semibold">{says}</p>
          <p className="mt-2 text-soft">{ratesDoNot(by, about.kind === null && about.modelId === null && (by === "model" || by === "maker"))}</p>
          <p className="mt-2">Ring: what was counted, with its exact 95 % interval. Diamond: the same drawn towards the fleet, the more the fewer dives stand behind it. Dashed line: all together. <span className="screen-only">A ring opens the faults behind it; so do the links below the picture.</span></p>
          {drawn.length < rows.length ? <p className="mt-2">The picture shows {numberText(drawn.length)} of {numberText(rows.length)}; the table has all.</p> : null}
        </>
      }
      picture={says}
      height={Math.max(1, lines.length) * 64 + 90}
      numbers={<RateTable rows={rows} by={by} about={about} />}
    >
      <ForestChart onPick={(index) => open(narrowed(about, by, drawn[index]?.key ?? ""))} lines={lines} fleet={rates.fleet.interval.answer === "refused" ? null : rates.fleet.interval.rate} />
    </ChartFrame>
  );
}

function nameOf({ name, key }: RateRow, by: By): string {
  const kind = by === "kind" ? MODEL_KINDS.find((one) => one === key) : undefined;
  return kind === undefined ? name : kindWords(kind);
}

const column = createColumnHelper<TableFeatures, RateRow>();

function RateTable({ rows, by, about }: { rows: readonly RateRow[]; by: By; about: About }) {
  const columns = column.columns([
    column.accessor("name", { header: "Name" }),
    column.accessor((row) => verdictWord(row.verdict), {
      id: "verdict",
      header: "Compared with the others",
      cell: ({ row: { original } }) => (
        <span className="flex gap-2">
          <Icon name={verdictIcon(original.verdict)} size={22} />
          <span>{verdictText(original, by)}</span>
        </span>
      ),
    }),
    column.accessor("faults", { header: "Faults" }),
    column.accessor("dives", { header: "Dives of parts", cell: ({ row }) => numberText(row.original.dives) }),
    column.accessor((row) => (row.interval.answer === "refused" ? -1 : row.interval.rate), {
      id: "rate",
      header: "Per 100 dives",
      cell: ({ row: { original } }) => (original.interval.answer === "refused" ? "no rate" : `${rateText(original.interval.rate)} (${intervalText(original.interval.lower, original.interval.upper)})`),
    }),
    column.accessor((row) => row.shrunken?.rate ?? -1, {
      id: "shrunken",
      header: "Drawn towards the fleet",
      cell: ({ row: { original } }) => (original.shrunken === null ? "no rate" : `${rateText(original.shrunken.rate)} (${intervalText(original.shrunken.lower, original.shrunken.upper)})`),
    }),
    column.accessor((row) => row.adjustedP ?? 2, {
      id: "p",
      header: "Chance of this by luck, among so many",
      cell: ({ row: { original } }) => (original.adjustedP === null ? "not tested" : original.adjustedP < 0.001 ? "under 0.001" : original.adjustedP.toFixed(3)),
    }),
    column.display({ id: "drill", header: "Behind it", enableSorting: false, cell: ({ row: { original } }) => (original.faults === 0 ? "no fault" : <Drill about={narrowed(about, by, original.key)}>{`The faults of ${original.name}`}</Drill>) }),
  ]);
  return <DataTable caption="Faults per 100 dives" columns={columns} rows={rows} rowKey={(row) => row.key} empty="Nothing was dived and no fault was found in this period." wide />;
}

function narrowed(about: About, by: By, key: string): About {
  switch (by) {
    case "model":
      return { ...about, modelId: key };
    case "maker":
      return { ...about, maker: key };
    case "kind":
      return { ...about, kind: key as ModelKind };
    case "site":
      return { ...about, sites: key };
  }
}
