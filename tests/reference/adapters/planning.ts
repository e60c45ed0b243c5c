import { solveMilp } from "@hangrail/api/solver/milp";
import { solvePlan } from "@hangrail/api/solver/plan";
import { addColumn, addRow, finish, newDraft } from "@hangrail/rules/plan-milp";
import type { MilpDraft } from "@hangrail/rules/plan-milp";
import type { PlanProblem } from "@hangrail/rules/plan-problem";
import { differences } from "../compare.ts";
import type { Adapter } from "./adapter.ts";
import { fields, list, number, text } from "./reading.ts";

const MINUTES_PER_HOUR = 60;
const SECONDS = 120;

/** Every case is solved to the end: the objective must be the case's own, and the bound must prove it. */
export const servicePlan: Adapter = {
  judge: async (one) => {
    const problem = readProblem(one.input);
    const answer = await solvePlan(problem, { seconds: SECONDS, relativeGap: 1e-9, prices: null });
    if (answer.answer !== "plan" && answer.answer !== "short") return [`no plan, but ${JSON.stringify(answer)}`];
    const { check, plan, bound, gap } = answer.found;
    const { plan: any, lpBound, greedyObjective, optimalPlans, shortage, lost, waste, ...expected } = fields(one.expected, "expected");
    const { total, ...parts } = check.score;
    const lines = differences({ objective: total }, expected, one.tolerance);
    if (bound < number(lpBound, "lpBound") - 1e-3) lines.push(`the bound ${bound} is below that of the relaxation, ${String(lpBound)}`);
    if (gap > 1e-6) lines.push(`the plan is not proven: gap ${gap}`);
    if (total > number(greedyObjective, "greedyObjective")) lines.push("the greedy plan is better");
    if (plan.length !== list(any, "plan").length) lines.push(`the plan has ${plan.length} lines`);
    // Where there is one best plan, its parts are the case's own too.
    if (optimalPlans === 1) lines.push(...differences(parts, { shortage, lost, waste }, {}));
    return lines;
  },
};

export const milpClassic: Adapter = {
  answer: async (input) => {
    const given = fields(input, "input");
    if (given["items"] !== undefined) return packed(numbers(given["items"], "items"), number(given["capacity"], "capacity"));
    const sign = given["sense"] === "max" ? -1 : 1;
    const draft = newDraft();
    if (given["profit"] !== undefined) knapsack(draft, given, sign);
    else assignment(draft, given, sign);
    const answer = await solveMilp(finish(draft), { seconds: SECONDS, relativeGap: 0 });
    if (answer.answer !== "found" || answer.end !== "optimal") throw new Error(`the solver says ${JSON.stringify(answer)}`);
    return { objective: Math.round(sign * answer.value * 1e6) / 1e6 };
  },
};

function knapsack(draft: MilpDraft, given: Record<string, unknown>, sign: number): void {
  for (const profit of numbers(given["profit"], "profit")) addColumn(draft, { cost: sign * profit, lower: 0, upper: 1, integer: true });
  const weights = list(given["weights"], "weights").map((row) => numbers(row, "weights"));
  numbers(given["capacity"], "capacity").forEach((upper, row) => {
    addRow(draft, { lower: Number.NEGATIVE_INFINITY, upper, entries: new Map(weights[row]!.map((weight, item) => [item, weight])) });
  });
}

function assignment(draft: MilpDraft, given: Record<string, unknown>, sign: number): void {
  const worth = list(given["profitOrCost"], "profitOrCost").map((row) => numbers(row, "profitOrCost"));
  const resource = list(given["resource"], "resource").map((row) => numbers(row, "resource"));
  const columns = worth.map((row) => row.map((cost) => addColumn(draft, { cost: sign * cost, lower: 0, upper: 1, integer: true })));
  numbers(given["capacity"], "capacity").forEach((upper, agent) => {
    addRow(draft, { lower: Number.NEGATIVE_INFINITY, upper, entries: new Map(columns[agent]!.map((column, job) => [column, resource[agent]![job]!])) });
  });
  worth[0]!.forEach((_, job) => addRow(draft, { lower: 1, upper: 1, entries: new Map(columns.map((agent) => [agent[job]!, 1])) }));
}

/**
 * Items into the fewest bins, by patterns: how many of each length a bin takes. Bins are stacked by
 * the flow of filled space from 0 to the capacity (arcs from a to a + length), longest item first, so
 * that bins that hold the same are one.
 */
