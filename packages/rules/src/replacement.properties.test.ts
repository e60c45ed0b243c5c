import fc from "fast-check";
import { expect, test } from "vitest";
import { equivalentAnnualCost } from "./annual-cost.ts";
import { economicLife, optimalReplacement } from "./replacement.ts";
import type { Renewal } from "./replacement.ts";

const years = fc.array(fc.record({ salvage: fc.integer({ min: -50, max: 500 }), cost: fc.nat(400) }), { minLength: 1, maxLength: 15 });

test("no other number of years costs less than the economic life, and it is at the edge only at the last", () => {
  fc.assert(
    fc.property(fc.nat(2000), years, fc.constantFrom(0, 0.05, 0.3), (capital, kept, rate) => {
      const [salvageByYear, costByYear] = [kept.map(({ salvage }) => salvage), kept.map(({ cost }) => cost)];
      const told = economicLife({ capital, salvageByYear, costByYear, rate });
      if (told.answer === "refused") throw new Error(told.why);
      for (const [index, salvage] of salvageByYear.entries()) {
        const other = equivalentAnnualCost({ capital, salvage, annualCosts: costByYear.slice(0, index + 1), rate });
        if (other.answer === "refused") throw new Error(other.why);
        expect(other.annualCost).toBe(told.annualCostByYear[index]);
        expect(told.leastAnnualCost).toBeLessThanOrEqual(other.annualCost);
      }
      expect(told.atEdge).toBe(told.years === kept.length);
    }),
    { numRuns: 500 },
  );
});

const renewal: fc.Arbitrary<Renewal> = fc.record({
  shape: fc.double({ min: 1.2, max: 6, noNaN: true }),
  scale: fc.double({ min: 50, max: 2000, noNaN: true }),
  preventiveCost: fc.integer({ min: 1, max: 100 }),
  failureCost: fc.integer({ min: 0, max: 1000 }),
});

/** Cost a dive if replaced at an age or at failure, by adding up the share left in small steps (Simpson). */
function costAt(age: number, { shape, scale, preventiveCost, failureCost }: Renewal): number {
  const left = (t: number) => Math.exp(-((t / scale) ** shape));
  const steps = 2000;
  let lived = 0;
  for (let i = 0; i <= steps; i += 1) lived += (i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2) * left((age * i) / steps);
  lived *= age / steps / 3;
  return (preventiveCost * left(age) + failureCost * (1 - left(age))) / lived;
}

test("no age costs less than the best age, and the cost told is the cost of that age", () => {
  fc.assert(
    fc.property(renewal, fc.double({ min: 0.3, max: 3, noNaN: true }), (given, factor) => {
      const told = optimalReplacement(given);
      if (told.answer === "refused") throw new Error(told.why);
      const least = told.ageCostRate;
      expect(least).toBeLessThanOrEqual(told.runToFailureRate * (1 + 1e-9));
      if (told.ageOptimum === null) {
        expect(costAt(given.scale * factor, given)).toBeGreaterThanOrEqual(least * (1 - 1e-6));
      } else if (told.ageOptimum < 6 * given.scale) {
        expect(costAt(told.ageOptimum, given) / least).toBeCloseTo(1, 5);
        expect(costAt(told.ageOptimum * factor, given)).toBeGreaterThanOrEqual(least * (1 - 1e-6));
      }
    }),
    { numRuns: 300 },
  );
});

test("a minimal repair's best age is the cheapest, too", () => {
  fc.assert(
    fc.property(renewal, fc.double({ min: 0.3, max: 3, noNaN: true }), (given, factor) => {
      const told = optimalReplacement(given);
      if (told.answer === "refused" || told.minimalRepairOptimum === null) {
        expect(given.failureCost).toBe(0);
        return;
      }
      const at = (age: number) => (given.preventiveCost + given.failureCost * (age / given.scale) ** given.shape) / age;
      expect(at(told.minimalRepairOptimum) / told.minimalRepairRate!).toBeCloseTo(1, 9);
      expect(at(told.minimalRepairOptimum * factor)).toBeGreaterThanOrEqual(told.minimalRepairRate! * (1 - 1e-12));
    }),
    { numRuns: 500 },
  );
});
