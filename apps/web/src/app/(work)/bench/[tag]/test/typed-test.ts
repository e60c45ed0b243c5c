/**
 * The form of a bench test as typed, and read into whole small units: what can be read, under which
 * entry it stands, and what is wrong with the rest. Nothing here judges.
 */
import type { BenchReading } from "@hangrail/rules/bench-readings";
import { readingsOfCurve, type BenchCurve } from "@hangrail/rules/curve-readings";
import { readPressureColumn, type ColumnReading, type ColumnTold } from "@hangrail/rules/pressure-column";
import { readPressureCurve, type FoundCurve, type IncompleteCurve } from "@hangrail/rules/pressure-curve";
import { readEffort, readPressure } from "@hangrail/rules/units";
import { effortUnit, entryWords, isOutOfCalibration, pressureUnit, type Quantity } from "../../../../../bench-test-words.ts";
import type { Units } from "../../../../../format.ts";
import type { Inputs, Outputs } from "../../../../../trpc/types.ts";

export type TestForm = Outputs["benchTests"]["form"];
export type TestPart = TestForm["parts"][number];
export type TestGaugeRow = TestForm["gauges"][number];
export type SentCurve = Inputs["benchTests"]["record"]["curves"][number];

export const SUPPLIES = ["high", "low"] as const;
export type Supply = (typeof SUPPLIES)[number];
export const POINTS = ["low", "middle", "high"] as const;

/** What a test gauge is chosen for, once each. */
export const PURPOSES = ["pressure", "effort", "master"] as const;
export type Purpose = (typeof PURPOSES)[number];
export type Chosen = Readonly<Record<Purpose, string | null>>;

/** What stands in each entry, by its key. */
export type Typed = Readonly<Record<string, string>>;
export const keyOf = (component: string, entry: string): string => `${component} ${entry}`;

/** A pasted curve, read once when it is pasted. */
export interface PastedCurve {
  readonly text: string;
  readonly told: ColumnTold;
  readonly column: ColumnReading;
  readonly found: FoundCurve | IncompleteCurve | null;
}
export type Pasted = Readonly<Record<string, PastedCurve>>;

export function pasteCurve(text: string, told: ColumnTold): PastedCurve {
  const column = readPressureColumn(text, told);
  return { text, told, column, found: column.answer === "points" ? readPressureCurve(column.points) : null };
}

/** The form as read. */
export interface ReadTest {
  /** Typed ones first, then those found in curves. */
  readonly readings: readonly BenchReading[];
  /** The entry of each reading, in the same order. */
  readonly keys: readonly string[];
  /** How many of them were typed. */
  readonly typedCount: number;
  readonly curves: readonly SentCurve[];
  /** What is wrong, by entry. */
  readonly problems: ReadonlyMap<string, string>;
}

/** Reads every entry. One that is empty is no problem; one that cannot be read, or lacks its companion, is. */
export function readTest(parts: readonly TestPart[], typed: Typed, pasted: Pasted, chosen: Chosen, units: Units): ReadTest {
  const reader = new Reader(typed, pasted, chosen, units);
  for (const part of parts) reader.part(part);
  return reader.all();
}

/** Goes through the entries part by part, and keeps what it read and what it could not. */
class Reader {
  readonly #typedReadings: { readonly key: string; readonly reading: BenchReading }[] = [];
  readonly #curveReadings: { readonly key: string; readonly reading: BenchReading }[] = [];
  readonly #curves: SentCurve[] = [];
  readonly #problems = new Map<string, string>();
  readonly #typed: Typed;
  readonly #pasted: Pasted;
  readonly #chosen: Chosen;
  readonly #units: Units;

  constructor(typed: Typed, pasted: Pasted, chosen: Chosen, units: Units) {
    this.#typed = typed;
    this.#pasted = pasted;
    this.#chosen = chosen;
    this.#units = units;
  }

