import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { checkPlan } from "@hangrail/rules/plan-check";
import { addColumn, addRow, finish, newDraft } from "@hangrail/rules/plan-milp";
import { DEFAULT_WEIGHTS } from "@hangrail/rules/plan-problem";
import type { PlanProblem, PlanSet } from "@hangrail/rules/plan-problem";
import { DEFAULT_RELIEF_PRICES } from "@hangrail/rules/plan-shortfall";
import { describe, expect, test, vi } from "vitest";
import { solveMilp } from "./milp.ts";
import { solvePlan } from "./plan.ts";
import type { PlanAnswer, PlanProgress } from "./plan.ts";

// A solver's thread starts in a moment on a quiet machine, in seconds on a busy one.
vi.setConfig({ testTimeout: 90_000 });

const WEEKS = 6;
const always = (value: number): number[] => Array.from({ length: WEEKS }, () => value);
const OPTIONS = { seconds: 20, relativeGap: 0, prices: DEFAULT_RELIEF_PRICES };

function aSet(id: string, differing: Partial<PlanSet> = {}): PlanSet {
  return { id, serves: ["warm"], due: 3, awayWeeks: 1, work: [{ maker: "Alder", minutes: 120 }], kits: [{ kit: "seal kit", count: 1 }], out: [], onBench: [], lasts: null, lock: null, ...differing };
}

/** Four sets that fall due in week 3, a bench for one a week, and bookings that leave one to spare. */
function aProblem(differing: Partial<PlanProblem> = {}): PlanProblem {
  return {
    weeks: WEEKS,
    sets: ["R-1", "R-2", "R-3", "R-4"].map((id) => aSet(id)),
    bookings: [{ id: "warm", sets: always(3) }],
    benchMinutes: always(120),
    technicians: [{ id: "Ada", minutes: always(480), authorisations: [{ maker: "Alder", from: 0, until: WEEKS - 1 }] }],
    kits: [{ id: "seal kit", stock: 9, arrivals: always(0) }],
    weights: DEFAULT_WEIGHTS,
    coverFirst: true,
    ...differing,
  };
}

const weeksOf = (answer: PlanAnswer): (number | null)[] => {
  if (answer.answer !== "plan" && answer.answer !== "short") throw new Error(JSON.stringify(answer));
  return answer.found.plan.map(({ week }) => week);
};

test("one set a week, the last in its due week, and a proof that nothing is better", async () => {
  const answer = await solvePlan(aProblem(), OPTIONS);
  expect(weeksOf(answer)).toEqual([0, 1, 2, 3]);
  expect(answer).toMatchObject({ answer: "plan", found: { gap: 0, by: "solver", end: "optimal", check: { score: { shortage: 0, waste: 6 } } } });
});

test("tells what the rules keep apart: a promised week, an absent authorisation, a late kit", async () => {
  const [first, ...others] = aProblem().sets;
  expect(weeksOf(await solvePlan(aProblem({ sets: [{ ...first!, out: [0, 1, 2] }, ...others] }), OPTIONS))[0]).toBe(3);
  const technicians = [{ id: "Ada", minutes: always(480), authorisations: [{ maker: "Alder", from: 2, until: WEEKS - 1 }] }];
  expect(Math.min(...weeksOf(await solvePlan(aProblem({ technicians }), OPTIONS)).filter((week) => week !== null))).toBe(2);
  const kits = [{ id: "seal kit", stock: 1, arrivals: [0, 0, 3, 0, 0, 0] }];
  const withKits = weeksOf(await solvePlan(aProblem({ kits, benchMinutes: always(240) }), OPTIONS));
  expect(withKits.filter((week) => week !== null && week < 2).length).toBeLessThanOrEqual(1);
});

test("keeps a lock, and plans the rest around it", async () => {
  const [first, ...others] = aProblem().sets;
  const answer = await solvePlan(aProblem({ sets: [{ ...first!, lock: { week: 2 } }, ...others] }), OPTIONS);
  expect(weeksOf(answer)[0]).toBe(2);
  expect(weeksOf(answer).slice(1).sort()).toEqual([0, 1, 3]);
});

