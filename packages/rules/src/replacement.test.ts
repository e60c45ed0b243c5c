import { expect, test } from "vitest";
import { economicLife, optimalReplacement } from "./replacement.ts";
import type { OptimalReplacement, Renewal } from "./replacement.ts";

const best = (renewal: Renewal): OptimalReplacement => {
  const told = optimalReplacement(renewal);
  if (told.answer === "refused") throw new Error(told.why);
  return told;
};

test("keeps the machine of the textbook for 4 years at 17 240 (Newnan, Engineering Economic Analysis, 13-10)", () => {
  const told = economicLife({
    capital: 50_000,
    salvageByYear: Array.from({ length: 10 }, (_, year) => 50_000 * 0.8 ** (year + 1)),
    costByYear: Array.from({ length: 10 }, (_, year) => 3500 + 2000 * year),
    rate: 0.09,
  });
  expect(told).toMatchObject({ answer: "economic-life", years: 4, atEdge: false });
  expect(told.answer === "economic-life" && told.leastAnnualCost.toFixed(0)).toBe("17240");
});

test("says so where the cheapest year is the last one known, and keeps it for fewer of equally cheap ones", () => {
  expect(economicLife({ capital: 300, salvageByYear: [0, 0], costByYear: [30, 30], rate: 0.05 })).toMatchObject({ years: 2, atEdge: true });
  expect(economicLife({ capital: 0, salvageByYear: [0, 0, 0], costByYear: [0.1, 0.1, 0.1], rate: 0.07 })).toMatchObject({ years: 1, atEdge: false });
  expect(economicLife({ capital: 0, salvageByYear: [], costByYear: [], rate: 0 })).toEqual({ answer: "refused", why: "no-years" });
  expect(() => economicLife({ capital: 1, salvageByYear: [1], costByYear: [], rate: 0 })).toThrow("1 years of salvage and 0 of costs");
});

test("replaces at R's age and cost (theory: Barlow and Proschan 1965)", () => {
  const told = best({ shape: 2.5, scale: 1000, preventiveCost: 1, failureCost: 5 });
  expect(told.ageOptimum).toBeCloseTo(493.047, 2);
  expect(told.ageCostRate).toBeCloseTo(0.00346204273878926, 12);
  expect(told.runToFailureRate).toBeCloseTo(0.00563530248993014, 12);
});

test("never replaces in good time where the risk does not grow or a failure costs no more", () => {
  for (const renewal of [
    { shape: 1, scale: 300, preventiveCost: 50, failureCost: 200 },
    { shape: 0.8, scale: 350, preventiveCost: 40, failureCost: 300 },
    { shape: 3, scale: 350, preventiveCost: 40, failureCost: 40 },
    { shape: 3, scale: 350, preventiveCost: 40, failureCost: 0 },
  ]) {
    const told = best(renewal);
    expect(told.ageOptimum).toBeNull();
    expect(told.ageCostRate).toBe(told.runToFailureRate);
  }
  expect(best({ shape: 1, scale: 1, preventiveCost: 1, failureCost: 9 })).toMatchObject({ minimalRepairOptimum: null, minimalRepairRate: null });
});

test("refuses an age where replacing is free, and names what cannot be", () => {
  expect(optimalReplacement({ shape: 2, scale: 1, preventiveCost: 0, failureCost: 1 })).toEqual({ answer: "refused", why: "no-preventive-cost" });
  expect(() => best({ shape: 0, scale: 1, preventiveCost: 1, failureCost: 1 })).toThrow("0 will not do for the shape");
  expect(() => best({ shape: 2, scale: Infinity, preventiveCost: 1, failureCost: 1 })).toThrow("the scale");
});
