/**
 * The sets as a plan sees them: when each falls due, what its service takes, where it is and what it can
 * serve. Pure: facts in, answers out.
 *
 * Nobody's "unknown" becomes "not due". A set whose use since its last service nobody knows is held at
 * the desk until it is serviced, so it is overdue to the plan. One whose limits nobody accepted serves no
 * booking, and is planned at the latest it can be due if anything says so; else it is named apart.
 */
import type { LoadedSet, FittedComponent } from "@hangrail/db/set-facts";
import type { ModelWork } from "@hangrail/db/plan";
import { addDays, daysBetween, later, type Day } from "@hangrail/rules/calendar";
import type { Work } from "@hangrail/rules/due-dates";
import { forecastSetDue, type DueForecast, type ForecastComponent, type LeadingLimb } from "@hangrail/rules/forecast-due";
import type { HoldCode } from "@hangrail/rules/hand-out";
import { isStage, type Role } from "@hangrail/rules/models";
import { seasonClock, type SeasonClock } from "@hangrail/rules/season";
import { FORECAST_SETTINGS } from "@hangrail/rules/use-forecast";
import { fitUse, useOfKind, type FleetUse, type UseHistory } from "@hangrail/rules/use-rate";
import { couldServe } from "./bench-queue.ts";
import { lastWholeWeek, weekOf, type PlanFacts } from "./plan-facts.ts";
import type { BookingKind, DueView, NamedLimb, PlannedSet, UnplannedSet } from "./plan-view.ts";
import { setView, type SetView } from "./set-view.ts";

/** Which day of the forecast counts as due. */
export type DueBy = "low" | "middle";

export interface PlannedSets {
  readonly planned: readonly PlannedSet[];
  readonly unplanned: readonly UnplannedSet[];
  /** Weeks from a service of each set until it falls due again; `null` = beyond the plan. */
  readonly lasts: ReadonlyMap<string, number | null>;
}

/** Minutes of a service where the model has none recorded. Common practice: a first stage an hour, a second stage under half of one. */
const USUAL_MINUTES: Readonly<Record<Work, (role: Role) => number>> = {
  service: (role) => (role === "first-stage" ? 60 : isStage(role) ? 25 : 0),
  inspection: (role) => (role === "first-stage" ? 20 : isStage(role) ? 10 : 5),
};

/** A component whose service falls due within so many weeks of the visit is serviced along with it; the others are looked over. Common practice. */
const TOGETHER_WEEKS = 13;

/** Holds that the bench has to lift before a set can go out, whatever falls due. */
const FOR_THE_BENCH: readonly HoldCode[] = ["fault", "notice", "notice-check", "not-released", "incomplete", "pairing"];

interface Looking {
  readonly facts: PlanFacts;
  readonly dueBy: DueBy;
  readonly kinds: readonly BookingKind[];
  readonly histories: ReadonlyMap<string, UseHistory>;
  readonly models: ReadonlyMap<string, ModelWork>;
  readonly use: FleetUse;
  readonly clock: SeasonClock;
}

const NO_USE: UseHistory = { since: null, uses: [] };

/** After so many sets everybody else's calls have their turn: a large fleet's forecasts take a second together. */
const SETS_A_TURN = 10;
const nextTurn = (): Promise<void> => new Promise((resolve) => void setImmediate(resolve));

