import { expect, test } from "vitest";
import { checkPlan } from "./plan-check.ts";
import { planFaults } from "./plan-faults.ts";
import { DEFAULT_WEIGHTS } from "./plan-problem.ts";
import type { Plan, PlanProblem, PlanSet } from "./plan-problem.ts";
import { planReasons, weekChoices } from "./plan-reasons.ts";

const always = (value: number): number[] => [value, value, value, value];

function aSet(id: string, differing: Partial<PlanSet> = {}): PlanSet {
  return { id, serves: ["warm"], due: 2, awayWeeks: 1, work: [{ maker: "Alder", minutes: 60 }], kits: [{ kit: "seal kit", count: 1 }], out: [], onBench: [], lasts: null, lock: null, ...differing };
}

/** Four weeks, two sets due in week 2, a bench with room for both and one kit until week 1. */
function aProblem(differing: Partial<PlanProblem> = {}): PlanProblem {
  return {
    weeks: 4,
    sets: [aSet("R-1"), aSet("R-2")],
    bookings: [{ id: "warm", sets: always(1) }],
    benchMinutes: always(120),
    technicians: [{ id: "Ada", minutes: always(90), authorisations: [{ maker: "Alder", from: 0, until: 3 }] }],
    kits: [{ id: "seal kit", stock: 1, arrivals: [0, 1, 0, 0] }],
    weights: { shortage: 100, lost: 10, waste: 1, late: 5, undone: 80, level: 0 },
    coverFirst: true,
    ...differing,
  };
}

const plan = (first: number | null, second: number | null): Plan => [{ set: "R-1", week: first }, { set: "R-2", week: second }];

test("counts a plan's score by hand", () => {
  // R-1 in its due week; R-2 a week late: away in week 3 when it would be overdue anyway.
  expect(checkPlan(aProblem(), plan(2, 3))).toMatchObject({ violations: [], score: { shortage: 0, lost: 2, waste: 0, late: 1, undone: 0, total: 25 } });
  expect(checkPlan(aProblem(), plan(1, 2)).score).toMatchObject({ lost: 2, waste: 1, late: 0, total: 21 });
  // Neither: both off the desk in week 3, the booking of that week without a set.
  expect(checkPlan(aProblem(), plan(null, null)).score).toMatchObject({ shortage: 1, lost: 2, undone: 2, total: 100 + 20 + 160 });
});

test("a set is away its weeks, and due again when its service is used up", () => {
  const slow = aProblem({ sets: [aSet("R-1", { awayWeeks: 2 }), aSet("R-2", { lasts: 2 })] });
  expect(checkPlan(slow, plan(1, null)).score.lost).toBe(2 + 1);
  // Serviced in week 0 for two weeks from then: hired in week 1 alone.
  expect(checkPlan(slow, plan(null, 0)).score.lost).toBe(1 + 3);
});

test("a set on the bench already is neither ready nor lost, one out on hire is ready", () => {
  const { score } = checkPlan(aProblem({ sets: [aSet("R-1", { onBench: [0] }), aSet("R-2", { onBench: [0], out: [1] })] }), plan(2, 3));
  expect(score).toMatchObject({ shortage: 1, lost: 2 });
});

test("names each rule a plan breaks", () => {
  const rules = (problem: PlanProblem, of: Plan): readonly unknown[] => checkPlan(problem, of).violations;
  expect(rules(aProblem({ benchMinutes: always(60) }), plan(2, 2))).toEqual([{ rule: "bench", week: 2, minutesOver: 60 }, { rule: "technicians", week: 2, makers: ["Alder"], minutesOver: 30 }]);
  expect(rules(aProblem(), plan(0, null))).toEqual([]);
  expect(rules(aProblem({ technicians: [{ id: "Ada", minutes: always(500), authorisations: [{ maker: "Alder", from: 1, until: 3 }] }] }), plan(0, null))).toEqual([{ rule: "technicians", week: 0, makers: ["Alder"], minutesOver: 60 }]);
  expect(rules(aProblem({ kits: [{ id: "seal kit", stock: 0, arrivals: [0, 1, 1, 0] }] }), plan(0, 3))).toEqual([{ rule: "kits", kit: "seal kit", week: 0, short: 1 }]);
  expect(rules(aProblem({ sets: [aSet("R-1", { out: [2], awayWeeks: 2 }), aSet("R-2", { onBench: [3] })] }), plan(1, 3))).toEqual([{ rule: "promised", set: "R-1", week: 2 }, { rule: "on-bench", set: "R-2", week: 3 }]);
  expect(rules(aProblem({ sets: [aSet("R-1", { lock: { week: 2 } }), aSet("R-2", { lock: { week: null } })] }), plan(1, 3))).toEqual([{ rule: "lock", set: "R-1", week: 2 }, { rule: "lock", set: "R-2", week: null }]);
  expect(rules(aProblem(), [{ set: "R-1", week: 4 }])).toEqual([{ rule: "line", set: "R-2" }, { rule: "line", set: "R-1" }]);
});

