/** How well forecasts held, in sentences. */
import type { HeldAnswer } from "@hangrail/api/plan-view";
import { countText, numberText } from "../../../../format.ts";

type Told = Extract<HeldAnswer, { answer: "told" }>;

const percent = (share: number): string => `${Math.round(100 * share)} %`;

/** A share of so many may differ from the promised by that much through luck alone: two standard deviations. */
export function couldBeLuck({ coverage, promised, forecasts }: Pick<Told, "coverage" | "promised" | "forecasts">): boolean {
  return Math.abs(coverage - promised) <= 2 * Math.sqrt((promised * (1 - promised)) / forecasts);
}

/** Whether the intervals kept what they promise. */
export function coverageText(held: Told): string {
  const { inside, early, late, forecasts, coverage, promised } = held;
  const count = `Of ${countText(forecasts, "forecast")}, ${numberText(inside)} held: ${percent(coverage)}, where ${percent(promised)} is promised.`;
  const missed = `${countText(early, "set of dives", "sets of dives")} ran out earlier than said, ${numberText(late)} later.`;
  const verdict = couldBeLuck(held) ? "That is as promised, as far as so many can tell." : coverage > promised ? "That is more than promised: the intervals could be narrower." : tooFew(early, late);
  return `${count} ${verdict} ${missed}`;
}

/** Too few held; which way they missed decides what follows from it. */
function tooFew(early: number, late: number): string {
  return early > late
    ? "That is too few, and to the unsafe side: plan on the earliest day, and look again more often."
    : "That is too few, but to the safe side: dives lasted longer than said, so life was thrown away and no set hired past its limit.";
}

/** Whether a forecast is worth more than what anybody could work out by hand. */
export function againstNaiveText({ loss }: Told): string {
  const best = Math.min(loss.lifetimeMean, loss.lastFourWeeks, loss.sameDaysLastYear);
  if (loss.forecast <= best) return `By hand it could not have been done better: the best of the simple ways is off by ${daysOff(best)}, the forecasts by ${daysOff(loss.forecast)}.`;
  return `A simple way would have done better: it is off by ${daysOff(best)}, the forecasts by ${daysOff(loss.forecast)}. Trust them less until more is counted.`;
}

/** Pinball loss has no everyday name: days off, a miss to the costly side weighing more. */
export const daysOff = (loss: number): string => `${loss.toFixed(1)} days`;

export function missText({ medianMiss, bias }: Told): string {
  const side = Math.abs(bias) < 1 ? "neither too early nor too late on the whole" : `${Math.abs(bias).toFixed(0)} days too ${bias > 0 ? "late" : "early"} on the whole`;
  return `Half of the most likely days were right within ${Math.round(medianMiss)} days, ${side}.`;
}

export function tooFewText(forecasts: number): string {
  return forecasts === 0
    ? "Too little history: no forecast made so far back can be marked yet. A year of hires after the first half year tells the first."
    : `Too little history: only ${countText(forecasts, "forecast")} can be marked, and so few tell nothing.`;
}

/** The ways of forecasting, the lower the better. */
export function lossRows({ loss }: Told): readonly { readonly name: string; readonly days: number; readonly what: string }[] {
  return [
    { name: "these forecasts", days: loss.forecast, what: "use, season and others of its kind together" },
    { name: "since in use", days: loss.lifetimeMean, what: "the average of its whole time in use" },
    { name: "last four weeks", days: loss.lastFourWeeks, what: "as many dives a week as in the last four" },
    { name: "a year before", days: loss.sameDaysLastYear, what: "as many dives as in the same days of the year before" },
  ];
}
