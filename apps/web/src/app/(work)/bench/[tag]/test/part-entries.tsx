"use client";
import type { BenchItem } from "@hangrail/rules/bench-test";
import { figureText, judgementWords, partTitle, valueText, type Verdict } from "../../../../../bench-test-words.ts";
import { Link } from "../../../../../components/link.tsx";
import { listText } from "../../../../../format.ts";
import { CurveEntry } from "./curve-entry.tsx";
import { FigureEntry, PositionEntry, YesNoEntry } from "./entries.tsx";
import { useEntries } from "./test-context.ts";
import { keyOf, POINTS, type Supply, type TestPart } from "./typed-test.ts";
import { VerdictLine, VerdictMark } from "./verdict-mark.tsx";

type PartProps = { part: TestPart; items: readonly BenchItem[] };

/** All that is read of one component, and what it comes to so far. */
export function PartEntries({ part, items }: PartProps) {
  const { component, role, serial, maker, model } = part;
  const verdict = partVerdict(items);
  const id = `part-${component}`;
  return (
    <section aria-labelledby={id} className="sheet grid gap-5">
      <div>
        <h2 id={id} className="flex flex-wrap items-center gap-3">
          {partTitle(role, serial)} {verdict === null ? null : <VerdictMark verdict={verdict} />}
        </h2>
        <p className="text-soft">
          {maker} {model}
        </p>
      </div>
      <NoLimits part={part} items={items} />
      {role === "first-stage" ? <FirstStage part={part} items={items} /> : null}
      {role === "primary" || role === "alternate" ? <SecondStage component={component} /> : null}
      {role === "gauge" ? <Gauge component={component} /> : null}
      <YesNoEntry entry={keyOf(component, "immersion-leak")} label="Bubbles under water?" hint="Under pressure, held under water for as long as the manual says." />
    </section>
  );
}

/** Nothing is said of a part of which nothing has to be read and nothing was. */
function partVerdict(items: readonly BenchItem[]): Verdict | null {
  const counting = items.filter(({ needed, judgement }) => needed || judgement.verdict === "fail");
  if (counting.length === 0) return null;
  if (counting.some(({ judgement }) => judgement.verdict === "fail")) return "fail";
  return counting.every(({ judgement }) => judgement.verdict === "pass") ? "pass" : "not-judged";
}

/** What cannot be judged whatever is read: said before anything is typed. */
function NoLimits({ part, items }: PartProps) {
  const needs: Partial<Record<TestPart["role"], readonly [TestPart["limits"][number]["name"], string][]>> = {
    "first-stage": [["intermediate-pressure", "the intermediate pressure"], ["creep", "creep"]],
    primary: [["cracking-effort-primary", "the cracking effort as primary"]],
    alternate: [["cracking-effort-alternate", "the cracking effort as alternate"]],
    gauge: [["gauge-error-low", "the error low on its scale"], ["gauge-error", "the error in the middle and high"]],
  };
  const lacks = (needs[part.role] ?? []).filter(([name]) => !part.limits.some((limit) => limit.name === name && (limit.low !== null || limit.high !== null))).map(([, words]) => words);
  const supply = items.find(({ name }) => name === "supply-change");
  const why: readonly string[] = supply?.judgement.verdict === "not-judged" ? supply.judgement.why : [];
  if (why.includes("design-unknown")) lacks.push("whether it is balanced");
  else if (why.includes("no-limit")) lacks.push("the change between two supplies");
  if (lacks.length === 0) return null;
  return (
    <p className="font-semibold">
      The manual&apos;s figures are not recorded for {listText(lacks)}: that cannot be judged. <Link href={`/models/${part.modelId}`}>Enter them from the manual</Link>
    </p>
  );
}

function FirstStage({ part: { component, limits }, items }: PartProps) {
  const band = limits.find(({ name }) => name === "intermediate-pressure") ?? null;
  return (
    <>
      <SupplyEntries component={component} supply="high" band={band} />
      <SupplyEntries component={component} supply="low" band={band} />
      <SupplyChange items={items} />
    </>
  );
}

type Band = { low: number | null; high: number | null } | null;

