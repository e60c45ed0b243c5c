/**
 * Finds the plan. The rules write the programme and read it back (plan-formulation.ts); HiGHS solves it
 * in a thread (milp.ts); every plan is judged anew (plan-check.ts) before it leaves, and none leaves
 * that breaks a rule. What cannot be planned is said, with the cheapest relief, never papered over.
 */
import { checkPlan } from "@hangrail/rules/plan-check";
import type { PlanCheck, PlanViolation } from "@hangrail/rules/plan-check";
import { classesOf, countsOf, planOf } from "@hangrail/rules/plan-classes";
import type { PlanClass } from "@hangrail/rules/plan-classes";
import { planFaults } from "@hangrail/rules/plan-faults";
import type { PlanFault } from "@hangrail/rules/plan-faults";
import { formulate, readCounts, startFrom } from "@hangrail/rules/plan-formulation";
import type { PlanGoal, ReliefPrices } from "@hangrail/rules/plan-formulation";
import { greedyPlan, simpleBound } from "@hangrail/rules/plan-greedy";
import type { Plan, PlanProblem } from "@hangrail/rules/plan-problem";
import { readRelief, withRelief } from "@hangrail/rules/plan-shortfall";
import type { Relief } from "@hangrail/rules/plan-shortfall";
import { solveMilp } from "./milp.ts";
import type { MilpAnswer, MilpEnd, MilpProgress } from "./milp.ts";

export interface PlanOptions {
  /** For all solving together; whatever is best by then is the answer, with its gap. */
  readonly seconds: number;
  /** Good enough: 0.005 stops when no plan can be more than half a percent better. */
  readonly relativeGap: number;
  /** What relief costs; `null` = do not look for any. */
  readonly prices: ReliefPrices | null;
  readonly onProgress?: (progress: PlanProgress) => void;
  /** Stops the search; what was found by then is the answer. */
  readonly signal?: AbortSignal;
  /** Tests put a broken worker here. */
  readonly workerFile?: string;
}

export interface PlanProgress extends MilpProgress {
  readonly looking: "plan" | "cover" | "relief";
}

/** A plan that breaks no rule, and how good it is known to be. */
export interface FoundPlan {
  readonly plan: Plan;
  readonly check: PlanCheck;
  /** No plan scores less; one that leaves more bookings without a set is no plan where cover comes first. */
  readonly bound: number;
  /** (score - bound) / score; 0 = proven best. */
  readonly gap: number;
  readonly by: "solver" | "greedy";
  readonly end: MilpEnd;
}

export type PlanAnswer =
  /** Every booking is covered. */
  | { readonly answer: "plan"; readonly found: FoundPlan }
  /**
   * Some bookings have no set. `leastShort`: proven that no plan covers more. `found.check.weeks` says
   * which; `relief` what would cover them all, `null` if none was looked for or found in time.
   */
  | { readonly answer: "short"; readonly found: FoundPlan; readonly leastShort: boolean; readonly relief: Relief | null }
  /** The locks themselves break a rule: no plan keeps them all. */
  | { readonly answer: "locks-conflict"; readonly violations: readonly PlanViolation[]; readonly relief: Relief | null }
  | { readonly answer: "no-problem"; readonly faults: readonly PlanFault[] };

/** Solving is given at least so long even when the time is up, so that a small problem still gets its proof. */
const LEAST_SECONDS = 1;

/** Of a score: differences below this share are the solver's arithmetic. */
const ROUNDING = 1e-9;

export async function solvePlan(problem: PlanProblem, options: PlanOptions): Promise<PlanAnswer> {
  const faults = planFaults(problem);
  if (faults.length > 0) return { answer: "no-problem", faults };
  const search: Search = { problem, options, classes: classesOf(problem), until: performance.now() + options.seconds * 1000 };
  const greedy = greedyPlan(problem);
  const judged = checkPlan(problem, greedy);
  // The greedy plan breaks a rule only where the locks do: it adds nothing that does not fit.
  if (judged.violations.length > 0) return { answer: "locks-conflict", violations: judged.violations, relief: await findRelief(search) };

  let best: Candidate = { plan: greedy, check: judged, bound: simpleBound(problem), by: "greedy", end: "died" };
  best = better(best, await look(search, { goal: "score", shortageAtMost: null }, greedy, "plan"));
  if (best.check.score.shortage === 0) return { answer: "plan", found: rated(best) };
  const leastShort = problem.coverFirst ? await coverMore(search) : false;
  return { answer: "short", found: rated(best), leastShort, relief: await findRelief(search) };

  /** The weights may have left a booking short to save something else: covering comes first. */
  async function coverMore(within: Search): Promise<boolean> {
    const cover = await look(within, { goal: "cover" }, best.plan, "cover");
    const least = cover.check.score.shortage < best.check.score.shortage ? cover : best;
    const proven = cover.bound !== null && cover.bound > least.check.score.shortage - 1 + 1e-6;
    if (least.check.score.shortage < best.check.score.shortage) {
      const again = await look(within, { goal: "score", shortageAtMost: least.check.score.shortage }, least.plan, "plan");
      // Fewer short beats any score, so the plan before does not compete; its bound still holds for all.
      best = { ...least, bound: best.bound, end: best.end };
      best = better(best, again);
    }
    return proven;
  }
}

