"use client";
import { useQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import dynamic from "next/dynamic";
import { useState } from "react";
import { ChartFrame } from "../../../../components/chart-frame.tsx";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { SelectField } from "../../../../components/field.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { numberText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { Counted } from "../counted.tsx";
import { Drill } from "../drill.tsx";
import type { About } from "../filter.ts";
import { Question } from "../question.tsx";
import { useAbout } from "../use-about.ts";
import { beddingWords, curvePoints, differenceWords, earlyWords, groupWords, kindOf, unsureWords, verdictWords, type AfterService, type Group } from "./after-service-words.ts";

const SurvivalChart = dynamic(() => import("../survival-chart.tsx"), { ssr: false, loading: () => <p>The chart is being drawn…</p> });
/** More lines than this cannot be told apart. */
const MOST_DRAWN = 6;
/** At the end of each line and before its name. */
const LETTERS = ["A", "B", "C", "D", "E", "F"] as const;

type By = "model" | "service-kind";
type Unit = "dives" | "days";

export function AfterServiceView() {
  const trpc = useTRPC();
  const { about } = useAbout();
  const [by, setBy] = useState<By>("model");
  const [unit, setUnit] = useState<Unit>("dives");
  const found = useQuery(trpc.trends.afterService.queryOptions({ ...about, count: "confirmed", code: null, water: null, by, unit }));
  return (
    <>
      <Question without={["code", "water", "count"]} />
      <div className="screen-only mb-6 grid gap-4 sm:grid-cols-2 lg:max-w-2xl">
        <SelectField label="Compare" value={by} onChange={(event) => setBy(event.target.value as By)}>
          <option value="model">models</option>
          <option value="service-kind">kinds of service</option>
        </SelectField>
        <SelectField label="Counted in" value={unit} onChange={(event) => setUnit(event.target.value as Unit)}>
          <option value="dives">dives</option>
          <option value="days">days</option>
        </SelectField>
      </div>
      <Counted query={found}>
        {({ found: told, names, beddingWithin }) =>
          told.answer === "refused" ? (
            <Notice kind="info" title="Nothing to draw">
              <p>No service was done here in this period. Services that came in with a sheet are left out: nobody knows what happened before we kept count.</p>
            </Notice>
          ) : (
            <Found found={told} names={names} by={by} unit={unit} within={beddingWithin} about={about} />
          )
        }
      </Counted>
    </>
  );
}

type FoundProps = { found: AfterService; names: Readonly<Record<string, string>>; by: By; unit: Unit; within: number; about: About };

function Found({ found, names, by, unit, within, about }: FoundProps) {
  const named = (group: Group) => groupWords(group.group, names);
  // Those with most behind them are drawn; the table has them all.
  const drawn = [...found.groups].sort((a, b) => b.curve.spells - a.curve.spells).slice(0, MOST_DRAWN);
  const early = found.groups.filter((group) => group.verdict === "early-faults").map(named);
  const says = [earlyWords(early), differenceWords(found, by, (group) => groupWords(group, names)), unsureWords(found)].filter((text) => text !== null).join(" ");
  return (
    <ChartFrame
      title="From a service to the first confirmed fault"
      says={
        <>
          <p className="font-semibold">{says}</p>
          <p className="mt-2 text-soft">
            A line falls when a part fails; a part serviced again or still sound counts as far as it was watched. At the right end few parts are left and one fault makes a large step: read the numbers still watched in the table. {found.groups.length < 2 ? "" : "Each is judged by itself: of a hundred where faults come at any time, about two would be said to fail early by luck. "}It says nothing about who did the work.
          </p>
        </>
      }
      picture={`The share of parts without a fault against ${unit} since their service. ${says}`}
      height={400}
      numbers={<GroupTable found={found} named={named} by={by} unit={unit} within={within} about={about} />}
    >
      <SurvivalChart unit={unit} lines={drawn.map((group, index) => ({ letter: LETTERS[index] ?? "", name: named(group), points: curvePoints(group) }))} />
    </ChartFrame>
  );
}

const column = createColumnHelper<TableFeatures, Group>();

function GroupTable({ found, named, by, unit, within, about }: Omit<FoundProps, "names"> & { named: (group: Group) => string }) {
  const columns = column.columns([
    column.accessor(named, { id: "name", header: by === "model" ? "Model" : "Kind of service" }),
    column.accessor((group) => group.curve.spells, { id: "services", header: "Services" }),
    column.accessor((group) => group.curve.faults, { id: "faults", header: "Followed by a fault" }),
    column.display({ id: "verdict", header: "When faults come", enableSorting: false, cell: ({ row }) => verdictWords(row.original) }),
    column.display({ id: "bedding", header: `Failed within ${within} ${unit}`, enableSorting: false, cell: ({ row }) => beddingWords(row.original) }),
    column.accessor((group) => group.curve.median ?? Number.MAX_SAFE_INTEGER, {
      id: "median",
      header: `Half have failed by`,
      cell: ({ row: { original } }) => (original.curve.median === null ? "fewer than half have" : `${numberText(original.curve.median)} ${unit}`),
    }),
    column.display({ id: "risk", header: "Still watched", enableSorting: false, cell: ({ row }) => row.original.atRisk.map(({ at, atRisk }) => `${numberText(atRisk)} at ${numberText(at)}`).join(", ") }),
    column.display({
      id: "drill",
      header: "Behind it",
      enableSorting: false,
      cell: ({ row: { original } }) => (original.curve.faults === 0 ? "no fault" : <Drill about={behind(about, by, original.group)}>{by === "model" ? `The faults of ${named(original)}` : `The faults of each ${kindOf(original.group)?.words ?? ""}`}</Drill>),
    }),
  ]);
  return <DataTable caption={`From a service to the first confirmed fault, in ${unit}`} columns={columns} rows={found.groups} rowKey={(group) => group.group} empty="No service in this period." wide />;
}

/** The confirmed faults of the model, or of the kind of part, in the same time. */
function behind(about: About, by: By, group: string): About {
  const all = { ...about, count: "confirmed", code: null, water: null } as const;
  return by === "model" ? { ...all, modelId: group } : { ...all, kind: kindOf(group)?.kind ?? null };
}
