import { describe, expect, test } from "vitest";
import { TERN as tern } from "./model-costs.cases.ts";
import { compareTwo, modelCost } from "./model-costs.ts";
import { modelYearToReplace, yearToReplace } from "./model-replacement.ts";
import type { Comparison, ModelCost } from "./model-costs.ts";
import type { ModelFigures } from "./model-figures.ts";
import type { AgeYear } from "./model-replacement.ts";

const settings = { interestPermille: 50, netOfIncome: false };
const free = { interestPermille: 0, netOfIncome: false };

function answered<Answer extends { readonly answer: string }>(told: Answer): Exclude<Answer, { readonly answer: "refused" }> {
  if (told.answer === "refused") throw new Error(JSON.stringify(told));
  return told as Exclude<Answer, { readonly answer: "refused" }>;
}
const cost = (differing: Partial<ModelFigures> = {}, how = settings): ModelCost => answered(modelCost({ ...tern, ...differing }, how));
const compared = (a: Partial<ModelFigures>, b: Partial<ModelFigures>, years: number, how = settings): Comparison =>
  answered(compareTwo({ ...tern, ...a }, { ...tern, ...b }, years, how));

test("without interest adds up as on paper", () => {
  // 500.00 over 5 years, 4 services of 40.00 over 5 years, 10.00 of repairs a year.
  expect(cost({}, free)).toEqual({
    answer: "cost", annualCents: 14_200, perDiveCents: 142, servicesByYear: [1, 1, 1, 1, 0],
    parts: { capital: 10_000, service: 3200, repair: 1000, income: null },
  });
  expect(cost({}, { ...free, netOfIncome: true })).toMatchObject({ annualCents: 14_200 - 90_000, perDiveCents: -758, parts: { income: 90_000 } });
});

test("with interest is the formula written out", () => {
  // 620.00 for 8 years, sold for 60.00; 45.00 of repairs a year, and 50.00 for a service in each second year but the last.
  const told = cost({ priceCents: 62_000, resaleCents: 6000, lifeYears: 8, kitCents: 5000, benchMinutesPerService: 0, benchHourCents: 4500, serviceMonths: 24, repairMinutesPerFault: 60, divesPerYear: 140 });
  expect(told.servicesByYear).toEqual([0, 1, 0, 1, 0, 1, 0, 0]);
  const v = (year: number) => 1.05 ** -year;
  const annuity = (1 - v(8)) / 0.05;
  const annual = (62_000 - 6000 * v(8) + 5000 * (v(2) + v(4) + v(6))) / annuity + 4500;
  expect(told.annualCents).toBe(Math.round(annual));
  expect(told.perDiveCents).toBe(Math.round(annual / 140));
});

test("services by months or dives, whichever comes first, and none on the day it is given up", () => {
  const services = (differing: Partial<ModelFigures>) => cost(differing).servicesByYear;
  expect(services({ serviceMonths: 6 })).toEqual([2, 2, 2, 2, 1]);
  expect(services({ serviceDives: 40 })).toEqual([2, 3, 2, 3, 2]);
  expect(services({ serviceDives: 200 })).toEqual([1, 1, 1, 1, 0]);
  expect(services({ serviceMonths: "no-limit", serviceDives: 200 })).toEqual([0, 1, 0, 1, 0]);
  expect(services({ serviceMonths: "no-limit", serviceDives: "no-limit" })).toEqual([0, 0, 0, 0, 0]);
  expect(services({ serviceMonths: 18 })).toEqual([0, 1, 1, 0, 1]);
});

test("never takes a figure nobody knows for 0, and names it", () => {
  expect(modelCost({ ...tern, kitCents: null, serviceDives: null }, settings)).toEqual({ answer: "refused", why: "not-known", which: ["kitCents", "serviceDives"] });
  expect(modelCost({ ...tern, hireCentsPerYear: null }, settings).answer).toBe("cost");
  expect(modelCost({ ...tern, hireCentsPerYear: null }, { ...settings, netOfIncome: true })).toMatchObject({ which: ["hireCentsPerYear"] });
  expect(compareTwo({ ...tern, faultsPerYear: null }, { ...tern, lifeYears: null }, 3, settings)).toEqual({
    answer: "refused", why: "not-known", which: [{ model: "a", input: "faultsPerYear" }, { model: "b", input: "lifeYears" }],
  });
});

