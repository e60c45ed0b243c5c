/**
 * Rates of many groups, each drawn towards what the groups have in common, the more the less is known
 * of it: one fault in 20 dives is not five per hundred.
 *
 * Model: each group has its own true rate, the rates are spread as a gamma distribution of shape α and
 * rate β over the groups, and a group's events are Poisson. The events are then negative binomial with
 * size α and chance β / (β + T); α and β are those that make the counts seen likeliest (marginal maximum
 * likelihood). A group's estimate is (α + c) / (β + T), its interval the quantiles of
 * gamma(α + c, β + T). The interval takes α and β as known, so it is slightly too narrow.
 *
 * Units: rates per `per` of exposure; β in plain exposure.
 * Source: Gaver and O'Muircheartaigh, Technometrics 29:1 (1987).
 */
import digamma from "@stdlib/math-base-special-digamma";
import gammaln from "@stdlib/math-base-special-gammaln";
import { gammaQuantile } from "./distributions.ts";
import { rateInterval } from "./fault-rates.ts";
import type { Observed, RateRefusal, RateSettings } from "./fault-rates.ts";
import { eventCount, exposureOf, refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";

export interface GroupRate {
  /** `null`: no exposure. */
  readonly rawRate: number | null;
  readonly rate: number;
  readonly lower: number;
  readonly upper: number;
}

interface Groups {
  /** In the order given. */
  readonly groups: readonly GroupRate[];
  /** All events over all exposure. */
  readonly pooledRate: number;
  /** Positions from 0, worst estimate first; equal estimates stay in the order given. */
  readonly rankWorstFirst: readonly number[];
}

export interface Shrunken extends Groups {
  readonly answer: "shrunken";
  readonly alpha: number;
  readonly beta: number;
  /** α / β, per `per`. */
  readonly priorMean: number;
  readonly logLik: number;
  /** That of one rate for all. */
  readonly pooledLogLik: number;
}

/**
 * The groups differ by no more than chance makes them differ: there is no likeliest finite α, and
 * everybody gets the pooled rate with its exact (Garwood) interval.
 */
export interface Pooled extends Groups {
  readonly answer: "pooled";
  readonly why: "no-events" | "one-group" | "no-spread";
  readonly lower: number;
  readonly upper: number;
}

export type ShrinkRefusal = RateRefusal | "events-without-exposure";

/**
 * Estimates the rates of many groups together.
 *
 * A group without exposure tells nothing and gets what the groups have in common.
 * Refuses: "no-exposure" where no group has any; "events-without-exposure" where a group has events
 * and no exposure, which no rate explains; "confidence-too-high".
 * Errors: RangeError for a count, exposure or setting that cannot be.
 */
export function shrinkRates(observed: readonly Observed[], settings: RateSettings): Shrunken | Pooled | Refused<ShrinkRefusal> {
  for (const [index, { events, exposure }] of observed.entries()) {
    eventCount(events, `the events of group ${index + 1}`);
    exposureOf(exposure, `the exposure of group ${index + 1}`);
  }
  if (observed.some(({ events, exposure }) => exposure === 0 && events > 0)) return refused("events-without-exposure");
  const events = sum(observed.map((one) => one.events));
  const exposure = sum(observed.map((one) => one.exposure));
  const pooled = rateInterval({ events, exposure }, settings);
  if (pooled.answer === "refused") return pooled;
  const told = observed.filter((one) => one.exposure > 0);
  const fit = told.length > 1 && events > 0 ? fitSpread(told, events / exposure) : null;
  if (fit === null) {
    const { rate, lower, upper } = pooled;
    return {
      answer: "pooled",
      why: events === 0 ? "no-events" : told.length === 1 ? "one-group" : "no-spread",
      pooledRate: rate,
      lower,
      upper,
      groups: observed.map((one) => ({ rawRate: raw(one, settings), rate, lower, upper })),
      rankWorstFirst: observed.map((_, index) => index),
    };
  }
  const { alpha, beta } = fit;
  const { per, confidence } = settings;
  const missed = (1 - confidence) / 2;
  const groups = observed.map((one) => {
    const limit = (p: number) => gammaQuantile(p, alpha + one.events, beta + one.exposure) * per;
    return {
      rawRate: raw(one, settings),
      rate: ((alpha + one.events) / (beta + one.exposure)) * per,
      lower: limit(missed),
      upper: limit(1 - missed),
    };
  });
  return {
    answer: "shrunken",
    alpha,
    beta,
    priorMean: (alpha / beta) * per,
    logLik: logLik(told, alpha, beta),
    pooledLogLik: pooledLogLik(told, events / exposure),
    pooledRate: pooled.rate,
    groups,
    rankWorstFirst: groups
      .map(({ rate }, index) => ({ rate, index }))
      .sort((a, b) => b.rate - a.rate || a.index - b.index)
      .map(({ index }) => index),
  };
}

function raw({ events, exposure }: Observed, { per }: RateSettings): number | null {
  return exposure === 0 ? null : (events / exposure) * per;
}

/** α from so small that hardly any group ever fails, to so large that the groups hardly differ. */
const LEAST_LOG_ALPHA = Math.log(1e-4);
const MOST_LOG_ALPHA = Math.log(1e7);
const STEPS = 100;

/** The likeliest α and β, or `null` where likelihood only grows as α does. */
function fitSpread(observed: readonly Observed[], pooledRate: number): { alpha: number; beta: number } | null {
  const profile = (logAlpha: number) => {
    const alpha = Math.exp(logAlpha);
    return { alpha, beta: alpha / likeliestMean(observed, alpha, pooledRate) };
  };
  // The likelihood may have more than one peak in theory, so the whole range is looked over first.
  const rounding = 1e-9 + 1e-14 * sum(observed.map((one) => one.events));
  let best = { at: -1, logLik: pooledLogLik(observed, pooledRate) };
  const at = (step: number) => LEAST_LOG_ALPHA + ((MOST_LOG_ALPHA - LEAST_LOG_ALPHA) * step) / STEPS;
  for (let step = 0; step <= STEPS; step += 1) {
    const { alpha, beta } = profile(at(step));
    const here = logLik(observed, alpha, beta);
    if (here > best.logLik + rounding) best = { at: step, logLik: here };
  }
  if (best.at === -1 || best.at === STEPS) return null;
  // Between its neighbours the slope falls through 0 once.
  let low = at(Math.max(0, best.at - 1));
  let high = at(best.at + 1);
  for (let step = 0; step < 60; step += 1) {
    const middle = (low + high) / 2;
    const { alpha, beta } = profile(middle);
    if (slope(observed, alpha, beta) > 0) low = middle;
    else high = middle;
  }
  return profile((low + high) / 2);
}

/** For a given α the mean m that solves Σ (c - m T) / (1 + m T / α) = 0; the sum falls as m grows. */
function likeliestMean(observed: readonly Observed[], alpha: number, pooledRate: number): number {
  const over = (m: number) => sum(observed.map(({ events, exposure }) => (events - m * exposure) / (1 + (m * exposure) / alpha)));
  let low = Math.log(pooledRate) - 1;
  let high = Math.log(pooledRate) + 1;
  while (over(Math.exp(low)) < 0) low -= 2;
  while (over(Math.exp(high)) > 0) high += 2;
  for (let step = 0; step < 60 && high - low > 1e-15; step += 1) {
    const middle = (low + high) / 2;
    if (over(Math.exp(middle)) > 0) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2);
}

function logLik(observed: readonly Observed[], alpha: number, beta: number): number {
  return sum(
    observed.map(({ events: c, exposure: T }) => risingLog(alpha, c) - gammaln(c + 1) - alpha * Math.log1p(T / beta) - c * Math.log1p(beta / T)),
  );
}

/**
 * How the log likelihood changes with α where α / β is the likeliest mean for it. The part that comes
 * by the mean is 0 there, which is what made it the likeliest.
 */
function slope(observed: readonly Observed[], alpha: number, beta: number): number {
  return sum(observed.map(({ events, exposure }) => risingSlope(alpha, events) - Math.log1p(exposure / beta)));
}

function pooledLogLik(observed: readonly Observed[], rate: number): number {
  return sum(observed.map(({ events: c, exposure: T }) => c * Math.log(rate * T) - rate * T - gammaln(c + 1)));
}

/** lnΓ(a + c) - lnΓ(a), which at a large a is the small difference of two large numbers. */
function risingLog(a: number, c: number): number {
  if (c <= 64) {
    let total = 0;
    for (let i = 0; i < c; i += 1) total += Math.log(a + i);
    return total;
  }
  if (a < 16) return gammaln(a + c) - gammaln(a);
  const stirling = (x: number) => (1 / 12 - (1 / 360 - (1 / 1260 - 1 / (1680 * x * x)) / (x * x)) / (x * x)) / x;
  return (a + c - 0.5) * Math.log1p(c / a) + c * Math.log(a) - c + stirling(a + c) - stirling(a);
}

/** ψ(a + c) - ψ(a), its derivative. */
function risingSlope(a: number, c: number): number {
  if (c > 64) return digamma(a + c) - digamma(a);
  let total = 0;
  for (let i = 0; i < c; i += 1) total += 1 / (a + i);
  return total;
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
