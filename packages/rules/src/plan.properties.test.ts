import fc from "fast-check";
import { expect, test } from "vitest";
import { smallPlan } from "../testing/plan-generators.ts";
import { checkPlan } from "./plan-check.ts";
import { classesOf, countsOf, planOf } from "./plan-classes.ts";
import { planFaults } from "./plan-faults.ts";
import { formulate } from "./plan-formulation.ts";
import { greedyPlan, simpleBound } from "./plan-greedy.ts";
import { PlanLedger } from "./plan-ledger.ts";
import { planLines } from "./plan-problem.ts";
import type { Plan, PlanProblem } from "./plan-problem.ts";

const RUNS = { numRuns: 400 };
const problems = smallPlan({ sets: 5, weeks: 5, locks: false });
const anyProblem = smallPlan({ sets: 5, weeks: 5, locks: true });

/** A problem and a plan for it that need keep no rule. */
const withAnyPlan = (from: fc.Arbitrary<PlanProblem>): fc.Arbitrary<readonly [PlanProblem, Plan]> =>
  from.chain((problem) =>
    fc
      .tuple(...problem.sets.map((set) => fc.option(fc.nat(problem.weeks - 1)).map((week): [string, number | null] => [set.id, week])))
      .map((pairs) => [problem, planLines(new Map(pairs))] as const),
  );

const near = (a: number, b: number): boolean => Math.abs(a - b) < 1e-9;

test("every problem made here is one", () => {
  fc.assert(fc.property(anyProblem, (problem) => void expect(planFaults(problem)).toEqual([])), RUNS);
});

test("the greedy plan breaks no rule, and beats doing nothing", () => {
  fc.assert(
    fc.property(problems, (problem) => {
      const { violations, score } = checkPlan(problem, greedyPlan(problem));
      expect(violations).toEqual([]);
      const nothing = planLines(new Map(problem.sets.map(({ id }) => [id, null])));
      expect(score.total).toBeLessThanOrEqual(checkPlan(problem, nothing).score.total + 1e-9);
    }),
    RUNS,
  );
});

test("what the greedy plan breaks, the locks alone break already", () => {
  fc.assert(
    fc.property(anyProblem, (problem) => {
      const locked = planLines(new Map(problem.sets.map(({ id, lock }) => [id, lock?.week ?? null])));
      const rules = (plan: Plan): readonly unknown[] => checkPlan(problem, plan).violations.filter(({ rule }) => rule !== "lock");
      expect(rules(greedyPlan(problem)).length > 0).toBe(rules(locked).length > 0);
    }),
    RUNS,
  );
});

test("no plan, whatever rules it breaks, scores below the simple bound", () => {
  fc.assert(
    fc.property(withAnyPlan(problems), ([problem, plan]) => {
      expect(simpleBound(problem)).toBeLessThanOrEqual(checkPlan(problem, plan).score.total + 1e-9);
    }),
    RUNS,
  );
});

test("moving one set changes the score by what the ledger says", () => {
  fc.assert(
    fc.property(withAnyPlan(problems), fc.nat(), fc.option(fc.nat(4)), ([problem, plan], which, to) => {
      const set = problem.sets[which % problem.sets.length]!;
      const moved = plan.map((line) => (line.set === set.id ? { ...line, week: to } : line));
      const ledger = ledgerOf(problem, plan);
      const change = checkPlan(problem, moved).score.total - checkPlan(problem, plan).score.total;
      expect(near(ledger.costOf(set, to), change), `${ledger.costOf(set, to)} for ${change}`).toBe(true);
      const short = ledger.shortBy(set, to).reduce((a, b) => a + b, 0);
      expect(short).toBe(checkPlan(problem, moved).score.shortage - checkPlan(problem, plan).score.shortage);
      ledger.send(set, to);
      expect(ledger.plan()).toEqual(moved);
    }),
    RUNS,
  );
});

test("a set may go in a week exactly if the plan with it there breaks no rule", () => {
  fc.assert(
    fc.property(problems, fc.nat(), fc.nat(4), (problem, which, to) => {
      const plan = greedyPlan(problem);
      const set = problem.sets[which % problem.sets.length]!;
      const moved = plan.map((line) => (line.set === set.id ? { ...line, week: to } : line));
      expect(ledgerOf(problem, plan).stopFor(set, to) === null).toBe(checkPlan(problem, moved).violations.length === 0);
    }),
    RUNS,
  );
});

test("the order of anything given changes neither the classes nor the programme", () => {
  fc.assert(
    fc.property(anyProblem, fc.infiniteStream(fc.nat()), (problem, chance) => {
      const shuffled = <T>(list: readonly T[]): T[] => list.map((one) => ({ one, at: chance.next().value as number })).sort((a, b) => a.at - b.at).map(({ one }) => one);
      const other: PlanProblem = {
        ...problem,
        sets: shuffled(problem.sets).map((set) => ({ ...set, serves: shuffled(set.serves), work: shuffled(set.work), kits: shuffled(set.kits), out: shuffled(set.out) })),
        technicians: shuffled(problem.technicians),
        bookings: shuffled(problem.bookings),
        kits: shuffled(problem.kits),
      };
      expect(classesOf(other)).toEqual(classesOf(problem).map((one) => ({ ...one, like: { ...one.like, id: expect.any(String) as string } })));
      const goal = { goal: "score", shortageAtMost: null } as const;
      expect(formulate(other, classesOf(other), goal)).toEqual(formulate(problem, classesOf(problem), goal));
      expect(greedyPlan(other)).toEqual(greedyPlan(problem));
    }),
    { numRuns: 150 },
  );
}, 30_000);

test("a plan by classes names as many sets in each week as it was given", () => {
  fc.assert(
    fc.property(withAnyPlan(problems), ([problem, plan]) => {
      const classes = classesOf(problem);
      const counts = countsOf(classes, plan, problem.weeks);
      const again = planOf(classes, counts);
      expect(countsOf(classes, again, problem.weeks)).toEqual(counts);
      expect(checkPlan(problem, again).score).toEqual(checkPlan(problem, plan).score);
    }),
    RUNS,
  );
});

function ledgerOf(problem: PlanProblem, plan: Plan): PlanLedger {
  const ledger = new PlanLedger(problem);
  const weekOf = new Map(plan.map(({ set, week }) => [set, week]));
  for (const set of problem.sets) ledger.send(set, weekOf.get(set.id) ?? null);
  return ledger;
}