test("hours are shared out among those who may: two makers, one technician for both, is too little only together", () => {
  const work = (maker: string): Partial<PlanSet> => ({ work: [{ maker, minutes: 60 }], kits: [] });
  const problem = aProblem({
    sets: [aSet("R-1", work("Alder")), aSet("R-2", work("Birch"))],
    technicians: [
      { id: "Ada", minutes: always(80), authorisations: [{ maker: "Alder", from: 0, until: 3 }, { maker: "Birch", from: 0, until: 3 }] },
      { id: "Bo", minutes: [0, 40, 0, 0], authorisations: [{ maker: "Birch", from: 0, until: 3 }] },
    ],
  });
  expect(checkPlan(problem, plan(1, 1)).violations).toEqual([]);
  expect(checkPlan(problem, plan(2, 2)).violations).toEqual([{ rule: "technicians", week: 2, makers: ["Alder", "Birch"], minutesOver: 40 }]);
});

test("sets serve the bookings they can, so that as few as possible go short", () => {
  const problem = aProblem({
    sets: [aSet("R-1", { serves: ["cold", "warm"] }), aSet("R-2", { serves: ["warm"] })],
    bookings: [{ id: "cold", sets: [1, 1, 0, 0] }, { id: "warm", sets: [1, 0, 2, 0] }],
  });
  expect(checkPlan(problem, plan(3, 3)).score.shortage).toBe(0);
  expect(checkPlan(problem, plan(1, 3)).weeks[1]?.short).toEqual([{ booking: "cold", sets: 1 }]);
});

test("a week's load counts above a quarter, a half and three quarters of its hours", () => {
  // 120 of 120 minutes: 90, 60 and 30 above the steps.
  expect(checkPlan(aProblem({ weights: DEFAULT_WEIGHTS }), plan(2, 2)).score.level).toBe(3);
  expect(checkPlan(aProblem({ weights: DEFAULT_WEIGHTS }), plan(1, 2)).score.level).toBe(1);
});

test("says why each set goes when it goes, with what speaks against the other weeks", () => {
  const problem = aProblem({ sets: [aSet("R-1"), aSet("R-2"), aSet("R-3", { due: 9 }), aSet("R-4", { lock: { week: null } })], bookings: [{ id: "warm", sets: always(3) }] });
  const chosen: Plan = [...plan(1, 2), { set: "R-3", week: null }, { set: "R-4", week: null }];
  expect(planReasons(problem, chosen)).toEqual([
    { set: "R-1", week: 1, reason: { why: "early", weeks: 1, against: [{ week: 2, choice: "stopped", by: { stop: "technicians", makers: ["Alder"] } }] } },
    { set: "R-2", week: 2, reason: { why: "due-week" } },
    { set: "R-3", week: null, reason: { why: "not-due" } },
    { set: "R-4", week: null, reason: { why: "locked" } },
  ]);
  const apart = planReasons({ ...problem, technicians: [{ id: "Ada", minutes: always(500), authorisations: problem.technicians[0]!.authorisations }] }, chosen);
  // Both in week 2 saves a week of life and leaves a booking of that week without a set.
  expect(apart[0]?.reason).toEqual({ why: "early", weeks: 1, against: [{ week: 2, choice: "possible", cost: 99, short: [{ week: 2, sets: 1 }] }] });
  expect(planReasons(aProblem({ benchMinutes: always(0) }), plan(null, null))[0]?.reason).toMatchObject({ why: "left", against: [{ week: 0, by: { stop: "bench", minutesOver: 60 } }, {}, {}, {}] });
});

test("shows what every week would cost a set that is moved by hand", () => {
  const choices = weekChoices(aProblem(), plan(1, 2), "R-2");
  expect(choices?.map((one) => (one.choice === "stopped" ? one.by.stop : one.cost))).toEqual([2, "technicians", 0, 5, 80]);
  expect(weekChoices(aProblem(), plan(1, 2), "R-9")).toBeNull();
});

test("a problem that is none is told where it is wrong", () => {
  expect(planFaults(aProblem())).toEqual([]);
  expect(planFaults(aProblem({ weeks: 0 }))).toEqual([{ code: "not-a-count", at: "weeks" }]);
  expect(planFaults(aProblem({ weeks: 1_000 }))).toEqual([{ code: "not-a-count", at: "weeks" }]);
  const wrong = aProblem({
    sets: [aSet("R-1", { awayWeeks: 0, lasts: 0, due: 1.5, lock: { week: 4 }, serves: ["warm", "ice"], work: [{ maker: "Alder", minutes: Number.NaN }] }), aSet("R-1")],
    benchMinutes: [1, 2, 3, -4],
    weights: { ...DEFAULT_WEIGHTS, waste: -1 },
  });
  expect(planFaults(wrong).map(({ code, at }) => `${code}: ${at}`)).toEqual([
    "not-a-count: benchMinutes week 3",
    "named-twice: sets R-1",
    "not-a-count: sets R-1 due",
    "not-a-count: sets R-1 awayWeeks",
    "not-a-count: sets R-1 work Alder",
    "not-a-count: sets R-1 lock",
    "unknown-booking: sets R-1 serves ice",
    "not-a-weight: weights waste",
  ]);
});