interface Search {
  readonly problem: PlanProblem;
  readonly options: PlanOptions;
  readonly classes: readonly PlanClass[];
  readonly until: number;
}

interface Candidate {
  readonly plan: Plan;
  readonly check: PlanCheck;
  readonly bound: number | null;
  readonly by: "solver" | "greedy";
  readonly end: MilpEnd;
}

/** Asks the solver; if it finds nothing, the plan it was to start from comes back with what it proved. */
async function look({ problem, options, classes, until }: Search, goal: PlanGoal, from: Plan, looking: PlanProgress["looking"]): Promise<Candidate> {
  const formulation = formulate(problem, classes, goal);
  const answer = await solve(formulation.milp, {
    start: startFrom(formulation, countsOf(classes, from, problem.weeks)),
    // Shortage is whole: a plan less than one from the bound is proven.
    absoluteGap: goal.goal === "cover" ? 0.999 : 1e-6,
    relativeGap: goal.goal === "cover" ? 0 : options.relativeGap,
  });
  if (answer.answer === "nothing") return { plan: from, check: checkPlan(problem, from), bound: answer.bound, by: "greedy", end: answer.end };
  if (answer.answer !== "found") throw new Error(`The solver calls a problem ${answer.answer} that has a plan.`);
  const plan = planOf(classes, readCounts(formulation, answer.values));
  const check = checkPlan(problem, plan);
  if (check.violations.length > 0) throw new Error(`The solver's plan breaks a rule: ${JSON.stringify(check.violations[0])}`);
  const { total } = check.score;
  const slack = 1e-6 * Math.max(1, total);
  // The programme and the judge count the same plan independently; where they differ, one of them is wrong and no proof holds.
  if (goal.goal === "score" && (answer.value < total - slack || (answer.bound ?? 0) > total + slack)) {
    throw new Error(`The solver counts ${answer.value} (bound ${answer.bound}) for a plan that scores ${total}.`);
  }
  return { plan, check, bound: answer.bound, by: "solver", end: answer.end };

  function solve(milp: typeof formulation.milp, more: Pick<Parameters<typeof solveMilp>[1], "start" | "absoluteGap" | "relativeGap">): Promise<MilpAnswer> {
    return solveMilp(milp, { ...milpOptions(options, until, looking), ...more });
  }
}

async function findRelief({ problem, options, classes, until }: Search): Promise<Relief | null> {
  const { prices } = options;
  if (prices === null || options.signal?.aborted === true) return null;
  const formulation = formulate(problem, classes, { goal: "relief", prices });
  const answer = await solveMilp(formulation.milp, { ...milpOptions(options, until, "relief"), relativeGap: options.relativeGap });
  if (answer.answer !== "found") return null;
  const relief = readRelief(formulation, answer.values, prices);
  const eased = checkPlan(withRelief(problem, relief), planOf(classes, readCounts(formulation, answer.values)));
  // A lock in a promised week stays broken whatever is granted; anything else would be a mistake of ours.
  if (eased.violations.some(({ rule }) => rule !== "promised" && rule !== "on-bench") || eased.score.shortage > 0) {
    throw new Error(`The relief found does not relieve: ${JSON.stringify(eased.violations[0] ?? eased.score)}`);
  }
  return relief;
}

function milpOptions({ onProgress, signal, workerFile }: PlanOptions, until: number, looking: PlanProgress["looking"]) {
  return {
    seconds: Math.max(LEAST_SECONDS, (until - performance.now()) / 1000),
    ...(onProgress && { onProgress: (progress: MilpProgress): void => onProgress({ ...progress, looking }) }),
    ...(signal && { signal }),
    ...(workerFile !== undefined && { workerFile }),
  };
}

/** The lower score of two, with the higher of the bounds proven. */
function better(a: Candidate, b: Candidate): Candidate {
  const bound = a.bound === null || (b.bound !== null && b.bound > a.bound) ? b.bound : a.bound;
  return b.check.score.total <= a.check.score.total ? { ...b, bound } : { ...a, bound, end: b.end };
}

function rated({ plan, check, bound, by, end }: Candidate): FoundPlan {
  const { total } = check.score;
  // Rounding may put the bound a hair beside a proven best.
  const proven = bound === null ? 0 : bound > total - ROUNDING * Math.max(1, total) ? total : bound;
  return { plan, check, bound: proven, gap: total > 0 ? (total - proven) / total : 0, by, end };
}
