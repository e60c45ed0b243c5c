/**
 * The plan problem (plan-problem.ts) as a mixed integer programme.
 *
 * One whole-number column n[c,t] for each class c of identical sets and week t: how many of the class
 * go to the bench in that week. A column that can help nothing (it costs no less than no service and
 * makes no set hireable in any week) is left out. Ready sets and kits left are carried from week to
 * week in columns of their own, ready[w] = ready[w-1] + changes, which keeps the matrix thin: a
 * service changes them in two or three weeks, not in all that follow.
 *
 * Technicians who may work on the same makers in a week are one: their hours may be split.
 */
import { addColumn, addRow, addTo, finish, newDraft } from "./plan-milp.ts";
import type { Milp, MilpDraft, MilpEntries } from "./plan-milp.ts";
import type { PlanClass } from "./plan-classes.ts";
import { compareText, LEVEL_STEPS } from "./plan-problem.ts";
import type { PlanProblem, PlanSet, PlanWeights } from "./plan-problem.ts";

/** What the programme looks for. */
export type PlanGoal =
  /** The lowest score; with `shortageAtMost`, among plans that leave no more bookings without a set. */
  | { readonly goal: "score"; readonly shortageAtMost: number | null }
  /** The fewest bookings without a set, whatever else it costs. */
  | { readonly goal: "cover" }
  /** The cheapest relief with which every booking is covered and every lock holds. */
  | { readonly goal: "relief"; readonly prices: ReliefPrices };

/** What it costs to get one more of each. Money or points; only their proportions count. */
export interface ReliefPrices {
  /** An hour of a technician authorised for the maker, with the bench room for it. */
  readonly technicianHour: number;
  /** An hour of bench room alone, where the technicians have hours left. */
  readonly benchHour: number;
  /** A kit in hand earlier than ordered, or one more. */
  readonly kit: number;
  /** A set from elsewhere for a week. */
  readonly borrowedSet: number;
}

/** Beside the programme, which column stands for what. */
export interface PlanFormulation {
  readonly milp: Milp;
  readonly weeks: number;
  readonly classCount: number;
  readonly going: readonly { readonly classIndex: number; readonly week: number; readonly column: number }[];
  readonly relief: readonly ReliefColumn[];
}

export type ReliefColumn =
  | { readonly what: "technician"; readonly maker: string; readonly week: number; readonly column: number }
  | { readonly what: "bench"; readonly week: number; readonly column: number }
  | { readonly what: "kit"; readonly kit: string; readonly week: number; readonly column: number }
  | { readonly what: "set"; readonly booking: string; readonly week: number; readonly column: number };

/** In a search for relief the score only decides between reliefs that cost the same. */
const SCORE_BESIDE_RELIEF = 1e-4;

const MINUTES_PER_HOUR = 60;

interface Drafting {
  readonly draft: MilpDraft;
  readonly problem: PlanProblem;
  readonly classes: readonly PlanClass[];
  readonly goal: PlanGoal;
  /** What a point of score costs in this programme. */
  readonly scale: number;
  readonly going: { classIndex: number; week: number; column: number }[];
  readonly relief: ReliefColumn[];
}

export function formulate(given: PlanProblem, classes: readonly PlanClass[], goal: PlanGoal): PlanFormulation {
  // Columns and rows come in one order, whatever order things were given in: a solver's choice among equals follows it.
  const byId = <T extends { readonly id: string }>(list: readonly T[]): T[] => [...list].sort((a, b) => compareText(a.id, b.id));
  const problem = { ...given, bookings: byId(given.bookings), technicians: byId(given.technicians), kits: byId(given.kits) };
  const scale = goal.goal === "score" ? 1 : goal.goal === "cover" ? 0 : SCORE_BESIDE_RELIEF;
  const drafting: Drafting = { draft: newDraft(), problem, classes, goal, scale, going: [], relief: [] };
  addServices(drafting);
  addHours(drafting);
  addKits(drafting);
  addCover(drafting);
  return { milp: finish(drafting.draft), weeks: problem.weeks, classCount: classes.length, going: drafting.going, relief: drafting.relief };
}

/** The solver's values as how many of each class go in each week. */
export function readCounts(formulation: PlanFormulation, values: ArrayLike<number>): number[][] {
  const counts = Array.from({ length: formulation.classCount }, () => Array.from({ length: formulation.weeks }, () => 0));
  for (const { classIndex, week, column } of formulation.going) counts[classIndex]![week] = Math.round(values[column] ?? 0);
  return counts;
}

