/**
 * How long a CUSUM runs until it signals: the price of a limit in false signals, and what it buys in
 * months saved.
 *
 * Months follow one another in the cycle given, for ever; one month alone is a steady exposure.
 * Method: the exact Markov chain of S. With allowances that are all multiples of 1/d, S only takes
 * multiples of 1/d; the chances of its values are carried forward month by month, signals leaving,
 * until the chain loses the same part in every cycle; the rest is a geometric sum.
 * Source: Brook and Evans, Biometrika 59:539 (1972); Lucas, Technometrics 27:129 (1985).
 */
import { poissonAtLeast, poissonCdf, poissonMass } from "./distributions.ts";
import { between, refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";

/** One month: the events to be expected in it, and what is taken off for it. */
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

/** "never-signals": hardly ever, in fact; "not-settled": so rarely that it could not be worked out. */
export type RunRefusal = "never-signals" | "not-settled" | "too-many-states";

/** How fine S is told, and how many values it may have. */
const FINEST = 1000;
const MOST_STATES = 200_000;
/** Faults in one month: beyond, a CUSUM has no use, for the month speaks for itself. */
export const MOST_A_MONTH = 100_000;
const LEAST_LIMIT = 1e-9;

/**
 * The average run length of a CUSUM that signals at S >= h.
 *
 * Allowances that no d up to 1000 divides are bracketed by their neighbours: the run length only grows
 * with them, and is taken in between.
 * Refuses: "never-signals" where no events are expected, "not-settled", "too-many-states" for a limit
 * of thousands or a month of over 100,000 events.
 * Errors: RangeError for a mean, allowance or limit that cannot be, and for an empty cycle.
 */
export function cusumRunLength(cycle: readonly CusumStep[], h: number): RunLength | Refused<RunRefusal> {
  check(cycle, h);
  if (cycle.every(({ mean }) => mean === 0)) return refused("never-signals");
  const allowances = cycle.map(({ allowance }) => allowance);
  const fineness = commonFineness([...allowances, h / 2]) ?? commonFineness(allowances);
  const d = fineness ?? Math.min(FINEST, Math.max(20, Math.floor(2000 / h)));
  if (tooMany(cycle, h, d)) return refused("too-many-states");
  const [low, high] = fineness === null ? [chainOf(cycle, d, h, Math.floor), chainOf(cycle, d, h, Math.ceil)] : [chainOf(cycle, d, h, Math.round), null];
  // How far along from the one chain to the other the allowances lie, over the cycle.
  const beyond = allowances.reduce((sum, one) => sum + one * d - Math.floor(one * d), 0);
  const part = beyond / Math.max(1, allowances.reduce((sum, one) => sum + Math.ceil(one * d) - Math.floor(one * d), 0));
  const from = (start: number) => {
    const [shorter, longer] = [run(low, start), high && run(high, start)];
    return longer === null ? shorter : shorter ** (1 - part) * longer ** part;
  };
  const arl = from(0);
  const headStartArl = Number.isFinite(arl) ? from(h / 2) : arl;
  if (Number.isNaN(arl) || Number.isNaN(headStartArl)) return refused("not-settled");
  return Number.isFinite(arl) && Number.isFinite(headStartArl) ? { answer: "run-length", arl, headStartArl } : refused("never-signals");
}

/**
 * Whether the average run is at least so many months, without working out how much longer it is. What
 * cannot be worked out does not last. Errors as `cusumRunLength`.
 */
export function outlasts(cycle: readonly CusumStep[], h: number, months: number): boolean {
  check(cycle, h);
  if (cycle.every(({ mean }) => mean === 0)) return true;
  const d = commonFineness(cycle.map(({ allowance }) => allowance)) ?? FINEST;
  if (tooMany(cycle, h, d)) return false;
  // An allowance taken down makes the run shorter, so a yes is sure.
  return run(chainOf(cycle, d, h, (x) => Math.floor(x + 1e-6)), 0, months) >= months;
}

function check(cycle: readonly CusumStep[], h: number): void {
  between(h, LEAST_LIMIT, 1e9, "the limit of the sum");
  if (cycle.length === 0) throw new RangeError("A run length wants at least one month.");
  for (const [index, { mean, allowance }] of cycle.entries()) {
    between(mean, 0, 1e9, `the expected events of month ${index + 1}`);
    between(allowance, 0, 1e9, `the allowance of month ${index + 1}`);
  }
}

function tooMany(cycle: readonly CusumStep[], h: number, d: number): boolean {
  return h * d > MOST_STATES || cycle.some(({ mean, allowance }) => Math.max(mean, allowance) > MOST_A_MONTH);
}

/** The smallest d by which every value is a whole number of 1/d, or `null`. */
function commonFineness(values: readonly number[]): number | null {
  for (let d = 1; d <= FINEST; d += 1) {
    if (values.every((x) => Math.abs(x * d - Math.round(x * d)) < 1e-9 * d)) return d;
  }
  return null;
}

/** S takes the values 0, 1/d, 2/d, ... below h. */
interface Chain {
  readonly states: number;
  readonly d: number;
  readonly months: readonly Month[];
}

interface Month {
  /** The allowance, in 1/d. */
  readonly steps: number;
  /** P(X = x), from x = 0. */
  readonly count: readonly number[];
  /** For each state: the chance to come down to 0, and the chance to signal. */
  readonly toZero: readonly number[];
  readonly signal: readonly number[];
}

function chainOf(cycle: readonly CusumStep[], d: number, h: number, round: (x: number) => number): Chain {
  const states = Math.max(1, Math.ceil(h * d - LEAST_LIMIT * d));
  const months = cycle.map(({ mean, allowance }): Month => {
    const steps = round(allowance * d);
    const each = (chance: (s: number) => number) => Array.from({ length: states }, (_, s) => chance(s));
    return {
      steps,
      count: Array.from({ length: Math.floor((states - 1 + steps) / d) + 1 }, (_, x) => poissonMass(x, mean)),
      toZero: each((s) => (s > steps ? 0 : poissonCdf(Math.floor((steps - s) / d), mean))),
      signal: each((s) => poissonAtLeast(Math.ceil((states + steps - s) / d), mean)),
    };
  });
  return { states, d, months };
}

/** Moves from state to state, about a second's work. */
const MOST_MOVES = 60_000_000;
const LEFT_OVER = 1e-17;
const SETTLED = 1e-11;

/**
 * Average months to the signal from a start; NaN where the chain does not settle. Stops early, with
 * what it has, once that is `enough`.
 */
function run({ states, d, months }: Chain, start: number, enough = Number.POSITIVE_INFINITY): number {
  let chances = new Float64Array(states);
  chances[Math.min(states - 1, Math.round(start * d))] = 1;
  let [average, before, moves] = [0, -1, 0];
  for (let turn = 0; moves < MOST_MOVES || turn < 4; turn += 1) {
    let [lost, alive] = [0, 0];
    const first = total(chances);
    for (const month of months) {
      alive += total(chances);
      const next = new Float64Array(states);
      lost += carry(chances, next, month, d);
      chances = next;
    }
    average += alive;
    moves += states * months.length * (states / d + 1);
    const left = total(chances);
    if (left < LEFT_OVER || average >= enough) return average;
    const part = lost / first;
    if (turn > 2 && Math.abs(part - before) <= SETTLED * part) return average + ((alive / first) * left) / part;
    before = part;
  }
  return Number.NaN;
}

/** One month: fills `next`, and answers with the chance that has signalled. */
function carry(chances: Float64Array, next: Float64Array, { steps, count, toZero, signal }: Month, d: number): number {
  let lost = 0;
  for (let s = 0; s < chances.length; s += 1) {
    const chance = chances[s] ?? 0;
    if (chance === 0) continue;
    next[0] = (next[0] ?? 0) + chance * (toZero[s] ?? 0);
    lost += chance * (signal[s] ?? 0);
    let x = Math.max(0, Math.floor((steps - s) / d) + 1);
    for (let at = s + x * d - steps; at < next.length; at += d, x += 1) next[at] = (next[at] ?? 0) + chance * (count[x] ?? 0);
  }
  return lost;
}

function total(chances: Float64Array): number {
  let sum = 0;
  for (const chance of chances) sum += chance;
  return sum;
}
