/**
 * Asks the forecasts of the past: on that day, with so many dives left, when would they have been used
 * up? Each answer is made from what was known by the end of its day alone, then held against what
 * came, beside three baselines that anyone could work out by hand.
 *
 * Baselines: the mean of the component's whole past, and of its last 28 days, each without season
 * (gamma with shape count + 1/2 and that many days); and the same days a year ago, over and over,
 * which is one number and has no width.
 * Units: days after the day asked. What takes longer than the cap counts as the cap.
 * Source: rolling origin evaluation, Tashman, International Journal of Forecasting 16:437 (2000).
 */
import { addDays, daysBetween } from "./calendar.ts";
import type { Day } from "./calendar.ts";
import { firstPassage } from "./first-passage.ts";
import { scoreForecasts } from "./forecast-scoring.ts";
import type { ForecastScores, Scored } from "./forecast-scoring.ts";
import { refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";
import { seasonClock } from "./season.ts";
import type { SeasonClock } from "./season.ts";
import { daysByChance, sharesOf, useForecast } from "./use-forecast.ts";
import type { ForecastSettings } from "./use-forecast.ts";
import { fitUse, pastUse, useOfKind } from "./use-rate.ts";
import type { FleetUse, UseHistory } from "./use-rate.ts";

export interface PastComponent {
  readonly kind: string;
  readonly history: UseHistory;
}

/** One question: on this day, with so many dives left on a component (its position in the list), how long? */
export interface PastQuestion {
  readonly component: number;
  readonly asOf: Day;
  readonly remaining: number;
}

/** Days from the day asked, none more than the cap. */
export type DaysSaid = Omit<Scored, "actual">;

/** A question with its answer, and what the baselines would have said. */
export interface Marked extends PastQuestion {
  readonly actual: number;
  readonly said: DaysSaid;
  readonly baselines: Readonly<Record<Baseline, DaysSaid>>;
}

export type Baseline = "lifetimeMean" | "lastFourWeeks" | "sameDaysLastYear";
const BASELINES: readonly Baseline[] = ["lifetimeMean", "lastFourWeeks", "sameDaysLastYear"];

export interface Backtest {
  readonly answer: "told";
  /** One for each question that has its answer by now, in the order asked. */
  readonly marked: readonly Marked[];
  /** How many questions nobody can mark yet: not used up, and the cap has not passed. */
  readonly open: number;
  readonly scores: ForecastComparison;
}

export type ForecastComparison = Readonly<Record<"forecast" | Baseline, ForecastScores>>;

/**
 * Puts the questions and marks the answers by what is known on `today`. `horizonDays` is the cap.
 *
 * Refuses: "no-forecasts" where no question has its answer yet.
 * Errors: RangeError for a question about a component that is not there, or with nothing left to use.
 */
export function backtest(components: readonly PastComponent[], questions: readonly PastQuestion[], settings: ForecastSettings, today: Day): Backtest | Refused<"no-forecasts"> {
  const marked = markPast(components, questions, settings, today);
  const scores = compareForecasts(marked, settings.share);
  return scores === null ? refused("no-forecasts") : { answer: "told", marked, open: questions.length - marked.length, scores };
}

/** Puts and marks the questions that have their answers by now. Errors as `backtest`. */
export function markPast(components: readonly PastComponent[], questions: readonly PastQuestion[], settings: ForecastSettings, today: Day): readonly Marked[] {
  const seenOn = new Map<Day, { readonly fleet: FleetUse; readonly clock: SeasonClock }>();
  const days = components.map(({ history }) => new UseDays(history));
  return questions.flatMap((question) => {
    const component = components[question.component];
    const used = days[question.component];
    if (component === undefined || used === undefined) throw new RangeError(`There is no component ${question.component} to ask about.`);
    if (!(question.remaining > 0)) throw new RangeError(`With ${question.remaining} dives left there is nothing to forecast.`);
    const actual = markOf(used, question, settings.horizonDays, today);
    if (actual === null) return [];
    let seen = seenOn.get(question.asOf);
    if (seen === undefined) {
      const fleet = fitUse(components, question.asOf);
      seen = { fleet, clock: seasonClock(fleet.season, question.asOf, settings.horizonDays) };
      seenOn.set(question.asOf, seen);
    }
    return [{ ...question, actual, said: sayDays(component, question, seen, settings), baselines: sayByHand(used, question, settings) }];
  });
}

/** Scores marked forecasts beside the baselines; `null` where there are none. */
export function compareForecasts(marked: readonly Marked[], share: number): ForecastComparison | null {
  const scored = (said: (one: Marked) => DaysSaid) => scoreForecasts(marked.map((one) => ({ actual: one.actual, ...said(one) })), 1 - share);
  const forecast = scored((one) => one.said);
  const [lifetimeMean, lastFourWeeks, sameDaysLastYear] = BASELINES.map((name) => scored((one) => one.baselines[name]));
  if (forecast.answer === "refused" || lifetimeMean?.answer !== "scored" || lastFourWeeks?.answer !== "scored" || sameDaysLastYear?.answer !== "scored") return null;
  return { forecast, lifetimeMean, lastFourWeeks, sameDaysLastYear };
}

/** What the forecast says on the day asked. With no use seen at the whole site it knows nothing, and says so by the whole range. */
function sayDays(component: PastComponent, { asOf, remaining }: PastQuestion, { fleet, clock }: { fleet: FleetUse; clock: SeasonClock }, settings: ForecastSettings): DaysSaid {
  const cap = settings.horizonDays;
  const prior = useOfKind(fleet, component.kind).dives;
  if (prior === null) return { lower: 1, middle: cap, upper: cap };
  const { chanceOf } = useForecast(pastUse(component.history, asOf), "dives", prior, clock, settings);
  const [lower, middle, upper] = daysByChance(chanceOf(remaining), clock, sharesOf(settings));
  return { lower: lower ?? cap, middle: middle ?? cap, upper: upper ?? cap };
}

/** What came: days until the count was reached, the cap when it took longer; `null` = not known yet. */
function markOf(used: UseDays, { asOf, remaining }: PastQuestion, cap: number, today: Day): number | null {
  const reached = used.dayReaching(asOf, remaining, today);
  if (reached !== null) return Math.min(cap, daysBetween(asOf, reached));
  return daysBetween(asOf, today) >= cap ? cap : null;
}

const RECENT_DAYS = 28;
const YEAR = 365;

function sayByHand(used: UseDays, { asOf, remaining }: PastQuestion, settings: ForecastSettings): Marked["baselines"] {
  const cap = settings.horizonDays;
  const fromMean = (days: number): DaysSaid => {
    const rate = { shape: used.between(addDays(asOf, 1 - days), asOf) + 0.5, exposure: days };
    const [lower, middle, upper] = sharesOf(settings).map((share) => {
      const passage = firstPassage(rate, remaining, [share]);
      return passage.answer === "told" ? Math.min(cap, Math.ceil(passage.exposures[0]!)) : cap;
    });
    return { lower: lower!, middle: middle!, upper: upper! };
  };
  const lastYear = Math.min(cap, used.daysRepeatingYear(asOf, remaining) ?? cap);
  return {
    lifetimeMean: fromMean(Math.max(1, used.daysUpTo(asOf))),
    lastFourWeeks: fromMean(RECENT_DAYS),
    sameDaysLastYear: { lower: lastYear, middle: lastYear, upper: lastYear },
  };
}

/** The dives of one component, in order and added up. */
class UseDays {
  private readonly days: readonly Day[];
  /** Dives up to and including each of the days. */
  private readonly sums: readonly number[];
  private readonly since: Day | null;

  constructor({ since, uses }: UseHistory) {
    const sorted = [...uses].sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0));
    this.days = sorted.map(({ on }) => on);
    let sum = 0;
    this.sums = sorted.map(({ dives }) => (sum += dives));
    const first = this.days[0] ?? null;
    this.since = since === null || (first !== null && first < since) ? first : since;
  }

  /** Dives up to and including a day. */
  upTo(on: Day): number {
    let [low, high] = [0, this.days.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.days[middle]! <= on) low = middle + 1;
      else high = middle;
    }
    return low === 0 ? 0 : this.sums[low - 1]!;
  }

  /** Dives from one day to another, both included. */
  between(from: Day, to: Day): number {
    return this.upTo(to) - this.upTo(addDays(from, -1));
  }

  daysUpTo(on: Day): number {
    return this.since === null ? 0 : daysBetween(this.since, on) + 1;
  }

  /** The day by which so many dives more were made after a day, looking no further than the last. */
  dayReaching(after: Day, dives: number, last: Day): Day | null {
    const target = this.upTo(after) + dives;
    const at = this.sums.findIndex((sum) => sum >= target);
    const reached = at === -1 ? undefined : this.days[at];
    return reached !== undefined && reached <= last ? reached : null;
  }

  /** How many days so many dives take if the last year comes again and again; `null` = nothing came in it. */
  daysRepeatingYear(asOf: Day, dives: number): number | null {
    const start = addDays(asOf, -YEAR);
    const ofYear = this.between(addDays(start, 1), asOf);
    if (ofYear === 0) return null;
    const years = Math.ceil(dives / ofYear) - 1;
    const reached = this.dayReaching(start, dives - years * ofYear, asOf);
    return reached === null ? null : years * YEAR + daysBetween(start, reached);
  }
}
