/**
 * When to replace: by what keeping it costs year by year, or, where the times of failure are known,
 * by the age at which replacing before a failure costs least in the long run.
 */
import gammaln from "@stdlib/math-base-special-gammaln";
import { equivalentAnnualCost } from "./annual-cost.ts";
import { incompleteGamma } from "./incomplete-gamma.ts";
import { between, refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";

export interface YearByYear {
  /** Paid at the start. */
  readonly capital: number;
  /** What it sells for at the end of year 1, 2 and so on. */
  readonly salvageByYear: readonly number[];
  /** What it costs to run in year 1, 2 and so on. */
  readonly costByYear: readonly number[];
  /** Interest a year as a share: 5 % is 0.05. */
  readonly rate: number;
}

export interface EconomicLife {
  readonly answer: "economic-life";
  /** Equivalent annual cost if kept for 1, 2, … years. */
  readonly annualCostByYear: readonly number[];
  /** The years to keep it. Of equally cheap ones the fewest. */
  readonly years: number;
  readonly leastAnnualCost: number;
  /** The cheapest is the last year that is known: it may be cheaper still to keep it for longer. */
  readonly atEdge: boolean;
}

/** Two annual costs that differ by less than this share are the same. */
const SAME_COST = 1e-12;

/**
 * The economic life: the number of years with the least equivalent annual cost.
 *
 * Formula: for n = 1, 2, … the equivalent annual cost of n years (`equivalentAnnualCost`), with what it
 *   sells for after n years.
 * Units: money in, money out, in one unit.
 * Refuses: "no-years". Errors: RangeError for money or a rate that cannot be, and for lists that are
 * not of the same length.
 * Source: Newnan, Eschenbach and Lavelle, Engineering Economic Analysis, chapter 13.
 */
export function economicLife({ capital, salvageByYear, costByYear, rate }: YearByYear): EconomicLife | Refused<"no-years"> {
  if (salvageByYear.length !== costByYear.length) {
    throw new RangeError(`There are ${salvageByYear.length} years of salvage and ${costByYear.length} of costs: write one of each for every year.`);
  }
  const annualCostByYear: number[] = [];
  for (const [index, salvage] of salvageByYear.entries()) {
    const kept = equivalentAnnualCost({ capital, salvage, annualCosts: costByYear.slice(0, index + 1), rate });
    if (kept.answer === "refused") return kept;
    annualCostByYear.push(kept.annualCost);
  }
  if (annualCostByYear.length === 0) return refused("no-years");
  const least = annualCostByYear.reduce((low, cost) => Math.min(low, cost));
  const first = annualCostByYear.findIndex((cost) => cost - least <= SAME_COST * Math.abs(least));
  return {
    answer: "economic-life",
    annualCostByYear,
    years: first + 1,
    leastAnnualCost: least,
    atEdge: first + 1 === annualCostByYear.length,
  };
}

export interface Renewal {
  /** Of the Weibull distribution of the time to failure: shape, and scale in dives or days. */
  readonly shape: number;
  readonly scale: number;
  /** Replacing in good time. */
  readonly preventiveCost: number;
  /** Replacing after a failure; for the minimal repair, the repair. */
  readonly failureCost: number;
}

export interface OptimalReplacement {
  readonly answer: "replacement";
  /** Cost per dive or day if it is replaced only when it fails. */
  readonly runToFailureRate: number;
  /** Replacing at this age, or at failure if that is sooner, costs least. `null`: never replace in good time. */
  readonly ageOptimum: number | null;
  /** Where it is never replaced in good time, that of running to failure. */
  readonly ageCostRate: number;
  /** The same where a failure is only put right and leaves it as old as it was. `null`: never. */
  readonly minimalRepairOptimum: number | null;
  readonly minimalRepairRate: number | null;
}

const LEAST_SHAPE = 0.01;
const MOST_SHAPE = 1000;
const LEAST_SCALE = 1e-6;
const MOST_SCALE = 1e12;
const MOST_COST = 1e12;
/** Of (T / scale)^shape: e^-700 of them live so long, which is none. */
const MOST_AGE = 700;

/**
 * The age at which to replace, for a Weibull time to failure of shape k and scale η.
 *
 * Formula: age replacement costs C(T) = (c_p R(T) + c_f F(T)) / ∫₀ᵀ R a dive. It has its one least
 *   value where h(T) ∫₀ᵀ R - F(T) = c_p / (c_f - c_p), h the failure rate, and there C = (c_f - c_p) h(T).
 *   Minimal repair costs (c_p + c_f (T / η)^k) / T, least at T = η (c_p / (c_f (k - 1)))^(1/k).
 *   Run to failure: c_f / (η Γ(1 + 1/k)).
 * Replacing in good time pays only where the risk grows (k above 1) and, for the age rule, where a
 * failure costs more than a replacement; otherwise the optimum is `null`: never.
 * Units: costs in any one unit, ages in those of the scale, rates cost per one of them.
 * Refuses: "no-preventive-cost" where replacing in good time costs nothing, for then sooner is always
 * better and there is no age.
 * Errors: RangeError for a shape outside 0.01 to 1000, and for a scale or cost that cannot be.
 * Source: Barlow and Proschan, Mathematical Theory of Reliability (1965), chapters 3 and 4; Barlow and
 * Hunter, Operations Research 8:90 (1960).
 */
export function optimalReplacement({ shape, scale, preventiveCost, failureCost }: Renewal): OptimalReplacement | Refused<"no-preventive-cost"> {
  between(shape, LEAST_SHAPE, MOST_SHAPE, "the shape");
  between(scale, LEAST_SCALE, MOST_SCALE, "the scale");
  between(preventiveCost, 0, MOST_COST, "the cost of replacing in good time");
  between(failureCost, 0, MOST_COST, "the cost of a failure");
  if (preventiveCost === 0) return refused("no-preventive-cost");
  const runToFailureRate = failureCost / (scale * Math.exp(gammaln(1 + 1 / shape)));
  const age = shape > 1 && failureCost > preventiveCost ? bestAge(shape, preventiveCost / (failureCost - preventiveCost)) : null;
  const repair = shape > 1 && failureCost > 0 ? scale * (preventiveCost / (failureCost * (shape - 1))) ** (1 / shape) : null;
  return {
    answer: "replacement",
    runToFailureRate,
    ageOptimum: age === null ? null : scale * age ** (1 / shape),
    ageCostRate: age === null ? runToFailureRate : (failureCost - preventiveCost) * (shape / scale) * age ** (1 - 1 / shape),
    minimalRepairOptimum: repair,
    minimalRepairRate: repair === null ? null : (preventiveCost + failureCost * (repair / scale) ** shape) / repair,
  };
}

/** (T / η)^k at the best age, by halving its logarithm; `null` where nothing lives to see it. */
function bestAge(shape: number, wanted: number): number | null {
  if (advantage(MOST_AGE, shape) < wanted) return null;
  let low = -700;
  let high = Math.log(MOST_AGE);
  for (let step = 0; step < 100; step += 1) {
    const middle = (low + high) / 2;
    if (advantage(Math.exp(middle), shape) < wanted) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2);
}

/** h(T) ∫₀ᵀ R - F(T) at x = (T / η)^k, which grows with x. */
function advantage(x: number, shape: number): number {
  const inverse = 1 / shape;
  if (x > 1) return x ** (1 - inverse) * Math.exp(gammaln(inverse)) * incompleteGamma(inverse, x).below + Math.expm1(-x);
  // Both parts are nearly x where x is small; term by term their difference keeps its digits.
  let sum = 0;
  let power = x;
  for (let n = 0; n < 40; n += 1) {
    sum += (power * (1 - inverse)) / ((inverse + n) * (n + 1));
    power *= -x / (n + 1);
  }
  return sum;
}
