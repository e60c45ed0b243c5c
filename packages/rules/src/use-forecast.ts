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
import { between, properShare } from "./refusal.ts";
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
  /** How far a level strays by itself from what the past shows of it, as a share of it (one deviation). */
  readonly wander: number;
}

export const FORECAST_SETTINGS: ForecastSettings = {
  share: 0.8,
  horizonDays: 730,
  daysBetweenChanges: 1000, // common practice: a set keeps its place in the fleet for some seasons
  wander: 0.1, // without it 90 % intervals held 88 % on simulated fleets whose levels change and lie idle; with it, 90 %
};

/** The levels of an interval's lower end, middle and upper end. */
export function sharesOf({ share }: Pick<ForecastSettings, "share">): readonly [number, number, number] {
  properShare(share, "the share of forecasts in their interval");
  return [(1 - share) / 2, 0.5, (1 + share) / 2];
}

export interface UseForecast {
  /** Counts a day, over a year round, at the present level. */
  readonly perDay: number;
  /** How much of what is said rests on the kind rather than on this component: 1 = all, 0 = nothing. */
  readonly borrowed: number;
  /** The chance that so much more is used up by an exposure from today, as a function of it. */
  readonly chanceOf: (remaining: number) => (exposure: number) => number;
}

/** Looks ahead from a component's past and its kind. */
export function useForecast(past: PastUse, measure: Measure, prior: KindPrior, clock: SeasonClock, { daysBetweenChanges, wander }: ForecastSettings): UseForecast {
  between(wander, 0, 10, "how far a level strays");
  const seen = presentLevel(past[measure], blockExposures(past, clock), prior, daysBetweenChanges);
  const levels = seen.map((level) => strayed(level, wander, prior.dispersion));
  const over = (of: (level: WeightedRate) => number) => levels.reduce((total, level) => total + level.weight * of(level), 0);
  return {
    perDay: over(({ shape, exposure }) => shape / exposure),
    borrowed: seen.reduce((total, { weight, exposure }) => total + (weight * prior.exposure) / exposure, 0),
    chanceOf: (remaining) => passageChance(levels, remaining + (remaining > 0 ? (prior.dispersion - 1) / 2 : 0), prior.dispersion),
  };
}

/** The same mean with so much more spread: of shape a, the squared spread of a level is φ / a, and becomes φ / a + wander². */
function strayed(level: WeightedRate, wander: number, dispersion: number): WeightedRate {
  const kept = 1 / (1 + (wander ** 2 * level.shape) / dispersion);
  return { weight: level.weight, shape: level.shape * kept, exposure: level.exposure * kept };
}

/**
 * The first day from today by which a chance has grown so far, for each of the shares, which rise;
 * `null` = not by the last day looked at.
 *
 * Asking for a chance is what costs, so the search guesses along a straight line, halves where that
 * did not get it far, and starts from what the share before has found.
 */
export function daysByChance(chance: (exposure: number) => number, clock: SeasonClock, shares: readonly number[], last = clock.ahead.length - 1): readonly (number | null)[] {
  const at = (day: number) => chance(clock.ahead[day]!);
  const end = at(last);
  // Days asked so far, in order, with their chances.
  const days = [0, last];
  const chances = [at(0), end];
  return shares.map((share) => {
    if (end < share) return null;
    for (;;) {
      const above = chances.findIndex((known) => known >= share);
      const [low, high] = [days[above - 1], days[above]!];
      if (low === undefined || high - low === 1) return high;
      const along = (share - chances[above - 1]!) / (chances[above]! - chances[above - 1]!);
      // A guess on the line, kept off the ends: a steep chance would else be crept up to day by day.
      const day = low + Math.max(1, Math.min(high - low - 1, Math.round((high - low) * Math.min(0.9, Math.max(0.1, along)))));
      days.splice(above, 0, day);
      chances.splice(above, 0, at(day));
    }
  });
}
