/**
 * When to order service kits, and how many.
 *
 * Formulas, for demand X over the lead time with mean m (scheduled work apart):
 *   discrete: reorder point = smallest r with P(X <= r) >= level, plus what is scheduled; expected
 *             short = E(X - r)+; variance = ratio × m + (mean per day × deviation of the lead time)²,
 *             Poisson when that equals m, else negative binomial with size m² / (variance - m);
 *   normal:   reorder point = m + z √(L s² + d² s_L²).
 *   newsvendor: smallest S with F(S) >= c_s / (c_s + c_o); cost c_o E(S - X)+ + c_s E(X - S)+.
 * Units: kits, days, money as the costs are given.
 * Source: Heizer and Render, Operations Management (normal); Silver, Pyke and Thomas, Inventory and
 * Production Management in Supply Chains (discrete, order up to a level); Snyder and Shen, Fundamentals
 * of Supply Chain Theory, 4.3 (newsvendor). Check values: those books, and R.
 */
import {
  betaCdf,
  negativeBinomialCdf,
  negativeBinomialQuantile,
  normalCdf,
  normalDensity,
  normalQuantile,
  poissonAtLeast,
  poissonCdf,
  poissonQuantile,
} from "./distributions.ts";
import { between, eventCount, properShare, refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";

/** A demand that is counted in whole kits. A variance equal to the mean is Poisson. */
interface CountLaw {
  readonly mean: number;
  readonly variance: number;
}

/** Kits wanted without a plan: breakdowns, failed tests. */
export interface KitDemand {
  readonly meanPerDay: number;
  /** Variance over mean; 1 = one at a time and by chance (Poisson), above 1 = in bunches. */
  readonly varianceToMean: number;
}

export interface LeadTime {
  readonly days: number;
  /** Its own deviation, days; 0 = always the same. */
  readonly deviationDays: number;
}

export interface ReorderPoint {
  /** Mean demand over the lead time, scheduled work included. */
  readonly leadTimeDemand: number;
  /** Order when stock and what is on order together fall to this. */
  readonly reorderPoint: number;
  /** The chance that it lasts until the delivery; at least the level asked. */
  readonly achieved: number;
  readonly chanceOfStockout: number;
  /** Kits missing at the delivery, on the average. */
  readonly expectedShort: number;
}

/**
 * The reorder point of a kit. `scheduled` are kits that planned services use within the lead time.
 *
 * Errors: RangeError for a demand, lead time or level that cannot be; a variance below the mean too, for
 * such a demand is not one of chance.
 */
export function reorderPoint(demand: KitDemand, lead: LeadTime, level: number, scheduled = 0): ReorderPoint {
  properShare(level, "the chance of lasting until the delivery");
  eventCount(scheduled, "the scheduled kits");
  const law = demandOver(demand, lead.days, lead.deviationDays);
  const unplanned = quantileOf(law, level);
  const chanceOfStockout = chanceAbove(law, unplanned);
  return {
    leadTimeDemand: law.mean + scheduled,
    reorderPoint: unplanned + scheduled,
    achieved: chanceAtMost(law, unplanned),
    chanceOfStockout,
    expectedShort: shortfall(law, unplanned),
  };
}

export interface NormalDemand {
  readonly meanPerDay: number;
  readonly deviationPerDay: number;
}

/** The reorder point of what is used in such amounts that the normal curve fits: cleaning fluid, not kits. */
export function normalReorderPoint(demand: NormalDemand, lead: LeadTime, level: number): { leadTimeDemand: number; deviation: number; safetyStock: number; reorderPoint: number } {
  between(demand.meanPerDay, 0, 1e9, "the mean demand a day");
  between(demand.deviationPerDay, 0, 1e9, "the deviation of the demand of a day");
  checkLead(lead);
  const leadTimeDemand = demand.meanPerDay * lead.days;
  const deviation = Math.sqrt(lead.days * demand.deviationPerDay ** 2 + demand.meanPerDay ** 2 * lead.deviationDays ** 2);
  const safetyStock = normalQuantile(properShare(level, "the chance of lasting until the delivery")) * deviation;
  return { leadTimeDemand, deviation, safetyStock, reorderPoint: leadTimeDemand + safetyStock };
}

/** One kind of kit as it stands. */
export interface KitStock {
  readonly inStock: number;
  /** Ordered and not here yet. */
  readonly onOrder: number;
  readonly demand: KitDemand;
  readonly lead: LeadTime;
  /** Days between two looks at the stock; 0 = it is watched all the time. */
  readonly reviewDays: number;
  /** Kits that planned services use before a delivery ordered today is here ... */
  readonly scheduledInLead: number;
  /** ... and from then until one ordered at the next look would be. */
  readonly scheduledInReview: number;
  /** Kits come in packs of this many. */
  readonly pack: number;
}

export type KitOrder =
  | { readonly answer: "enough"; readonly reorderPoint: number; readonly spare: number }
  | { readonly answer: "order"; readonly reorderPoint: number; readonly upTo: number; readonly quantity: number };

/**
 * Whether to order a kit today, and how many: when stock and orders are at the reorder point or below,
 * fill up to what lasts, at the same level, until a delivery ordered at the next look, in whole packs.
 * At least one pack: being at the reorder point is a reason by itself.
 *
 * Errors: RangeError for figures that cannot be.
 */
export function kitOrder(stock: KitStock, level: number): KitOrder {
  eventCount(stock.inStock, "the kits in stock");
  eventCount(stock.onOrder, "the kits on order");
  eventCount(stock.scheduledInReview, "the scheduled kits");
  if (eventCount(stock.pack, "the kits in a pack") === 0) throw new RangeError("A pack holds at least one kit.");
  between(stock.reviewDays, 0, 3660, "the days between two looks at the stock");
  const point = reorderPoint(stock.demand, stock.lead, level, stock.scheduledInLead).reorderPoint;
  const position = stock.inStock + stock.onOrder;
  if (position > point) return { answer: "enough", reorderPoint: point, spare: position - point };
  const untilNext = demandOver(stock.demand, stock.lead.days + stock.reviewDays, stock.lead.deviationDays);
  const upTo = quantileOf(untilNext, level) + stock.scheduledInLead + stock.scheduledInReview;
  const packs = Math.max(1, Math.ceil((upTo - position) / stock.pack));
  return { answer: "order", reorderPoint: point, upTo, quantity: packs * stock.pack };
}

/** What one kit too many, and one too few, costs. */
export interface OrderCosts {
  readonly over: number;
  readonly short: number;
}

export type OneOrder = {
  readonly answer: "told";
  readonly criticalRatio: number;
  readonly quantity: number;
  readonly expectedCost: number;
};

/** "no-cost-of-too-few": ordering nothing costs nothing. "no-cost-of-too-many": no order is large enough. */
export type OneOrderRefusal = "no-cost-of-too-few" | "no-cost-of-too-many";

/** How many kits to order when there is one chance to. Errors: RangeError for a demand or costs that cannot be. */
export function orderOnce(demand: CountLaw, costs: OrderCosts): OneOrder | Refused<OneOrderRefusal> {
  const ratio = criticalRatio(costs);
  checkLaw(demand);
  if (typeof ratio !== "number") return ratio;
  const quantity = quantileOf(demand, ratio);
  return { answer: "told", criticalRatio: ratio, quantity, expectedCost: costOfOrder(demand, costs, quantity) };
}

/** The expected cost of an order of so many. */
export function costOfOrder(demand: CountLaw, costs: OrderCosts, quantity: number): number {
  checkLaw(demand);
  const short = shortfall(demand, eventCount(quantity, "the kits ordered"));
  return costs.over * (quantity - demand.mean + short) + costs.short * short;
}

/** The same for a demand in amounts, with a normal curve. */
export function orderAmountOnce(demand: { readonly mean: number; readonly deviation: number }, costs: OrderCosts): OneOrder | Refused<OneOrderRefusal> {
  const ratio = criticalRatio(costs);
  if (typeof ratio !== "number") return ratio;
  const quantity = demand.mean + normalQuantile(ratio) * demand.deviation;
  return { answer: "told", criticalRatio: ratio, quantity, expectedCost: costOfAmount(demand, costs, quantity) };
}

/** The expected cost of an order of such an amount. */
export function costOfAmount(demand: { readonly mean: number; readonly deviation: number }, costs: OrderCosts, quantity: number): number {
  between(demand.mean, 0, 1e12, "the mean demand");
  between(demand.deviation, 0, 1e12, "the deviation of the demand");
  between(quantity, -1e12, 1e12, "the amount ordered");
  const above = quantity - demand.mean;
  let short = Math.max(0, -above);
  if (demand.deviation > 0) {
    const z = above / demand.deviation;
    short = demand.deviation * (normalDensity(z) - z * normalCdf(-z));
  }
  return costs.over * (above + short) + costs.short * short;
}

function criticalRatio({ over, short }: OrderCosts): number | Refused<OneOrderRefusal> {
  between(over, 0, 1e12, "the cost of one too many");
  between(short, 0, 1e12, "the cost of one too few");
  if (short === 0) return refused("no-cost-of-too-few");
  return over === 0 ? refused("no-cost-of-too-many") : short / (short + over);
}

function demandOver({ meanPerDay, varianceToMean }: KitDemand, days: number, deviationDays: number): CountLaw {
  between(meanPerDay, 0, 1e6, "the mean demand a day");
  between(varianceToMean, 1, 1e6, "the variance of the demand over its mean");
  checkLead({ days, deviationDays });
  const mean = meanPerDay * days;
  return { mean, variance: varianceToMean * mean + (meanPerDay * deviationDays) ** 2 };
}

function checkLead({ days, deviationDays }: LeadTime): void {
  between(days, 0, 36_600, "the lead time in days");
  between(deviationDays, 0, 36_600, "the deviation of the lead time in days");
}

function checkLaw({ mean, variance }: CountLaw): void {
  between(mean, 0, 1e9, "the mean demand");
  between(variance, mean * (1 - 1e-12), 1e15, "the variance of the demand (at least its mean)");
}

/** A kit in so many lead times: whether it comes in bunches is no question, and its size would have no digits. */
const HARDLY_ANY = 1e-12;

/** The size and chance of the negative binomial with this mean and variance; `null` = Poisson. */
function bunched({ mean, variance }: CountLaw): { size: number; chance: number } | null {
  const extra = variance - mean;
  return mean < HARDLY_ANY || extra <= 1e-9 * mean ? null : { size: mean ** 2 / extra, chance: mean / variance };
}

function quantileOf(law: CountLaw, share: number): number {
  const nb = bunched(law);
  return nb === null ? poissonQuantile(share, law.mean) : negativeBinomialQuantile(share, nb.size, nb.chance);
}

function chanceAtMost(law: CountLaw, count: number): number {
  const nb = bunched(law);
  return nb === null ? poissonCdf(count, law.mean) : negativeBinomialCdf(count, nb.size, nb.chance);
}

function chanceAbove(law: CountLaw, count: number): number {
  const nb = bunched(law);
  return nb === null ? poissonAtLeast(count + 1, law.mean) : betaCdf(1 - nb.chance, count + 1, nb.size);
}

/** E(X - count)+ as the sum of the chances above, from the first on; no difference of large numbers. */
function shortfall(law: CountLaw, count: number): number {
  let [sum, at] = [0, count];
  // Below the mean the chances above are near 1 and many: there the sum runs from the other side.
  if (count < law.mean) {
    for (let below = 0; below < count; below += 1) sum += chanceAtMost(law, below);
    return law.mean - count + sum;
  }
  for (let more = chanceAbove(law, at); more > sum * 1e-16; more = chanceAbove(law, ++at)) sum += more;
  return sum;
}
