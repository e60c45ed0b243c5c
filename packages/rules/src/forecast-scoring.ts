/**
 * How good forecasts were, once it is known what happened.
 *
 * Formulas, for a truth y and a forecast q of its quantile at level τ: pinball loss (τ - [y < q])(y - q),
 * least on average for the true quantile. Interval score at 1 - α: width + (2/α) × how far the truth
 * lies outside. Coverage: the share of truths in their intervals, ends included. Bias: mean of middle
 * less truth, so above 0 = said too late. Skill: 1 - the middle's loss over that of a baseline.
 * Units: those of the forecasts.
 * Source: Gneiting and Raftery, Journal of the American Statistical Association 102:359 (2007).
 */
import { properShare, refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";

/** One forecast with what came of it. */
export interface Scored {
  readonly actual: number;
  readonly lower: number;
  readonly middle: number;
  readonly upper: number;
}

export interface ForecastScores {
  readonly answer: "scored";
  readonly count: number;
  readonly coverage: number;
  readonly meanWidth: number;
  readonly pinballLow: number;
  readonly pinballMiddle: number;
  readonly pinballHigh: number;
  /** Mean of the three. */
  readonly pinball: number;
  readonly intervalScore: number;
  readonly meanMiss: number;
  readonly medianMiss: number;
  readonly bias: number;
}

/**
 * Scores intervals that leave `outside` (α) out, half on either side.
 *
 * Refuses: "no-forecasts". Errors: RangeError for a number that is none, or a middle outside its interval.
 */
export function scoreForecasts(forecasts: readonly Scored[], outside: number): ForecastScores | Refused<"no-forecasts"> {
  properShare(outside, "the share left outside the interval");
  for (const [index, one] of forecasts.entries()) check(one, index);
  if (forecasts.length === 0) return refused("no-forecasts");
  const mean = (of: (one: Scored) => number) => forecasts.reduce((total, one) => total + of(one), 0) / forecasts.length;
  const pinballLow = mean((one) => pinball(one.actual, one.lower, outside / 2));
  const pinballMiddle = mean((one) => pinball(one.actual, one.middle, 0.5));
  const pinballHigh = mean((one) => pinball(one.actual, one.upper, 1 - outside / 2));
  const misses = forecasts.map((one) => Math.abs(one.actual - one.middle)).sort((a, b) => a - b);
  return {
    answer: "scored",
    count: forecasts.length,
    coverage: mean(({ actual, lower, upper }) => (actual >= lower && actual <= upper ? 1 : 0)),
    meanWidth: mean(({ lower, upper }) => upper - lower),
    pinballLow,
    pinballMiddle,
    pinballHigh,
    pinball: (pinballLow + pinballMiddle + pinballHigh) / 3,
    intervalScore: mean(({ actual, lower, upper }) => upper - lower + (2 / outside) * Math.max(0, lower - actual, actual - upper)),
    meanMiss: mean(({ actual, middle }) => Math.abs(actual - middle)),
    medianMiss: (misses[(misses.length - 1) >> 1]! + misses[misses.length >> 1]!) / 2,
    bias: mean(({ actual, middle }) => middle - actual),
  };
}

/** The loss of saying q for the quantile at a level, when y came. */
export function pinball(actual: number, said: number, level: number): number {
  return (level - (actual < said ? 1 : 0)) * (actual - said);
}

/**
 * What part of a baseline's loss the forecasts save: 1 = all, 0 = none, below 0 = the baseline is better.
 * `null` where the baseline lost nothing, so there is nothing to save.
 */
export function skill(loss: number, baselineLoss: number): number | null {
  return baselineLoss > 0 ? 1 - loss / baselineLoss : null;
}

function check({ actual, lower, middle, upper }: Scored, index: number): void {
  if (![actual, lower, middle, upper].every(Number.isFinite)) throw new RangeError(`Forecast ${index + 1} holds something that is no number.`);
  if (!(lower <= middle && middle <= upper)) {
    throw new RangeError(`Forecast ${index + 1} is out of order: ${lower}, ${middle}, ${upper}; write the lower end, the middle, the upper end.`);
  }
}