test("has no cost per dive without dives, and costs nothing where nothing costs", () => {
  expect(cost({ divesPerYear: 0, serviceDives: 100 })).toMatchObject({ perDiveCents: null, servicesByYear: [1, 1, 1, 1, 0] });
  const nothing = cost({ priceCents: 0, resaleCents: 0, kitCents: 0, benchHourCents: 0 }, free);
  expect(nothing).toMatchObject({ annualCents: 0, perDiveCents: 0, parts: { capital: 0, service: 0, repair: 0 } });
});

test("names a figure that cannot be", () => {
  expect(() => cost({ priceCents: 12.5 })).toThrow("12.5 will not do for priceCents: write a whole number");
  expect(() => cost({ lifeYears: 0 })).toThrow("0 will not do for lifeYears");
  expect(() => cost({ faultsPerYear: Number.NaN })).toThrow("faultsPerYear");
  expect(() => cost({}, { ...settings, interestPermille: 5000 })).toThrow("the interest in thousandths");
});

test("over years buys again at the end of a life, and values what is left on a straight line", () => {
  const still = { kitCents: 0, benchHourCents: 0 };
  const { a, b } = compared({ ...still, lifeYears: 2 }, { ...still }, 3, free);
  // a: bought, sold and bought again after 2 years, half worn after 3. b: 3 of 5 years of 500.00 gone.
  expect(a).toEqual({ presentCents: 60_000 + 50_000 - 35_000, annualCents: 25_000, bought: 2, paidCents: [60_000, 0, 50_000, -35_000] });
  expect(b).toEqual({ presentCents: 30_000, annualCents: 10_000, bought: 1, paidCents: [60_000, 0, 0, -30_000] });
});

test("over a whole number of lives the yearly worth is the equivalent annual cost", () => {
  expect(compared({}, {}, 10).a.annualCents).toBe(cost().annualCents);
  expect(compared({}, {}, 5).b.annualCents).toBe(cost().annualCents);
});

test("says which is cheaper, by how much, and from how many dives on", () => {
  // b costs 50.00 a year more to own and needs no repairs; a's repairs cost 10.00 per 100 dives.
  const told = compared({ serviceMonths: "no-limit" }, { serviceMonths: "no-limit", priceCents: 85_000, faultsPerYear: 0 }, 5, free);
  expect(told).toMatchObject({ cheaper: "a", byCents: 5 * 4000, breakEven: { dives: 501, cheaper: "b" } });
  expect(told.byDives).toEqual([{ fromDives: 1, cheaper: "a" }, { fromDives: 500, cheaper: "same" }, { fromDives: 501, cheaper: "b" }]);
});

test("has no break-even where one is cheaper at any number of dives, both are the same, or one makes no dives", () => {
  expect(compared({}, { priceCents: 70_000 }, 4)).toMatchObject({ cheaper: "a", byDives: [{ fromDives: 1, cheaper: "a" }], breakEven: null });
  expect(compared({}, {}, 4)).toMatchObject({ cheaper: "same", byCents: 0, byDives: [{ fromDives: 1, cheaper: "same" }], breakEven: null });
  expect(compared({}, { divesPerYear: 0, priceCents: 1 }, 4)).toMatchObject({ cheaper: "b", byDives: { why: "no-dives" }, breakEven: null });
  expect(() => compared({}, {}, 2.5)).toThrow("2.5 will not do for the years");
});

