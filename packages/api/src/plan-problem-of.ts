/** Facts and the manager's wishes → the problem the solver and the judge work on. Pure. */
import type { BookingRow, TechnicianRow } from "@hangrail/db/plan";
import { addDays, daysBetween, later, type Day } from "@hangrail/rules/calendar";
import { checkPlan } from "@hangrail/rules/plan-check";
import { DEFAULT_WEIGHTS, type PlanKit, type PlanProblem, type PlanSet, type PlanTechnician } from "@hangrail/rules/plan-problem";
import { firstWeekFrom, lastWholeWeek, type PlanFacts } from "./plan-facts.ts";
import { rememberedSets } from "./plan-memory.ts";
import { inDateUntil, type DueBy, type PlannedSets } from "./plan-sets.ts";
import type { BookingKind, DayAtRisk, PlannedSet, TechnicianHours } from "./plan-view.ts";

/** What would be different; empty lists = as it is. Weeks from and until, both included. */
export interface WhatIf {
  readonly away: readonly { readonly staffId: string; readonly fromWeek: number; readonly untilWeek: number }[];
  readonly lateKits: readonly { readonly kitId: string; readonly weeks: number }[];
  readonly demand: readonly { readonly fromWeek: number; readonly untilWeek: number; readonly percent: number }[];
}
export const AS_IT_IS: WhatIf = { away: [], lateKits: [], demand: [] };

export interface Lock {
  readonly setId: string;
  readonly week: number | null;
}

/** The problem, and what its ids stand for. */
export interface PlanGround extends PlannedSets {
  readonly facts: PlanFacts;
  readonly kinds: readonly BookingKind[];
  readonly technicians: readonly TechnicianHours[];
  readonly problem: PlanProblem;
}

export async function planGround(facts: PlanFacts, dueBy: DueBy, locks: readonly Lock[] = [], whatIf: WhatIf = AS_IT_IS): Promise<PlanGround> {
  const kinds = kindsOf(facts.bookings, facts.weeks);
  const sets = await rememberedSets(facts, kinds, dueBy);
  const technicians = facts.technicians.map((one) => hoursOf(one, facts.weeks));
  return { ...sets, facts, kinds, technicians, problem: problemOf({ ...sets, facts, kinds, technicians }, locks, whatIf) };
}

// ── Bookings ────────────────────────────────────────────────────────────────────────────

type Wishes = Pick<BookingRow, "connection" | "cold" | "o2Tenths" | "teaching">;

export const kindOf = ({ connection, cold, o2Tenths, teaching }: Wishes): string => [connection ?? "any", cold ? "cold" : "warm", o2Tenths, teaching ? "teaching" : "diving"].join(" ");

/** Bookings by kind: in each week as many sets as on its busiest day from today on. */
export function kindsOf(bookings: readonly BookingRow[], weeks: readonly Day[]): readonly BookingKind[] {
  const days = bookedByDay(bookings, weeks);
  return [...days].sort(([a], [b]) => (a < b ? -1 : 1)).map(([id, { wishes, booked }]) => ({
    id,
    connection: wishes.connection, cold: wishes.cold, o2Tenths: wishes.o2Tenths, teaching: wishes.teaching,
    sets: weeks.map((_, week) => Math.max(...booked.slice(week * 7, week * 7 + 7))),
  }));
}

/** By kind, how many sets on each day from the first Monday. */
function bookedByDay(bookings: readonly BookingRow[], weeks: readonly Day[]): ReadonlyMap<string, { readonly wishes: Wishes; readonly booked: number[] }> {
  const first = weeks[0]!;
  const kinds = new Map<string, { wishes: Wishes; booked: number[] }>();
  for (const booking of bookings) {
    const id = kindOf(booking);
    const kind = kinds.get(id) ?? { wishes: booking, booked: Array.from({ length: weeks.length * 7 }, () => 0) };
    kinds.set(id, kind);
    const until = Math.min(weeks.length * 7 - 1, daysBetween(first, booking.untilOn));
    for (let at = Math.max(0, daysBetween(first, booking.fromOn)); at <= until; at += 1) kind.booked[at]! += booking.sets;
  }
  return kinds;
}

