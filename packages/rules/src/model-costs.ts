/**
 * What a model costs a centre, from the centre's own figures: a year, a dive, and against another model.
 *
 * Money: whole cents in; whole cents out, rounded once, at the end, each figure by itself (so parts may
 * miss their sum by a cent or two). Interest is by the year, compounded, in thousandths. What is bought
 * is paid at the start of its first year; services, repairs and hire at the end of the year they fall
 * in; what it sells for comes at the end of its last. Prices do not rise over the years.
 */
import { annuity, equivalentAnnualCost, presentValue } from "./annual-cost.ts";
import { allKnown, cents, MOST_LIFE, rateOf, repairCost, serviceCost, servicesOf, whole } from "./model-figures.ts";
import type { CostInput, CostSettings, Known, ModelFigures, NotKnown } from "./model-figures.ts";
import { refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";

export interface ModelCost {
  readonly answer: "cost";
  /** Equivalent annual cost of one, over its life; below 0 where hire brings in more than it costs. */
  readonly annualCents: number;
  /** `null`: it makes no dives. */
  readonly perDiveCents: number | null;
  /** What the annual cost is made of; the income is taken off, or `null` where it was not to be. */
  readonly parts: { readonly capital: number; readonly service: number; readonly repair: number; readonly income: number | null };
  /** Services in each year of its life; one that falls due on its last day is not carried out. */
  readonly servicesByYear: readonly number[];
}

/**
 * Equivalent annual cost and cost per dive of one of a model.
 *
 * Formula: `equivalentAnnualCost` with price, resale and, for each year, services * (kits * kit price +
 *   minutes / 60 * hourly rate) + faults * minutes / 60 * hourly rate, less hire if wanted. The j-th
 *   service falls j * the shorter of months / 12 and dives / dives a year after the start. Cost per
 *   dive = annual cost / dives a year.
 * Units: cents.
 * Refuses: "not-known" with the names of what is not known.
 * Errors: RangeError for a figure or rate that cannot be.
 * Source: as `equivalentAnnualCost`.
 */
export function modelCost(figures: ModelFigures, settings: CostSettings): ModelCost | NotKnown<CostInput> {
  const rate = rateOf(settings);
  const known = allKnown(figures, settings.netOfIncome);
  if ("answer" in known) return known;
  const servicesByYear = servicesOf(known, known.lifeYears);
  const annual = (capital: number, salvage: number, annualCosts: readonly number[]) => {
    const told = equivalentAnnualCost({ capital, salvage, annualCosts, rate });
    if (told.answer === "refused") throw new RangeError("A life of no years cannot be.");
    return told.annualCost;
  };
  const annualCost = annual(known.priceCents, known.resaleCents, runningCosts(known, known.lifeYears));
  return {
    answer: "cost",
    annualCents: cents(annualCost),
    perDiveCents: known.divesPerYear === 0 ? null : cents(annualCost / known.divesPerYear),
    parts: {
      capital: cents(annual(known.priceCents, known.resaleCents, servicesByYear.map(() => 0))),
      service: cents(annual(0, 0, servicesByYear.map((services) => services * serviceCost(known)))),
      repair: cents(repairCost(known)),
      income: settings.netOfIncome ? cents(known.hireCentsPerYear) : null,
    },
    servicesByYear,
  };
}

export interface OverYears {
  /** All payments over the years, at their worth at the start. */
  readonly presentCents: number;
  /** The even yearly payment that is worth the same. */
  readonly annualCents: number;
  /** How many are bought, the first counted. */
  readonly bought: number;
  /** Paid at the start and at the end of each year; below 0 where more comes in. */
  readonly paidCents: readonly number[];
}

export type Cheaper = "a" | "b" | "same";

export interface Comparison {
  readonly answer: "comparison";
  readonly a: OverYears;
  readonly b: OverYears;
  readonly cheaper: Cheaper;
  /** At its worth at the start. */
  readonly byCents: number;
  /** Which is cheaper if both dive so many times a year, from 1 dive on: each entry holds up to the next. */
  readonly byDives: readonly { readonly fromDives: number; readonly cheaper: Cheaper }[] | Refused<"no-dives">;
  /** From so many dives a year on this one is cheaper and stays so. `null`: it is the same one, or neither, at any number. */
  readonly breakEven: { readonly dives: number; readonly cheaper: Cheaper } | null;
}

/** Break-even is looked for up to so many dives a year; a set in daily hire makes a few hundred. */
export const MOST_DIVES = 1000;

/**
 * Two models over so many years; either may be one the centre does not own yet.
 *
 * Each is replaced by its like at the end of its life. One that is cut short by the end of the years is
 * worth then what is left of it on a straight line from price to resale.
 * Formula: Σ payments / (1 + r)^t, services and repairs as in `modelCost`.
 * Break-even: both dive as often as each other; their faults and hire then grow in proportion to the
 * dives they were stated for, which must not be 0 ("no-dives" in `byDives`).
 * Units: cents at their worth at the start.
 * Refuses: "not-known" with model and name. Errors: RangeError as `modelCost`, and for years that are
 * no whole number from 1 to 50.
 * Source: Newnan, Eschenbach and Lavelle, Engineering Economic Analysis, chapters 5 and 6.
 */
export function compareTwo(
  a: ModelFigures,
  b: ModelFigures,
  years: number,
  settings: CostSettings,
): Comparison | NotKnown<{ readonly model: "a" | "b"; readonly input: CostInput }> {
  const rate = rateOf(settings);
  whole(years, 1, MOST_LIFE, "the years of the comparison");
  const first = allKnown(a, settings.netOfIncome);
  const second = allKnown(b, settings.netOfIncome);
  if ("answer" in first || "answer" in second) {
    const missing = (model: "a" | "b", told: Known | NotKnown<CostInput>) => ("answer" in told ? told.which.map((input) => ({ model, input })) : []);
    return { ...refused("not-known"), which: [...missing("a", first), ...missing("b", second)] };
  }
  const both = [overYears(first, years, rate), overYears(second, years, rate)] as const;
  const byDives = first.divesPerYear === 0 || second.divesPerYear === 0 ? refused("no-dives") : turns(first, second, years, rate);
  const last = "answer" in byDives || byDives.length < 2 ? undefined : byDives.at(-1);
  return {
    answer: "comparison",
    a: both[0],
    b: both[1],
    cheaper: cheaperOf(both[0].presentCents, both[1].presentCents),
    byCents: Math.abs(both[0].presentCents - both[1].presentCents),
    byDives,
    breakEven: last === undefined ? null : { dives: last.fromDives, cheaper: last.cheaper },
  };
}

function overYears(known: Known, years: number, rate: number): OverYears {
  const worth = presentWorth(known, years, rate, presentValue(ownership(known, years), rate));
  const services = servicesOver(known, years);
  const everyYear = repairCost(known) - known.hireCentsPerYear;
  return {
    presentCents: cents(worth),
    annualCents: cents(worth / annuity(rate, years)),
    bought: Math.ceil(years / known.lifeYears),
    paidCents: ownership(known, years).map((paid, year) => cents(paid + (services[year] ?? 0) * serviceCost(known) + (year === 0 ? 0 : everyYear))),
  };
}

/** All payments, `owned` being the worth of buying and selling, which no number of dives changes. */
function presentWorth(known: Known, years: number, rate: number, owned: number): number {
  const services = presentValue(servicesOver(known, years), rate);
  return owned + services * serviceCost(known) + (repairCost(known) - known.hireCentsPerYear) * annuity(rate, years);
}

/** What is paid for buying less what selling brings, at the ends of the years 0, 1, 2 and so on. */
function ownership({ priceCents, resaleCents, lifeYears }: Known, years: number): readonly number[] {
  const paid = Array.from({ length: years + 1 }, () => 0);
  for (let start = 0; start < years; start += lifeYears) {
    const kept = Math.min(lifeYears, years - start);
    const left = priceCents - ((priceCents - resaleCents) * kept) / lifeYears;
    paid[start] = (paid[start] ?? 0) + priceCents;
    paid[start + kept] = (paid[start + kept] ?? 0) - left;
  }
  return paid;
}

/** Services by year, the years counted from 0, in which there is none. */
function servicesOver(known: Known, years: number): readonly number[] {
  const services = [0];
  for (let start = 0; start < years; start += known.lifeYears) services.push(...servicesOf(known, Math.min(known.lifeYears, years - start)));
  return services;
}

function turns(a: Known, b: Known, years: number, rate: number): readonly { readonly fromDives: number; readonly cheaper: Cheaper }[] {
  const [ownedA, ownedB] = [presentValue(ownership(a, years), rate), presentValue(ownership(b, years), rate)];
  const found: { fromDives: number; cheaper: Cheaper }[] = [];
  for (let dives = 1; dives <= MOST_DIVES; dives += 1) {
    const cheaper = cheaperOf(
      cents(presentWorth(divingSoOften(a, dives), years, rate, ownedA)),
      cents(presentWorth(divingSoOften(b, dives), years, rate, ownedB)),
    );
    if (found.at(-1)?.cheaper !== cheaper) found.push({ fromDives: dives, cheaper });
  }
  return found;
}

function divingSoOften(known: Known, dives: number): Known {
  const more = dives / known.divesPerYear;
  return { ...known, divesPerYear: dives, faultsPerYear: known.faultsPerYear * more, hireCentsPerYear: known.hireCentsPerYear * more };
}

function cheaperOf(a: number, b: number): Cheaper {
  if (a === b) return "same";
  return a < b ? "a" : "b";
}

function runningCosts(known: Known, kept: number): readonly number[] {
  return servicesOf(known, kept).map((services) => services * serviceCost(known) + repairCost(known) - known.hireCentsPerYear);
}