  all(): ReadTest {
    const all = [...this.#typedReadings, ...this.#curveReadings];
    return { readings: all.map(({ reading }) => reading), keys: all.map(({ key }) => key), typedCount: this.#typedReadings.length, curves: this.#curves, problems: this.#problems };
  }

  part({ component, role }: TestPart): void {
    switch (role) {
      case "first-stage":
        for (const supply of SUPPLIES) this.#supply(component, supply);
        break;
      case "primary":
      case "alternate":
        this.#efforts(component);
        this.#yesOrNo(component, "vacuum-held");
        break;
      case "gauge":
        this.#gauge(component);
        break;
      case "inflator-hose":
      case "hose":
      case "transmitter":
        break;
    }
    this.#yesOrNo(component, "immersion-leak");
  }

  #text(key: string): string {
    return (this.#typed[key] ?? "").trim();
  }

  /** A figure, or null where there is none or none that can be read; then the problem is noted. */
  #figure(key: string, quantity: Quantity): number | null {
    const text = this.#text(key);
    if (text === "") return null;
    const entry = quantity === "pressure" ? readPressure(text, pressureUnit(this.#units)) : readEffort(text, effortUnit(this.#units));
    if (entry.entry === "value") return entry.value;
    this.#problems.set(key, entryWords(entry.why, text, quantity, this.#units));
    return null;
  }

  /** A figure that cannot be below nought. */
  #positive(key: string): number | null {
    const value = this.#figure(key, "pressure");
    if (value === null || value >= 0) return value;
    this.#problems.set(key, "a pressure in a cylinder is not below nought.");
    return null;
  }

  #add(key: string, reading: Pick<BenchReading, "component" | "name" | "value"> & Partial<BenchReading>): void {
    this.#typedReadings.push({ key, reading: { supplyCbar: null, at: null, gauge: null, adjuster: "none", venturi: "none", ...reading } });
  }

  #supply(component: string, supply: Supply): void {
    const supplyKey = keyOf(component, `${supply}-supply`);
    const curveKey = keyOf(component, `${supply}-curve`);
    const supplyCbar = this.#positive(supplyKey);
    const on = { component, supplyCbar, gauge: this.#chosen.pressure };
    const pasted = this.#pasted[curveKey];
    if (pasted?.column.answer === "points") {
      this.#curve({ ...on, points: pasted.column.points }, pasted, curveKey, supplyKey);
      return;
    }
    // Its own words say what is wrong with a curve that cannot be read.
    if (pasted !== undefined && pasted.text.trim() !== "") this.#problems.set(curveKey, "the pasted curve cannot be read.");
    for (const name of supply === "high" ? (["intermediate-pressure", "creep"] as const) : (["intermediate-pressure"] as const)) {
      const key = keyOf(component, `${supply}-${name}`);
      const value = this.#figure(key, "pressure");
      if (value !== null) this.#add(key, { ...on, name, value });
    }
  }

  #curve(curve: BenchCurve, { found }: PastedCurve, key: string, supplyKey: string): void {
    for (const reading of readingsOfCurve(curve, found ?? undefined)) this.#curveReadings.push({ key: `${key} ${reading.name}`, reading });
    const { component, supplyCbar, gauge, points } = curve;
    if (supplyCbar !== null) this.#curves.push({ component, supplyCbar, gauge, points: points.map(({ seconds, centibar }) => [seconds, centibar]) });
    else if (!this.#problems.has(supplyKey)) this.#problems.set(supplyKey, "enter the pressure in the cylinder while the curve was logged.");
  }

  #efforts(component: string): void {
    const gauge = this.#chosen.effort;
    const effortKey = keyOf(component, "cracking-effort");
    const effort = this.#figure(effortKey, "effort");
    const adjuster = ADJUSTERS.find((one) => one === this.#text(keyOf(component, "adjuster")));
    const venturi = LEVERS.find((one) => one === this.#text(keyOf(component, "venturi")));
    if (effort !== null && (adjuster === undefined || venturi === undefined)) {
      if (adjuster === undefined) this.#problems.set(keyOf(component, "adjuster"), "say how the adjuster stood while the effort was read.");
      if (venturi === undefined) this.#problems.set(keyOf(component, "venturi"), "say how the lever stood while the effort was read.");
    } else if (effort !== null) this.#add(effortKey, { component, name: "cracking-effort", value: effort, gauge, adjuster: adjuster!, venturi: venturi! });
    const exhalationKey = keyOf(component, "exhalation-effort");
    const exhalation = this.#figure(exhalationKey, "effort");
    if (exhalation !== null) this.#add(exhalationKey, { component, name: "exhalation-effort", value: exhalation, gauge });
  }

  #gauge(component: string): void {
    const zeroKey = keyOf(component, "gauge-zero");
    const zero = this.#figure(zeroKey, "pressure");
    if (zero !== null) this.#add(zeroKey, { component, name: "gauge-zero", value: zero });
    for (const point of POINTS) {
      const masterKey = keyOf(component, `${point}-master`);
      const shownKey = keyOf(component, `${point}-shown`);
      const master = this.#positive(masterKey);
      const shown = this.#figure(shownKey, "pressure");
      if (master !== null && shown !== null) this.#add(shownKey, { component, name: "gauge-error", value: shown - master, at: master, gauge: this.#chosen.master });
      else if (shown !== null && this.#text(masterKey) === "") this.#problems.set(masterKey, "enter what the master shows.");
      else if (master !== null && this.#text(shownKey) === "") this.#problems.set(shownKey, "enter what the gauge shows.");
    }
  }

  #yesOrNo(component: string, name: "vacuum-held" | "immersion-leak"): void {
    const key = keyOf(component, name);
    const text = this.#text(key);
    if (text === "yes" || text === "no") this.#add(key, { component, name, value: text === "yes" ? 1 : 0 });
  }
}

export const ADJUSTERS = ["out", "middle", "in", "none"] as const;
export const LEVERS = ["dive", "pre-dive", "none"] as const;

/** Gauges that could serve a purpose: of what it measures, and of a scale that reaches. */
export function gaugesFor(purpose: Purpose, gauges: readonly TestGaugeRow[]): readonly TestGaugeRow[] {
  return gauges.filter(({ measures }) => measures === (purpose === "effort" ? "effort" : "pressure"));
}

/** Up to here a gauge is one for intermediate pressures, from here on one to compare cylinder gauges with: a choice. */
const FOR_CYLINDERS = 10_000;

/** The gauge taken at first: in calibration before not, of the scale the purpose asks for, the finest one. */
export function firstGauge(purpose: Purpose, gauges: readonly TestGaugeRow[]): string | null {
  const wrongScale = ({ spanHigh }: TestGaugeRow) => (purpose === "effort" ? false : purpose === "master" ? spanHigh < FOR_CYLINDERS : spanHigh >= FOR_CYLINDERS);
  const rank = (gauge: TestGaugeRow): readonly number[] => [Number(wrongScale(gauge)), Number(isOutOfCalibration(gauge)), gauge.errorThousandths];
  const [best] = gaugesFor(purpose, gauges).toSorted((one, other) => compare(rank(one), rank(other)));
  return best?.id ?? null;
}

function compare(one: readonly number[], other: readonly number[]): number {
  const at = one.findIndex((figure, place) => figure !== other[place]);
  return at < 0 ? 0 : one[at]! - other[at]!;
}