// ── Room at the bench ───────────────────────────────────────────────────────────────────

function hoursOf({ id, name, authorisations, hours }: TechnicianRow, weeks: readonly Day[]): TechnicianHours {
  const usual = hours.find(({ weekOn }) => weekOn === null);
  return {
    id, name, authorisations,
    usual: usual?.minutes ?? null,
    weeks: weeks.map((weekOn) => {
      const own = hours.find((one) => one.weekOn === weekOn);
      return { minutes: own?.minutes ?? usual?.minutes ?? 0, own: own !== undefined, words: own?.words ?? "" };
    }),
  };
}

/** Of this week only the days from today on are left; nobody says which, so a seventh for each. */
function minutesLeft({ weeks }: TechnicianHours, facts: PlanFacts): number[] {
  const gone = daysBetween(facts.weeks[0]!, facts.today);
  return weeks.map(({ minutes }, week) => (week === 0 ? Math.floor((minutes * (7 - gone)) / 7) : minutes));
}

function technicianOf(one: TechnicianHours, facts: PlanFacts, away: WhatIf["away"]): PlanTechnician {
  const gone = away.filter(({ staffId }) => staffId === one.id);
  return {
    id: one.id,
    minutes: minutesLeft(one, facts).map((minutes, week) => (gone.some(({ fromWeek, untilWeek }) => fromWeek <= week && week <= untilWeek) ? 0 : minutes)),
    // A week counts when the authorisation covers all of it: nobody says on which of its days the work is done.
    authorisations: one.authorisations.map(({ maker, from, until }) => ({
      maker,
      from: from <= facts.today ? 0 : firstWeekFrom(facts.weeks, from),
      until: lastWholeWeek(facts.weeks, until),
    })),
  };
}

// ── Kits ────────────────────────────────────────────────────────────────────────────────

/** What is on order of a kit, by the first week that begins with it here. What is late may come tomorrow at the earliest. */
export function arrivalsOf(orders: readonly { readonly quantity: number; readonly expectedOn: Day }[], facts: Pick<PlanFacts, "today" | "weeks">, lateWeeks = 0): number[] {
  const arrivals = facts.weeks.map(() => 0);
  for (const { quantity, expectedOn } of orders) {
    const expected = expectedOn < facts.today ? addDays(facts.today, 1) : expectedOn;
    const week = firstWeekFrom(facts.weeks, expected) + lateWeeks;
    if (week < arrivals.length) arrivals[week]! += quantity;
  }
  return arrivals;
}

/** Beside stock and orders, any number can be ordered today where the lead time is known: it is here that much later. */
function kitsOf({ facts, planned }: Pick<PlanGround, "facts" | "planned">, lateKits: WhatIf["lateKits"]): PlanKit[] {
  return facts.kits.map(({ id, stock, orders, leadDays }) => {
    const late = Math.max(0, ...lateKits.filter(({ kitId }) => kitId === id).map(({ weeks }) => weeks));
    const arrivals = arrivalsOf(orders, facts, late);
    const wanted = planned.flatMap(({ kits }) => kits).reduce((sum, { kit, count }) => sum + (kit === id ? count : 0), 0);
    const orderable = leadDays === null ? facts.weeks.length : firstWeekFrom(facts.weeks, addDays(facts.today, leadDays)) + late;
    if (orderable < arrivals.length) arrivals[orderable]! += wanted;
    return { id, stock: Math.max(0, stock), arrivals };
  });
}

// ── The problem ─────────────────────────────────────────────────────────────────────────

