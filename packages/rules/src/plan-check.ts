/**
 * Judges any plan against the problem, whoever made it: every rule it breaks, and its score, counted
 * afresh week by week from the words of plan-problem.ts. Shares nothing with the formulation, so that
 * a mistake in one shows against the other.
 */
import { Network } from "./plan-flow.ts";
import { LEVEL_STEPS } from "./plan-problem.ts";
import type { Plan, PlanProblem, PlanScore, PlanSet } from "./plan-problem.ts";

export type PlanViolation =
  /** A set of the problem has no line, two lines, or a line names no set or no week. */
  | { readonly rule: "line"; readonly set: string }
  | { readonly rule: "lock"; readonly set: string; readonly week: number | null }
  /** It would be away in a week it is promised or on the bench already. */
  | { readonly rule: "promised" | "on-bench"; readonly set: string; readonly week: number }
  | { readonly rule: "bench"; readonly week: number; readonly minutesOver: number }
  /** These makers' work exceeds what the technicians authorised for any of them have. */
  | { readonly rule: "technicians"; readonly week: number; readonly makers: readonly string[]; readonly minutesOver: number }
  | { readonly rule: "kits"; readonly kit: string; readonly week: number; readonly short: number };

export interface WeekOfPlan {
  readonly minutes: number;
  readonly going: number;
  /** Bookings without a set, by booking; only those short. */
  readonly short: readonly { readonly booking: string; readonly sets: number }[];
}

export interface PlanCheck {
  readonly violations: readonly PlanViolation[];
  readonly score: PlanScore;
  readonly weeks: readonly WeekOfPlan[];
}

export function checkPlan(problem: PlanProblem, plan: Plan): PlanCheck {
  const goes = new Map(plan.map(({ set, week }) => [set, week]));
  const violations = [...wrongLines(problem, plan), ...brokenBySets(problem, goes), ...brokenByWeeks(problem, goes), ...brokenByKits(problem, goes)];
  const states = livesOf(problem, goes);
  const weeks = Array.from({ length: problem.weeks }, (_, week): WeekOfPlan => {
    const going = problem.sets.filter((set) => goes.get(set.id) === week);
    const ready = problem.sets.filter((set) => states.get(set.id)![week] === "ready");
    return { minutes: sum(going.flatMap((set) => set.work.map(({ minutes }) => minutes))), going: going.length, short: shortIn(problem, ready, week) };
  });
  return { violations, score: scoreOf(problem, goes, states, weeks), weeks };
}

/** How many sets could serve each booking in each week, by booking; a set counts for every booking it can serve. */
export function ableByWeek(problem: PlanProblem, plan: Plan): ReadonlyMap<string, readonly number[]> {
  const able = new Map(problem.bookings.map(({ id }) => [id, Array.from({ length: problem.weeks }, () => 0)]));
  const lives = livesOf(problem, new Map(plan.map(({ set, week }) => [set, week])));
  for (const { id, serves } of problem.sets) {
    lives.get(id)!.forEach((state, week) => {
      if (state === "ready") for (const booking of serves) able.get(booking)![week]! += 1;
    });
  }
  return able;
}

function livesOf(problem: PlanProblem, goes: ReadonlyMap<string, number | null>): ReadonlyMap<string, readonly WeekState[]> {
  return new Map(problem.sets.map((set) => [set.id, lifeOf(set, goes.get(set.id) ?? null, problem.weeks)]));
}

type WeekState = "ready" | "grounded" | "elsewhere";

/** Lives through the weeks: hired while in date, away while serviced, in date again afterwards. */
function lifeOf(set: PlanSet, goes: number | null, weeks: number): WeekState[] {
  const life: WeekState[] = [];
  let inDateUntil = set.due;
  let backAt = 0;
  for (let week = 0; week < weeks; week += 1) {
    if (week === goes) {
      backAt = week + set.awayWeeks;
      inDateUntil = set.lasts === null ? Number.MAX_SAFE_INTEGER : week + set.lasts - 1;
    }
    if (set.onBench.includes(week)) life.push("elsewhere");
    else life.push(week >= backAt && week <= inDateUntil ? "ready" : "grounded");
  }
  return life;
}

function wrongLines(problem: PlanProblem, plan: Plan): PlanViolation[] {
  const lines = new Map<string, number>();
  for (const { set } of plan) lines.set(set, (lines.get(set) ?? 0) + 1);
  const known = new Set(problem.sets.map(({ id }) => id));
  const wrong = problem.sets.filter(({ id }) => lines.get(id) !== 1).map(({ id }) => id);
  for (const { set, week } of plan) {
    const isWeek = week === null || (Number.isInteger(week) && week >= 0 && week < problem.weeks);
    if (!known.has(set) || !isWeek) wrong.push(set);
  }
  return wrong.map((set) => ({ rule: "line", set }));
}

function brokenBySets(problem: PlanProblem, goes: ReadonlyMap<string, number | null>): PlanViolation[] {
  return problem.sets.flatMap((set): PlanViolation[] => {
    const week = goes.get(set.id) ?? null;
    const broken: PlanViolation[] = [];
    if (set.lock !== null && set.lock.week !== week) broken.push({ rule: "lock", set: set.id, week: set.lock.week });
    if (week === null) return broken;
    for (let away = week; away < week + set.awayWeeks; away += 1) {
      if (set.out.includes(away)) broken.push({ rule: "promised", set: set.id, week: away });
      if (set.onBench.includes(away)) broken.push({ rule: "on-bench", set: set.id, week: away });
    }
    return broken;
  });
}

