/** What makes a plan problem no problem: a figure that is none, or a name that stands for nothing. */
import type { PlanProblem, PlanSet } from "./plan-problem.ts";

export type PlanFaultCode =
  /** Not a whole number, or below the least it may be. */
  | "not-a-count"
  /** A weight that is negative or no number. */
  | "not-a-weight"
  /** A list by week that is not as long as there are weeks. */
  | "not-every-week"
  | "named-twice"
  | "unknown-booking"
  | "unknown-kit";

export interface PlanFault {
  readonly code: PlanFaultCode;
  /** Where, as a path: `sets R-014 due`. */
  readonly at: string;
}

/** The longest plan, two years: beyond it a due date is a guess and the model only grows. */
export const MOST_WEEKS = 104;

/** Everything wrong with a problem; an empty list means it can be solved. */
export function planFaults(problem: PlanProblem): readonly PlanFault[] {
  const faults: PlanFault[] = [];
  const { weeks } = problem;
  const count = (value: number, least: number, at: string): void => {
    if (!Number.isSafeInteger(value) || value < least) faults.push({ code: "not-a-count", at });
  };
  const byWeek = (values: readonly number[], at: string): void => {
    if (values.length !== weeks) faults.push({ code: "not-every-week", at });
    values.forEach((value, week) => count(value, 0, `${at} week ${week}`));
  };
  const once = (ids: readonly string[], at: string): Set<string> => {
    const seen = new Set<string>();
    for (const id of ids) {
      if (seen.has(id)) faults.push({ code: "named-twice", at: `${at} ${id}` });
      seen.add(id);
    }
    return seen;
  };

  if (!Number.isSafeInteger(weeks) || weeks < 1 || weeks > MOST_WEEKS) return [{ code: "not-a-count", at: "weeks" }];
  byWeek(problem.benchMinutes, "benchMinutes");
  const bookings = once(problem.bookings.map(({ id }) => id), "bookings");
  for (const { id, sets } of problem.bookings) byWeek(sets, `bookings ${id}`);
  const kits = once(problem.kits.map(({ id }) => id), "kits");
  for (const { id, stock, arrivals } of problem.kits) {
    count(stock, 0, `kits ${id} stock`);
    byWeek(arrivals, `kits ${id} arrivals`);
  }
  once(problem.technicians.map(({ id }) => id), "technicians");
  for (const { id, minutes } of problem.technicians) byWeek(minutes, `technicians ${id}`);
  once(problem.sets.map(({ id }) => id), "sets");
  for (const set of problem.sets) {
    checkSet(set, `sets ${set.id}`);
    for (const booking of once(set.serves, `sets ${set.id} serves`)) {
      if (!bookings.has(booking)) faults.push({ code: "unknown-booking", at: `sets ${set.id} serves ${booking}` });
    }
    for (const { kit } of set.kits) if (!kits.has(kit)) faults.push({ code: "unknown-kit", at: `sets ${set.id} kits ${kit}` });
  }
  for (const [name, weight] of Object.entries(problem.weights)) {
    if (!Number.isFinite(weight) || weight < 0) faults.push({ code: "not-a-weight", at: `weights ${name}` });
  }
  return faults;

  function checkSet(set: PlanSet, at: string): void {
    count(set.due, Number.MIN_SAFE_INTEGER, `${at} due`);
    count(set.awayWeeks, 1, `${at} awayWeeks`);
    if (set.lasts !== null) count(set.lasts, set.awayWeeks, `${at} lasts`);
    for (const { maker, minutes } of set.work) count(minutes, 0, `${at} work ${maker}`);
    for (const { kit, count: used } of set.kits) count(used, 0, `${at} kits ${kit}`);
    for (const week of [...set.out, ...set.onBench]) count(week, 0, `${at} week ${week}`);
    if (set.lock !== null && set.lock.week !== null && !(Number.isSafeInteger(set.lock.week) && set.lock.week >= 0 && set.lock.week < weeks)) {
      faults.push({ code: "not-a-count", at: `${at} lock` });
    }
  }
}
