/**
 * When a component, and a whole set, will fall due: an earliest day, a middle and a latest, with which
 * limb of which component leads.
 *
 * Months are the calendar's and exact (due-dates.ts). Dives and minutes are forecasts of use
 * (use-forecast.ts). Of service and inspection only the fewer dives left count: one stream of dives
 * uses up both. The day forecast is the last the component may still be used, as a due day is: the
 * day of the last dive it has left.
 *
 * Several limbs together. Components of one set are used together, but how closely nobody knows. So
 * with F the chance that a limb has come by a day:
 *   low    = first day on which the F of all limbs add up to (1 - share) / 2;
 *   middle = the earliest of the limbs' middles;   high = the earliest of the limbs' highs.
 * Whatever the limbs have to do with each other, the set falls due before `low` with at most that
 * chance (Boole's inequality) and after `high` with at most that chance (the first to come is no later
 * than any one of them); so the interval holds at least the share. The middle is exact when all come
 * from one use, and else at worst too late.
 *
 * What is not seen: hires that are out now and not counted yet, and bookings.
 */
import { addDays, daysBetween } from "./calendar.ts";
import type { Day } from "./calendar.ts";
import { dueOf, overdueLimbs } from "./due-dates.ts";
import type { ComponentDue, DueFacts, LimbName, Work } from "./due-dates.ts";
import type { Policy } from "./policy.ts";
import type { SeasonClock } from "./season.ts";
import { daysByChance, sharesOf, useForecast } from "./use-forecast.ts";
import type { ForecastSettings } from "./use-forecast.ts";
import { pastUse } from "./use-rate.ts";
import type { KindUse, Measure, UseHistory } from "./use-rate.ts";

/** What a forecast of one component rests on. */
export interface ForecastComponent {
  readonly id: string;
  readonly facts: DueFacts;
  readonly history: UseHistory;
  /** What is known of its kind at the site (`fitUse`, `useOfKind`). */
  readonly kindUse: KindUse;
}

export interface LeadingLimb {
  readonly component: string;
  readonly work: Work;
  readonly limb: LimbName;
}

/** Use forecast for one component. `perWeek`: over a year round. `borrowed`: the share that rests on its kind. */
export interface UseBasis {
  readonly component: string;
  readonly measure: Measure;
  readonly perWeek: number;
  readonly borrowed: number;
}

/** The interval. `null` = beyond the horizon. */
export interface DueInterval {
  readonly low: Day;
  readonly middle: Day | null;
  readonly high: Day | null;
}

export type DueForecast =
  | (DueInterval & { readonly answer: "falls-due"; readonly leads: LeadingLimb; readonly basis: readonly UseBasis[] })
  /** With less than (1 - share) / 2 chance before this day, the last one looked at, or no limb at all. */
  | { readonly answer: "beyond"; readonly horizon: Day; readonly basis: readonly UseBasis[] }
  | { readonly answer: "overdue"; readonly limbs: readonly LeadingLimb[] }
  /** No limits, or a count from a day nobody knows. What the others say is only the latest it can be. */
  | { readonly answer: "not-judged"; readonly components: readonly string[]; readonly atLatest: Day | null }
  /** A limit counts in a use of which the site has seen none. */
  | { readonly answer: "too-little-known"; readonly limbs: readonly LeadingLimb[]; readonly atLatest: Day | null };

/** Forecasts one component. Errors: RangeError for settings that cannot be, or a clock set for another horizon. */
export function forecastDue(component: ForecastComponent, clock: SeasonClock, policy: Pick<Policy, "teachingMonths">, settings: ForecastSettings): DueForecast {
  return together([outlookOf(component, clock, policy, settings)], clock, settings);
}

/** Forecasts a set by all its components. Without a component there is nothing to judge. */
export function forecastSetDue(components: readonly ForecastComponent[], clock: SeasonClock, policy: Pick<Policy, "teachingMonths">, settings: ForecastSettings): DueForecast {
  return together(components.map((one) => outlookOf(one, clock, policy, settings)), clock, settings);
}

/** One limb: the chance that it has come, by the days from today. It never falls. */
interface Limb extends LeadingLimb {
  readonly chance: (daysAhead: number) => number;
  /** Days ahead by which the chances of low, middle and high are reached; `null` = not within the horizon, or not before the calendar's day. */
  readonly days: readonly [number | null, number | null, number | null];
}

interface Outlook {
  readonly id: string;
  readonly judged: boolean;
  readonly overdue: readonly LeadingLimb[];
  readonly limbs: readonly Limb[];
  readonly unknown: readonly LeadingLimb[];
  readonly basis: readonly UseBasis[];
}

