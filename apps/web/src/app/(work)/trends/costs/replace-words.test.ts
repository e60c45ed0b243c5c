import { modelYearToReplace } from "@hangrail/rules/model-replacement";
import { expect, test } from "vitest";
import { agelessText, asGoodText, replaceText, yearlyFaultsText, type YearFound } from "./replace-words.ts";

const found = (annualCentsByYear: readonly number[]): YearFound => {
  const leastAnnualCents = Math.min(...annualCentsByYear);
  const years = annualCentsByYear.indexOf(leastAnnualCents) + 1;
  return { answer: "replace", years, annualCentsByYear, leastAnnualCents, atEdge: years === annualCentsByYear.length, faultsByYear: annualCentsByYear.map(() => 0.1), faultsDiffer: false };
};

test("a year is named only where keeping it for longer costs more, and by more than hardly", () => {
  expect(replaceText(found([300, 200, 150, 190, 260]))).toBe("Replace it after year 3: kept for longer, one costs more a year.");
  expect(replaceText(found([300, 200, 150, 155]))).toBe("Keep it: year 3 is the cheapest, and up to year 4, the oldest watched here, it costs hardly more.");
  expect(replaceText(found([300, 200, 150]))).toMatch(/^Keep it: of the 3 years of age watched here the last is the cheapest/);
  expect(replaceText(found([300]))).toMatch(/^Too little to tell: only the first year/);
});

test("years that would do as well are named", () => {
  expect(asGoodText(found([300, 151, 150, 155, 260]))).toBe("Years 2 to 4 differ by less than 5 %.");
  expect(asGoodText(found([152, 300, 150, 300]))).toBe("Within 5 % of it: year 1.");
  expect(asGoodText(found([300, 150, 300]))).toBeNull();
});

test("what nobody entered is named, and what nobody watched is not told", () => {
  const nothing = { priceCents: null, resaleCents: 0, lifeYears: 5, kitsPerService: 1, kitCents: 0, benchMinutesPerService: 30, benchHourCents: null, serviceMonths: 12, serviceDives: 100, divesPerYear: 50, faultsPerYear: 0, repairMinutesPerFault: 30, hireCentsPerYear: 0 };
  expect(replaceText(modelYearToReplace(nothing, [{ faults: 0, partDays: 400 }], { interestPermille: 0 }))).toBe("Too little entered to tell. Not known: purchase price and a bench hour.");
  expect(replaceText(modelYearToReplace({ ...nothing, priceCents: 1, benchHourCents: 1 }, [], { interestPermille: 0 }))).toMatch(/^Too little to tell: no part of a known age/);
  expect([agelessText(0), agelessText(1), agelessText(3)]).toEqual([null, "1 part is left out: nobody recorded when it was bought or taken into use.", "3 parts are left out: nobody recorded when they were bought or taken into use."]);
  expect([yearlyFaultsText(0.123), yearlyFaultsText(12.4)]).toEqual(["0.12", "12"]);
});
