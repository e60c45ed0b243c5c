/**
 * Why this week for this set, as data, and what every other week would cost it: for the sentence
 * beside a set, and for moving it by hand. Each answer moves one set and leaves the others where they
 * are, which is what a person moving it would see.
 */
import { PlanLedger } from "./plan-ledger.ts";
import type { PlanStop } from "./plan-ledger.ts";
import { compareText } from "./plan-problem.ts";
import type { Plan, PlanProblem, PlanSet } from "./plan-problem.ts";

/** A week a set could go to the bench, or `null` for none of them. */
export type WeekChoice =
  | { readonly week: number; readonly choice: "stopped"; readonly by: PlanStop }
  | {
      readonly week: number | null;
      readonly choice: "possible";
      /** By how much the score would change; negative = better. */
      readonly cost: number;
      /** Weeks in which more bookings would be without a set, and how many. */
      readonly short: readonly { readonly week: number; readonly sets: number }[];
    };

export type PlanReason =
  /** The manager fixed it. */
  | { readonly why: "locked" }
  /** In date to the end of the plan. */
  | { readonly why: "not-due" }
  /** In its due week: none of its life is thrown away. */
  | { readonly why: "due-week" }
  /** Before its due week, and what speaks against each week from the next to the due week. */
  | { readonly why: "early"; readonly weeks: number; readonly against: readonly WeekChoice[] }
  /** After its due week, so off the desk in between; what speaks against each week before, from the first that counts. */
  | { readonly why: "late"; readonly weeks: number; readonly against: readonly WeekChoice[] }
  /** Overdue at the start, and this is the first week. */
  | { readonly why: "overdue" }
  /** It falls due and no week takes it: off the desk from then on. */
  | { readonly why: "left"; readonly against: readonly WeekChoice[] };

export interface SetReason {
  readonly set: string;
  readonly week: number | null;
  readonly reason: PlanReason;
}

/** A reason for every set, by set id. */
export function planReasons(problem: PlanProblem, plan: Plan): readonly SetReason[] {
  const ledger = ledgerOf(problem, plan);
  return [...problem.sets]
    .sort((a, b) => compareText(a.id, b.id))
    .map((set) => ({ set: set.id, week: ledger.weekOf(set), reason: reasonFor(problem, ledger, set) }));
}

/** Every week for one set, and no week last; `null` if the problem has no such set. A locked set may be looked at too. */
export function weekChoices(problem: PlanProblem, plan: Plan, id: string): readonly WeekChoice[] | null {
  const set = problem.sets.find((one) => one.id === id);
  if (set === undefined) return null;
  const ledger = ledgerOf(problem, plan);
  const weeks = Array.from({ length: problem.weeks }, (_, week) => week);
  return [...weeks, null].map((week) => choiceOf(ledger, set, week));
}

function ledgerOf(problem: PlanProblem, plan: Plan): PlanLedger {
  const ledger = new PlanLedger(problem);
  const weekOf = new Map(plan.map(({ set, week }) => [set, week]));
  for (const set of problem.sets) ledger.send(set, weekOf.get(set.id) ?? null);
  return ledger;
}

function reasonFor(problem: PlanProblem, ledger: PlanLedger, set: PlanSet): PlanReason {
  const week = ledger.weekOf(set);
  if (set.lock !== null) return { why: "locked" };
  const against = (from: number, until: number): WeekChoice[] =>
    Array.from({ length: Math.max(0, until - from + 1) }, (_, at) => choiceOf(ledger, set, from + at));
  if (week === null) {
    return set.due >= problem.weeks ? { why: "not-due" } : { why: "left", against: against(0, problem.weeks - 1) };
  }
  if (week === set.due) return { why: "due-week" };
  if (week < set.due) return { why: "early", weeks: set.due - week, against: against(week + 1, Math.min(set.due, problem.weeks - 1)) };
  if (set.due < 0 && week === 0) return { why: "overdue" };
  return { why: "late", weeks: week - Math.max(-1, set.due), against: against(Math.max(0, set.due), week - 1) };
}

function choiceOf(ledger: PlanLedger, set: PlanSet, week: number | null): WeekChoice {
  const by = week === null ? null : ledger.stopFor(set, week);
  if (week !== null && by !== null) return { week, choice: "stopped", by };
  const short = ledger.shortBy(set, week).flatMap((sets, w) => (sets > 0 ? [{ week: w, sets }] : []));
  return { week, choice: "possible", cost: ledger.costOf(set, week), short };
}