/** A plan as values of the whole-number columns, for the solver to start from; `null` if the programme has no column for it. */
export function startFrom(formulation: PlanFormulation, counts: readonly (readonly number[])[]): { readonly indices: Int32Array; readonly values: Float64Array } | null {
  const wanted = counts.reduce((sum, weeks) => sum + weeks.reduce((a, b) => a + b, 0), 0);
  const indices = Int32Array.from(formulation.going, ({ column }) => column);
  const values = Float64Array.from(formulation.going, ({ classIndex, week }) => counts[classIndex]?.[week] ?? 0);
  return values.reduce((a, b) => a + b, 0) === wanted ? { indices, values } : null;
}

function canBeHired(set: PlanSet, goes: number | null, week: number): boolean {
  if (set.onBench.includes(week)) return false;
  if (goes === null || week < goes) return week <= set.due;
  return week >= goes + set.awayWeeks && (set.lasts === null || week < goes + set.lasts);
}

/** Whether the set is neither promised nor on the bench in any of the weeks it would be away. */
function mayGo(set: PlanSet, goes: number): boolean {
  return ![...set.out, ...set.onBench].some((week) => week >= goes && week < goes + set.awayWeeks);
}

function costOf(set: PlanSet, goes: number | null, weeks: number, weights: PlanWeights): number {
  let lost = 0;
  for (let week = 0; week < weeks; week += 1) {
    if (!set.onBench.includes(week) && !canBeHired(set, goes, week)) lost += 1;
  }
  if (goes === null) return weights.lost * lost + (set.due < weeks ? weights.undone : 0);
  return weights.lost * lost + weights.waste * Math.max(0, set.due - goes) + weights.late * Math.max(0, goes - set.due);
}

function addServices({ draft, problem, classes, going, scale }: Drafting): void {
  const { weeks, weights } = problem;
  classes.forEach(({ like, ids }, classIndex) => {
    const left = costOf(like, null, weeks, weights);
    draft.offset += scale * left * ids.length;
    const once: MilpEntries = new Map();
    for (let week = 0; week < weeks; week += 1) {
      if (like.lock !== null ? like.lock.week !== week : !mayGo(like, week) || helpsNothing(like, week, left)) continue;
      const column = addColumn(draft, {
        cost: scale * (costOf(like, week, weeks, weights) - left),
        lower: like.lock === null ? 0 : ids.length,
        upper: ids.length,
        integer: true,
      });
      going.push({ classIndex, week, column });
      addTo(once, column, 1);
    }
    if (once.size > 1) addRow(draft, { lower: 0, upper: ids.length, entries: once });
  });

  function helpsNothing(set: PlanSet, week: number, left: number): boolean {
    if (costOf(set, week, weeks, weights) < left) return false;
    for (let w = 0; w < weeks; w += 1) if (canBeHired(set, week, w) && !canBeHired(set, null, w)) return false;
    return true;
  }
}