function outlookOf({ id, facts, history, kindUse }: ForecastComponent, clock: SeasonClock, policy: Pick<Policy, "teachingMonths">, settings: ForecastSettings): Outlook {
  const nothing = { id, judged: true, overdue: [], limbs: [], unknown: [], basis: [] };
  const due = dueOf(facts, policy, clock.today);
  if (due === null) return { ...nothing, judged: false };
  const overdue = works(due).flatMap(({ work, on }) => overdueLimbs(on, clock.today).map((limb) => ({ component: id, work, limb })));
  if (overdue.length > 0) return { ...nothing, overdue };

  const limbs: Limb[] = [];
  const unknown: LeadingLimb[] = [];
  const basis: UseBasis[] = [];
  const months = least(due, "dueOn");
  // Nothing is asked of a day after the calendar's: the component has fallen due by then.
  let last = clock.ahead.length - 1;
  if (months !== null) {
    const daysAhead = daysBetween(clock.today, months.value);
    limbs.push(calendarLimb({ component: id, work: months.work, limb: "months" }, daysAhead, clock));
    last = Math.min(last, daysAhead);
  }
  const past = pastUse(history, clock.today);
  for (const measure of ["dives", "minutes"] as const) {
    const left = least(due, measure === "dives" ? "divesLeft" : "minutesLeft");
    if (left === null) continue;
    const name: LeadingLimb = { component: id, work: left.work, limb: measure };
    const prior = kindUse[measure];
    if (prior === null) {
      unknown.push(name);
      continue;
    }
    const use = useForecast(past, measure, prior, clock, settings);
    basis.push({ component: id, measure, perWeek: use.perDay * 7, borrowed: use.borrowed });
    limbs.push(useLimb(name, use.chanceOf(left.value), clock, settings, last));
  }
  return { ...nothing, limbs, unknown, basis };
}

function works(due: ComponentDue) {
  const service = { work: "service" as const, on: due.service };
  return due.inspection === null ? [service] : [service, { work: "inspection" as const, on: due.inspection }];
}

/** The earlier of service and inspection in one limb; of equals the service. */
function least<Field extends "dueOn" | "divesLeft" | "minutesLeft">(due: ComponentDue, field: Field): { work: Work; value: NonNullable<ComponentDue["service"][Field]> } | null {
  let best: { work: Work; value: NonNullable<ComponentDue["service"][Field]> } | null = null;
  for (const { work, on } of works(due)) {
    const value = on[field];
    if (value !== null && (best === null || value < best.value)) best = { work, value };
  }
  return best;
}

function calendarLimb(name: LeadingLimb, daysAhead: number, clock: SeasonClock): Limb {
  const within = daysAhead < clock.ahead.length ? daysAhead : null;
  return { ...name, chance: (days) => (days >= daysAhead ? 1 : 0), days: [within, within, within] };
}

function useLimb(name: LeadingLimb, chanceOf: (exposure: number) => number, clock: SeasonClock, settings: ForecastSettings, last: number): Limb {
  const [low, middle, high] = daysByChance(chanceOf, clock, sharesOf(settings), last);
  return { ...name, chance: (days) => chanceOf(clock.ahead[days]!), days: [low ?? null, middle ?? null, high ?? null] };
}

function together(outlooks: readonly Outlook[], clock: SeasonClock, settings: ForecastSettings): DueForecast {
  if (clock.ahead.length !== settings.horizonDays + 1) {
    throw new RangeError(`The clock looks ${clock.ahead.length - 1} days ahead and the forecast ${settings.horizonDays}: set both for one horizon.`);
  }
  const overdue = outlooks.flatMap((one) => one.overdue);
  if (overdue.length > 0) return { answer: "overdue", limbs: overdue };
  const limbs = outlooks.flatMap((one) => one.limbs);
  const notJudged = outlooks.filter((one) => !one.judged).map(({ id }) => id);
  const unknown = outlooks.flatMap((one) => one.unknown);
  const dayAt = (ahead: number | null) => (ahead === null ? null : addDays(clock.today, ahead));
  const high = earliest(limbs, 2);
  if (notJudged.length > 0 || outlooks.length === 0) return { answer: "not-judged", components: notJudged, atLatest: dayAt(high) };
  if (unknown.length > 0) return { answer: "too-little-known", limbs: unknown, atLatest: dayAt(high) };

  const basis = outlooks.flatMap((one) => one.basis);
  const low = firstTogether(limbs, sharesOf(settings)[0], clock);
  const leads = leading(limbs);
  if (low === null || leads === null) return { answer: "beyond", horizon: addDays(clock.today, settings.horizonDays), basis };
  const { component, work, limb } = leads;
  return {
    answer: "falls-due",
    low: addDays(clock.today, low),
    middle: dayAt(earliest(limbs, 1)),
    high: dayAt(high),
    leads: { component, work, limb },
    basis,
  };
}

function earliest(limbs: readonly Limb[], at: 0 | 1 | 2): number | null {
  let best: number | null = null;
  for (const { days } of limbs) {
    const day = days[at];
    if (day !== null && (best === null || day < best)) best = day;
  }
  return best;
}

/** The first day on which the chances of all limbs add up to a share. */
function firstTogether(limbs: readonly Limb[], share: number, clock: SeasonClock): number | null {
  const own = earliest(limbs, 0);
  if (limbs.length < 2) return own;
  const reached = (days: number) => limbs.reduce((sum, { chance }) => sum + chance(days), 0) >= share;
  let high = own ?? clock.ahead.length - 1;
  if (!reached(high)) return null;
  let low = 0;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (reached(middle)) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** The limb with the earliest middle, of equals the earliest low, then the first named; a beyond comes last. */
function leading(limbs: readonly Limb[]): Limb | null {
  const rank = (day: number | null) => day ?? Infinity;
  let best: Limb | null = null;
  for (const limb of limbs) {
    const [low, middle] = [rank(limb.days[0]), rank(limb.days[1])];
    const [bestLow, bestMiddle] = best === null ? [Infinity, Infinity] : [rank(best.days[0]), rank(best.days[1])];
    if (best === null || middle < bestMiddle || (middle === bestMiddle && low < bestLow)) best = limb;
  }
  return best;
}