async function packed(items: readonly number[], capacity: number): Promise<unknown> {
  const demand = new Map<number, number>();
  for (const item of items) demand.set(item, (demand.get(item) ?? 0) + 1);
  const lengths = [...demand.keys()].sort((a, b) => b - a);
  const draft = newDraft();
  const bins = addColumn(draft, { cost: 1, lower: 0, upper: items.length, integer: true });
  const balance = Array.from({ length: capacity + 1 }, () => new Map<number, number>());
  const met = new Map(lengths.map((length): [number, Map<number, number>] => [length, new Map()]));
  const arc = (from: number, to: number): number => {
    const column = addColumn(draft, { cost: 0, lower: 0, upper: items.length, integer: true });
    balance[from]!.set(column, -1);
    balance[to]!.set(column, 1);
    return column;
  };
  const reached = new Set([0]);
  for (const length of lengths) {
    for (let from = 0; from + length <= capacity; from += 1) {
      if (!reached.has(from)) continue;
      met.get(length)!.set(arc(from, from + length), 1);
      reached.add(from + length);
    }
  }
  for (let level = 1; level < capacity; level += 1) if (reached.has(level)) arc(level, capacity);
  balance[0]!.set(bins, 1);
  balance[capacity]!.set(bins, -1);
  for (const entries of balance) addRow(draft, { lower: 0, upper: 0, entries });
  for (const [length, entries] of met) addRow(draft, { lower: demand.get(length)!, upper: Number.POSITIVE_INFINITY, entries });
  const answer = await solveMilp(finish(draft), { seconds: SECONDS, relativeGap: 0, absoluteGap: 0.999 });
  if (answer.answer !== "found" || answer.end !== "optimal") throw new Error(`the solver says ${JSON.stringify(answer)}`);
  return { bins: Math.round(answer.value), lowerBoundL1: Math.ceil(items.reduce((a, b) => a + b, 0) / capacity), ffd: firstFitDecreasing(items, capacity) };
}

function firstFitDecreasing(items: readonly number[], capacity: number): number {
  const room: number[] = [];
  for (const item of [...items].sort((a, b) => b - a)) {
    const bin = room.findIndex((left) => left >= item);
    if (bin === -1) room.push(capacity - item);
    else room[bin]! -= item;
  }
  return room.length;
}

function readProblem(input: unknown): PlanProblem {
  const given = fields(input, "input");
  const weeks = number(given["weeks"], "weeks");
  const minutes = (value: unknown): number[] => numbers(value, "hours").map((hours) => Math.round(hours * MINUTES_PER_HOUR));
  const types = new Map(list(given["types"], "types").map((value) => fields(value, "type")).map((type) => [text(type["id"], "type id"), type]));
  const weights = fields(given["weights"], "weights");
  return {
    weeks,
    sets: list(given["sets"], "sets").map((value) => {
      const set = fields(value, "set");
      const type = types.get(text(set["type"], "type"))!;
      return {
        id: String(number(set["id"], "set id")).padStart(6, "0"),
        serves: [text(type["id"], "type id")],
        due: number(set["due"], "due"),
        awayWeeks: 1,
        work: [{ maker: text(type["maker"], "maker"), minutes: Math.round(number(type["hours"], "hours") * MINUTES_PER_HOUR) }],
        kits: [{ kit: text(type["kit"], "kit"), count: 1 }],
        out: [],
        onBench: [],
        lasts: null,
        lock: null,
      };
    }),
    bookings: Object.entries(fields(given["bookings"], "bookings")).map(([id, sets]) => ({ id, sets: numbers(sets, "bookings") })),
    benchMinutes: minutes(given["benchHours"]),
    technicians: list(given["technicians"], "technicians").map((value) => {
      const technician = fields(value, "technician");
      const makers = list(technician["makers"], "makers").map((maker) => text(maker, "maker"));
      return { id: text(technician["id"], "technician id"), minutes: minutes(technician["hours"]), authorisations: makers.map((maker) => ({ maker, from: 0, until: weeks - 1 })) };
    }),
    kits: Object.entries(fields(given["kits"], "kits")).map(([id, value]) => {
      const kit = fields(value, "kit");
      return { id, stock: number(kit["stock"], "stock"), arrivals: numbers(kit["deliveries"], "deliveries") };
    }),
    weights: { shortage: number(weights["shortage"], "shortage"), lost: number(weights["lost"], "lost"), waste: number(weights["waste"], "waste"), late: 0, undone: 0, level: 0 },
    coverFirst: false,
  };
}

function numbers(value: unknown, what: string): number[] {
  return list(value, what).map((one) => number(one, what));
}
