/** A plan as a screen shows it: judged anew, with its reasons, its weeks and the kits to order for it. Pure. */
import { ableByWeek, checkPlan, type PlanCheck } from "@hangrail/rules/plan-check";
import { addDays, type Day } from "@hangrail/rules/calendar";
import { compareText, planLines, type Plan, type PlanProblem, type PlanScore } from "@hangrail/rules/plan-problem";
import { planReasons } from "@hangrail/rules/plan-reasons";
import { kitOrder } from "@hangrail/rules/stock";
import { arrivalsOf, type PlanGround } from "./plan-problem-of.ts";
import type { PlanFacts } from "./plan-facts.ts";
import { weekOf } from "./plan-facts.ts";
import type { JudgedPlan, KindCover, KitOutlook, OrderLine, PlanLineView } from "./plan-view.ts";

/** Lines as asked → a plan of the problem: a set without a line stays where it is. */
export function planOfLines(problem: PlanProblem, lines: readonly PlanLineView[]): Plan {
  const weeks = new Map<string, number | null>(problem.sets.map(({ id }) => [id, null]));
  for (const { setId, week } of lines) {
    // A set that cannot be planned any more and was to stay is no line; one that was to go is judged, and told.
    if (weeks.has(setId) || week !== null) weeks.set(setId, week);
  }
  return planLines(weeks);
}

export function judgedPlan(ground: PlanGround, plan: Plan, check: PlanCheck = checkPlan(ground.problem, plan)): JudgedPlan {
  const { problem, planned } = ground;
  const goes = new Map(plan.map(({ set, week }) => [set, week]));
  const kitsIn = (week: number) => planned.filter(({ id }) => goes.get(id) === week).flatMap(({ kits }) => kits);
  return {
    // A line that names no set of the problem is told of among the rules broken.
    lines: plan.filter(({ set }) => planned.some(({ id }) => id === set)).map(({ set, week }) => ({ setId: set, week })),
    violations: check.violations,
    score: check.score,
    reasons: planReasons(problem, plan),
    weeks: check.weeks.map(({ going, minutes }, week) => ({ going, load: minutes, room: problem.benchMinutes[week] ?? 0, kits: addedUp(kitsIn(week)) })),
    cover: coverOf(problem, plan, check),
    toOrder: toOrder(ground.facts, planned.flatMap(({ id, kits }) => withWeek(kits, goes.get(id) ?? null))),
  };
}

export function coverOf(problem: PlanProblem, plan: Plan, check: PlanCheck = checkPlan(problem, plan)): readonly KindCover[] {
  const able = ableByWeek(problem, plan);
  return problem.bookings.map(({ id, sets }) => ({
    kind: id,
    booked: sets,
    able: able.get(id)!,
    short: check.weeks.map(({ short }) => short.find(({ booking }) => booking === id)?.sets ?? 0),
  }));
}

export function changeOf(score: PlanScore, before: PlanScore): PlanScore {
  const less = (part: keyof PlanScore): number => score[part] - before[part];
  return { shortage: less("shortage"), lost: less("lost"), waste: less("waste"), late: less("late"), undone: less("undone"), level: less("level"), total: less("total") };
}

/** Where one plan leaves more (or, below nought, fewer) bookings without a set than another. */
export function shortChange(plan: readonly KindCover[], before: readonly KindCover[]): { week: number; kind: string; sets: number }[] {
  return plan
    .flatMap(({ kind, short }) => short.map((sets, week) => ({ week, kind, sets: sets - (before.find((one) => one.kind === kind)?.short[week] ?? 0) })))
    .filter(({ sets }) => sets !== 0)
    .sort((a, b) => a.week - b.week || compareText(a.kind, b.kind));
}

// ── Kits ────────────────────────────────────────────────────────────────────────────────

interface KitUse {
  readonly kit: string;
  readonly count: number;
  readonly week: number;
}

const withWeek = (kits: readonly { readonly kit: string; readonly count: number }[], week: number | null): KitUse[] => (week === null ? [] : kits.map((one) => ({ ...one, week })));

