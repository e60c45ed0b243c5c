/**
 * Do faults come early, late, or at any time? The shape of a Weibull distribution says it: below 1
 * the risk falls with use (trouble left by the service itself), 1 is a steady risk, above 1 it grows
 * (wear).
 *
 * Units: times and scale in dives or days, one kind at a time; the shape has none.
 */
import { chiSquareAbove, normalQuantile } from "./distributions.ts";
import { exposureOf, properShare, refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";
import type { Spell } from "./survival.ts";

export interface WeibullFit {
  readonly answer: "fit";
  readonly faults: number;
  readonly shape: number;
  /** The time by which 63.2 % have failed. `null`: too large to be written. */
  readonly scale: number | null;
  readonly logLik: number;
  readonly seLogShape: number;
  readonly shapeLower: number;
  readonly shapeUpper: number;
  /** Twice the gain in log likelihood over a shape of 1, and the chance of so much if it is 1. */
  readonly lrtShape1: number;
  readonly lrtP: number;
}

/**
 * "all-at-end": every fault came at the very end of the longest spell, and the likelihood grows with
 * the shape without end (so too where there is a single spell). "fault-at-start": a fault at time 0
 * has no logarithm.
 */
export type WeibullRefusal = "no-spells" | "no-events" | "all-at-end" | "fault-at-start";

/**
 * The likeliest shape and scale, from spells of which some have not ended.
 *
 * Formula: with d faults, k solves Σ t^k ln t / Σ t^k - 1/k = mean of ln t over the faults (the left
 *   side grows with k); scale = (Σ t^k / d)^(1/k). Observed information of ln k with the scale at its
 *   best: d (1 + k² v), v the variance of ln t with weights t^k; the interval is k exp(±z / √ of it)
 *   (Wald on ln k). Against shape 1: 2 (ln L - ln L₁) ~ χ²(1).
 * With few faults the interval is too narrow and the shape leans upwards.
 * A spell without fault that lasted no time tells nothing and is left out.
 * Refuses: as `WeibullRefusal`. Errors: RangeError for a time or confidence that cannot be.
 * Source: Cohen, Technometrics 7:579 (1965); Lawless, Statistical Models and Methods for Lifetime Data
 * (2003), 5.2.
 */
export function fitWeibull(spells: readonly Spell[], confidence: number): WeibullFit | Refused<WeibullRefusal> {
  properShare(confidence, "the confidence");
  for (const [index, { time }] of spells.entries()) exposureOf(time, `the time of spell ${index + 1}`);
  if (spells.length === 0) return refused("no-spells");
  const failed = spells.filter(({ fault }) => fault).map(({ time }) => time);
  const d = failed.length;
  if (d === 0) return refused("no-events");
  if (failed.includes(0)) return refused("fault-at-start");
  const times = spells.map(({ time }) => time).filter((time) => time > 0);
  const longest = times.reduce((most, time) => Math.max(most, time), 0);
  if (failed.every((time) => time === longest)) return refused("all-at-end");
  // As shares of the longest, powers of whatever shape stay from 0 to 1.
  const logs = times.map((time) => Math.log(time / longest));
  const meanLog = sum(failed.map((time) => Math.log(time / longest))) / d;
  const shape = shapeAt(logs, meanLog);
  const { total, spread } = weighted(logs, shape);
  const seLogShape = 1 / Math.sqrt(d * (1 + shape ** 2 * spread));
  const z = -normalQuantile((1 - confidence) / 2);
  const scale = longest * Math.exp(Math.log(total / d) / shape);
  const logLik = logLikAt(shape, { d, total, meanLog, longest });
  const flat = logLikAt(1, { d, total: weighted(logs, 1).total, meanLog, longest });
  const lrtShape1 = Math.max(0, 2 * (logLik - flat));
  return {
    answer: "fit",
    faults: d,
    shape,
    scale: Number.isFinite(scale) ? scale : null,
    logLik,
    seLogShape,
    shapeLower: shape * Math.exp(-z * seLogShape),
    shapeUpper: shape * Math.exp(z * seLogShape),
    lrtShape1,
    lrtP: chiSquareAbove(lrtShape1, 1),
  };
}

/** Newton inside a bracket that closes. All logs are 0 or below, one is 0, and their mean over the faults is below 0. */
function shapeAt(logs: readonly number[], meanLog: number): number {
  const at = (k: number) => {
    const { mean, spread } = weighted(logs, k);
    return { over: mean - 1 / k - meanLog, slope: spread + 1 / k ** 2 };
  };
  // The weighted mean is 0 at most, so the root is no lower than this.
  let low = -1 / meanLog;
  let high = 2 * low;
  while (at(high).over < 0) [low, high] = [high, 2 * high];
  let k = low;
  for (let step = 0; step < 200; step += 1) {
    const { over, slope } = at(k);
    if (over < 0) low = k;
    else high = k;
    const newton = k - over / slope;
    const next = newton > low && newton < high ? newton : (low + high) / 2;
    if (Math.abs(next - k) <= 1e-15 * k) return next;
    k = next;
  }
  return k;
}

/** Σ exp(k x), and mean and variance of x with those weights. */
function weighted(logs: readonly number[], k: number): { total: number; mean: number; spread: number } {
  const weights = logs.map((x) => Math.exp(k * x));
  const total = sum(weights);
  const mean = sum(logs.map((x, index) => x * (weights[index] ?? 0))) / total;
  const spread = sum(logs.map((x, index) => (x - mean) ** 2 * (weights[index] ?? 0))) / total;
  return { total, mean, spread };
}

/** Log likelihood at a shape with the scale at its best, for which Σ (t / scale)^k = d. */
function logLikAt(k: number, { d, total, meanLog, longest }: { readonly d: number; readonly total: number; readonly meanLog: number; readonly longest: number }): number {
  return d * (Math.log(k) + (k - 1) * meanLog - Math.log(longest) - Math.log(total / d) - 1);
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
