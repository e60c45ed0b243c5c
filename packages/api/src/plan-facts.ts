/** Loads what a plan rests on: one moment's facts, in a fixed number of questions whatever the fleet's size. */
import type { Database } from "@hangrail/db/database";
import { listKits, type KitRow } from "@hangrail/db/kits";
import * as planDb from "@hangrail/db/plan";
import { readClock } from "@hangrail/db/sessions";
import { loadSetsById, type LoadedSet } from "@hangrail/db/set-facts";
import { listOpenOrders, type WorkOrder } from "@hangrail/db/work-orders";
import { addDays, day, daysBetween, weekdayOf, type Day } from "@hangrail/rules/calendar";
import { LOOK_BACK_DAYS } from "@hangrail/rules/season";
import { BLOCK_DAYS } from "@hangrail/rules/use-rate";

export interface PlanFacts {
  readonly today: Day;
  /** Mondays, the first is this week's. */
  readonly weeks: readonly Day[];
  readonly benchDays: number;
  readonly sets: readonly LoadedSet[];
  readonly pasts: readonly planDb.ComponentPast[];
  readonly models: readonly planDb.ModelWork[];
  readonly bookings: readonly planDb.BookingRow[];
  readonly technicians: readonly planDb.TechnicianRow[];
  readonly kits: readonly KitRow[];
  readonly kitsUsed: ReadonlyMap<string, planDb.KitsUsed>;
  readonly orders: readonly WorkOrder[];
  readonly accepted: planDb.AcceptedPlanRow | null;
}

export async function readPlanFacts(db: Database, site: { readonly id: string; readonly timeZone: string }, weeks: number): Promise<PlanFacts> {
  const today = day((await readClock(db, site.timeZone)).today);
  const monday = mondayOf(today);
  const { sets: ids, benchDays } = await planDb.readPlannedSite(db, site.id);
  const [sets, pasts, models, bookings, technicians, kits, kitsUsed, orders, accepted] = await Promise.all([
    loadSetsById(db, site.id, ids),
    planDb.listComponentPasts(db, site.id, today, LOOK_BACK_DAYS, BLOCK_DAYS),
    planDb.listModelWork(db, site.id),
    planDb.listBookings(db, site.id, today, addDays(monday, weeks * 7 - 1)),
    planDb.listTechnicians(db, site.id, monday),
    listKits(db, site.id),
    planDb.readKitsUsed(db, site.id, addDays(today, -365)),
    listOpenOrders(db, site.id),
    planDb.readAcceptedPlan(db, site.id),
  ]);
  const mondays = Array.from({ length: weeks }, (_, week) => addDays(monday, week * 7));
  return { today, weeks: mondays, benchDays, sets, pasts, models, bookings, technicians, kits, kitsUsed, orders, accepted };
}

/** The Monday of a day's week. */
export const mondayOf = (on: Day): Day => addDays(on, 1 - weekdayOf(on));

/** The week a day lies in, counted from the plan's first; below 0 = before it. */
export const weekOf = (weeks: readonly Day[], on: Day): number => Math.floor(daysBetween(weeks[0]!, on) / 7);

/** The last week that is over by the end of a day: its own where that is a Sunday, else the one before. */
export const lastWholeWeek = (weeks: readonly Day[], on: Day): number => Math.floor((daysBetween(weeks[0]!, on) + 1) / 7) - 1;

/** The first week that begins on a day or after it. */
export const firstWeekFrom = (weeks: readonly Day[], on: Day): number => Math.max(0, Math.ceil(daysBetween(weeks[0]!, on) / 7));
