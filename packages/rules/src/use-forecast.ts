/**
 * How soon so many more dives, or minutes, are used up on one component: the present level of its use
 * (use-level.ts), the exact law of reaching a count (first-passage.ts), the season's clock.
 *
 * A count that comes in bunches does not stop at the limit: the bunch that reaches it passes it, by
 * (φ - 1)/2 on the average (for counts of whole dives), and the time to it is that of the passed
 * count. Source of that: renewal theory, Feller, An Introduction to Probability Theory II (1971), XI.4.
 */
import { passageChance } from "./first-passage.ts";
import type { WeightedRate } from "./first-passage.ts";
import { firstDayWhere } from "./season.ts";
import type { SeasonClock } from "./season.ts";
import { presentLevel } from "./use-level.ts";
import { blockExposures } from "./use-rate.ts";
import type { KindPrior, Measure, PastUse } from "./use-rate.ts";

export interface ForecastSettings {
  /** The share of forecasts that should fall in their interval. */
  readonly share: number;
  /** What lies further ahead is "beyond", days. */
  readonly horizonDays: number;
  /** How long the use of a component stays at one level before something changes it, days. */
  readonly daysBetweenChanges: number;
}

export const FORECAST_SETTINGS: ForecastSettings = {
  share: 0.8,
  horizonDays: 730,
  daysBetweenChanges: 1000, // common practice: a set keeps its place in the fleet for some seasons
};

export interface UseForecast {
  /** Counts a day, over a year round, at the present level. */
  readonly perDay: number;
  /** How much of what is said rests on the kind rather than on this component: 1 = all, 0 = nothing. */
  readonly borrowed: number;
  /** The chance that so much more is used up by an exposure from today, as a function of it. */
  readonly chanceOf: (remaining: number) => (exposure: number) => number;
}

/** Looks ahead from a component's past and its kind. */
export function useForecast(past: PastUse, measure: Measure, prior: KindPrior, clock: SeasonClock, daysBetweenChanges: number): UseForecast {
  const levels = presentLevel(past[measure], blockExposures(past, clock), prior, daysBetweenChanges);
  const over = (of: (level: WeightedRate) => number) => levels.reduce((total, level) => total + level.weight * of(level), 0);
  return {
    perDay: over(({ shape, exposure }) => shape / exposure),
    borrowed: over(({ exposure }) => prior.exposure / exposure),
    chanceOf: (remaining) => passageChance(levels, remaining + (remaining > 0 ? (prior.dispersion - 1) / 2 : 0), prior.dispersion),
  };
}

/** The first day from today by which a chance has grown so far, for each of the shares; `null` = not within the horizon. */
export function daysByChance(chance: (exposure: number) => number, clock: SeasonClock, shares: readonly number[]): readonly (number | null)[] {
  return shares.map((share) => firstDayWhere(clock, (exposure) => chance(exposure) >= share));
}
