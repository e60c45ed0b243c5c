/**
 * Identical sets of a plan problem, grouped: the solver decides how many of a class go in each week,
 * not which. Two sets are identical if the problem could not tell them apart but by their id. The
 * classes come in an order of their own, so that the order in which sets were given changes nothing.
 */
import { compareText, planLines } from "./plan-problem.ts";
import type { Plan, PlanProblem, PlanSet } from "./plan-problem.ts";

export interface PlanClass {
  /** One of them, with its lists sorted and what is named twice added up. */
  readonly like: PlanSet;
  /** Sorted. */
  readonly ids: readonly string[];
}

export function classesOf(problem: PlanProblem): readonly PlanClass[] {
  const byKey = new Map<string, { like: PlanSet; ids: string[] }>();
  for (const set of problem.sets) {
    const like = inOrder(set, problem.weeks);
    const key = JSON.stringify([like.serves, like.due, like.awayWeeks, like.work, like.kits, like.out, like.onBench, like.lasts, like.lock]);
    const known = byKey.get(key);
    if (known === undefined) byKey.set(key, { like, ids: [set.id] });
    else known.ids.push(set.id);
  }
  return [...byKey]
    .sort(([a], [b]) => compareText(a, b))
    .map(([, { like, ids }]) => ({ like, ids: ids.sort(compareText) }));
}

/** Weeks past the end, or a due date beyond it by different amounts, still tell sets apart: waste counts from there. */
function inOrder(set: PlanSet, weeks: number): PlanSet {
  return {
    ...set,
    serves: [...set.serves].sort(compareText),
    // How long overdue a set is at the start changes nothing.
    due: Math.max(-1, set.due),
    work: summed(set.work.map(({ maker, minutes }) => [maker, minutes])).map(([maker, minutes]) => ({ maker, minutes })),
    kits: summed(set.kits.map(({ kit, count }) => [kit, count])).map(([kit, count]) => ({ kit, count })),
    out: weeksWithin(set.out, weeks),
    onBench: weeksWithin(set.onBench, weeks),
  };
}

function summed(pairs: readonly (readonly [string, number])[]): (readonly [string, number])[] {
  const sums = new Map<string, number>();
  for (const [name, amount] of pairs) sums.set(name, (sums.get(name) ?? 0) + amount);
  return [...sums].filter(([, amount]) => amount > 0).sort(([a], [b]) => compareText(a, b));
}

function weeksWithin(list: readonly number[], weeks: number): readonly number[] {
  return [...new Set(list)].filter((week) => week < weeks).sort((a, b) => a - b);
}

/**
 * Names the sets: of a class, the lowest ids go first.
 *
 * @param counts how many of each class go in each week: `counts[class][week]`.
 */
export function planOf(classes: readonly PlanClass[], counts: readonly (readonly number[])[]): Plan {
  const weeks = new Map<string, number | null>();
  classes.forEach(({ ids }, index) => {
    const going = (counts[index] ?? []).flatMap((count, week) => Array.from({ length: count }, () => week));
    ids.forEach((id, at) => weeks.set(id, going[at] ?? null));
  });
  return planLines(weeks);
}

/** The other way: how many of each class a plan sends in each week. */
export function countsOf(classes: readonly PlanClass[], plan: Plan, weeks: number): number[][] {
  const weekOf = new Map(plan.map(({ set, week }) => [set, week]));
  return classes.map(({ ids }) => {
    const counts = Array.from({ length: weeks }, () => 0);
    for (const id of ids) {
      const week = weekOf.get(id) ?? null;
      if (week !== null) counts[week] = (counts[week] ?? 0) + 1;
    }
    return counts;
  });
}
