/**
 * How well the forecasts of dives would have held on the centre's own past: asked of every component
 * on a handful of days gone by, marked by what came since.
 *
 * On each day asked, the dives left are the model's limit less those since the last service known then.
 * The mark is when they were used up, had nobody serviced it meanwhile. Only days whose whole window
 * has passed are asked, so nothing is left out for having taken long.
 * Units: days. Source: backtest.ts.
 */
import { compareForecasts, markPast } from "./backtest.ts";
import type { ForecastComparison, Marked, PastQuestion } from "./backtest.ts";
import { addDays, daysBetween } from "./calendar.ts";
import type { Day } from "./calendar.ts";
import type { Dives } from "./measures.ts";
import { refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";
import type { ForecastSettings } from "./use-forecast.ts";
import type { UseHistory } from "./use-rate.ts";

export interface ServedComponent {
  readonly id: string;
  readonly kind: string;
  readonly history: UseHistory;
  /** The model's service limit in dives; `null` = none, so there was nothing to forecast. */
  readonly limit: Dives | null;
  /** The days of its services, in any order. */
  readonly servicedOn: readonly Day[];
}

export interface HeldSettings {
  /** How far each forecast looked ahead, days. */
  readonly windowDays: number;
  /** Days asked, this many days apart, going back from the last whose window has passed. */
  readonly everyDays: number;
  readonly mostDaysAsked: number;
  /** No day is asked before the site had counted for so long, days. */
  readonly leastPastDays: number;
  /** Fewer marked forecasts than this tell nothing. */
  readonly leastForecasts: number;
}

export const HELD_SETTINGS: HeldSettings = { windowDays: 365, everyDays: 91, mostDaysAsked: 8, leastPastDays: 182, leastForecasts: 20 };

export interface HowWellItHeld {
  readonly answer: "told";
  /** The days asked, the latest first. */
  readonly askedOn: readonly Day[];
  /** Forecasts that named a day within the window, and what came: in the interval, before it, after it. */
  readonly forecasts: number;
  readonly inside: number;
  readonly early: number;
  readonly late: number;
  /** `inside` of `forecasts`, beside the share it should be. */
  readonly coverage: number;
  readonly promised: number;
  /** Half of the middles missed by no more than this. */
  readonly medianMiss: number;
  readonly meanWidth: number;
  /** Middles less what came, on the average; above 0 = said too late. */
  readonly bias: number;
  /** Mean pinball loss of the forecasts and of what could be worked out by hand; the lower the better. */
  readonly loss: Readonly<Record<keyof ForecastComparison, number>>;
  /** Forecasts of "not within the window", and how many kept it. Not in the figures above. */
  readonly saidBeyond: number;
  readonly wasBeyond: number;
}

export interface TooFewForecasts extends Refused<"too-few"> {
  readonly forecasts: number;
}

/** Marks the forecasts of the past. Refuses: "too-few", with how many there were. Errors: RangeError for settings that cannot be. */
export function howWellItHeld(components: readonly ServedComponent[], today: Day, settings: Omit<ForecastSettings, "horizonDays">, asking: HeldSettings = HELD_SETTINGS): HowWellItHeld | TooFewForecasts {
  const askedOn = daysAsked(components, today, asking);
  const questions = askedOn.flatMap((asOf) => questionsOn(components, asOf));
  const marked = markPast(components, questions, { ...settings, horizonDays: asking.windowDays }, today);
  // "Not within the window" is neither right nor wrong by days: it is counted by itself.
  const isBeyond = (one: Marked) => one.said.lower >= asking.windowDays;
  const beyond = marked.filter(isBeyond);
  const named = marked.filter((one) => !isBeyond(one));
  const scores = compareForecasts(named, settings.share);
  if (scores === null || named.length < asking.leastForecasts) return { ...refused("too-few"), forecasts: named.length };
  const count = (holds: (one: Marked) => boolean) => named.filter(holds).length;
  const { coverage, medianMiss, meanWidth, bias } = scores.forecast;
  return {
    answer: "told",
    askedOn,
    forecasts: named.length,
    inside: count(({ actual, said }) => actual >= said.lower && actual <= said.upper),
    early: count(({ actual, said }) => actual < said.lower),
    late: count(({ actual, said }) => actual > said.upper),
    coverage,
    promised: settings.share,
    medianMiss,
    meanWidth,
    bias,
    loss: {
      forecast: scores.forecast.pinball,
      lifetimeMean: scores.lifetimeMean.pinball,
      lastFourWeeks: scores.lastFourWeeks.pinball,
      sameDaysLastYear: scores.sameDaysLastYear.pinball,
    },
    saidBeyond: beyond.length,
    wasBeyond: beyond.filter(({ actual }) => actual >= asking.windowDays).length,
  };
}

function daysAsked(components: readonly ServedComponent[], today: Day, { windowDays, everyDays, mostDaysAsked, leastPastDays }: HeldSettings): readonly Day[] {
  for (const [what, days] of Object.entries({ windowDays, everyDays, mostDaysAsked })) {
    if (!Number.isSafeInteger(days) || days < 1) throw new RangeError(`${days} will not do for ${what}: write a whole number from 1.`);
  }
  const first = components.reduce<Day | null>((earliest, { history: { since } }) => (since !== null && (earliest === null || since < earliest) ? since : earliest), null);
  if (first === null) return [];
  return Array.from({ length: mostDaysAsked }, (_, index) => addDays(today, -windowDays - index * everyDays)).filter((asOf) => daysBetween(first, asOf) >= leastPastDays);
}

function questionsOn(components: readonly ServedComponent[], asOf: Day): readonly PastQuestion[] {
  return components.flatMap(({ history, limit, servicedOn }, component) => {
    if (limit === null || history.since === null || history.since > asOf) return [];
    const service = servicedOn.reduce<Day | null>((last, on) => (on <= asOf && (last === null || on > last) ? on : last), null);
    let used = 0;
    for (const { on, dives } of history.uses) if (on <= asOf && (service === null || on > service)) used += dives;
    return used < limit ? [{ component, asOf, remaining: limit - used }] : [];
  });
}