describe("where there is no plan", () => {
  test("says which weeks are short, and that a technician's hours are the cheapest relief", async () => {
    const answer = await solvePlan(aProblem({ benchMinutes: [0, 0, 120, 120, 120, 120], technicians: [{ id: "Ada", minutes: [0, 0, 120, 120, 120, 120], authorisations: [{ maker: "Alder", from: 0, until: 5 }] }] }), OPTIONS);
    expect(answer.answer).toBe("short");
    if (answer.answer !== "short") return;
    expect(answer.leastShort).toBe(true);
    expect(answer.found.check.weeks.flatMap(({ short }, week) => short.map(({ sets }) => ({ week, sets })))).toEqual([{ week: 4, sets: 1 }]);
    expect(answer.relief?.items.map(({ short }) => short)).toEqual(["technician"]);
    expect(answer.relief?.cost).toBe(20);
  });

  test("a fleet that is simply too small needs sets from elsewhere", async () => {
    const answer = await solvePlan(aProblem({ bookings: [{ id: "warm", sets: [3, 3, 3, 3, 3, 6] }] }), OPTIONS);
    expect(answer).toMatchObject({ answer: "short", relief: { items: [{ short: "set", booking: "warm", week: 5, sets: 2 }], cost: 200 } });
  });

  test("a kit that comes too late is named with the week it is needed by", async () => {
    const kits = [{ id: "seal kit", stock: 3, arrivals: always(0) }];
    const answer = await solvePlan(aProblem({ kits, bookings: [{ id: "warm", sets: [3, 3, 3, 3, 4, 4] }] }), OPTIONS);
    expect(answer).toMatchObject({ answer: "short", relief: { items: [{ short: "kit", kit: "seal kit", count: 1 }], cost: 6 } });
  });

  test("two locks in one slot are a conflict, with what it would take to keep both", async () => {
    const [first, second, ...others] = aProblem().sets;
    const answer = await solvePlan(aProblem({ bookings: [{ id: "warm", sets: always(2) }], sets: [{ ...first!, lock: { week: 1 } }, { ...second!, lock: { week: 1 } }, ...others] }), OPTIONS);
    expect(answer).toMatchObject({ answer: "locks-conflict", violations: [{ rule: "bench", week: 1, minutesOver: 120 }], relief: { items: [{ short: "bench", week: 1, minutes: 120 }], cost: 8 } });
  });

  test("figures that are none are named, and nothing is solved", async () => {
    const answer = await solvePlan(aProblem({ benchMinutes: [1, 2], kits: [] }), OPTIONS);
    expect(answer).toMatchObject({ answer: "no-problem", faults: [{ code: "not-every-week", at: "benchMinutes" }, { code: "unknown-kit", at: "sets R-1 kits seal kit" }, {}, {}, {}] });
  });
});

/** A solver that is given more than there is makes plans that break exactly what it was not told of. */
test.each<[string, (problem: PlanProblem) => PlanProblem, string]>([
  ["bench hours", (problem) => ({ ...problem, benchMinutes: always(9_999) }), "bench"],
  ["technicians", (problem) => ({ ...problem, technicians: problem.technicians.map((one) => ({ ...one, minutes: always(9_999) })) }), "technicians"],
  ["kits", (problem) => ({ ...problem, kits: problem.kits.map((kit) => ({ ...kit, stock: 99 })) }), "kits"],
  ["promised weeks", (problem) => ({ ...problem, sets: problem.sets.map((set) => ({ ...set, out: [] })) }), "promised"],
  ["weeks on the bench", (problem) => ({ ...problem, sets: problem.sets.map((set) => ({ ...set, onBench: [] })) }), "on-bench"],
  ["locks", (problem) => ({ ...problem, sets: problem.sets.map((set) => ({ ...set, lock: null })) }), "lock"],
])("a plan made without regard to %s is caught", async (_, without, rule) => {
  const tight = aProblem({
    sets: ["R-1", "R-2", "R-3", "R-4"].map((id, at) => aSet(id, { out: at === 0 ? [3] : [], onBench: at === 1 ? [3] : [], lock: at === 2 ? { week: null } : null })),
    // With nothing booked all would go in their due week.
    bookings: [{ id: "warm", sets: always(0) }],
    benchMinutes: always(rule === "bench" ? 60 : 9_999),
    technicians: [{ id: "Ada", minutes: always(rule === "technicians" ? 60 : 9_999), authorisations: [{ maker: "Alder", from: 0, until: 5 }] }],
    kits: [{ id: "seal kit", stock: rule === "kits" ? 0 : 99, arrivals: always(0) }],
  });
  const answer = await solvePlan(without(tight), { ...OPTIONS, prices: null });
  if (answer.answer !== "plan" && answer.answer !== "short") throw new Error(JSON.stringify(answer));
  expect(checkPlan(tight, answer.found.plan).violations.map((violation) => violation.rule)).toContain(rule);
});

