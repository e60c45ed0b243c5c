/**
 * The plan as a problem: which week does each set go to the bench?
 *
 * In words. Weeks run from 0 to W-1. Every set has at most one service in them, or none. A set that
 * goes to the bench in week t is away for its whole away weeks t, t+1, …; in those it must be
 * neither promised to a hirer nor on the bench already. It may be hired until its due week and
 * again after its service; never between. All its bench work counts in the week it goes. Every week
 * the work fits the bench, and each maker's part of it the technicians authorised for that maker,
 * whose hours may be split. Kits used up to a week never pass stock and arrivals up to it. What was
 * locked by the manager stays. Of all such plans: first the fewest bookings without a set, then the
 * lowest sum of the weighted parts below.
 *
 * In symbols, for sets s, weeks t and w in 0..W-1, makers m, kits k, bookings d, technicians p:
 *
 *   x[s,t] = 1 if s goes to the bench in week t            sum_t x[s,t] <= 1
 *   h[s,w] = 1 if s can be hired in week w: w is not one it is on the bench already, and
 *            w <= due(s) before its week, or t+away(s) <= w < t+lasts(s) after it
 *   sum_s minutes(s) x[s,t]           <= benchMinutes[t]
 *   sum_s minutes(s,m) x[s,t]         <= sum_p y[p,m,t]    y = 0 unless p may then work on m
 *   sum_m y[p,m,t]                    <= minutes[p,t]
 *   sum_(s,t<=w) kits(s,k) x[s,t]     <= stock[k] + arrivals[k] up to w
 *   shortage[w] = booked sets of week w that no choice of hireable sets serves (each set at most
 *                 one booking, only one it can serve)
 *
 *   least  shortage * sum_w shortage[w]
 *        + lost     * weeks in which a set cannot be hired through the plan
 *        + waste    * sum over serviced sets of max(0, due - t)
 *        + late     * sum over serviced sets of max(0, t - due), overdue at the start counting from -1
 *        + undone   * sets due within the weeks that get no service in them
 *        + level    * hours above a quarter, a half and three quarters of each week's bench hours
 *
 * Without `undone` the best plan leaves everything that falls due in the last weeks: nothing after
 * the end counts. Without `late` a set serviced the week after its due week costs as little as one
 * serviced in it. plan-formulation.ts writes this down for a solver; plan-check.ts judges any plan
 * against it and shares no code with that.
 */

export interface PlanProblem {
  /** W: how many weeks the plan covers; every list by week below has this length. */
  readonly weeks: number;
  readonly sets: readonly PlanSet[];
  readonly bookings: readonly PlanBooking[];
  /** Minutes of work the bench has room for in each week. */
  readonly benchMinutes: readonly number[];
  readonly technicians: readonly PlanTechnician[];
  readonly kits: readonly PlanKit[];
  readonly weights: PlanWeights;
  /** true: no amount of lost weeks or thrown-away life excuses an uncovered booking. false: the weights alone decide. */
  readonly coverFirst: boolean;
}

export interface PlanSet {
  readonly id: string;
  /** The bookings, by id, that this set can serve. */
  readonly serves: readonly string[];
  /** The last week it may be hired before its service; -1 or less = overdue at the start, W or more = after the end. */
  readonly due: number;
  /** Whole weeks off the desk from the week it goes to the bench, that week included; at least 1. */
  readonly awayWeeks: number;
  readonly work: readonly { readonly maker: string; readonly minutes: number }[];
  readonly kits: readonly { readonly kit: string; readonly count: number }[];
  /** Weeks promised to a hirer: it earns, counts for the bookings, and cannot go to the bench. */
  readonly out: readonly number[];
  /** Weeks it is on the bench already, whatever the plan: not to hire, not to plan, not counted as lost. */
  readonly onBench: readonly number[];
  /** Weeks from going to the bench until due again; `null` = beyond the plan. */
  readonly lasts: number | null;
  /** What the manager fixed: a week, or no service (`week: null`). `null` = free. */
  readonly lock: PlanLock | null;
}

export interface PlanLock {
  readonly week: number | null;
}

/** Sets booked of one kind: how many in each week (of the days of a week, the busiest). */
export interface PlanBooking {
  readonly id: string;
  readonly sets: readonly number[];
}

export interface PlanTechnician {
  readonly id: string;
  readonly minutes: readonly number[];
  /** Makers this technician may work on, with the first and last week of it. */
  readonly authorisations: readonly { readonly maker: string; readonly from: number; readonly until: number }[];
}

export interface PlanKit {
  readonly id: string;
  readonly stock: number;
  readonly arrivals: readonly number[];
}

/** What one unit of each part costs. None may be negative. */
export interface PlanWeights {
  readonly shortage: number;
  readonly lost: number;
  readonly waste: number;
  readonly late: number;
  readonly undone: number;
  readonly level: number;
}

/**
 * Common practice turned into numbers, none from a source: a booking without a set is worth ten lost
 * weeks; a lost week ten weeks of service life; a week late five weeks of service life, for a forecast
 * may be late too; a set left overdue at the end eight lost weeks.
 */
export const DEFAULT_WEIGHTS: PlanWeights = { shortage: 100, lost: 10, waste: 1, late: 5, undone: 80, level: 0.1 };

/** Percent of a week's bench minutes above which work counts towards `level`, once for each step passed. */
export const LEVEL_STEPS: readonly number[] = [25, 50, 75];

/** Which week each set goes to the bench; `null` = not within these weeks. One line per set, by set id. */
export type Plan = readonly PlanLine[];

export interface PlanLine {
  readonly set: string;
  readonly week: number | null;
}

export function planLines(weeks: ReadonlyMap<string, number | null>): Plan {
  return [...weeks].map(([set, week]) => ({ set, week })).sort((a, b) => compareText(a.set, b.set));
}

/** By code point, so that no machine's language changes a plan. */
export function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** The parts of a plan's score as counted, and their weighted sum. Less is better. */
export interface PlanScore {
  readonly shortage: number;
  readonly lost: number;
  readonly waste: number;
  readonly late: number;
  readonly undone: number;
  /** Hours above the level steps. */
  readonly level: number;
  readonly total: number;
}
