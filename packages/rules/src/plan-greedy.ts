/**
 * A plan without a solver: locks first, then set after set by due week, each in the latest week that
 * still has room and is not past its due week, else the first after it; then single sets are moved
 * while that lowers the score. Good, never proven; the solver starts from it, and it stands in when
 * the solver dies.
 */
import { ownCost, PlanLedger } from "./plan-ledger.ts";
import { compareText } from "./plan-problem.ts";
import type { Plan, PlanProblem, PlanSet } from "./plan-problem.ts";

/** Moving sets stops after so many rounds; each seldom gains more than the one before. */
const MOST_ROUNDS = 6;

/** And after so many sets looked at, for this runs where others wait. */
const MOST_MOVES = 3_000;

/** Below this a change of score is rounding. */
const NOTHING = 1e-9;

/** The greedy plan. Locks are kept even where they break a limit: judge it with `checkPlan`. */
export function greedyPlan(problem: PlanProblem): Plan {
  const ledger = new PlanLedger(problem);
  const order = [...problem.sets].sort((a, b) => a.due - b.due || compareText(a.id, b.id));
  for (const set of order) if (set.lock !== null) ledger.send(set, set.lock.week);
  const free = order.filter((set) => set.lock === null);
  for (const set of free) {
    const week = latestFit(ledger, set, problem.weeks);
    if (week !== null && ledger.costOf(set, week) < 0) ledger.send(set, week);
  }
  // A set in date to the end gains nothing from a service.
  const worthMoving = free.filter((set) => set.due < problem.weeks);
  for (let round = 0; round < MOST_ROUNDS && round * worthMoving.length < MOST_MOVES; round += 1) {
    const better = worthMoving.filter((set) => moveToBest(ledger, set, problem.weeks)).length;
    if (better === 0) break;
  }
  return ledger.plan();
}

function latestFit(ledger: PlanLedger, set: PlanSet, weeks: number): number | null {
  if (set.due >= weeks) return null;
  for (let week = set.due; week >= 0; week -= 1) if (ledger.stopFor(set, week) === null) return week;
  for (let week = Math.max(0, set.due + 1); week < weeks; week += 1) if (ledger.stopFor(set, week) === null) return week;
  return null;
}

function moveToBest(ledger: PlanLedger, set: PlanSet, weeks: number): boolean {
  let best: { week: number | null; cost: number } = { week: ledger.weekOf(set), cost: -NOTHING };
  const consider = (week: number | null): void => {
    const cost = ledger.costOf(set, week);
    if (cost < best.cost && (week === null || ledger.stopFor(set, week) === null)) best = { week, cost };
  };
  consider(null);
  for (let week = 0; week < weeks; week += 1) consider(week);
  if (best.cost === -NOTHING) return false;
  ledger.send(set, best.week);
  return true;
}

/**
 * A score no plan can beat, without a solver: each set at its cheapest week as if alone, and the
 * bookings that would lack a set if every set were ready whenever it can be.
 */
export function simpleBound(problem: PlanProblem): number {
  const weeks = Array.from({ length: problem.weeks }, (_, week) => week);
  const own = problem.sets.reduce((sum, set) => {
    const choices = set.lock === null ? [null, ...weeks] : [set.lock.week];
    return sum + Math.min(...choices.map((week) => ownCost(problem, set, week)));
  }, 0);
  const neverDue = { ...problem, sets: problem.sets.map((set) => ({ ...set, due: problem.weeks })) };
  return own + problem.weights.shortage * new PlanLedger(neverDue).shortage();
}
