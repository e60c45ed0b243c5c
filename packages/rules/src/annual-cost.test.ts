import { expect, test } from "vitest";
import { annuity, equivalentAnnualCost, presentValue } from "./annual-cost.ts";
import type { Ownership } from "./annual-cost.ts";

const annual = (owned: Ownership): number => {
  const told = equivalentAnnualCost(owned);
  if (told.answer === "refused") throw new Error(told.why);
  return told.annualCost;
};

test("ranks two machines as the worked example does (31 360 and 30 708: Wikipedia, Equivalent annual cost)", () => {
  expect(annual({ capital: 50_000, salvage: 0, annualCosts: Array(3).fill(13_000), rate: 0.05 }).toFixed(0)).toBe("31360");
  expect(annual({ capital: 150_000, salvage: 0, annualCosts: Array(8).fill(7500), rate: 0.05 }).toFixed(0)).toBe("30708");
});

test("without interest is the plain mean, and a hair of interest moves it by a hair", () => {
  const owned = { capital: 600, salvage: 100, annualCosts: Array(5).fill(50) };
  expect(annual({ ...owned, rate: 0 })).toBe(150);
  expect(annual({ ...owned, rate: 1e-12 })).toBeCloseTo(150, 8);
});

test("takes off what it sells for at the end of its last year, as R does", () => {
  expect(annual({ capital: 620, salvage: 60, annualCosts: [45, 95, 45, 95, 60, 110, 60, 110], rate: 0.05 })).toBeCloseTo(165.804921138371, 9);
});

test("a fee for getting rid of it makes it dearer, and what costs nothing costs nothing", () => {
  expect(annual({ capital: 350, salvage: -15, annualCosts: [0, 60, 0], rate: 0.04 })).toBeGreaterThan(
    annual({ capital: 350, salvage: 0, annualCosts: [0, 60, 0], rate: 0.04 }),
  );
  expect(annual({ capital: 0, salvage: 0, annualCosts: [0, 0], rate: 0.05 })).toBe(0);
});

test("a payment at a year's end is worth less at the start, one at the start all of it", () => {
  expect(presentValue([100, 0, 121], 0.1)).toBeCloseTo(200, 10);
  expect(annuity(0.1, 2)).toBeCloseTo(1 / 1.1 + 1 / 1.21, 14);
});

test("names what cannot be, and refuses what is kept for no year", () => {
  expect(equivalentAnnualCost({ capital: 1, salvage: 0, annualCosts: [], rate: 0.05 })).toEqual({ answer: "refused", why: "no-years" });
  expect(() => annual({ capital: 1, salvage: 0, annualCosts: [1], rate: 50 })).toThrow("50 will not do for the interest a year");
  expect(() => annual({ capital: 1, salvage: 0, annualCosts: [1, Number.NaN], rate: 0 })).toThrow("NaN will not do for the payment of year 2");
  expect(() => annual({ capital: 1, salvage: 0, annualCosts: Array(201).fill(1), rate: 0 })).toThrow("more than 200");
});
