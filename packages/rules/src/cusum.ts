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
import { poissonAtLeast, poissonCdf, poissonMass } from "./distributions.ts";
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

/** One month as the run length sees it: the events to be expected in it, and what is taken off for it. */
export interface CusumStep {
  readonly mean: number;
  readonly allowance: number;
}

export interface RunLength {
  readonly answer: "run-length";
  /** Average months until the first signal, starting from S = 0. */
  readonly arl: number;
  /** The same from S = h / 2, the "fast initial response". */
  readonly headStartArl: number;
}

/** How fine S is told, and how many states the chain may have. */
const FINEST = 1000;
const MOST_STATES = 200_000;
/** Moves of one state by one month. A chain that has not settled by then hardly ever moves. */
const MOST_MOVES = 10_000_000;
/** Faults in one month: beyond, a CUSUM has no use, for the month speaks for itself. */
const MOST_A_MONTH = 100_000;

/**
 * The average run length of a CUSUM: how many months pass until S >= h.
 *
 * Months follow one another in the cycle given, for ever; one month alone is a steady exposure.
 * Formula: the exact Markov chain of S. With allowances that are all multiples of 1/d, S only takes
 * multiples of 1/d; the chance of no signal is carried forward month by month until it falls by the
 * same factor every cycle, and the rest is a geometric sum. Allowances that no d up to 1000 divides are
 * bracketed by their neighbours: the run length only grows with them, and is taken between the two.
 * Refuses: "never-signals" where no events are expected, or so few that the chain does not settle;
 * "too-many-states" for limits of thousands or months of over 100,000.
 * Errors: RangeError for a mean, allowance or limit that cannot be, and for an empty cycle.
 * Source: Brook and Evans, Biometrika 59:539 (1972); Lucas (1985).
 */
export function cusumRunLength(cycle: readonly CusumStep[], h: number): RunLength | Refused<"never-signals" | "too-many-states"> {
  between(h, ROUNDING, 1e9, "the limit of the sum");
  if (cycle.length === 0) throw new RangeError("A run length wants at least one month.");
  for (const [index, { mean, allowance }] of cycle.entries()) {
    between(mean, 0, 1e9, `the expected events of month ${index + 1}`);
    between(allowance, 0, 1e9, `the allowance of month ${index + 1}`);
  }
  if (cycle.every(({ mean }) => mean === 0)) return refused("never-signals");
  const allowances = cycle.map(({ allowance }) => allowance);
  const fineness = commonFineness([...allowances, h / 2]) ?? commonFineness(allowances);
  const d = fineness ?? Math.min(FINEST, Math.max(20, Math.floor(2000 / h)));
  if (h * d > MOST_STATES || cycle.some(({ mean, allowance }) => Math.max(mean, allowance) > MOST_A_MONTH)) return refused("too-many-states");
  const run = (round: (x: number) => number) => (start: number) =>
    runLength(cycle.map(({ mean, allowance }) => ({ mean, steps: round(allowance * d) })), d, h, start);
  if (fineness !== null) {
    const at = run(Math.round);
    return finished(at(0), at(h / 2));
  }
  const [low, high] = [run(Math.floor), run(Math.ceil)];
  // How far along from the one to the other the allowances lie, over the cycle.
  const part = allowances.reduce((sum, one) => sum + one * d - Math.floor(one * d), 0) / allowances.reduce((sum, one) => sum + Math.ceil(one * d) - Math.floor(one * d), 0);
  const mixed = (start: number) => low(start) ** (1 - part) * high(start) ** part;
  return finished(mixed(0), mixed(h / 2));
}

function finished(arl: number, headStartArl: number): RunLength | Refused<"never-signals"> {
  return Number.isFinite(arl) && Number.isFinite(headStartArl) ? { answer: "run-length", arl, headStartArl } : refused("never-signals");
}

/** The smallest d by which every value is a whole number of 1/d, or `null`. */
function commonFineness(values: readonly number[]): number | null {
  for (let d = 1; d <= FINEST; d += 1) {
    if (values.every((x) => Math.abs(x * d - Math.round(x * d)) < 1e-9 * d)) return d;
  }
  return null;
}

interface ChainStep {
  readonly to: readonly number[];
  readonly steps: number;
  readonly mean: number;
}

