import fc from "fast-check";
import { expect, test } from "vitest";
import { equivalentAnnualCost, presentValue } from "./annual-cost.ts";
import type { AnnualCost, Ownership } from "./annual-cost.ts";

const amount = fc.integer({ min: 0, max: 100_000 });
const owned: fc.Arbitrary<Ownership> = fc.record({
  capital: amount,
  salvage: fc.integer({ min: -1000, max: 50_000 }),
  annualCosts: fc.array(amount, { minLength: 1, maxLength: 20 }),
  rate: fc.constantFrom(0, 1e-9, 0.03, 0.05, 0.2, 1),
});
const annual = (given: Ownership): AnnualCost => {
  const told = equivalentAnnualCost(given);
  if (told.answer === "refused") throw new Error(told.why);
  return told;
};

test("paying the annual cost at each year's end is worth what all the payments are", () => {
  fc.assert(
    fc.property(owned, (given) => {
      const { presentCost, annualCost } = annual(given);
      const even = presentValue([0, ...given.annualCosts.map(() => annualCost)], given.rate);
      expect(Math.abs(even - presentCost)).toBeLessThanOrEqual(1e-9 * (1 + given.capital + 50_000 + Math.abs(presentCost)));
    }),
    { numRuns: 1000 },
  );
});

test("any payment raised raises the annual cost, and a better resale lowers it", () => {
  fc.assert(
    fc.property(owned, fc.nat(19), fc.integer({ min: 1, max: 1000 }), (given, at, more) => {
      const before = annual(given).annualCost;
      const year = at % given.annualCosts.length;
      expect(annual({ ...given, capital: given.capital + more }).annualCost).toBeGreaterThan(before);
      expect(annual({ ...given, annualCosts: given.annualCosts.map((cost, index) => (index === year ? cost + more : cost)) }).annualCost).toBeGreaterThan(before);
      expect(annual({ ...given, salvage: given.salvage + more }).annualCost).toBeLessThan(before);
    }),
    { numRuns: 500 },
  );
});

test("an even cost a year adds itself and nothing else", () => {
  fc.assert(
    fc.property(owned, amount, (given, even) => {
      const more = annual({ ...given, annualCosts: given.annualCosts.map((cost) => cost + even) }).annualCost;
      expect(more - annual(given).annualCost).toBeCloseTo(even, 5);
    }),
    { numRuns: 500 },
  );
});
