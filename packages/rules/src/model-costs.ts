/**
 * What a model costs a centre, from the centre's own figures: a year, a dive, and against another model.
 *
 * Money: whole cents in; whole cents out, rounded once, at the end, each figure by itself (so parts may
 * miss their sum by a cent or two). Interest is by the year, compounded, in thousandths. What is bought
 * is paid at the start of its first year; services, repairs and hire at the end of the year they fall
 * in; what it sells for comes at the end of its last. Prices do not rise over the years.
 *
 * A figure nobody knows is `null`, and then the answer is "not-known" with its name; it is never 0.
 */
import { annuity, equivalentAnnualCost, presentValue } from "./annual-cost.ts";
import { between, refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";
import { economicLife } from "./replacement.ts";
import { shrinkRates } from "./shrinkage.ts";

export type Figure = number | null;
/** "no-limit": the maker sets none. `null`: nobody has recorded what the maker says. */
export type ServiceLimit = number | "no-limit" | null;

export interface ModelFigures {
  readonly priceCents: Figure;
  /** At the end of its life; below 0 where getting rid of it costs. */
  readonly resaleCents: Figure;
  /** Whole years. */
  readonly lifeYears: Figure;
  readonly kitsPerService: Figure;
  readonly kitCents: Figure;
  readonly benchMinutesPerService: Figure;
  readonly benchHourCents: Figure;
  /** A service after so many months or dives, whichever comes first. */
  readonly serviceMonths: ServiceLimit;
  readonly serviceDives: ServiceLimit;
  readonly divesPerYear: Figure;
  /** On average; need not be whole. */
  readonly faultsPerYear: Figure;
  readonly repairMinutesPerFault: Figure;
  /** Asked for only where the answer is net of income. */
  readonly hireCentsPerYear: Figure;
}

export type CostInput = keyof ModelFigures;

export interface CostSettings {
  /** Thousandths a year: 5 % is 50. */
  readonly interestPermille: number;
  /** Take off what the hire brings in. */
  readonly netOfIncome: boolean;
}

/** Unknown figures, by name. */
export interface NotKnown<Which> extends Refused<"not-known"> {
  readonly which: readonly Which[];
}

const MOST_CENTS = 1e10;
const MOST_LIFE = 50;

/** What each figure may be: least, most, and whether it must be whole. In the order in which they are told. */
const RANGES: Readonly<Record<CostInput, readonly [least: number, most: number, whole: boolean]>> = {
  priceCents: [0, MOST_CENTS, true],
  resaleCents: [-MOST_CENTS, MOST_CENTS, true],
  lifeYears: [1, MOST_LIFE, true],
  kitsPerService: [0, 1000, false],
  kitCents: [0, MOST_CENTS, true],
  benchMinutesPerService: [0, 100_000, false],
  benchHourCents: [0, MOST_CENTS, true],
  serviceMonths: [1, 1200, true],
  serviceDives: [1, 1_000_000, true],
  divesPerYear: [0, 100_000, false],
  faultsPerYear: [0, 100_000, false],
  repairMinutesPerFault: [0, 100_000, false],
  hireCentsPerYear: [0, MOST_CENTS, true],
};
export const COST_INPUTS = Object.keys(RANGES) as readonly CostInput[];

/** The figures once all of them are known. */
type Known = { readonly [Input in CostInput]: Input extends "serviceMonths" | "serviceDives" ? number | "no-limit" : number };

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

export interface KeptYear {
  /** What it sells for at the end of this year. */
  readonly resaleCents: Figure;
  /** What running it costs in this year. */
  readonly runningCents: Figure;
}

export interface ReplacementYear {
  readonly answer: "replace";
  /** Keep it for so many years. */
  readonly years: number;
  readonly annualCentsByYear: readonly number[];
  readonly leastAnnualCents: number;
  /** The cheapest is the last year given: it may pay to keep it for longer. */
  readonly atEdge: boolean;
}

/**
 * The year to replace, from what running it costs and what it sells for year by year (`economicLife`).
 * Refuses: "no-years"; "not-known" with the names of what is not known, the year counted from 1.
 * Errors: RangeError for figures and a rate that cannot be.
 */
export function yearToReplace(
  priceCents: Figure,
  years: readonly KeptYear[],
  settings: Pick<CostSettings, "interestPermille">,
): ReplacementYear | Refused<"no-years"> | NotKnown<{ readonly input: "priceCents" | keyof KeptYear; readonly year: number | null }> {
  const rate = rateOf(settings);
  const missing = years.flatMap((one, index) =>
    (["resaleCents", "runningCents"] as const).filter((input) => one[input] === null).map((input) => ({ input, year: index + 1 })),
  );
  if (priceCents === null || missing.length > 0) {
    return { ...refused("not-known"), which: [...(priceCents === null ? [{ input: "priceCents", year: null } as const] : []), ...missing] };
  }
  const column = (input: keyof KeptYear) => years.map((one, index) => whole(one[input] ?? 0, -MOST_CENTS, MOST_CENTS, `${input} of year ${index + 1}`));
  const told = economicLife({
    capital: whole(priceCents, 0, MOST_CENTS, "priceCents"),
    salvageByYear: column("resaleCents"),
    costByYear: column("runningCents"),
    rate,
  });
  if (told.answer === "refused") return told;
  return {
    answer: "replace",
    years: told.years,
    annualCentsByYear: told.annualCostByYear.map(cents),
    leastAnnualCents: cents(told.leastAnnualCost),
    atEdge: told.atEdge,
  };
}

/** What was counted of all parts of a model while they were in the same year of their age. */
export interface AgeYear {
  readonly faults: number;
  /** Days in which a part of that age was fitted, added over the parts: two parts for a year are 730. */
  readonly partDays: number;
}

export interface ModelReplacement extends ReplacementYear {
  /** Faults of one part in each year of its age, as reckoned with. */
  readonly faultsByYear: readonly number[];
  /** Whether they differ with age by more than chance; if not, every year has the model's own figure. */
  readonly faultsDiffer: boolean;
}

/** Less than a year of one part says nothing of its age. Hangrail's choice. */
const LEAST_PART_DAYS = 365;
const DAYS_A_YEAR = 365.25;
const CONFIDENCE = 0.95;

/**
 * The year to replace one of a model, from the centre's figures and what its parts cost at each age.
 *
 * Goes as far as the oldest age in which a year of a part was watched, and no further: nothing is known
 * of older ones. Faults by age are drawn towards each other (`shrinkRates`); where ages do not differ by
 * more than chance, every year has `faultsPerYear`, and kept for `lifeYears` it costs what `modelCost`
 * says, to a cent. Whenever it is sold it brings the resale that was entered for the end of its life: what
 * it would bring sooner nobody entered, and a line from the price down would call for a new one each year.
 * A service that falls due on the day it is given up is not carried out: what that saves is counted with
 * the sale. Hire changes nothing, since it does not end with a replacement.
 * Units: cents; years of age, the first first.
 * Refuses: "no-years" where no age was watched; "not-known" with the names of what is not known.
 * Errors: RangeError as `modelCost`, and for a count that cannot be.
 * Source: as `economicLife` and `shrinkRates`.
 */
export function modelYearToReplace(figures: ModelFigures, ages: readonly AgeYear[], settings: Pick<CostSettings, "interestPermille">): ModelReplacement | Refused<"no-years"> | NotKnown<CostInput> {
  const known = allKnown(figures, false);
  if ("answer" in known) return known;
  const horizon = Math.min(MOST_LIFE, ages.findLastIndex(({ partDays }) => partDays >= LEAST_PART_DAYS) + 1);
  if (horizon === 0) return refused("no-years");
  const rates = shrinkRates(ages.slice(0, horizon).map(({ faults, partDays }) => ({ events: faults, exposure: partDays })), { per: DAYS_A_YEAR, confidence: CONFIDENCE });
  const faultsDiffer = rates.answer === "shrunken";
  const faultsByYear = Array.from({ length: horizon }, (_, index) => (rates.answer === "shrunken" ? rates.groups[index]?.rate : undefined) ?? known.faultsPerYear);
  let before = 0;
  const years = faultsByYear.map((faultsPerYear, index): KeptYear => {
    const kept = index + 1;
    const done = servicesDue(known, kept);
    const services = done - before;
    before = done;
    const notCarriedOut = done - servicesBefore(known, kept);
    return {
      resaleCents: cents(known.resaleCents + notCarriedOut * serviceCost(known)),
      runningCents: cents(services * serviceCost(known) + repairCost({ ...known, faultsPerYear })),
    };
  });
  const told = yearToReplace(known.priceCents, years, settings);
  if (told.answer === "refused") throw new RangeError("Years that are all known cannot be refused.");
  return { ...told, faultsByYear, faultsDiffer };
}

/** Every known figure, or the names of those that are not. Errors: RangeError for one that cannot be. */
function allKnown(figures: ModelFigures, netOfIncome: boolean): Known | NotKnown<CostInput> {
  const asked = netOfIncome ? figures : { ...figures, hireCentsPerYear: 0 };
  const which: CostInput[] = [];
  for (const input of COST_INPUTS) {
    const value = asked[input];
    const [least, most, isWhole] = RANGES[input];
    if (value === null) which.push(input);
    else if (value !== "no-limit") (isWhole ? whole : between)(value, least, most, input);
  }
  return which.length > 0 ? { ...refused("not-known"), which } : (asked as Known);
}

/** Services in each of the first years; the last is given up at its end, so that a service due then is not carried out. */
function servicesOf(known: Known, kept: number): readonly number[] {
  const done = Array.from({ length: kept }, (_, index) => (index + 1 < kept ? servicesDue(known, index + 1) : servicesBefore(known, kept)));
  return done.map((services, index) => services - (done[index - 1] ?? 0));
}

/** Services that fell due in so many years, one on the last day counted. */
function servicesDue(known: Known, years: number): number {
  return Math.floor(servicesUsed(known, years));
}

/** Those that fell due before the last day of so many years. */
function servicesBefore(known: Known, years: number): number {
  return Math.max(0, Math.ceil(servicesUsed(known, years)) - 1);
}

/** Spans of service life used up; as one division of whole numbers, a service due on the day is on the day. */
function servicesUsed({ serviceMonths, serviceDives, divesPerYear }: Known, years: number): number {
  const byMonths = serviceMonths === "no-limit" ? 0 : (12 * years) / serviceMonths;
  const byDives = serviceDives === "no-limit" ? 0 : (divesPerYear * years) / serviceDives;
  return Math.max(byMonths, byDives);
}

function runningCosts(known: Known, kept: number): readonly number[] {
  return servicesOf(known, kept).map((services) => services * serviceCost(known) + repairCost(known) - known.hireCentsPerYear);
}

function serviceCost({ kitsPerService, kitCents, benchMinutesPerService, benchHourCents }: Known): number {
  return kitsPerService * kitCents + (benchMinutesPerService * benchHourCents) / 60;
}

function repairCost({ faultsPerYear, repairMinutesPerFault, benchHourCents }: Known): number {
  return (faultsPerYear * repairMinutesPerFault * benchHourCents) / 60;
}

function rateOf({ interestPermille }: Pick<CostSettings, "interestPermille">): number {
  return between(interestPermille, 0, 1000, "the interest in thousandths a year") / 1000;
}

function whole(n: number, least: number, most: number, what: string): number {
  if (!Number.isSafeInteger(n)) throw new RangeError(`${n} will not do for ${what}: write a whole number.`);
  return between(n, least, most, what);
}

/** Whole cents; never -0. */
function cents(amount: number): number {
  return Math.round(amount) + 0;
}
