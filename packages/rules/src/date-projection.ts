/**
 * The day a limit is reached: the exposure still needed, laid out over the days of the calendar.
 *
 * Rule: each day after today counts as the season's weight of its month; the day is the first whose
 * running sum reaches the exposure needed. With nothing left to use, it is today.
 * Units: exposure as in the rate; days of the calendar, so no summer time shifts them.
 * Source: first-passage.ts for the exposure; the layout is a definition. Check values: R.
 */
import { addDays } from "./calendar.ts";
import type { Day } from "./calendar.ts";
import type { GammaRate } from "./count-prediction.ts";
import { firstPassage } from "./first-passage.ts";
import type { Refused } from "./refusal.ts";
import { daysToReach } from "./season.ts";
import type { SeasonClock } from "./season.ts";

export interface DateProjection {
  readonly answer: "told";
  readonly exposuresNeeded: readonly number[];
  /** One for each chance asked; `null` = not within the clock's horizon. */
  readonly days: readonly (Day | null)[];
  readonly alreadyReached: boolean;
}

/** Projects when `remaining` more events have come, with each of the chances asked. Refuses and throws as `firstPassage`. */
export function projectDates(rate: GammaRate, remaining: number, chances: readonly number[], clock: SeasonClock, dispersion = 1): DateProjection | Refused<"never"> {
  const needed = firstPassage(rate, remaining, chances, dispersion);
  if (needed.answer === "refused") return needed;
  return {
    answer: "told",
    exposuresNeeded: needed.exposures,
    days: needed.exposures.map((exposure) => {
      const ahead = daysToReach(clock, exposure);
      return ahead === null ? null : addDays(clock.today, ahead);
    }),
    alreadyReached: remaining <= 0,
  };
}
