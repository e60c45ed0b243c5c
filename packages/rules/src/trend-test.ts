/**
 * Whether faults of repaired things come closer together or further apart as they are used, and how
 * fast. The times are counted from new (or from the start of watching), in dives, hours or days.
 *
 * Formulas, for the times t of all systems, each watched up to T:
 *   Laplace         U = Σ(t - T/2) / √(Σ T²/12), normal (0, 1) where nothing changes; U > 0 = more often.
 *   Military        2 Σ ln(T / t), chi-square with 2n degrees; LARGE = rarer and rarer.
 *   Power law       rate λ β t^(β-1): β = n / Σ ln(T / t) where all T are one, else the root of
 *                   n/β + Σ ln t = n Σ T^β ln T / Σ T^β; λ = n / Σ T^β. β > 1 = more often.
 *   Unbiased β      β (d - 2) / 2n, d the degrees above: β (n - 1) / n, or β (n - 2) / n where watching
 *                   stopped at the last fault of one system.
 *   Limits of β     β χ²(α/2; d) / 2n to β χ²(1 - α/2; d) / 2n.
 * Where watching stops at a fault, T is the time of that fault, which then says nothing of itself: the
 * tests leave it out (n - 1 each), the power law counts it.
 * Source: Cox and Lewis (1966); MIL-HDBK-189 (1981), appendix C; Crow (1974); NIST/SEMATECH e-Handbook
 * 8.2.3.4 and 8.4.5.2.
 */
import { chiSquareAbove, chiSquareCdf, chiSquareQuantile, normalCdf } from "./distributions.ts";
import { between, exposureOf, properShare, refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";

export interface Watched {
  /** Times of the faults, from 0 up to `until`, in any order; the same time twice is allowed. */
  readonly events: readonly number[];
  /** How long it was watched. `null`: up to its last fault, and no longer because of it. */
  readonly until: number | null;
}

export interface Trend {
  readonly answer: "trend";
  readonly laplaceU: number;
  readonly laplaceP: number;
  readonly milStat: number;
  readonly milDf: number;
  /** Two-sided: twice the smaller tail, at most 1. */
  readonly milP: number;
  readonly beta: number;
  /** `null`: too small or too large to be written. */
  readonly lambda: number | null;
  /** `null`: systems watched for different times have no exact one, nor have too few faults. */
  readonly betaUnbiased: number | null;
  readonly betaLower: number | null;
  readonly betaUpper: number | null;
}

export type TrendRefusal = "no-events" | "too-few-events" | "event-at-start" | "all-at-end";

const MOST_TIME = 1e12;

/**
 * Tests for a trend and fits the power law. Either all systems were watched for a time, or all up to a
 * fault.
 * Refuses: "no-events"; "too-few-events" where all were watched up to a fault and none has another;
 * "event-at-start" for a fault at time 0, whose logarithm has no end; "all-at-end" where every fault
 * came at the very end and β has no bound.
 * Errors: RangeError for times that cannot be, and for systems watched in both ways.
 */
export function trendTest(systems: readonly Watched[], confidence: number): Trend | Refused<TrendRefusal> {
  properShare(confidence, "the confidence");
  const stoppedAtFault = systems.some((one) => one.until === null);
  const watched = systems.map((one, index) => checked(one, index, stoppedAtFault)).filter((one) => one.until > 0 || one.events.length > 0);
  const all = watched.flatMap(({ events }) => events);
  if (all.length === 0) return refused("no-events");
  if (all.includes(0)) return refused("event-at-start");
  const tested = watched.flatMap(({ events, until }) => (stoppedAtFault ? events.slice(0, -1) : events).map((time) => ({ time, until })));
  if (tested.length === 0) return refused("too-few-events");
  const milStat = 2 * sum(tested.map(({ time, until }) => Math.log(until / time)));
  if (!(milStat > 0)) return refused("all-at-end");
  const laplaceU = sum(tested.map(({ time, until }) => time - until / 2)) / Math.sqrt(sum(tested.map(({ until }) => until ** 2)) / 12);
  const milDf = 2 * tested.length;
  const [end] = watched.map(({ until }) => until);
  const oneEnd = watched.every(({ until }) => until === end);
  const n = all.length;
  const beta = oneEnd ? (2 * n) / milStat : unequalBeta(watched, n);
  const expected = sum(watched.map(({ until }) => until ** beta));
  const lambda = n / expected;
  const missed = (1 - confidence) / 2;
  const limit = (p: number) => (beta * chiSquareQuantile(p, milDf)) / (2 * n);
  const exact = oneEnd && 1 - missed < 1;
  return {
    answer: "trend",
    laplaceU,
    laplaceP: 2 * normalCdf(-Math.abs(laplaceU)),
    milStat,
    milDf,
    milP: Math.min(1, 2 * Math.min(chiSquareCdf(milStat, milDf), chiSquareAbove(milStat, milDf))),
    beta,
    lambda: Number.isFinite(lambda) && lambda > 0 ? lambda : null,
    betaUnbiased: oneEnd && milDf > 2 ? (beta * (milDf - 2)) / (2 * n) : null,
    betaLower: exact ? limit(missed) : null,
    betaUpper: exact ? limit(1 - missed) : null,
  };
}

function checked({ events, until }: Watched, index: number, stoppedAtFault: boolean): { events: number[]; until: number } {
  const where = `system ${index + 1}`;
  if (stoppedAtFault && until !== null) throw new RangeError(`${where} was watched for a time and another up to a fault: test them apart.`);
  const end = until === null ? Math.max(0, ...events) : exposureOf(until, `how long ${where} was watched`);
  for (const time of events) between(time, 0, until === null ? MOST_TIME : end, `the time of a fault of ${where}`);
  return { events: [...events].sort((a, b) => a - b), until: end };
}

/** The root of n/β + Σ ln t - n Σ T^β ln T / Σ T^β, which falls as β grows; times as shares of the longest watch. */
function unequalBeta(watched: readonly { readonly events: readonly number[]; readonly until: number }[], n: number): number {
  const longest = Math.max(...watched.map(({ until }) => until));
  const logs = sum(watched.flatMap(({ events }) => events.map((time) => Math.log(time / longest))));
  const over = (beta: number) => {
    const weights = watched.map(({ until }) => ({ weight: (until / longest) ** beta, log: Math.log(until / longest) }));
    const mean = sum(weights.map(({ weight, log }) => (weight === 0 ? 0 : weight * log))) / sum(weights.map(({ weight }) => weight));
    return n / beta + logs - n * mean;
  };
  let [low, high] = [-1, 1];
  while (over(Math.exp(low)) < 0) low *= 2;
  while (over(Math.exp(high)) > 0 && high < 64) high *= 2;
  for (let step = 0; step < 80; step += 1) {
    const middle = (low + high) / 2;
    if (over(Math.exp(middle)) > 0) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2);
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
