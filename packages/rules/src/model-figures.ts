/**
 * A model's figures as a centre enters them: what each may be, whether all are known, and what of a
 * year's cost follows from them alone.
 *
 * A figure nobody knows is `null`, and then every answer is "not-known" with its name; it is never 0.
 */
import { between, refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";

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

export const MOST_CENTS = 1e10;
export const MOST_LIFE = 50;

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
export type Known = { readonly [Input in CostInput]: Input extends "serviceMonths" | "serviceDives" ? number | "no-limit" : number };

/** Every known figure, or the names of those that are not. Errors: RangeError for one that cannot be. */
export function allKnown(figures: ModelFigures, netOfIncome: boolean): Known | NotKnown<CostInput> {
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
export function servicesOf(known: Known, kept: number): readonly number[] {
  const done = Array.from({ length: kept }, (_, index) => (index + 1 < kept ? servicesDue(known, index + 1) : servicesBefore(known, kept)));
  return done.map((services, index) => services - (done[index - 1] ?? 0));
}

/** Services that fell due in so many years, one on the last day counted. */
export function servicesDue(known: Known, years: number): number {
  return Math.floor(servicesUsed(known, years));
}

/** Those that fell due before the last day of so many years. */
export function servicesBefore(known: Known, years: number): number {
  return Math.max(0, Math.ceil(servicesUsed(known, years)) - 1);
}

/** Spans of service life used up; as one division of whole numbers, a service due on the day is on the day. */
export function servicesUsed({ serviceMonths, serviceDives, divesPerYear }: Known, years: number): number {
  const byMonths = serviceMonths === "no-limit" ? 0 : (12 * years) / serviceMonths;
  const byDives = serviceDives === "no-limit" ? 0 : (divesPerYear * years) / serviceDives;
  return Math.max(byMonths, byDives);
}

export function serviceCost({ kitsPerService, kitCents, benchMinutesPerService, benchHourCents }: Known): number {
  return kitsPerService * kitCents + (benchMinutesPerService * benchHourCents) / 60;
}

export function repairCost({ faultsPerYear, repairMinutesPerFault, benchHourCents }: Known): number {
  return (faultsPerYear * repairMinutesPerFault * benchHourCents) / 60;
}

export function rateOf({ interestPermille }: Pick<CostSettings, "interestPermille">): number {
  return between(interestPermille, 0, 1000, "the interest in thousandths a year") / 1000;
}

export function whole(n: number, least: number, most: number, what: string): number {
  if (!Number.isSafeInteger(n)) throw new RangeError(`${n} will not do for ${what}: write a whole number.`);
  return between(n, least, most, what);
}

/** Whole cents; never -0. */
export function cents(amount: number): number {
  return Math.round(amount) + 0;
}