function addedUp(kits: readonly { readonly kit: string; readonly count: number }[]): { kit: string; count: number }[] {
  const sums = new Map<string, number>();
  for (const { kit, count } of kits) sums.set(kit, (sums.get(kit) ?? 0) + count);
  return [...sums].map(([kit, count]) => ({ kit, count })).sort((a, b) => compareText(a.kit, b.kit));
}

/** What these uses ask for beyond the shelf and what is on the way, by the week that first lacks it. */
export function toOrder(facts: PlanFacts, uses: readonly KitUse[]): readonly OrderLine[] {
  return facts.kits.flatMap((kit) => {
    const arrivals = arrivalsOf(kit.orders, facts);
    const lines: OrderLine[] = [];
    let left = Math.max(0, kit.stock);
    facts.weeks.forEach((neededOn, week) => {
      left += arrivals[week]! - uses.reduce((sum, use) => sum + (use.kit === kit.id && use.week === week ? use.count : 0), 0);
      if (left >= 0) return;
      lines.push({ kit: kit.id, name: kitName(kit), count: -left, neededOn, orderBy: kit.leadDays === null ? null : addDays(neededOn, -kit.leadDays) });
      left = 0;
    });
    return lines;
  }).sort((a, b) => compareText(a.orderBy ?? a.neededOn, b.orderBy ?? b.neededOn) || compareText(a.name, b.name));
}

const kitName = ({ maker, name }: { readonly maker: string; readonly name: string }): string => `${maker} ${name}`;

/** What services already decided on, or falling due where nothing is decided, take and when. */
export function kitUses({ facts, planned }: Pick<PlanGround, "facts" | "planned">): readonly KitUse[] {
  const sets = new Map(planned.map((set) => [set.id, set]));
  const { accepted } = facts;
  if (accepted === null) return planned.flatMap(({ kits, dueWeek }) => withWeek(kits, dueWeek < facts.weeks.length ? Math.max(0, dueWeek) : null));
  return accepted.lines.flatMap(({ setId, kind, weekOn, state }) => {
    const set = sets.get(setId);
    if (set === undefined || kind !== "service" || state === "done" || state === "dropped") return [];
    const week = Math.max(0, weekOf(facts.weeks, weekOn));
    return withWeek(set.kits, week < facts.weeks.length ? week : null);
  });
}

/** The chance that a kit lasts until the next delivery, and how far a lead time strays: common practice. */
const LASTS = 0.95;
const LEAD_STRAYS = 0.25;
/** Somebody looks at the shelf once a week. */
const REVIEW_DAYS = 7;

export function kitOutlook(facts: PlanFacts, uses: readonly KitUse[]): readonly KitOutlook[] {
  return facts.kits.map((kit) => {
    const onOrder = kit.orders.reduce((sum, { quantity }) => sum + quantity, 0);
    const used = facts.kitsUsed.get(kit.id);
    const wanted = (from: Day, until: Day) => uses.reduce((sum, use) => (use.kit === kit.id && facts.weeks[use.week]! >= from && facts.weeks[use.week]! < until ? sum + use.count : sum), 0);
    const advice = (leadDays: number) => {
      // What nobody wants is not kept on the shelf.
      if ((used?.unplanned ?? 0) === 0 && !uses.some((use) => use.kit === kit.id)) return { reorderPoint: 0, order: 0 };
      const here = addDays(facts.today, leadDays);
      const order = kitOrder({
        inStock: Math.max(0, kit.stock), onOrder,
        demand: { meanPerDay: (used?.unplanned ?? 0) / 365, varianceToMean: 1 },
        lead: { days: leadDays, deviationDays: leadDays * LEAD_STRAYS },
        reviewDays: REVIEW_DAYS, scheduledInLead: wanted(facts.weeks[0]!, here), scheduledInReview: wanted(here, addDays(here, REVIEW_DAYS)), pack: 1,
      }, LASTS);
      return { reorderPoint: order.reorderPoint, order: order.answer === "order" ? order.quantity : 0 };
    };
    return {
      id: kit.id, name: kitName(kit), stock: kit.stock, onOrder,
      arrivals: arrivalsOf(kit.orders, facts),
      leadDays: kit.leadDays,
      usedLastYear: used?.used ?? null,
      advice: kit.leadDays === null ? null : advice(kit.leadDays),
    };
  });
}
