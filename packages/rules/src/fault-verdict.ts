/**
 * What the counts of faults say, and what they do not: which models fail more often than the others,
 * whether the fleet's rate is moving, and which faults make up most of them.
 *
 * Units: faults in whole numbers, dives in whole numbers, rates in faults per 100 dives.
 */
import { cusumLimit, poissonCusum } from "./cusum.ts";
import type { CusumLimit } from "./cusum.ts";
import { rateInterval, rateRatio, twoRateP } from "./fault-rates.ts";
import type { Observed, RateInterval, RateRefusal } from "./fault-rates.ts";
import { benjaminiHochberg } from "./multiple-comparisons.ts";
import { between, eventCount, refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";
import { exposureAgainst, exposureToTell, powerAgainst } from "./sample-size.ts";
import { shrinkRates } from "./shrinkage.ts";
import { uChart } from "./u-chart.ts";

const PER = 100;

export interface ModelCount {
  readonly key: string;
  readonly faults: number;
  readonly dives: number;
}

export interface ComparisonSettings {
  /** Of the intervals. */
  readonly confidence: number;
  /** Of all models called worse or better, at most this share wrongly, on average. */
  readonly falseDiscoveryRate: number;
  /** The difference that matters: 2 = a model that fails twice as often as the fleet. */
  readonly ratio: number;
  /** How surely it would have been seen for "no different" to be said. */
  readonly power: number;
}

/** Common practice in statistics; none of the four is a fact of the trade. */
export const COMPARISON: ComparisonSettings = { confidence: 0.95, falseDiscoveryRate: 0.05, ratio: 2, power: 0.8 };

export interface Limits {
  readonly rate: number;
  readonly lower: number;
  readonly upper: number;
}

export type Verdict =
  | { readonly verdict: "worse" | "better" }
  /** Not called, although one so much worse would most likely have been. */
  | { readonly verdict: "no-different" }
  | { readonly verdict: "too-little-to-tell"; readonly why: "too-few-dives"; readonly more: MoreDives | null }
  | { readonly verdict: "too-little-to-tell"; readonly why: "no-dives" | "nothing-to-compare-with" | "no-faults-in-fleet" };

/**
 * Dives still to come before the ratio would be told: of this model alone or, where the others have too
 * few for that, of the whole fleet in the shares of now. `null`: more than anybody would wait for.
 */
export interface MoreDives {
  readonly dives: number;
  readonly of: "model" | "fleet";
}

export interface ModelLine extends ModelCount {
  /** Exact (Garwood). */
  readonly interval: RateInterval | Refused<RateRefusal>;
  /** Drawn towards the fleet; `null` without dives. */
  readonly shrunken: Limits | null;
  /** Its rate over that of all others, exact; `upper` or `ratio` null: without bound. */
  readonly toOthers: { readonly ratio: number | null; readonly lower: number; readonly upper: number | null } | null;
  /** Chance of so uneven a split if its rate were that of all others, and that chance among so many models. */
  readonly p: number | null;
  readonly adjustedP: number | null;
  readonly verdict: Verdict;
}

export interface FleetLine {
  readonly faults: number;
  readonly dives: number;
  readonly interval: RateInterval | Refused<RateRefusal>;
  /** Faults of models nobody dived: they are in no rate. */
  readonly faultsWithoutDives: number;
  /** Whether models differ by more than chance; if not, every estimate is the fleet's. */
  readonly spread: "differ" | "no-events" | "one-group" | "no-spread" | "no-exposure" | "confidence-too-high";
}

export interface ModelComparison {
  readonly fleet: FleetLine;
  /** Worst estimate first, those without one last; equal ones by key. */
  readonly models: readonly ModelLine[];
}

/**
 * Compares each model with all others together. The order of the rows changes nothing.
 *
 * A model is called worse or better by its adjusted p alone, never by its rate: one fault in 20 dives
 * is bad luck. "No different" is said only where the ratio would have been told with the power asked
 * for by a test as strict as the first of so many, q / m.
 * Errors: RangeError for a count or setting that cannot be, and for a key given twice.
 * Source: the files this rests on name theirs.
 */
export function compareModels(rows: readonly ModelCount[], settings: ComparisonSettings = COMPARISON): ModelComparison {
  const sorted = [...rows].sort(byKey);
  once(sorted.map(({ key }) => key), "The model");
  const dived = sorted.filter((row) => row.dives > 0);
  const fleet = total(dived);
  const { confidence } = settings;
  const shrunken = shrinkRates(dived.map(observed), { per: PER, confidence });
  const tests = callModels(dived, settings.falseDiscoveryRate);
  const lines = sorted.map((row): ModelLine => {
    const at = dived.indexOf(row);
    const group = shrunken.answer === "refused" ? undefined : shrunken.groups[at];
    const test = tests[at];
    const ratio = test === undefined ? null : rateRatio(observed(row), less(fleet, row), confidence);
    return {
      ...row,
      interval: rateInterval(observed(row), { per: PER, confidence }),
      shrunken: group === undefined ? null : { rate: group.rate, lower: group.lower, upper: group.upper },
      toOthers: ratio?.answer === "ratio" ? { ratio: ratio.ratio, lower: ratio.lower, upper: ratio.upper } : null,
      p: test?.p ?? null,
      adjustedP: test?.adjustedP ?? null,
      verdict: verdictOf(row, test, fleet, tests.length, settings),
    };
  });
  return {
    fleet: {
      faults: fleet.events,
      dives: fleet.exposure,
      interval: rateInterval(fleet, { per: PER, confidence }),
      faultsWithoutDives: total(sorted).events - fleet.events,
      spread: shrunken.answer === "shrunken" ? "differ" : shrunken.why === "events-without-exposure" ? "no-exposure" : shrunken.why,
    },
    models: lines.sort((a, b) => (b.shrunken?.rate ?? -1) - (a.shrunken?.rate ?? -1) || byKey(a, b)),
  };
}

export interface ModelTest {
  readonly p: number;
  readonly adjustedP: number;
  readonly called: "worse" | "better" | null;
}

/** The test of each row against all others, for rows that all have dives; empty where there is no other. */
export function callModels(rows: readonly ModelCount[], falseDiscoveryRate: number): readonly ModelTest[] {
  if (rows.length < 2) return [];
  const fleet = total(rows);
  const chances = rows.map((row) => {
    const chance = twoRateP(observed(row), less(fleet, row));
    if ("answer" in chance) throw new RangeError(`The model ${row.key} or all others have no dives: leave it out.`);
    return chance;
  });
  const { adjusted, rejected } = benjaminiHochberg(chances.map(({ pCentral }) => pCentral), falseDiscoveryRate);
  return chances.map(({ pCentral, pGreater, pLess }, index) => ({
    p: pCentral,
    adjustedP: adjusted[index] ?? 1,
    called: rejected[index] !== true ? null : pGreater < pLess ? "worse" : "better",
  }));
}

function verdictOf(row: ModelCount, test: ModelTest | undefined, fleet: Observed, tests: number, settings: ComparisonSettings): Verdict {
  const unknown = "too-little-to-tell";
  if (row.dives === 0) return { verdict: unknown, why: "no-dives" };
  if (test === undefined) return { verdict: unknown, why: "nothing-to-compare-with" };
  if (test.called !== null) return { verdict: test.called };
  if (fleet.events === 0) return { verdict: unknown, why: "no-faults-in-fleet" };
  const others = fleet.exposure - row.dives;
  const question = {
    baseRate: (fleet.events / fleet.exposure) * PER,
    per: PER,
    ratio: settings.ratio,
    alpha: settings.falseDiscoveryRate / tests,
    power: settings.power,
    others,
  };
  if (powerAgainst(question, row.dives) >= settings.power) return { verdict: "no-different" };
  return { verdict: unknown, why: "too-few-dives", more: moreDives(row.dives, question) };
}

/** Of the model alone, unless it would then dive more than all others do now: then it is for the fleet to dive more. */
function moreDives(dives: number, question: Parameters<typeof exposureAgainst>[0]): MoreDives | null {
  const more = (all: number, now: number) => Math.max(1, Math.ceil(all) - now);
  const alone = exposureAgainst(question);
  const ofModel: MoreDives | null = alone.answer === "exposure" ? { dives: more(alone.exposure, dives), of: "model" } : null;
  if (alone.answer === "exposure" && alone.exposure <= question.others) return ofModel;
  const allocation = question.others / dives;
  if (allocation > 1e6 || allocation < 1e-6) return ofModel;
  const together = exposureToTell({ ...question, allocation });
  if (together.answer === "refused") return ofModel;
  const ofFleet: MoreDives = { dives: more(together.exact * (1 + allocation), dives + question.others), of: "fleet" };
  return ofModel !== null && ofModel.dives <= ofFleet.dives ? ofModel : ofFleet;
}

export interface MonthCount {
  /** 'YYYY-MM' */
  readonly month: string;
  readonly faults: number;
  readonly dives: number;
}

export interface MonthlySettings {
  /** Share of months that signal on the u-chart where nothing changed. */
  readonly alpha: number;
  /** The rise the CUSUM is to find, and how many months apart its false signals are to be at least. */
  readonly ratio: number;
  readonly monthsApart: number;
  /** The usual rate, accepted once; `null`: the mean of the months themselves, which a rise among them lifts. */
  readonly usualRate: number | null;
}

/** 0.0027 is what three deviations of a normal distribution leave; ten years are common practice. */
export const MONTHLY: MonthlySettings = { alpha: 0.0027, ratio: 2, monthsApart: 120, usualRate: null };

export interface MonthPoint extends MonthCount {
  /** `null`: a month without dives, a gap. Counts up to `mostExpected`, down to `leastExpected`, are no surprise. */
  readonly point: {
    readonly rate: number;
    readonly mostExpected: number;
    readonly leastExpected: number;
    readonly upperLimit: number;
    readonly lowerLimit: number;
    readonly signal: "above" | "below" | null;
  } | null;
  /** The CUSUM after this month; over a gap it stays. `null`: there is no CUSUM. */
  readonly sum: number | null;
}

export interface MonthlyChart {
  readonly answer: "chart";
  readonly meanRate: number;
  /** Every month from the first to the last, also those not given, which are gaps. */
  readonly months: readonly MonthPoint[];
  readonly signalMonths: readonly string[];
  readonly cusum: MonthlyCusum | Refused<"no-base-rate" | "no-rise" | "no-exposure" | "no-such-limit">;
}

export interface MonthlyCusum extends Omit<CusumLimit, "answer"> {
  readonly answer: "cusum";
  readonly usualRate: number;
  readonly signalMonths: readonly string[];
}

const SIGMA = 3;
const MOST_MONTHS = 1200;

/**
 * Faults by month: the u-chart finds the single bad month, the CUSUM the lasting rise.
 *
 * The order of the months given changes nothing. Faults of a month without dives are kept and are in
 * no rate and no sum.
 * Refuses: "no-exposure" where no month has dives.
 * Errors: RangeError for a month, count or setting that cannot be, and for a month given twice.
 */
export function monthlyChart(months: readonly MonthCount[], settings: MonthlySettings = MONTHLY): MonthlyChart | Refused<"no-exposure"> {
  const all = withGaps(months);
  const chart = uChart(all.map(observed), { per: PER, sigma: SIGMA, alpha: settings.alpha });
  if (chart.answer === "refused") return chart;
  const from = settings.usualRate ?? chart.meanRate;
  const shift = { from, to: from * between(settings.ratio, 1e-6, 1e6, "the rise to be found") };
  // Faults without dives would only push the sum up, with nothing taken off for them.
  const counted = all.map((month) => (month.dives === 0 ? { events: 0, exposure: 0 } : observed(month)));
  const limit = cusumLimit(counted.map(({ exposure }) => exposure), { shift, per: PER, apart: settings.monthsApart });
  const path = limit.answer === "refused" ? limit : poissonCusum(counted, { shift, per: PER, h: limit.h });
  const points = all.map((month, index): MonthPoint => {
    const point = chart.points[index] ?? null;
    return {
      ...month,
      point: point && {
        rate: point.rate,
        mostExpected: point.mostExpected,
        leastExpected: point.leastExpected,
        upperLimit: (point.mostExpected / month.dives) * PER,
        lowerLimit: (point.leastExpected / month.dives) * PER,
        signal: point.signal,
      },
      sum: path.answer === "path" ? path.path[index] ?? null : null,
    };
  });
  const named = (holds: (point: MonthPoint, index: number) => boolean) => points.filter(holds).map(({ month }) => month);
  const told = limit.answer === "refused" ? limit : path.answer === "refused" ? path : { limit, signals: new Set(path.signals) };
  return {
    answer: "chart",
    meanRate: chart.meanRate,
    months: points,
    signalMonths: named(({ point }) => point !== null && point.signal !== null),
    cusum:
      "answer" in told
        ? told
        : { ...told.limit, answer: "cusum", usualRate: from, signalMonths: named(({ dives }, index) => dives > 0 && told.signals.has(index)) },
  };
}

const MONTH = /^(\d{4})-(0[1-9]|1[0-2])$/;

function withGaps(months: readonly MonthCount[]): readonly MonthCount[] {
  const sorted = [...months].sort((a, b) => compareText(a.month, b.month));
  once(sorted.map(({ month }) => month), "The month");
  const byNumber = new Map(sorted.map((one) => [monthNumber(one.month), one]));
  const numbers = [...byNumber.keys()];
  const [first, last] = [numbers[0] ?? 0, numbers.at(-1) ?? -1];
  if (last - first >= MOST_MONTHS) throw new RangeError(`From ${monthName(first)} to ${monthName(last)} are more than ${MOST_MONTHS} months: chart fewer.`);
  return Array.from({ length: last - first + 1 }, (_, index) => byNumber.get(first + index) ?? { month: monthName(first + index), faults: 0, dives: 0 });
}

function monthNumber(month: string): number {
  const [, year, ofYear] = MONTH.exec(month) ?? [];
  if (year === undefined || ofYear === undefined) throw new RangeError(`"${month}" is no month: write it as 2027-08.`);
  return Number(year) * 12 + Number(ofYear) - 1;
}

function monthName(number: number): string {
  return `${String(Math.floor(number / 12)).padStart(4, "0")}-${String((number % 12) + 1).padStart(2, "0")}`;
}

export interface CodeShare {
  readonly code: string;
  readonly count: number;
  readonly share: number;
  /** Of this code and all before it; the last is exactly 1. */
  readonly cumulativeShare: number;
}

/**
 * Codes by how often they come, most often first, equal ones by code.
 * Refuses: "no-faults". Errors: RangeError for a count that cannot be, and for a code given twice.
 */
export function paretoOfCodes(
  counts: readonly { readonly code: string; readonly count: number }[],
): { readonly answer: "pareto"; readonly total: number; readonly codes: readonly CodeShare[] } | Refused<"no-faults"> {
  once([...counts.map(({ code }) => code)].sort(compareText), "The code");
  const all = counts.reduce((sum, { code, count }) => sum + eventCount(count, `the faults with the code ${code}`), 0);
  if (all === 0) return refused("no-faults");
  let before = 0;
  const codes = [...counts]
    .sort((a, b) => b.count - a.count || compareText(a.code, b.code))
    .map(({ code, count }) => {
      before += count;
      return { code, count, share: count / all, cumulativeShare: before / all };
    });
  return { answer: "pareto", total: all, codes };
}

function observed({ faults, dives }: { readonly faults: number; readonly dives: number }): Observed {
  return { events: faults, exposure: dives };
}

function total(rows: readonly ModelCount[]): Observed {
  return rows.reduce((sum, row) => ({ events: sum.events + row.faults, exposure: sum.exposure + row.dives }), { events: 0, exposure: 0 });
}

function less(fleet: Observed, row: ModelCount): Observed {
  return { events: fleet.events - row.faults, exposure: fleet.exposure - row.dives };
}

function byKey(a: { readonly key: string }, b: { readonly key: string }): number {
  return compareText(a.key, b.key);
}

/** By code unit, the same on every machine. */
function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

function once(sorted: readonly string[], what: string): void {
  const twice = sorted.find((one, index) => one === sorted[index - 1]);
  if (twice !== undefined) throw new RangeError(`${what} ${twice} is given twice: add its counts together.`);
}
