/**
 * A plan in the making, with running counts: can this set still go in that week, and what would it
 * cost? Answers in the time of one set, where plan-check.ts counts the whole plan. For the greedy plan
 * and for saying why; no plan leaves on the ledger's word alone.
 */
import { Network } from "./plan-flow.ts";
import { compareText, LEVEL_STEPS, planLines } from "./plan-problem.ts";
import type { Plan, PlanProblem, PlanSet } from "./plan-problem.ts";

/** What keeps a set from going in a week. */
export type PlanStop =
  | { readonly stop: "promised" | "on-bench"; readonly week: number }
  | { readonly stop: "bench"; readonly minutesOver: number }
  /** The technicians authorised for its makers have no hours left. */
  | { readonly stop: "technicians"; readonly makers: readonly string[] }
  /** Using the kit now would leave the shelf short in that week. */
  | { readonly stop: "kits"; readonly kit: string; readonly week: number };

export class PlanLedger {
  readonly #problem: PlanProblem;
  readonly #goes = new Map<string, number | null>();
  readonly #minutes: number[];
  readonly #work: Map<string, number>[];
  readonly #kitsLeft = new Map<string, number[]>();
  readonly #groups = new Map<string, { serves: readonly string[]; ready: number[] }>();
  readonly #choice: boolean;
  readonly #booked: ReadonlyMap<string, readonly number[]>;
  readonly #short: number[];