function brokenByWeeks(problem: PlanProblem, goes: ReadonlyMap<string, number | null>): PlanViolation[] {
  const broken: PlanViolation[] = [];
  for (let week = 0; week < problem.weeks; week += 1) {
    const work = new Map<string, number>();
    for (const set of problem.sets) {
      if (goes.get(set.id) !== week) continue;
      for (const { maker, minutes } of set.work) work.set(maker, (work.get(maker) ?? 0) + minutes);
    }
    const bench = sum([...work.values()]) - (problem.benchMinutes[week] ?? 0);
    if (bench > 0) broken.push({ rule: "bench", week, minutesOver: bench });
    const overloaded = mostOverloaded(problem, work, week);
    if (overloaded !== null) broken.push({ rule: "technicians", week, ...overloaded });
  }
  return broken;
}

/**
 * Hours can be shared out if no group of makers has more work than the technicians authorised for any
 * of them have hours (Hall 1935). A flow that cannot carry all the work shows the group.
 */
function mostOverloaded(problem: PlanProblem, work: ReadonlyMap<string, number>, week: number): { makers: readonly string[]; minutesOver: number } | null {
  const makers = [...work].filter(([, minutes]) => minutes > 0).map(([maker]) => maker).sort();
  const may = problem.technicians.map(({ authorisations }) => new Set(authorisations.filter(({ from, until }) => from <= week && week <= until).map(({ maker }) => maker)));
  const total = sum(makers.map((maker) => work.get(maker)!));
  const flow = new Network(2 + makers.length + problem.technicians.length);
  makers.forEach((maker, at) => {
    flow.join(0, 2 + at, work.get(maker)!);
    may.forEach((who, technician) => who.has(maker) && flow.join(2 + at, 2 + makers.length + technician, work.get(maker)!));
  });
  problem.technicians.forEach(({ minutes }, technician) => flow.join(2 + makers.length + technician, 1, minutes[week] ?? 0));
  const done = flow.push();
  if (done >= total) return null;
  // The makers still reachable from the source are the ones whose technicians are all spent.
  const stuck = flow.reachable();
  return { makers: makers.filter((_, at) => stuck.has(2 + at)), minutesOver: total - done };
}

function brokenByKits(problem: PlanProblem, goes: ReadonlyMap<string, number | null>): PlanViolation[] {
  return problem.kits.flatMap(({ id, stock, arrivals }): PlanViolation[] => {
    const broken: PlanViolation[] = [];
    let left = stock;
    for (let week = 0; week < problem.weeks; week += 1) {
      left += arrivals[week] ?? 0;
      for (const set of problem.sets) {
        if (goes.get(set.id) === week) left -= sum(set.kits.filter(({ kit }) => kit === id).map(({ count }) => count));
      }
      if (left < 0) broken.push({ rule: "kits", kit: id, week, short: -left });
    }
    return broken;
  });
}

/** Serves as many bookings as any choice could; what is left over is short. */
function shortIn(problem: PlanProblem, ready: readonly PlanSet[], week: number): { booking: string; sets: number }[] {
  const groups = new Map<string, { serves: readonly string[]; count: number }>();
  for (const { serves } of ready) {
    const key = JSON.stringify([...serves].sort());
    groups.set(key, { serves, count: (groups.get(key)?.count ?? 0) + 1 });
  }
  const bookings = problem.bookings.map(({ id, sets }) => ({ id, sets: sets[week] ?? 0 }));
  const flow = new Network(2 + groups.size + bookings.length);
  [...groups.values()].forEach(({ serves, count }, at) => {
    flow.join(0, 2 + at, count);
    bookings.forEach(({ id }, booking) => serves.includes(id) && flow.join(2 + at, 2 + groups.size + booking, count));
  });
  bookings.forEach(({ sets }, booking) => flow.join(2 + groups.size + booking, 1, sets));
  flow.push();
  return bookings
    .map(({ id }, booking) => ({ booking: id, sets: flow.left(2 + groups.size + booking, 1) }))
    .filter(({ sets }) => sets > 0);
}

function scoreOf(problem: PlanProblem, goes: ReadonlyMap<string, number | null>, states: ReadonlyMap<string, readonly WeekState[]>, weeks: readonly WeekOfPlan[]): PlanScore {
  const { weights } = problem;
  let lost = 0;
  let waste = 0;
  let late = 0;
  let undone = 0;
  for (const set of problem.sets) {
    lost += states.get(set.id)!.filter((state) => state === "grounded").length;
    const week = goes.get(set.id) ?? null;
    if (week === null) undone += set.due < problem.weeks ? 1 : 0;
    else {
      waste += Math.max(0, set.due - week);
      late += Math.max(0, week - Math.max(set.due, -1));
    }
  }
  const shortage = sum(weeks.flatMap(({ short }) => short.map(({ sets }) => sets)));
  // Counted in hundredths of a minute, which are whole, and divided once.
  const over = weeks.map(({ minutes }, week) => sum(LEVEL_STEPS.map((percent) => Math.max(0, 100 * minutes - percent * (problem.benchMinutes[week] ?? 0)))));
  const level = sum(over) / 6000;
  const total = weights.shortage * shortage + weights.lost * lost + weights.waste * waste + weights.late * late + weights.undone * undone + weights.level * level;
  return { shortage, lost, waste, late, undone, level, total };
}

function sum(values: readonly number[]): number {
  return values.reduce((a, b) => a + b, 0);
}