/** Carries the chances of S = 0, 1/d, 2/d, ... below h forward from a start; a signal leaves the chain. */
function runLength(cycle: readonly { readonly mean: number; readonly steps: number }[], d: number, h: number, start: number): number {
  const states = Math.max(1, Math.ceil(h * d - ROUNDING * d));
  const chain = cycle.map(({ mean, steps }): ChainStep => ({ mean, steps, to: countChances(mean, steps, d, states) }));
  let chances = new Float64Array(states);
  chances[Math.min(states - 1, Math.round(start * d))] = 1;
  let months = 0;
  let before = -1;
  const turns = Math.ceil(MOST_MOVES / (states * chain.length));
  for (let turn = 0; turn < turns; turn += 1) {
    let lost = 0;
    let alive = 0;
    const first = total(chances);
    for (const step of chain) {
      alive += total(chances);
      const next = new Float64Array(states);
      lost += carry(chances, next, step, d);
      chances = next;
    }
    months += alive;
    const left = total(chances);
    if (left < 1e-17) return months;
    const hazard = lost / first;
    if (turn > 2 && Math.abs(hazard - before) <= 1e-11 * hazard) return months + ((alive / first) * left) / hazard;
    before = hazard;
  }
  return Number.POSITIVE_INFINITY;
}

/** P(X = x) for every count that may leave S below h, from the largest that leaves it at 0 at the top. */
function countChances(mean: number, steps: number, d: number, states: number): number[] {
  const most = Math.floor((states - 1 + steps) / d);
  return Array.from({ length: most + 1 }, (_, x) => poissonMass(x, mean));
}

/** One month: fills `next` and answers with the chance that signalled. */
function carry(chances: Float64Array, next: Float64Array, { to, steps, mean }: ChainStep, d: number): number {
  let lost = 0;
  for (let s = 0; s < chances.length; s += 1) {
    const chance = chances[s] ?? 0;
    if (chance === 0) continue;
    const zero = Math.floor((steps - s) / d);
    if (zero >= 0) next[0] = (next[0] ?? 0) + chance * poissonCdf(zero, mean);
    let x = Math.max(0, zero + 1);
    for (let at = s + x * d - steps; at < chances.length; at += d, x += 1) next[at] = (next[at] ?? 0) + chance * (to[x] ?? 0);
    lost += chance * poissonAtLeast(x, mean);
  }
  return lost;
}

function total(chances: Float64Array): number {
  let sum = 0;
  for (const chance of chances) sum += chance;
  return sum;
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
 * a limit of 200 faults signals more often.
 * Errors: RangeError for what cannot be.
 */
export function cusumLimit(
  exposures: readonly number[],
  { shift, per, apart }: { readonly shift: Shift; readonly per: number; readonly apart: number },
): CusumLimit | Refused<"no-base-rate" | "no-rise" | "no-exposure" | "no-such-limit"> {
  between(per, 1e-9, 1e9, "the exposure a rate is told per");
  between(apart, 1, 1e6, "the months between false signals");
  const reference = referenceValue(shift);
  if (reference.answer === "refused") return reference;
  const dived = exposures.filter((one, index) => exposureOf(one, `the exposure of month ${index + 1}`) > 0);
  if (dived.length === 0) return refused("no-exposure");
  const allowances = dived.map((exposure) => (reference.k * exposure) / per);
  const meanAllowance = allowances.reduce((sum, one) => sum + one, 0) / allowances.length;
  const parts = Math.min(PARTS.most, Math.max(PARTS.least, Math.ceil(PARTS.ofMeanAllowance / meanAllowance)));
  const rounded = allowances.map((one) => Math.floor(one * parts) / parts);
  const at = (rate: number) => dived.map((exposure, index) => ({ mean: (rate * exposure) / per, allowance: rounded[index] ?? 0 }));
  const usual = at(shift.from);
  if (usual.some(({ mean }) => mean > MOST_A_MONTH)) return refused("no-such-limit");
  const arlAt = (cycle: readonly CusumStep[], quarters: number): number => {
    const run = cusumRunLength(cycle, quarters * QUARTER);
    return run.answer === "refused" ? Number.POSITIVE_INFINITY : run.arl;
  };
  let [low, high] = [LEAST_QUARTERS - 1, LEAST_QUARTERS];
  while (arlAt(usual, high) < apart) {
    [low, high] = [high, high * 2];
    if (high * QUARTER > LARGEST_H) return refused("no-such-limit");
  }
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (arlAt(usual, middle) >= apart) high = middle;
    else low = middle;
  }
  const [falseAfter, foundAfter] = [arlAt(usual, high), arlAt(at(shift.to), high)];
  if (!Number.isFinite(falseAfter) || !Number.isFinite(foundAfter)) return refused("no-such-limit");
  return { answer: "limit", h: high * QUARTER, k: reference.k, falseAfter, foundAfter };
}