/** Every set by due day, then tag; those that cannot be planned apart, by tag. */
export async function planSets(facts: PlanFacts, kinds: readonly BookingKind[], dueBy: DueBy): Promise<PlannedSets> {
  const histories = new Map(facts.pasts.map(({ component, since, uses }) => [component, { since, uses }]));
  const models = new Map(facts.models.map((model) => [model.model, model]));
  const counted = facts.sets.flatMap(({ components }) => components.flatMap((one) => histories.has(one.id) ? [{ kind: one.modelId, history: histories.get(one.id)! }] : []));
  const use = fitUse(counted, facts.today);
  const clock = seasonClock(use.season, facts.today, FORECAST_SETTINGS.horizonDays);
  const looking: Looking = { facts, dueBy, kinds, histories, models, use, clock };
  const planned: PlannedSet[] = [];
  const unplanned: UnplannedSet[] = [];
  const lasts = new Map<string, number | null>();
  for (const [at, set] of facts.sets.entries()) {
    if (at % SETS_A_TURN === 0) await nextTurn();
    const found = lookAt(looking, set);
    if ("why" in found) unplanned.push(found);
    else {
      planned.push(found.set);
      lasts.set(set.id, found.lasts);
    }
  }
  planned.sort((a, b) => a.dueWeek - b.dueWeek || compare(a.due.low ?? "", b.due.low ?? "") || compare(a.tag, b.tag));
  return { planned, unplanned: unplanned.sort((a, b) => compare(a.tag, b.tag)), lasts };
}

const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

function lookAt(looking: Looking, set: LoadedSet): { readonly set: PlannedSet; readonly lasts: number | null } | UnplannedSet {
  const { facts, models } = looking;
  const view = setView(set, null);
  const forecast = forecastOf(looking, set, set.components);
  const apart = (why: UnplannedSet["why"], components: readonly string[]): UnplannedSet => ({
    id: set.id, tag: set.tag, state: view.state, why,
    components: set.components.filter(({ id }) => components.includes(id)).map((one) => ({ component: one.id, role: one.role, name: nameOf(one) })),
  });
  if (set.facts.evidenceLock) return apart("evidence-lock", []);
  if (set.components.length === 0) return apart("no-components", []);
  const doubt = doubtOf(set, forecast, models);
  const atLatest = "atLatest" in forecast ? forecast.atLatest : null;
  if (doubt !== null && doubt !== "count-unknown" && atLatest === null) {
    return apart(doubt, forecast.answer === "not-judged" ? forecast.components : forecast.answer === "too-little-known" ? forecast.limbs.map(({ component }) => component) : []);
  }

  const visit = visitOf(looking, set, view, forecast, doubt);
  const awayWeeks = Math.max(1, Math.ceil(facts.benchDays / 7));
  const lasts = lastsOf(looking, set, visit, awayWeeks);
  const onBench = benchWeeks(facts, set, view, awayWeeks);
  const taken = facts.orders.find((order) => order.setId === set.id && order.state !== "waiting" && (order.kind === "service" || order.kind === "inspection"));
  // Work under way counts from its end, not from the day it is due now.
  const dueWeek = taken === undefined ? visit.dueWeek : lasts === null ? facts.weeks.length : (onBench.at(-1) ?? 0) + lasts;
  const work: Work = visit.serviced.length > 0 ? "service" : "inspection";
  // Along with a service the other parts are looked over where their maker asks for it; an inspection by itself is of all of them.
  const looked = set.components.filter((one) => work === "inspection" || one.limits?.inspection != null || visit.serviced.includes(one));
  const minutes = looked.map((one) => ({ maker: one.maker, ...minutesOf(visit.serviced.includes(one) ? "service" : "inspection", one, models.get(one.modelId)) }));
  const waiting = facts.orders.find((order) => order.setId === set.id && order.kind === work && order.state === "waiting");
  return {
    lasts,
    set: {
      id: set.id, tag: set.tag, seq: set.seq, state: view.state,
      due: dueView(set, forecast), dueWeek, doubt, work, awayWeeks,
      minutes: minutes.reduce((sum, one) => sum + one.minutes, 0),
      byMaker: summed(minutes.map(({ maker, minutes: spent }) => [maker, spent] as const)).map(([maker, spent]) => ({ maker, minutes: spent })),
      minutesAssumed: minutes.some(({ assumed }) => assumed),
      kits: summed(visit.serviced.flatMap((one) => (models.get(one.modelId)?.kits ?? []).map(({ kit, quantity }) => [kit, quantity] as const))).map(([kit, count]) => ({ kit, count })),
      serves: doubt === "limits-missing" ? [] : looking.kinds.filter((kind) => couldServe(set, kind)).map(({ id }) => id),
      outUntil: set.out?.backOn ?? null,
      out: set.out === null ? [] : weeksUntil(weekOf(facts.weeks, later(set.out.backOn, facts.today)), facts.weeks.length),
      onBench,
      order: waiting === undefined ? null : { id: waiting.id, weekOn: waiting.weekOn },
    },
  };
}