function addHours({ draft, problem, classes, going, goal, relief, scale }: Drafting): void {
  const { weeks, benchMinutes, technicians, weights } = problem;
  const makers = [...new Set(classes.flatMap(({ like }) => like.work.map(({ maker }) => maker)))].sort();
  const shares = new Set(classes.flatMap(({ like }) => like.work.map(({ minutes }) => minutes)));
  const step = [...shares].reduce(greatestCommonDivisor, 0) || 1;
  const price = (hour: number): number => hour / MINUTES_PER_HOUR;
  const byWeek = Array.from({ length: weeks }, (): { classIndex: number; column: number }[] => []);
  for (const one of going) byWeek[one.week]!.push(one);
  for (let week = 0; week < weeks; week += 1) {
    const bench: MilpEntries = new Map();
    const byMaker = new Map(makers.map((maker): [string, MilpEntries] => [maker, new Map()]));
    for (const { classIndex, column } of byWeek[week]!) {
      for (const { maker, minutes } of classes[classIndex]!.like.work) {
        addTo(byMaker.get(maker)!, column, minutes);
        addTo(bench, column, minutes);
      }
    }
    if (bench.size === 0) continue;
    if (goal.goal === "relief") {
      addTo(bench, addRelief({ what: "bench", week }, price(goal.prices.benchHour)), -1);
      for (const [maker, entries] of byMaker) {
        if (entries.size === 0) continue;
        const column = addRelief({ what: "technician", maker, week }, price(goal.prices.technicianHour));
        addTo(entries, column, -1);
        addTo(bench, column, -1);
      }
    }
    addBench(bench, week);
    addSharing(byMaker, week);
  }

  function addSharing(byMaker: ReadonlyMap<string, MilpEntries>, week: number): void {
    const teams = new Map<string, { makers: readonly string[]; minutes: number }>();
    for (const { minutes, authorisations } of technicians) {
      const may = makers.filter((maker) => authorisations.some((one) => one.maker === maker && one.from <= week && week <= one.until));
      const key = JSON.stringify(may);
      teams.set(key, { makers: may, minutes: (teams.get(key)?.minutes ?? 0) + minutes[week]! });
    }
    const supply = new Map(makers.map((maker): [string, number] => [maker, 0]));
    for (const { makers: may, minutes } of teams.values()) {
      const shared: MilpEntries = new Map();
      for (const maker of may) {
        supply.set(maker, supply.get(maker)! + minutes);
        if (byMaker.get(maker)!.size === 0) continue;
        const column = addColumn(draft, { cost: 0, lower: 0, upper: minutes, integer: false });
        addTo(byMaker.get(maker)!, column, -1);
        addTo(shared, column, 1);
      }
      addRow(draft, { lower: Number.NEGATIVE_INFINITY, upper: minutes, entries: shared });
    }
    for (const entries of byMaker.values()) addRow(draft, { lower: Number.NEGATIVE_INFINITY, upper: 0, entries });
  }

  /** The week's work fills the bench from the bottom; above each level step a minute costs more. */
  function addBench(work: MilpEntries, week: number): void {
    // Work comes in multiples of `step` minutes: what the bench has left below one is no use, unless relief adds to it.
    const room = goal.goal === "relief" ? benchMinutes[week]! : wholeSteps(benchMinutes[week]!, step);
    const minute = (scale * weights.level) / MINUTES_PER_HOUR;
    if (minute === 0) return addRow(draft, { lower: Number.NEGATIVE_INFINITY, upper: room, entries: work });
    const edges = [0, ...LEVEL_STEPS.map((percent) => Math.min(room, (benchMinutes[week]! * percent) / 100)), room];
    for (let part = 0; part + 1 < edges.length; part += 1) {
      addTo(work, addColumn(draft, { cost: minute * part, lower: 0, upper: edges[part + 1]! - edges[part]!, integer: false }), -1);
    }
    addRow(draft, { lower: 0, upper: 0, entries: work });
  }

  function addRelief(what: { what: "bench"; week: number } | { what: "technician"; maker: string; week: number }, cost: number): number {
    const column = addColumn(draft, { cost, lower: 0, upper: Number.POSITIVE_INFINITY, integer: false });
    relief.push({ ...what, column });
    return column;
  }
}

function addKits({ draft, problem, classes, going, goal, relief }: Drafting): void {
  for (const { id: kit, stock, arrivals } of problem.kits) {
    const uses = going
      .map(({ classIndex, week, column }) => ({ week, column, count: classes[classIndex]!.like.kits.find((one) => one.kit === kit)?.count ?? 0 }))
      .filter(({ count }) => count > 0);
    if (uses.length === 0) continue;
    let before: number | null = null;
    for (let week = 0; week < problem.weeks; week += 1) {
      // left[week] = left[week-1] + arrived - used
      const left = addColumn(draft, { cost: 0, lower: 0, upper: Number.POSITIVE_INFINITY, integer: false });
      const entries: MilpEntries = new Map([[left, 1]]);
      if (before !== null) addTo(entries, before, -1);
      for (const use of uses) if (use.week === week) addTo(entries, use.column, use.count);
      if (goal.goal === "relief") {
        const column = addColumn(draft, { cost: goal.prices.kit, lower: 0, upper: Number.POSITIVE_INFINITY, integer: true });
        relief.push({ what: "kit", kit, week, column });
        addTo(entries, column, -1);
      }
      const arrived = arrivals[week]! + (before === null ? stock : 0);
      addRow(draft, { lower: arrived, upper: arrived, entries });
      before = left;
    }
  }
}