function SupplyEntries({ component, supply, band }: { component: string; supply: Supply; band: Band }) {
  const { pasted } = useEntries();
  const curveKey = keyOf(component, `${supply}-curve`);
  const curve = pasted[curveKey];
  return (
    <fieldset className="grid gap-4 border-s-4 border-edge ps-4">
      <legend className="mb-2 font-bold">{supply === "high" ? "At a high supply" : "At a low supply"}</legend>
      <div className="grid items-end gap-4 sm:grid-cols-2">
        <FigureEntry entry={keyOf(component, `${supply}-supply`)} label={`Cylinder, ${supply}`} quantity="pressure" hint={<SupplyHint supply={supply} />} />
        {curve?.column.answer === "points" ? null : (
          <>
            <FigureEntry entry={keyOf(component, `${supply}-intermediate-pressure`)} label={`Intermediate pressure, ${supply} supply`} quantity="pressure" hint="Where the needle locks up after a purge." />
            {supply === "high" ? <FigureEntry entry={keyOf(component, "high-creep")} label="Creep" quantity="pressure" hint="How far it rises in the five minutes after lock-up." /> : null}
          </>
        )}
      </div>
      <CurveEntry entry={curveKey} supply={supply} band={band} />
    </fieldset>
  );
}

function SupplyHint({ supply }: { supply: Supply }) {
  const { units } = useEntries();
  const text = (centibar: number) => figureText(centibar, "pressure", units);
  return supply === "high" ? <>{text(15_000)} and more counts as high.</> : <>{text(3_000)} to {text(7_000)} counts as low.</>;
}

/** Reckoned from both supplies, so it has no entry of its own. */
function SupplyChange({ items }: { items: readonly BenchItem[] }) {
  const { units } = useEntries();
  const change = items.find(({ name }) => name === "supply-change");
  if (change === undefined || change.value === null) return null;
  return (
    <div>
      <p>
        <span className="font-semibold">Change from the high to the low supply:</span> {valueText("supply-change", change.value, units)}
      </p>
      <VerdictLine verdict={change.judgement.verdict}>{judgementWords(change, units)}</VerdictLine>
    </div>
  );
}

const adjusters = [
  { value: "out", label: "turned out" },
  { value: "middle", label: "in the middle" },
  { value: "in", label: "turned in" },
  { value: "none", label: "it has none" },
] as const;
const levers = [
  { value: "dive", label: "at “dive”" },
  { value: "pre-dive", label: "at “pre-dive”" },
  { value: "none", label: "it has none" },
] as const;

function SecondStage({ component }: { component: string }) {
  return (
    <>
      <FigureEntry entry={keyOf(component, "cracking-effort")} label="Cracking effort" quantity="effort" hint="Adjuster turned out, lever at “dive”." />
      <div className="grid gap-4 sm:grid-cols-2">
        <PositionEntry entry={keyOf(component, "adjuster")} label="Adjuster while it was read" choices={adjusters} />
        <PositionEntry entry={keyOf(component, "venturi")} label="Lever while it was read" choices={levers} />
      </div>
      <FigureEntry entry={keyOf(component, "exhalation-effort")} label="Exhalation effort" quantity="effort" hint="May be left out where the manual gives no limit." />
      <YesNoEntry entry={keyOf(component, "vacuum-held")} label="Does it hold a vacuum?" hint="Inlet shut, a gentle breath in, held for ten seconds (common practice)." />
    </>
  );
}

const WHERE = { low: "Low on the scale", middle: "In the middle", high: "High on the scale" } as const;

function Gauge({ component }: { component: string }) {
  return (
    <>
      <FigureEntry entry={keyOf(component, "gauge-zero")} label="Without pressure it shows" quantity="pressure" />
      {POINTS.map((point) => (
        <fieldset key={point} className="grid gap-4 border-s-4 border-edge ps-4">
          <legend className="mb-2 font-bold">{WHERE[point]}</legend>
          <div className="grid gap-4 sm:grid-cols-2">
            <FigureEntry entry={keyOf(component, `${point}-master`)} label={`The master shows, ${point}`} quantity="pressure" />
            <FigureEntry entry={keyOf(component, `${point}-shown`)} label={`The gauge shows, ${point}`} quantity="pressure" />
          </div>
        </fieldset>
      ))}
    </>
  );
}
