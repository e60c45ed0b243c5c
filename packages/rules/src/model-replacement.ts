/**
 * When to replace one of a model, from the centre's own figures and what its parts cost at each age.
 * Money, interest and the times of payment as in model-costs.ts.
 */
import { allKnown, cents, MOST_CENTS, MOST_LIFE, rateOf, repairCost, serviceCost, servicesBefore, servicesDue, whole } from "./model-figures.ts";
import type { CostInput, CostSettings, Figure, ModelFigures, NotKnown } from "./model-figures.ts";
import { refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";
import { economicLife } from "./replacement.ts";
import { shrinkRates } from "./shrinkage.ts";

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