function addCover(drafting: Drafting): void {
  const { draft, problem, goal, relief } = drafting;
  const ready = readyColumns(drafting);
  const short: MilpEntries = new Map();
  // Where some set can serve several bookings, or a booking several kinds of set, someone has to choose who serves whom.
  const serving = new Map(problem.bookings.map(({ id }): [string, number] => [id, [...ready.values()].filter(({ serves }) => serves.includes(id)).length]));
  const choice = [...ready.values()].some(({ serves }) => serves.length > 1) || [...serving.values()].some((groups) => groups > 1);
  for (let week = 0; week < problem.weeks; week += 1) {
    const covers = new Map<string, MilpEntries>();
    for (const { id, sets } of problem.bookings) {
      if (sets[week]! === 0) continue;
      const cost = goal.goal === "relief" ? goal.prices.borrowedSet : goal.goal === "cover" ? 1 : problem.weights.shortage;
      const column = addColumn(draft, { cost, lower: 0, upper: sets[week]!, integer: false });
      addTo(short, column, 1);
      if (goal.goal === "relief") relief.push({ what: "set", booking: id, week, column });
      covers.set(id, new Map([[column, 1]]));
    }
    for (const { serves, columns } of ready.values()) {
      const served = serves.filter((id) => covers.has(id));
      if (served.length === 0) continue;
      if (!choice) {
        addTo(covers.get(served[0]!)!, columns[week]!, 1);
        continue;
      }
      const used: MilpEntries = new Map([[columns[week]!, -1]]);
      for (const id of served) {
        const column = addColumn(draft, { cost: 0, lower: 0, upper: Number.POSITIVE_INFINITY, integer: false });
        addTo(used, column, 1);
        addTo(covers.get(id)!, column, 1);
      }
      addRow(draft, { lower: Number.NEGATIVE_INFINITY, upper: 0, entries: used });
    }
    for (const { id, sets } of problem.bookings) {
      if (covers.has(id)) addRow(draft, { lower: sets[week]!, upper: Number.POSITIVE_INFINITY, entries: covers.get(id)! });
    }
  }
  if (goal.goal === "score" && goal.shortageAtMost !== null) addRow(draft, { lower: Number.NEGATIVE_INFINITY, upper: goal.shortageAtMost, entries: short });
}

/** For each group of sets that serve the same bookings, a column per week: how many of them can be hired. */
function readyColumns({ draft, problem, classes, going }: Drafting): Map<string, { serves: readonly string[]; columns: number[] }> {
  const groups = new Map<string, { serves: readonly string[]; members: Set<number>; columns: number[] }>();
  classes.forEach(({ like }, index) => {
    if (like.serves.length === 0) return;
    const key = JSON.stringify(like.serves);
    const group = groups.get(key) ?? { serves: like.serves, members: new Set<number>(), columns: [] };
    group.members.add(index);
    groups.set(key, group);
  });
  for (const { members, columns } of groups.values()) {
    const size = [...members].reduce((sum, index) => sum + classes[index]!.ids.length, 0);
    const changes = Array.from({ length: problem.weeks }, (): MilpEntries => new Map());
    const unserviced = Array.from({ length: problem.weeks }, () => 0);
    for (const index of members) {
      const { like, ids } = classes[index]!;
      for (let week = 0; week < problem.weeks; week += 1) if (canBeHired(like, null, week)) unserviced[week]! += ids.length;
    }
    for (const { classIndex, week: goes, column } of going) {
      if (!members.has(classIndex)) continue;
      const { like } = classes[classIndex]!;
      let before = 0;
      for (let week = 0; week < problem.weeks; week += 1) {
        const gain = Number(canBeHired(like, goes, week)) - Number(canBeHired(like, null, week));
        addTo(changes[week]!, column, before - gain);
        before = gain;
      }
    }
    for (let week = 0; week < problem.weeks; week += 1) {
      const column = addColumn(draft, { cost: 0, lower: 0, upper: size, integer: false });
      const entries = changes[week]!;
      addTo(entries, column, 1);
      if (week > 0) addTo(entries, columns[week - 1]!, -1);
      const change = unserviced[week]! - (week > 0 ? unserviced[week - 1]! : 0);
      addRow(draft, { lower: change, upper: change, entries });
      columns.push(column);
    }
  }
  return groups;
}

function greatestCommonDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestCommonDivisor(b, a % b);
}

function wholeSteps(minutes: number, step: number): number {
  return Math.floor(minutes / step) * step;
}
