/**
 * What something costs a year when it is paid for once and lasts several years.
 *
 * Money: in any one unit, unrounded. Interest is by the year, compounded. What is bought is paid at
 * the start; all else at the end of its year; what it sells for comes at the end of the last year.
 */
import { between, refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";

/** Money beyond this loses its small digits. */
const MOST_MONEY = 1e13;
const LEAST_RATE = -0.5;
const MOST_RATE = 10;
const MOST_YEARS = 200;

export interface Ownership {
  /** Paid at the start. */
  readonly capital: number;
  /** What it sells for at the end; below 0 where getting rid of it costs. */
  readonly salvage: number;
  /** What it costs to run, year by year; below 0 where it earns more. As many years as it is kept. */
  readonly annualCosts: readonly number[];
  /** Interest a year as a share: 5 % is 0.05. */
  readonly rate: number;
}

export interface AnnualCost {
  readonly answer: "annual-cost";
  /** All payments, each at its worth at the start. */
  readonly presentCost: number;
  /** The worth at the start of 1 paid at the end of each year. */
  readonly annuityFactor: number;
  /** The even yearly payment that is worth the same. */
  readonly annualCost: number;
}

/**
 * The equivalent annual cost: it makes things comparable that last for different times.
 *
 * Formula: P = capital + Σ cost_t / (1 + r)^t - salvage / (1 + r)^n; a = (1 - (1 + r)^-n) / r, or n
 *   where r is 0; annual cost = P / a.
 * Units: money in, money out; r a share per year.
 * Refuses: "no-years" where it is kept for none.
 * Errors: RangeError for a rate outside -0.5 to 10, for money that is no number, and for more than 200
 * years.
 * Source: Newnan, Eschenbach and Lavelle, Engineering Economic Analysis, chapter 6; Brealey, Myers and
 * Allen, Principles of Corporate Finance, chapter 6.
 */
export function equivalentAnnualCost({ capital, salvage, annualCosts, rate }: Ownership): AnnualCost | Refused<"no-years"> {
  money(capital, "the capital");
  money(salvage, "the salvage");
  interest(rate);
  const years = annualCosts.length;
  if (years === 0) return refused("no-years");
  const presentCost = presentValue([capital, ...annualCosts], rate) - salvage * discount(rate, years);
  const annuityFactor = annuity(rate, years);
  return { answer: "annual-cost", presentCost, annuityFactor, annualCost: presentCost / annuityFactor };
}

/**
 * Worth at the start of payments at the ends of the years 0 (the start itself), 1, 2 and so on to 200 at
 * most. Errors: RangeError for a rate, payment or number of years that cannot be.
 */
export function presentValue(payments: readonly number[], rate: number): number {
  interest(rate);
  if (payments.length > MOST_YEARS + 1) throw new RangeError(`${payments.length - 1} years are more than ${MOST_YEARS}: reckon with fewer.`);
  const yearly = 1 / (1 + rate);
  let worth = 0;
  // From the last year inwards: one multiplication a year instead of a power.
  for (let year = payments.length - 1; year >= 0; year -= 1) {
    const paid = payments[year] ?? 0;
    if (!(Math.abs(paid) <= MOST_MONEY)) money(paid, `the payment of year ${year}`);
    worth = worth * yearly + paid;
  }
  return worth;
}

/** Worth at the start of 1 paid at the end of each of so many years. */
export function annuity(rate: number, years: number): number {
  interest(rate);
  between(years, 1, MOST_YEARS, "the number of years");
  // Written so that a rate near 0 keeps its digits.
  return rate === 0 ? years : -Math.expm1(-years * Math.log1p(rate)) / rate;
}

/** Worth at the start of 1 at the end of a year. */
function discount(rate: number, year: number): number {
  return (1 + rate) ** -year;
}

function interest(rate: number): number {
  return between(rate, LEAST_RATE, MOST_RATE, "the interest a year (5 % is 0.05)");
}

function money(amount: number, what: string): number {
  return between(amount, -MOST_MONEY, MOST_MONEY, what);
}
