/**
 * The CUSUM of rare events: faults above what a watched-for rise would make the dividing line are
 * added up, month by month, so a lasting rise shows that no single month shows.
 *
 * Units: rates per `per` of exposure; S, h in events.
 * Formula: S = max(0, S + c - k T), k = (λ1 - λ0) / (ln λ1 - ln λ0) with λ0 the usual rate and λ1 the rate
 * to be found; a signal is S >= h, and S is not set back by it.
 * Source: Lucas, Technometrics 27:129 (1985).
 */
import type { Observed } from "./fault-rates.ts";
import { cusumRunLength, MOST_A_MONTH, outlasts } from "./cusum-run-length.ts";
import { between, eventCount, exposureOf, refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";

export interface Shift {
  /** The usual rate, λ0. */
  readonly from: number;
  /** The rate to be found, λ1, above the usual one. */
  readonly to: number;
}

const MOST_RATE = 1e9;

/** k, per the same exposure as the rates. Refuses: "no-base-rate" where the usual rate is 0, "no-rise". */
export function referenceValue({ from, to }: Shift): { readonly answer: "k"; readonly k: number } | Refused<"no-base-rate" | "no-rise"> {
  between(from, 0, MOST_RATE, "the usual rate");
  between(to, 0, MOST_RATE, "the rate to be found");
  if (from === 0) return refused("no-base-rate");
  if (!(to / from > 1 + 1e-9)) return refused("no-rise");
  const rise = (to - from) / from;
  return { answer: "k", k: (from * rise) / Math.log1p(rise) };
}

export interface CusumPath {
  readonly answer: "path";
  readonly k: number;
  /** S after each point. A point without exposure and events leaves it as it was. */
  readonly path: readonly number[];
  /** Positions from 0 at which S >= h. */
  readonly signals: readonly number[];
  readonly firstSignal: number | null;
}

/** S is summed in floating point; a sum that lacks less than this of h has reached it. */
const ROUNDING = 1e-9;

/**
 * Adds up counts against a reference.
 * Refuses as `referenceValue`.
 * Errors: RangeError for a count, exposure, rate or limit that cannot be.
 */
export function poissonCusum(
  observed: readonly Observed[],
  { shift, per, h }: { readonly shift: Shift; readonly per: number; readonly h: number },
): CusumPath | Refused<"no-base-rate" | "no-rise"> {
  between(per, 1e-9, 1e9, "the exposure a rate is told per");
  between(h, ROUNDING, 1e9, "the limit of the sum");
  const reference = referenceValue(shift);
  if (reference.answer === "refused") return reference;
  let s = 0;
  const path = observed.map(({ events, exposure }, index) => {
    eventCount(events, `the events of point ${index + 1}`);
    exposureOf(exposure, `the exposure of point ${index + 1}`);
    s = Math.max(0, s + events - (reference.k * exposure) / per);
    return s;
  });
  const signals = path.flatMap((value, index) => (value >= h - ROUNDING ? [index] : []));
  return { answer: "path", k: reference.k, path, signals, firstSignal: signals[0] ?? null };
}

export interface CusumLimit {
  readonly answer: "limit";
  readonly h: number;
  readonly k: number;
  /** Average months to a false signal, and to a true one once the rate has risen. */
  readonly falseAfter: number;
  readonly foundAfter: number;
}

/** h is told in quarters of a fault. */
const QUARTER = 0.25;
const LARGEST_H = 200;
/** A thousand years. */
const MOST_APART = 12_000;
/** A limit of less than one fault above what is taken off would be a limit on single months. */
const LEAST_QUARTERS = 4;
/**
 * Allowances are taken to the next lower part of a fault: S a little too large, so false signals are no
 * more frequent than told. A twentieth will do where a month takes off half a fault or more.
 */
const PARTS = { least: 20, most: 500, ofMeanAllowance: 10 };

/**
 * The smallest limit whose false signals are on average at least so many months apart, were the months
 * given to come again and again.
 *
 * Refuses: "no-base-rate", "no-rise", "no-exposure" where no month has any, "no-such-limit" where even
 * a limit of 200 faults signals more often, and where a month has over 100,000.
 * Errors: RangeError for what cannot be.
 */
export function cusumLimit(
  exposures: readonly number[],
  { shift, per, apart }: { readonly shift: Shift; readonly per: number; readonly apart: number },
): CusumLimit | Refused<"no-base-rate" | "no-rise" | "no-exposure" | "no-such-limit"> {
  between(per, 1e-9, 1e9, "the exposure a rate is told per");
  between(apart, 1, MOST_APART, "the months between false signals");
  const reference = referenceValue(shift);
  if (reference.answer === "refused") return reference;
  const dived = exposures.filter((one, index) => exposureOf(one, `the exposure of month ${index + 1}`) > 0);
  if (dived.length === 0) return refused("no-exposure");
  const allowances = dived.map((exposure) => (reference.k * exposure) / per);
  if (allowances.some((one) => one * (shift.to / shift.from) > MOST_A_MONTH)) return refused("no-such-limit");
  const meanAllowance = allowances.reduce((sum, one) => sum + one, 0) / allowances.length;
  const parts = Math.min(PARTS.most, Math.max(PARTS.least, Math.ceil(PARTS.ofMeanAllowance / meanAllowance)));
  const rounded = allowances.map((one) => Math.floor(one * parts) / parts);
  const at = (rate: number) => dived.map((exposure, index) => ({ mean: (rate * exposure) / per, allowance: rounded[index] ?? 0 }));
  const usual = at(shift.from);
  const quarters = leastQuarters((candidate) => outlasts(usual, candidate * QUARTER, apart));
  if (quarters === null) return refused("no-such-limit");
  const h = quarters * QUARTER;
  const [usually, risen] = [cusumRunLength(usual, h), cusumRunLength(at(shift.to), h)];
  if (usually.answer === "refused" || risen.answer === "refused") return refused("no-such-limit");
  return { answer: "limit", h, k: reference.k, falseAfter: usually.arl, foundAfter: risen.arl };
}

function leastQuarters(willDo: (quarters: number) => boolean): number | null {
  let [low, high] = [LEAST_QUARTERS - 1, LEAST_QUARTERS];
  while (!willDo(high)) {
    [low, high] = [high, high * 2];
    if (high * QUARTER > LARGEST_H) return null;
  }
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (willDo(middle)) high = middle;
    else low = middle;
  }
  return high;
}