test("finds the year to replace, and says when it may be later still", () => {
  const resale = [420, 330, 260, 200, 150, 120, 90, 70, 50, 30];
  const running = [30, 45, 70, 95, 130, 170, 220, 270, 330, 400];
  const years = resale.map((euros, index) => ({ resaleCents: euros * 100, runningCents: running[index]! * 100 }));
  expect(yearToReplace(65_000, years, settings)).toMatchObject({ answer: "replace", years: 5, leastAnnualCents: 19_456, atEdge: false }); // R
  expect(yearToReplace(65_000, years.slice(0, 4), settings)).toMatchObject({ years: 4, atEdge: true });
  expect(yearToReplace(65_000, [], settings)).toEqual({ answer: "refused", why: "no-years" });
  expect(yearToReplace(null, [years[0]!, { resaleCents: null, runningCents: 0 }], settings)).toEqual({
    answer: "refused", why: "not-known", which: [{ input: "priceCents", year: null }, { input: "resaleCents", year: 2 }],
  });
});

describe("the year to replace one of a model", () => {
  /** So many faults in each year of age, ten parts watched for a year at each. */
  const ages = (...faults: readonly number[]) => faults.map((one) => ({ faults: one, partDays: 3653 }));
  const replaced = (differing: Partial<ModelFigures>, seen: readonly AgeYear[], how = free) => answered(modelYearToReplace({ ...tern, ...differing }, seen, how));

  test("where age makes no difference each further year is cheaper, to the oldest age watched, and no further is said", () => {
    // 500.00 shared among the years kept, and 10.00 of repairs in each.
    expect(replaced({ serviceMonths: "no-limit" }, ages(10, 10, 10, 10))).toMatchObject({
      faultsDiffer: false, faultsByYear: [1, 1, 1, 1], years: 4, atEdge: true, annualCentsByYear: [51_000, 26_000, Math.round(50_000 / 3) + 1000, 13_500],
    });
  });

  test("kept for the life that was entered it costs what the model is said to cost", () => {
    expect(replaced({}, ages(10, 10, 10, 10, 10, 10), settings).annualCentsByYear[4]).toBe(cost().annualCents);
    expect(replaced({ serviceMonths: 18, lifeYears: 3 }, ages(10, 10, 10)).annualCentsByYear[2]).toBe(cost({ serviceMonths: 18, lifeYears: 3 }, free).annualCents);
  });

  test("faults that come with age find the year after which keeping it costs more", () => {
    // Repairs of 40.00 each: worn parts fail many times a year.
    const told = replaced({ serviceMonths: "no-limit", repairMinutesPerFault: 60 }, ages(2, 3, 3, 60, 90, 120));
    expect(told).toMatchObject({ years: 3, atEdge: false, faultsDiffer: true });
    expect(told.faultsByYear[5]).toBeGreaterThan(told.faultsByYear[0]! * 10);
    expect(told.annualCentsByYear[3]).toBeGreaterThan(told.leastAnnualCents);
  });

  test("it is given up before a service that falls due that day rather than after", () => {
    // A dear service every second year: years 2 and 4 end before one.
    const told = replaced({ serviceMonths: 24, kitCents: 30_000, benchHourCents: 0, priceCents: 20_000, resaleCents: 0 }, ages(0, 0, 0, 0));
    expect(told.annualCentsByYear).toEqual([20_000, 10_000, Math.round(50_000 / 3), 12_500]);
  });

  test("an age seen for less than a year of one part is not reckoned with; one not seen in between is", () => {
    expect(replaced({}, [...ages(1, 1), { faults: 0, partDays: 364 }]).annualCentsByYear).toHaveLength(2);
    expect(replaced({}, [{ faults: 0, partDays: 0 }, { faults: 0, partDays: 30 }, ...ages(1)]).faultsByYear).toEqual([1, 1, 1]);
  });

  test("says what is not known, and that nothing was watched", () => {
    expect(modelYearToReplace({ ...tern, priceCents: null, benchHourCents: null }, ages(1), free)).toEqual({ answer: "refused", why: "not-known", which: ["priceCents", "benchHourCents"] });
    expect(modelYearToReplace(tern, [], free)).toEqual({ answer: "refused", why: "no-years" });
    expect(modelYearToReplace(tern, [{ faults: 0, partDays: 300 }], free)).toEqual({ answer: "refused", why: "no-years" });
  });
});
