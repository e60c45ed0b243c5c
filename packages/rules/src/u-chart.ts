/**
 * The u-chart: the rate of each month against what the mean of all months and chance allow, each
 * month by its own exposure.
 *
 * Units: rates per `per` of exposure.
 * Formula: ū = Σc / ΣT. Sigma limits: ū ± s √(ū / T), not below 0. Probability limits, in counts: the
 * largest count that is not surprising, the smallest c with P(X > c) <= α/2 for X Poisson with mean
 * ū T, and the smallest, the smallest c with P(X <= c) >= α/2; a month signals ABOVE the one or BELOW
 * the other. At a few faults a month the sigma limits cry wolf, so the probability limits judge; the
 * sigma limits are kept for who knows them.
 * Source: Montgomery, Introduction to Statistical Quality Control, on charts for defects; α = 0.0027 is
 * what three sigma miss of a normal distribution.
 */
import { poissonQuantile, poissonUpperQuantile } from "./distributions.ts";
import type { Observed } from "./fault-rates.ts";
import { between, eventCount, exposureOf, properShare, refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";

export interface UChartSettings {
  readonly per: number;
  readonly sigma: number;
  readonly alpha: number;
}

export interface UPoint {
  readonly rate: number;
  readonly upperLimit: number;
  readonly lowerLimit: number;
  /** Counts: still no surprise. */
  readonly mostExpected: number;
  readonly leastExpected: number;
  readonly signalSigma: boolean;
  readonly signal: "above" | "below" | null;
}

export interface UChart {
  readonly answer: "chart";
  readonly meanRate: number;
  /** One for each given, `null` where there was no exposure: a gap, not a zero. */
  readonly points: readonly (UPoint | null)[];
}

/**
 * Charts counts over time. Events without exposure are in no rate, so not in the mean either.
 * Refuses: "no-exposure" where nothing given has any.
 * Errors: RangeError for a count, exposure or setting that cannot be.
 */
export function uChart(observed: readonly Observed[], { per, sigma, alpha }: UChartSettings): UChart | Refused<"no-exposure"> {
  between(per, 1e-9, 1e9, "the exposure a rate is told per");
  between(sigma, 0, 100, "the width of the limits in deviations");
  properShare(alpha, "the share of false signals");
  let [events, exposure] = [0, 0];
  for (const [index, one] of observed.entries()) {
    eventCount(one.events, `the events of point ${index + 1}`);
    exposureOf(one.exposure, `the exposure of point ${index + 1}`);
    if (one.exposure > 0) [events, exposure] = [events + one.events, exposure + one.exposure];
  }
  if (exposure === 0) return refused("no-exposure");
  const mean = events / exposure;
  const point = ({ events: c, exposure: T }: Observed): UPoint => {
    const width = sigma * Math.sqrt(mean / T);
    const [upperLimit, lowerLimit] = [mean + width, Math.max(0, mean - width)];
    const mostExpected = poissonUpperQuantile(alpha / 2, mean * T);
    const leastExpected = poissonQuantile(alpha / 2, mean * T);
    return {
      rate: (c / T) * per,
      upperLimit: upperLimit * per,
      lowerLimit: lowerLimit * per,
      mostExpected,
      leastExpected,
      signalSigma: c / T > upperLimit || c / T < lowerLimit,
      signal: c > mostExpected ? "above" : c < leastExpected ? "below" : null,
    };
  };
  return { answer: "chart", meanRate: mean * per, points: observed.map((one) => (one.exposure === 0 ? null : point(one))) };
}
