"use client";
import { compareTwo } from "@hangrail/rules/model-costs";
import { COST_INPUTS, type CostInput, type ModelFigures } from "@hangrail/rules/model-figures";
import { tornado, type TornadoBar } from "@hangrail/rules/tornado";
import { createColumnHelper } from "@tanstack/react-table";
import dynamic from "next/dynamic";
import { useState } from "react";
import { ChartFrame } from "../../../../components/chart-frame.tsx";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { Field, SelectField, Tick } from "../../../../components/field.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { numberText } from "../../../../format.ts";
import { moneyText } from "../../../../money.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { figureText, inputWords, isMoney, notKnownText, readFigure } from "./cost-words.ts";
import type { ModelRow } from "./costs-view.tsx";
import { rangesAround } from "./ranges.ts";

const TornadoChart = dynamic(() => import("../tornado-chart.tsx"), { ssr: false, loading: () => <p>The chart is being drawn…</p> });

/** The choice of a model that is not here yet: its figures are typed. */
const NOT_OWNED = "not-owned";
const NOTHING: ModelFigures = {
  priceCents: null, resaleCents: null, lifeYears: null, kitsPerService: 1, kitCents: null, benchMinutesPerService: null, benchHourCents: null,
  serviceMonths: null, serviceDives: null, divesPerYear: null, faultsPerYear: null, repairMinutesPerFault: null, hireCentsPerYear: null,
};

type Typed = Partial<Record<CostInput, string>>;
type Side = { chosen: string; typed: Typed };

type Props = { models: readonly ModelRow[]; money: Outputs["costs"]["models"]["money"] };

/** Two models over so many years, one of them perhaps not bought yet; everything may be changed and is reckoned at once. */
export function TwoModels({ models, money }: Props) {
  const [a, setA] = useState<Side>({ chosen: models[0]?.id ?? NOT_OWNED, typed: {} });
  const [b, setB] = useState<Side>({ chosen: models[1]?.id ?? NOT_OWNED, typed: {} });
  const [years, setYears] = useState(10);
  const [net, setNet] = useState(false);
  const read = (side: Side) => readSide(models.find((one) => one.id === side.chosen)?.figures ?? { ...NOTHING, benchHourCents: money.benchHourCents }, side.typed);
  const [first, second] = [read(a), read(b)];
  const nameOf = ({ chosen }: Side) => models.find((one) => one.id === chosen)?.name ?? "the model not owned yet";
  return (
    <section aria-labelledby="two-heading" className="mb-10">
      <h2 id="two-heading">Two models over the years</h2>
      <p className="mt-1 mb-4 max-w-prose text-soft">Figures start as they are known here. Change any of them to see what would be; nothing is recorded.</p>
      <div className="screen-only mb-6 grid items-end gap-4 sm:grid-cols-2 lg:max-w-2xl">
        <SelectField label="Years" value={String(years)} onChange={(event) => setYears(Number(event.target.value))}>
          {[3, 5, 8, 10, 15, 20].map((one) => (
            <option key={one} value={one}>
              {one}
            </option>
          ))}
        </SelectField>
        <Tick label="Take off what the hire brings in" checked={net} onChange={(event) => setNet(event.target.checked)} />
      </div>
      <div className="screen-only grid gap-8 lg:grid-cols-2">
        <SideForm letter="A" side={a} models={models} figures={first.figures} wrong={first.wrong} currency={money.currency} onChange={setA} />
        <SideForm letter="B" side={b} models={models} figures={second.figures} wrong={second.wrong} currency={money.currency} onChange={setB} />
      </div>
      <div className="mt-6" aria-live="polite">
        <Outcome a={first.figures} b={second.figures} names={[nameOf(a), nameOf(b)]} years={years} net={net} money={money} wrong={first.wrong.length + second.wrong.length > 0} />
      </div>
    </section>
  );
}

function readSide(known: ModelFigures, typed: Typed): { figures: ModelFigures; wrong: readonly CostInput[] } {
  const wrong: CostInput[] = [];
  const own: Partial<Record<CostInput, ModelFigures[CostInput]>> = {};
  for (const input of COST_INPUTS) {
    const text = typed[input];
    if (text === undefined) continue;
    const value = readFigure(input, text);
    if (value === undefined) wrong.push(input);
    else own[input] = value;
  }
  return { figures: { ...known, ...(own as Partial<ModelFigures>) }, wrong };
}

type SideProps = { letter: string; side: Side; models: readonly ModelRow[]; figures: ModelFigures; wrong: readonly CostInput[]; currency: string; onChange: (side: Side) => void };