  /** Begins with no set going to the bench. */
  constructor(problem: PlanProblem) {
    this.#problem = problem;
    const weeks = Array.from({ length: problem.weeks }, (_, week) => week);
    this.#minutes = weeks.map(() => 0);
    this.#work = weeks.map(() => new Map<string, number>());
    for (const { id, stock, arrivals } of problem.kits) {
      let left = stock;
      this.#kitsLeft.set(id, arrivals.map((arrived) => (left += arrived)));
    }
    for (const set of problem.sets) {
      this.#goes.set(set.id, null);
      const group = this.#groupOf(set);
      for (const week of weeks) group.ready[week]! += Number(canBeHired(set, null, week));
    }
    this.#booked = new Map(problem.bookings.map(({ id, sets }) => [id, sets]));
    const groups = [...this.#groups.values()];
    this.#choice = groups.some(({ serves }) => serves.length > 1) || problem.bookings.some(({ id }) => groups.filter(({ serves }) => serves.includes(id)).length > 1);
    this.#short = weeks.map((week) => this.#shortWith(week, null, 0));
  }

  weekOf(set: PlanSet): number | null {
    return this.#goes.get(set.id) ?? null;
  }

  plan(): Plan {
    return planLines(this.#goes);
  }

  /** Bookings without a set, over all weeks. */
  shortage(): number {
    return this.#short.reduce((sum, short) => sum + short, 0);
  }

  /** The first thing that keeps a set from going in a week, its present week aside; `null` = it may. */
  stopFor(set: PlanSet, week: number): PlanStop | null {
    for (let away = week; away < week + set.awayWeeks; away += 1) {
      if (set.out.includes(away)) return { stop: "promised", week: away };
      if (set.onBench.includes(away)) return { stop: "on-bench", week: away };
    }
    const now = this.weekOf(set);
    if (now === week) return null;
    const minutes = minutesOf(set);
    const over = this.#minutes[week]! + minutes - this.#problem.benchMinutes[week]!;
    if (over > 0) return { stop: "bench", minutesOver: over };
    return this.#stopByKits(set, week, now) ?? this.#stopByTechnicians(set, week);
  }

  /** By how much the score changes if the set goes in that week (or not at all) instead. */
  costOf(set: PlanSet, week: number | null): number {
    const { weights, weeks } = this.#problem;
    const now = this.weekOf(set);
    if (now === week) return 0;
    let change = ownCost(this.#problem, set, week) - ownCost(this.#problem, set, now);
    const group = this.#groupOf(set);
    for (let w = 0; w < weeks; w += 1) {
      const gain = Number(canBeHired(set, week, w)) - Number(canBeHired(set, now, w));
      if (gain !== 0) change += weights.shortage * (this.#shortWith(w, group, gain) - this.#short[w]!);
    }
    const minutes = minutesOf(set);
    if (now !== null) change += weights.level * (this.#levelAt(now, -minutes) - this.#levelAt(now, 0));
    if (week !== null) change += weights.level * (this.#levelAt(week, minutes) - this.#levelAt(week, 0));
    return change;
  }

  /** How many bookings would be without a set in each week more than now. */
  shortBy(set: PlanSet, week: number | null): readonly number[] {
    const group = this.#groupOf(set);
    return this.#short.map((short, w) => {
      const gain = Number(canBeHired(set, week, w)) - Number(canBeHired(set, this.weekOf(set), w));
      return gain === 0 ? 0 : this.#shortWith(w, group, gain) - short;
    });
  }

  /** Sends a set to the bench in a week, or not at all, whatever stops it. */
  send(set: PlanSet, week: number | null): void {
    const now = this.weekOf(set);
    if (now === week) return;
    const group = this.#groupOf(set);
    for (let w = 0; w < this.#problem.weeks; w += 1) {
      const gain = Number(canBeHired(set, week, w)) - Number(canBeHired(set, now, w));
      if (gain === 0) continue;
      this.#short[w] = this.#shortWith(w, group, gain);
      group.ready[w]! += gain;
    }
    if (now !== null) this.#count(set, now, -1);
    if (week !== null) this.#count(set, week, 1);
    this.#goes.set(set.id, week);
  }

  #count(set: PlanSet, week: number, sign: 1 | -1): void {
    for (const { maker, minutes } of set.work) {
      this.#minutes[week]! += sign * minutes;
      this.#work[week]!.set(maker, (this.#work[week]!.get(maker) ?? 0) + sign * minutes);
    }
    for (const { kit, count } of set.kits) {
      const left = this.#kitsLeft.get(kit)!;
      for (let w = week; w < left.length; w += 1) left[w]! -= sign * count;
    }
  }

  #stopByKits(set: PlanSet, week: number, now: number | null): PlanStop | null {
    for (const { kit } of set.kits) {
      const uses = set.kits.filter((one) => one.kit === kit).reduce((sum, { count }) => sum + count, 0);
      const left = this.#kitsLeft.get(kit)!;
      for (let w = week; w < left.length; w += 1) {
        const given = now !== null && w >= now ? uses : 0;
        if (left[w]! + given < uses) return { stop: "kits", kit, week: w };
      }
    }
    return null;
  }

  #stopByTechnicians(set: PlanSet, week: number): PlanStop | null {
    const work = new Map(this.#work[week]);
    for (const { maker, minutes } of set.work) work.set(maker, (work.get(maker) ?? 0) + minutes);
    const makers = [...work.keys()];
    const { technicians } = this.#problem;
    const flow = new Network(2 + makers.length + technicians.length);
    makers.forEach((maker, at) => flow.join(0, 2 + at, work.get(maker)!));
    technicians.forEach(({ minutes, authorisations }, technician) => {
      const node = 2 + makers.length + technician;
      flow.join(node, 1, minutes[week]!);
      makers.forEach((maker, at) => {
        if (authorisations.some((one) => one.maker === maker && one.from <= week && week <= one.until)) flow.join(2 + at, node, minutes[week]!);
      });
    });
    const total = [...work.values()].reduce((a, b) => a + b, 0);
    return flow.push() >= total ? null : { stop: "technicians", makers: set.work.map(({ maker }) => maker) };
  }

  #groupOf(set: PlanSet): { serves: readonly string[]; ready: number[] } {
    const key = set.serves.length < 2 ? (set.serves[0] ?? "") : JSON.stringify([...set.serves].sort(compareText));
    const known = this.#groups.get(key);
    if (known !== undefined) return known;
    const group = { serves: set.serves, ready: Array.from({ length: this.#problem.weeks }, () => 0) };
    this.#groups.set(key, group);
    return group;
  }

  /** Bookings without a set in a week if a group had so many more ready. */
  #shortWith(week: number, changed: { serves: readonly string[]; ready: readonly number[] } | null, gain: number): number {
    const { bookings } = this.#problem;
    if (!this.#choice && changed !== null) {
      // One kind of set for one booking: nothing else moves.
      const booked = this.#booked.get(changed.serves[0] ?? "")?.[week] ?? 0;
      const ready = changed.ready[week]!;
      return this.#short[week]! + Math.max(0, booked - ready - gain) - Math.max(0, booked - ready);
    }
    const groups = [...this.#groups.values()];
    const readyOf = (group: { ready: readonly number[] }): number => group.ready[week]! + (group === changed ? gain : 0);
    const booked = bookings.reduce((sum, { sets }) => sum + sets[week]!, 0);
    if (!this.#choice) {
      const served = new Map(groups.map((group) => [group.serves[0] ?? "", readyOf(group)]));
      return booked - bookings.reduce((sum, { id, sets }) => sum + Math.min(sets[week]!, served.get(id) ?? 0), 0);
    }
    const flow = new Network(2 + groups.length + bookings.length);
    groups.forEach((group, at) => {
      flow.join(0, 2 + at, readyOf(group));
      bookings.forEach(({ id, sets }, booking) => group.serves.includes(id) && flow.join(2 + at, 2 + groups.length + booking, sets[week]!));
    });
    bookings.forEach(({ sets }, booking) => flow.join(2 + groups.length + booking, 1, sets[week]!));
    return booked - flow.push();
  }

  #levelAt(week: number, more: number): number {
    const minutes = this.#minutes[week]! + more;
    return LEVEL_STEPS.reduce((sum, percent) => sum + Math.max(0, 100 * minutes - percent * this.#problem.benchMinutes[week]!), 0) / 6000;
  }
}

function minutesOf(set: PlanSet): number {
  return set.work.reduce((sum, { minutes }) => sum + minutes, 0);
}

function canBeHired(set: PlanSet, goes: number | null, week: number): boolean {
  if (set.onBench.includes(week)) return false;
  if (goes === null || week < goes) return week <= set.due;
  return week >= goes + set.awayWeeks && (set.lasts === null || week < goes + set.lasts);
}

/** The parts of the score that are a set's own. */
export function ownCost({ weeks, weights }: PlanProblem, set: PlanSet, goes: number | null): number {
  let lost = 0;
  for (let week = 0; week < weeks; week += 1) lost += Number(!set.onBench.includes(week) && !canBeHired(set, goes, week));
  if (goes === null) return weights.lost * lost + (set.due < weeks ? weights.undone : 0);
  return weights.lost * lost + weights.waste * Math.max(0, set.due - goes) + weights.late * Math.max(0, goes - Math.max(-1, set.due));
}
