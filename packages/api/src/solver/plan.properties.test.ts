import { checkPlan } from "@hangrail/rules/plan-check";
import { planLines } from "@hangrail/rules/plan-problem";
import type { PlanProblem, PlanScore } from "@hangrail/rules/plan-problem";
import { DEFAULT_RELIEF_PRICES } from "@hangrail/rules/plan-shortfall";
import { smallPlan } from "@hangrail/rules/testing/plan-generators";
import fc from "fast-check";
import { expect, test } from "vitest";
import { solvePlan } from "./plan.ts";
import type { FoundPlan, PlanAnswer } from "./plan.ts";

const EXACTLY = { seconds: 30, relativeGap: 0, prices: null };
const LONG = 300_000;
const near = 1e-6;

/** The best score of all plans there are, `null` if none keeps every rule. Cover first where the problem says so. */
function bestOfAll(problem: PlanProblem): PlanScore | null {
  const { sets, weeks } = problem;
  let best: PlanScore | null = null;
  const goes = new Map<string, number | null>(sets.map(({ id }) => [id, null]));
  const walk = (at: number): void => {
    const set = sets[at];
    if (set === undefined) {
      const { violations, score } = checkPlan(problem, planLines(goes));
      if (violations.length === 0 && (best === null || before(score, best))) best = score;
      return;
    }
    const choices = set.lock === null ? [null, ...Array.from({ length: weeks }, (_, week) => week)] : [set.lock.week];
    for (const week of choices) {
      goes.set(set.id, week);
      walk(at + 1);
    }
  };
  walk(0);
  return best;

  function before(a: PlanScore, b: PlanScore): boolean {
    return problem.coverFirst && a.shortage !== b.shortage ? a.shortage < b.shortage : a.total < b.total;
  }
}

const foundIn = (answer: PlanAnswer): FoundPlan => {
  if (answer.answer !== "plan" && answer.answer !== "short") throw new Error(`no plan, but ${JSON.stringify(answer)}`);
  return answer.found;
};

test("the plan is the best of all there are, or there is none", async () => {
  await fc.assert(
    fc.asyncProperty(smallPlan({ sets: 4, weeks: 4, locks: true }), async (problem) => {
      const best = bestOfAll(problem);
      const answer = await solvePlan(problem, EXACTLY);
      if (best === null) return void expect(answer.answer).toBe("locks-conflict");
      const { check, bound, gap } = foundIn(answer);
      expect(answer.answer).toBe(best.shortage === 0 ? "plan" : "short");
      expect(check.violations).toEqual([]);
      if (problem.coverFirst) expect(check.score.shortage).toBe(best.shortage);
      expect(check.score.total).toBeCloseTo(best.total, 6);
      expect(bound).toBeLessThanOrEqual(best.total + near);
      if (answer.answer === "plan" || !problem.coverFirst) expect(gap).toBeLessThan(near);
      if (answer.answer === "short" && problem.coverFirst) expect(answer.leastShort).toBe(true);
    }),
    { numRuns: 40 },
  );
}, LONG);

test("more hours, kits or technicians never make the best plan worse", async () => {
  const more = fc.record({ week: fc.nat(4), minutes: fc.constantFrom(30, 90), what: fc.constantFrom("bench", "technician", "kit", "authorisation") });
  await fc.assert(
    fc.asyncProperty(smallPlan({ sets: 5, weeks: 5, locks: false }), more, async (problem, { week, minutes, what }) => {
      const add = (values: readonly number[], by: number): number[] => values.map((value, w) => (w === week ? value + by : value));
      const eased: PlanProblem =
        what === "bench" ? { ...problem, benchMinutes: add(problem.benchMinutes, minutes) }
        : what === "kit" ? { ...problem, kits: problem.kits.map((kit) => ({ ...kit, arrivals: add(kit.arrivals, 1) })) }
        : what === "technician" ? { ...problem, technicians: problem.technicians.map((one) => ({ ...one, minutes: add(one.minutes, minutes) })) }
        : { ...problem, technicians: problem.technicians.map((one) => ({ ...one, authorisations: ["Alder", "Birch"].map((maker) => ({ maker, from: 0, until: 9 })) })) };
      // More bench hours also raise the level steps, which only lowers what load costs.
      const [before, after] = [foundIn(await solvePlan(problem, EXACTLY)).check.score, foundIn(await solvePlan(eased, EXACTLY)).check.score];
      if (problem.coverFirst) expect(after.shortage).toBeLessThanOrEqual(before.shortage);
      if (!problem.coverFirst || after.shortage === before.shortage) expect(after.total).toBeLessThanOrEqual(before.total + near);
    }),
    { numRuns: 20 },
  );
}, LONG);

test("the order in which things are given changes nothing in the plan", async () => {
  await fc.assert(
    fc.asyncProperty(smallPlan({ sets: 6, weeks: 5, locks: false }), async (problem) => {
      const turned: PlanProblem = {
        ...problem,
        sets: [...problem.sets].reverse().map((set) => ({ ...set, serves: [...set.serves].reverse(), work: [...set.work].reverse(), kits: [...set.kits].reverse() })),
        technicians: [...problem.technicians].reverse(),
        kits: [...problem.kits].reverse(),
        bookings: [...problem.bookings].reverse(),
      };
      expect(foundIn(await solvePlan(turned, EXACTLY)).plan).toEqual(foundIn(await solvePlan(problem, EXACTLY)).plan);
    }),
    { numRuns: 15 },
  );
}, LONG);

test("where bookings go short, the relief named would cover every one, and nothing is asked for where nothing is short", async () => {
  await fc.assert(
    fc.asyncProperty(smallPlan({ sets: 5, weeks: 5, locks: true }), async (problem) => {
      // That the relief relieves is judged before it is answered; a mistake would throw.
      const answer = await solvePlan(problem, { ...EXACTLY, prices: DEFAULT_RELIEF_PRICES });
      if (answer.answer === "short") expect(answer.relief?.items.length).toBeGreaterThan(0);
      if (answer.answer === "locks-conflict" && answer.violations.every(({ rule }) => rule !== "promised" && rule !== "on-bench")) {
        expect(answer.relief?.items.length).toBeGreaterThan(0);
      }
      expect(answer.answer).not.toBe("no-problem");
    }),
    { numRuns: 20 },
  );
}, LONG);