function problemOf(ground: Omit<PlanGround, "problem" | "unplanned">, locks: readonly Lock[], whatIf: WhatIf): PlanProblem {
  const { facts, planned, kinds, lasts } = ground;
  const technicians = ground.technicians.map((one) => technicianOf(one, facts, whatIf.away));
  const known = new Set(facts.kits.map(({ id }) => id));
  const lockOf = new Map(locks.map(({ setId, week }) => [setId, { week }]));
  return {
    weeks: facts.weeks.length,
    sets: planned.map((set): PlanSet => ({
      id: set.id, serves: set.serves, due: set.dueWeek, awayWeeks: set.awayWeeks, work: set.byMaker,
      kits: set.kits.filter(({ kit }) => known.has(kit)), out: set.out, onBench: set.onBench, lasts: lasts.get(set.id) ?? null, lock: lockOf.get(set.id) ?? null,
    })),
    bookings: kinds.map(({ id, sets }) => ({ id, sets: sets.map((count, week) => demanded(count, week, whatIf.demand)) })),
    benchMinutes: roomOf(technicians, ground),
    technicians,
    kits: kitsOf(ground, whatIf.lateKits),
    weights: DEFAULT_WEIGHTS,
    coverFirst: true,
  };
}

function demanded(count: number, week: number, demand: WhatIf["demand"]): number {
  return demand.reduce((sets, { fromWeek, untilWeek, percent }) => (fromWeek <= week && week <= untilWeek ? Math.ceil((sets * percent) / 100) : sets), count);
}

/** All the technicians' minutes, less in this week the services that lie on the bench half done. */
function roomOf(technicians: readonly PlanTechnician[], { facts, planned }: Pick<PlanGround, "facts" | "planned">): number[] {
  const begun = facts.orders.filter(({ kind, state }) => state === "taken" && (kind === "service" || kind === "inspection")).map(({ setId }) => setId);
  const spoken = planned.filter(({ id }) => begun.includes(id)).reduce((sum, { minutes }) => sum + minutes, 0);
  return facts.weeks.map((_, week) => Math.max(0, technicians.reduce((sum, { minutes }) => sum + (minutes[week] ?? 0), 0) - (week === 0 ? spoken : 0)));
}

// ── Before any plan ─────────────────────────────────────────────────────────────────────

/** Days from today on which bookings would be without a set in date, were nothing sent to the bench. */
export function daysAtRisk({ facts, planned, kinds }: PlanGround): readonly DayAtRisk[] {
  const days = facts.weeks.length * 7;
  const first = facts.weeks[0]!;
  const byDay = bookedByDay(facts.bookings, facts.weeks);
  // The same judge as for the plan, with a day where that has a week and nothing sent anywhere.
  const sets = planned.map((set): PlanSet => ({ ...asDays(set, facts), serves: set.serves }));
  const bookings = kinds.map(({ id }) => ({ id, sets: byDay.get(id)!.booked }));
  const nothing = facts.weeks.flatMap(() => Array.from({ length: 7 }, () => 0));
  const problem: PlanProblem = { weeks: days, sets, bookings, benchMinutes: nothing, technicians: [], kits: [], weights: DEFAULT_WEIGHTS, coverFirst: true };
  const { weeks } = checkPlan(problem, sets.map(({ id }) => ({ set: id, week: null })));
  const gone = daysBetween(first, facts.today);
  return weeks.flatMap(({ short }, at) => at < gone ? [] : short.map(({ booking, sets: missing }) => ({
    on: addDays(first, at),
    kind: booking,
    booked: byDay.get(booking)!.booked[at]!,
    able: sets.filter((set) => set.serves.includes(booking) && at <= set.due && !set.onBench.includes(at)).length,
    short: missing,
  })));
}

function asDays(set: PlannedSet, facts: PlanFacts): Omit<PlanSet, "serves"> {
  const until = inDateUntil(set, facts.today);
  const first = facts.weeks[0]!;
  return {
    id: set.id, awayWeeks: 1, work: [], kits: [], out: [], lasts: null, lock: null,
    due: until === null ? facts.weeks.length * 7 : daysBetween(first, later(until, addDays(first, -1))),
    onBench: set.onBench.flatMap((week) => Array.from({ length: 7 }, (_, day) => week * 7 + day)),
  };
}