describe("when the solver", () => {
  const broken = (text: string): string => {
    const file = join(mkdtempSync(join(tmpdir(), "hangrail-solver-")), "worker.mjs");
    writeFileSync(file, text);
    return file;
  };

  test.each([
    ["dies", "throw new Error('Aborted(). Build with -sASSERTIONS');"],
    ["leaves without a word", "process.exit(0);"],
  ])("%s, the greedy plan stands in with a bound, and the next solve is unhurt", async (_, text) => {
    const answer = await solvePlan(aProblem(), { ...OPTIONS, workerFile: broken(text) });
    if (answer.answer !== "plan") throw new Error(JSON.stringify(answer));
    expect(answer.found).toMatchObject({ by: "greedy", end: "died" });
    expect(answer.found.check.violations).toEqual([]);
    expect(answer.found.bound).toBeLessThanOrEqual(answer.found.check.score.total);
    expect(await solvePlan(aProblem(), OPTIONS)).toMatchObject({ answer: "plan", found: { by: "solver" } });
  });

  test("dies after it found something, that is the answer, with the bound proven by then", async () => {
    const draft = newDraft();
    const column = addColumn(draft, { cost: 1, lower: 0, upper: 9, integer: true });
    addRow(draft, { lower: 2.5, upper: 9, entries: new Map([[column, 1]]) });
    const workerFile = broken(`
      import { parentPort } from "node:worker_threads";
      parentPort.postMessage({ incumbent: Float64Array.of(4), progress: { seconds: 1, best: 4, bound: 2.5 } });
      parentPort.postMessage({ progress: { seconds: 2, best: 4, bound: 3 } });
      setImmediate(() => { throw new Error("out of memory"); });`);
    expect(await solveMilp(finish(draft), { seconds: 5, relativeGap: 0, workerFile })).toEqual({ answer: "found", end: "died", values: Float64Array.of(4), value: 4, bound: 3 });
    expect(await solveMilp(finish(draft), { seconds: 5, relativeGap: 0 })).toMatchObject({ answer: "found", end: "optimal", value: 3, bound: 3 });
  });

  test("is stopped before it begins, the plan is the greedy one and keeps every rule", async () => {
    const stop = new AbortController();
    stop.abort();
    const answer = await solvePlan(aHardProblem(), { ...OPTIONS, signal: stop.signal });
    if (answer.answer !== "plan" && answer.answer !== "short") throw new Error(JSON.stringify(answer));
    expect(answer.found.end).toBe("stopped");
    expect(answer.found.check.violations).toEqual([]);
    expect(answer.found.gap).toBeGreaterThan(0);
  });

  test("is stopped on the way, what it had is the answer, long before its time", async () => {
    const stop = new AbortController();
    const heard: PlanProgress[] = [];
    const began = performance.now();
    const answer = await solvePlan(aHardProblem(), {
      ...OPTIONS, seconds: 120, signal: stop.signal,
      onProgress: (progress) => {
        heard.push(progress);
        if (progress.bound !== null) stop.abort();
      },
    });
    expect(performance.now() - began).toBeLessThan(60_000);
    if (answer.answer !== "plan" && answer.answer !== "short") throw new Error(JSON.stringify(answer));
    expect(answer.found.end).toBe("stopped");
    expect(heard.length).toBeGreaterThan(0);
    expect(heard[0]?.looking).toBe("plan");
  });
});

test("a programme that cannot be satisfied is called so", async () => {
  const draft = newDraft();
  const column = addColumn(draft, { cost: 1, lower: 0, upper: 1, integer: true });
  addRow(draft, { lower: 2, upper: 3, entries: new Map([[column, 1]]) });
  expect(await solveMilp(finish(draft), { seconds: 5, relativeGap: 0 })).toEqual({ answer: "infeasible" });
});

/** Sets that all differ, so that no proof is quick. */
function aHardProblem(): PlanProblem {
  const sets = Array.from({ length: 120 }, (_, at) =>
    aSet(`R-${String(at).padStart(3, "0")}`, { due: (at * 7) % 26, work: [{ maker: "Alder", minutes: 45 + 5 * ((at * 13) % 17) }], out: at % 3 === 0 ? [(at * 5) % 26] : [] }),
  );
  const long = (value: number): number[] => Array.from({ length: 26 }, () => value);
  return {
    weeks: 26, sets, bookings: [{ id: "warm", sets: long(105) }], benchMinutes: long(400),
    technicians: [{ id: "Ada", minutes: long(380), authorisations: [{ maker: "Alder", from: 0, until: 25 }] }],
    kits: [{ id: "seal kit", stock: 20, arrivals: long(5) }], weights: DEFAULT_WEIGHTS, coverFirst: true,
  };
}