function forecastOf({ histories, use, clock }: Looking, set: LoadedSet, components: readonly FittedComponent[]): DueForecast {
  const asked = components.map((one): ForecastComponent => ({ id: one.id, facts: one, history: histories.get(one.id) ?? NO_USE, kindUse: useOfKind(use, one.modelId) }));
  return forecastSetDue(asked, clock, set.policy, FORECAST_SETTINGS);
}

function doubtOf(set: LoadedSet, forecast: DueForecast, models: ReadonlyMap<string, ModelWork>): PlannedSet["doubt"] {
  if (forecast.answer === "too-little-known") return "too-little-known";
  if (forecast.answer !== "not-judged") return null;
  const unjudged = set.components.filter(({ id }) => forecast.components.includes(id));
  // With limits accepted it is the count that nobody knows, and a service ends that.
  return unjudged.every(({ modelId }) => models.get(modelId)?.hasLimits === true) ? "count-unknown" : "limits-missing";
}

interface Visit {
  readonly dueWeek: number;
  /** The components to service; none = the visit is an inspection. */
  readonly serviced: readonly FittedComponent[];
  /** Weeks after the visit until one of the others is due for its service. */
  readonly othersLast: number;
}

/** By when the set goes to the bench, and what for. */
function visitOf(looking: Looking, set: LoadedSet, view: SetView, forecast: DueForecast, doubt: PlannedSet["doubt"]): Visit {
  const unseen = view.holds.some(({ code }) => code === "first-inspection" || code === "shelf-inspection");
  // Unseen or of unknown use it stays in the kit room until somebody has looked at it.
  const dueWeek = unseen || doubt === "count-unknown" ? -1 : dueWeekOf(looking, forecast);
  const serviceWeeks = set.components.map((one) => ({ one, week: serviceWeekOf(looking, set, one) }));
  const together = ({ week }: (typeof serviceWeeks)[number]): boolean => week <= Math.max(-1, dueWeek) + TOGETHER_WEEKS;
  return {
    dueWeek,
    serviced: serviceWeeks.filter(together).map(({ one }) => one),
    othersLast: Math.min(...serviceWeeks.filter((each) => !together(each)).map(({ week }) => week - dueWeek)),
  };
}

/** The week a component's service falls due, its inspections aside; a count nobody knows is set right by a service alone. */
function serviceWeekOf(looking: Looking, set: LoadedSet, one: FittedComponent): number {
  if (one.limits === null) return looking.models.get(one.modelId)?.hasLimits === true ? -1 : Infinity;
  const due = forecastOf(looking, set, [{ ...one, limits: { ...one.limits, inspection: null } }]);
  return due.answer === "beyond" ? Infinity : dueWeekOf(looking, due);
}

function dueWeekOf({ facts, dueBy }: Looking, forecast: DueForecast): number {
  const { weeks } = facts;
  if (forecast.answer === "overdue") return -1;
  const on = forecast.answer === "falls-due" ? forecast[dueBy] : forecast.answer === "beyond" ? forecast.horizon : forecast.atLatest;
  if (on === null) return weekOf(weeks, addDays(facts.today, FORECAST_SETTINGS.horizonDays));
  // In date today: this week counts though it may end before the week does.
  return on < facts.today ? -1 : Math.max(0, lastWholeWeek(weeks, on));
}

function leadsOf(forecast: DueForecast): readonly LeadingLimb[] {
  return forecast.answer === "falls-due" ? [forecast.leads] : forecast.answer === "overdue" ? forecast.limbs : forecast.answer === "too-little-known" ? forecast.limbs : [];
}