function SideForm({ letter, side, models, figures, wrong, currency, onChange }: SideProps) {
  return (
    <fieldset className="grid content-start gap-4">
      <legend className="mb-2 font-bold">Model {letter}</legend>
      <SelectField label="Which" value={side.chosen} onChange={(event) => onChange({ chosen: event.target.value, typed: {} })}>
        {models.map((model) => (
          <option key={model.id} value={model.id}>
            {model.name}
          </option>
        ))}
        <option value={NOT_OWNED}>one not owned yet</option>
      </SelectField>
      <details open={side.chosen === NOT_OWNED || undefined}>
        <summary className="inline-flex min-h-12 cursor-pointer items-center font-semibold underline underline-offset-4">Its figures</summary>
        <div className="mt-2 grid gap-3 sm:grid-cols-2">
          {COST_INPUTS.map((input) => (
            <Field
              key={`${side.chosen} ${input}`}
              label={`${inputWords(input)}${isMoney(input) ? ` in ${currency}` : ""}`}
              inputMode="decimal"
              defaultValue={figureText(input, figures)}
              hint={input === "serviceMonths" || input === "serviceDives" ? "“none” where the maker sets no limit" : undefined}
              error={wrong.includes(input) ? "Write a number, or leave it empty if nobody knows." : null}
              onChange={(event) => onChange({ ...side, typed: { ...side.typed, [input]: event.target.value } })}
            />
          ))}
        </div>
      </details>
    </fieldset>
  );
}

type OutcomeProps = { a: ModelFigures; b: ModelFigures; names: readonly [string, string]; years: number; net: boolean; money: Props["money"]; wrong: boolean };

function Outcome({ a, b, names, years, net, money, wrong }: OutcomeProps) {
  if (wrong) {
    return (
      <Notice kind="warn" title="Not reckoned">
        <p>A figure above is not right yet.</p>
      </Notice>
    );
  }
  const settings = { interestPermille: money.interestPermille, netOfIncome: net };
  const told = compareTwo(a, b, years, settings);
  if (told.answer === "refused") {
    const of = (model: "a" | "b") => told.which.filter((one) => one.model === model).map((one) => one.input);
    return (
      <Notice kind="info" title="Not reckoned">
        {(["a", "b"] as const).map((model, index) => (of(model).length === 0 ? null : <p key={model}>{`${names[index] ?? ""}: ${notKnownText(of(model))}`}</p>))}
      </Notice>
    );
  }
  const inMoney = (cents: number) => moneyText(cents, money.currency);
  const says =
    told.cheaper === "same"
      ? `Over ${years} years both cost the same.`
      : `Over ${years} years ${names[told.cheaper === "a" ? 0 : 1]} is cheaper by ${inMoney(told.byCents)} at its worth today (${inMoney(told.a.annualCents)} against ${inMoney(told.b.annualCents)} a year).`;
  const turn =
    told.breakEven === null || told.breakEven.cheaper === "same" ? null : `From ${numberText(told.breakEven.dives)} dives a year on, ${names[told.breakEven.cheaper === "a" ? 0 : 1]} is the cheaper one.`;
  return (
    <>
      <Notice kind="info" title={says}>
        {turn === null ? null : <p>{turn}</p>}
        <p>
          Bought {told.a.bought} and {told.b.bought} times in these years. Prices are taken not to rise.
        </p>
      </Notice>
      <Sensitivity name={names[0]} figures={a} settings={settings} inMoney={inMoney} />
    </>
  );
}

const column = createColumnHelper<TableFeatures, TornadoBar>();

function Sensitivity({ name, figures, settings, inMoney }: { name: string; figures: ModelFigures; settings: { interestPermille: number; netOfIncome: boolean }; inMoney: (cents: number) => string }) {
  const told = tornado(figures, rangesAround(figures, settings.interestPermille), { ...settings, of: "year" });
  if (told.answer === "refused") return null;
  const bars = told.bars.filter((bar) => bar.widthCents > 0);
  const [widest] = bars;
  const columns = column.columns([
    column.accessor((bar) => inputWords(bar.input), { id: "input", header: "Figure" }),
    column.accessor("lowCents", { header: "A quarter less", cell: ({ row }) => inMoney(row.original.lowCents) }),
    column.accessor("highCents", { header: "A quarter more", cell: ({ row }) => inMoney(row.original.highCents) }),
  ]);
  const says = widest === undefined ? `Nothing here moves the cost of ${name}.` : `The cost of ${name} hangs most on its ${inputWords(widest.input)}: a quarter less or more makes it ${inMoney(Math.min(widest.lowCents, widest.highCents))} to ${inMoney(Math.max(widest.lowCents, widest.highCents))} a year.`;
  return (
    <div className="mt-8">
      <ChartFrame
        title={`What the cost of ${name} hangs on`}
        says={
          <>
            <p className="font-semibold">{says}</p>
            <p className="mt-2 text-soft">Each figure is moved alone by a quarter down and up; the dashed line is the cost as it is, {inMoney(told.baseCents)} a year. Figures that move together, such as dives and faults, move it further than a bar shows.</p>
          </>
        }
        picture={says}
        height={bars.length * 44 + 70}
        numbers={<DataTable caption="A quarter less and more of each figure" columns={columns} rows={bars} rowKey={(bar) => bar.input} empty="No figure moves it." />}
      >
        <TornadoChart lines={bars.map((bar) => ({ name: inputWords(bar.input), low: bar.lowCents, high: bar.highCents }))} base={told.baseCents} money={(cents) => (cents / 100).toFixed(0)} />
      </ChartFrame>
    </div>
  );
}
