/**
 * The season of a site, as a clock that runs faster in the months of more diving.
 *
 * Each month of the year has a weight; 1 = as much use as the average day of the year. A day of a
 * month counts as that much exposure, so that use per exposure is level all the year and a rate
 * learnt in winter holds in summer. Days are days of the calendar, so no summer time shifts them.
 *
 * Source: the ratio-to-level seasonal index of the textbooks (Makridakis, Wheelwright and Hyndman,
 * Forecasting, 1998), with each index drawn towards 1 by a gamma prior.
 */
import { addDays } from "./calendar.ts";
import type { Day } from "./calendar.ts";

/** Twelve weights, January first, none below 0. */
export type Season = readonly number[];

/** Every month alike. */
export const FLAT_SEASON: Season = Array.from({ length: 12 }, () => 1);

/** What is older than this is not looked at: three round years, so that every month is in it equally often. */
export const LOOK_BACK_DAYS = 1092;

const DAYS_OF_MONTH = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/** Exposure on both sides of a day. */
export interface SeasonClock {
  readonly today: Day;
  readonly season: Season;
  /** Exposure of the days after today, up to so many days ahead; `ahead[0]` = 0. */
  readonly ahead: Float64Array;
  /** Exposure of the last so many days, today being the first of them; `behind[0]` = 0. */
  readonly behind: Float64Array;
}

/**
 * Sets the clock at a day.
 *
 * Errors: RangeError for a season that is no twelve weights from 0, or a horizon that is no whole
 * number of days from 1.
 */
export function seasonClock(season: Season, today: Day, horizonDays: number, backDays = LOOK_BACK_DAYS): SeasonClock {
  if (season.length !== 12 || !season.every((weight) => weight >= 0 && weight < Infinity)) {
    throw new RangeError(`A season is twelve weights from 0, January first; this is [${season.join(", ")}].`);
  }
  if (!Number.isSafeInteger(horizonDays) || horizonDays < 1) {
    throw new RangeError(`${horizonDays} will not do for how far to look ahead: write a whole number of days from 1.`);
  }
  const months = monthsFrom(addDays(today, 1 - backDays), backDays + horizonDays);
  const ahead = new Float64Array(horizonDays + 1);
  const behind = new Float64Array(backDays + 1);
  for (let k = 1; k <= horizonDays; k += 1) ahead[k] = ahead[k - 1]! + season[months[backDays + k - 1]!]!;
  for (let k = 1; k <= backDays; k += 1) behind[k] = behind[k - 1]! + season[months[backDays - k]!]!;
  return { today, season, ahead, behind };
}

/** The month, 0 = January, of so many days one after another. */
export function monthsFrom(first: Day, days: number): Uint8Array {
  const months = new Uint8Array(days);
  let at = 0;
  let month = monthOf(first);
  let next = firstOfNextMonth(first);
  while (at < days) {
    const until = Math.min(days, at + next.days);
    months.fill(month, at, until);
    at = until;
    if (at >= days) break;
    month = (month + 1) % 12;
    next = firstOfNextMonth(next.day);
  }
  return months;
}

/** 0 = January. */
export function monthOf(on: Day): number {
  return Number(on.slice(5, 7)) - 1;
}

/** Sums of exposure carry rounding; a day that falls short by no more has reached it. */
const ROUNDING = 1e-9;

/** How many days after today the exposure is reached: 0 for none needed, `null` = not within the clock's horizon. */
export function daysToReach(clock: SeasonClock, exposure: number): number | null {
  return firstDayWhere(clock, (gone) => gone >= exposure * (1 - ROUNDING));
}

/** The first day, counted from today, at which a test of the exposure gone holds that holds from there on. */
export function firstDayWhere({ ahead }: SeasonClock, holds: (exposure: number) => boolean): number | null {
  let high = ahead.length - 1;
  if (!holds(ahead[high]!)) return null;
  let low = 0;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (holds(ahead[middle]!)) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** What one component tells of the season: its use and the days it could have been used, by month of the year. */
export interface MonthsSeen {
  readonly counts: ArrayLike<number>;
  readonly days: ArrayLike<number>;
}

/** How strongly a month is drawn to flat: as if its weight were 1, give or take a half, before a dive is seen. */
const FLAT_SHAPE = 4;
const ROUNDS = 20;

/**
 * Estimates the season from components that were not all there in all months.
 *
 * Formula: in turns, each component's level is its use over its days weighted by the season; each
 * month's weight is (C/φ + k) / (E/φ + k), C the use seen in the month, E what the levels would give
 * were every month alike, k = 4 and φ the dispersion of the counts; then the weights are scaled to a
 * mean of 1 over the days of a year.
 * Answer: flat where nothing was used.
 */
export function estimateSeason(components: readonly MonthsSeen[], dispersion: number): Season {
  const seen = new Float64Array(12);
  const totals = components.map(({ counts }) => {
    let total = 0;
    for (let month = 0; month < 12; month += 1) {
      seen[month]! += counts[month]!;
      total += counts[month]!;
    }
    return total;
  });
  let season = Array.from(FLAT_SEASON);
  if (totals.every((total) => total === 0)) return season;
  for (let round = 0; round < ROUNDS; round += 1) {
    const flat = new Float64Array(12);
    for (const [index, { days }] of components.entries()) {
      let exposure = 0;
      for (let month = 0; month < 12; month += 1) exposure += season[month]! * days[month]!;
      if (exposure === 0) continue;
      const level = totals[index]! / exposure;
      for (let month = 0; month < 12; month += 1) flat[month]! += level * days[month]!;
    }
    season = scaled(season.map((_, month) => (seen[month]! / dispersion + FLAT_SHAPE) / (flat[month]! / dispersion + FLAT_SHAPE)));
  }
  return season;
}

function scaled(season: readonly number[]): number[] {
  const mean = season.reduce((total, weight, month) => total + weight * DAYS_OF_MONTH[month]!, 0) / 365;
  return season.map((weight) => weight / mean);
}

function firstOfNextMonth(on: Day): { day: Day; days: number } {
  // The 28th exists in every month, and four days later it is the next one.
  const later = addDays(`${on.slice(0, 8)}28` as Day, 4);
  const day = `${later.slice(0, 8)}01` as Day;
  const month = monthOf(on);
  const lastDate = month === 1 ? 32 - Number(later.slice(8)) : DAYS_OF_MONTH[month]!;
  return { day, days: lastDate - Number(on.slice(8)) + 1 };
}