const NO_LIMB = { months: null, dives: null, minutes: null };

/** How long a set goes on after the visit: as it would, had that been today; `null` = beyond the plan. */
function lastsOf(looking: Looking, set: LoadedSet, { serviced, othersLast }: Visit, awayWeeks: number): number | null {
  const { facts } = looking;
  const looked = { inspectedOn: facts.today, divesSinceInspection: 0, minutesSinceInspection: 0 };
  const renewed = set.components.map((one) => serviced.includes(one)
    ? { ...one, ...looked, servicedOn: facts.today, divesSinceService: 0, minutesSinceService: 0, taughtSinceService: false }
    : { ...one, ...looked, limits: one.limits && { ...one.limits, service: NO_LIMB } }) as readonly FittedComponent[];
  const next = forecastOf(looking, set, renewed);
  const on = next.answer === "falls-due" ? next[looking.dueBy] : null;
  const weeks = Math.min(on === null ? Infinity : Math.floor(daysBetween(facts.today, on) / 7), othersLast);
  return weeks >= facts.weeks.length ? null : Math.max(awayWeeks, weeks);
}

/** The weeks it is kept from the desk by what the bench has to do already; how long a repair takes nobody knows, so as long as a service. */
function benchWeeks(facts: PlanFacts, set: LoadedSet, view: SetView, awayWeeks: number): readonly number[] {
  if (set.bench === "none" && !view.holds.some(({ code }) => FOR_THE_BENCH.includes(code))) return [];
  const parts = facts.orders.find((order) => order.setId === set.id && order.state === "parked")?.park?.expectedOn ?? null;
  const from = parts === null ? 0 : Math.max(0, weekOf(facts.weeks, parts));
  return weeksUntil(from + awayWeeks - 1, facts.weeks.length);
}

const weeksUntil = (last: number, weeks: number): number[] => Array.from({ length: Math.min(last + 1, weeks) }, (_, week) => week);

function minutesOf(work: Work, { role }: FittedComponent, model: ModelWork | undefined): { readonly minutes: number; readonly assumed: boolean } {
  const recorded = work === "service" ? model?.serviceMinutes : model?.inspectionMinutes;
  if (recorded != null) return { minutes: recorded, assumed: false };
  const minutes = USUAL_MINUTES[work](role);
  return { minutes, assumed: minutes > 0 };
}

function summed(pairs: readonly (readonly [string, number])[]): readonly (readonly [string, number])[] {
  const sums = new Map<string, number>();
  for (const [name, amount] of pairs) sums.set(name, (sums.get(name) ?? 0) + amount);
  return [...sums].filter(([, amount]) => amount > 0).sort(([a], [b]) => compare(a, b));
}

function dueView(set: LoadedSet, forecast: DueForecast): DueView {
  const named = (limb: LeadingLimb): NamedLimb[] => set.components.filter(({ id }) => id === limb.component).map((one) => ({ ...limb, role: one.role, name: nameOf(one) }));
  const leads = leadsOf(forecast);
  const [first] = leads;
  const basis = "basis" in forecast && first !== undefined ? forecast.basis.find((one) => one.component === first.component && one.measure === first.limb) : undefined;
  const days = forecast.answer === "falls-due" ? forecast : { low: null, middle: null, high: "atLatest" in forecast ? forecast.atLatest : null };
  return {
    answer: forecast.answer,
    low: days.low, middle: days.middle, high: days.high,
    leads: leads.flatMap(named),
    perWeek: basis?.perWeek ?? null,
    borrowed: basis?.borrowed ?? null,
  };
}

const nameOf = ({ maker, modelName, serial }: FittedComponent): string => `${maker} ${modelName}, ${serial}`;

/** The last day a set is surely in date before any visit: what a day's bookings may count on. */
export function inDateUntil(set: PlannedSet, today: Day): Day | null {
  if (set.dueWeek < 0) return addDays(today, -1);
  return set.due.low ?? (set.due.answer === "beyond" ? null : set.due.high);
}
