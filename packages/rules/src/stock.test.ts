import fc from "fast-check";
import { expect, test } from "vitest";
import { negativeBinomialMass, poissonMass } from "./distributions.ts";
import { costOfAmount, costOfOrder, kitOrder, normalReorderPoint, orderAmountOnce, orderOnce, reorderPoint } from "./stock.ts";
import type { KitStock } from "./stock.ts";

const byChance = { meanPerDay: 0.11, varianceToMean: 1 };
const threeWeeks = { days: 21, deviationDays: 0 };

test("orders at the smallest stock that lasts, mass by mass", () => {
  const demand = fc.double({ min: 0.001, max: 0.5, noNaN: true });
  fc.assert(
    fc.property(demand, fc.constantFrom(1, 1.5, 4), fc.integer({ min: 1, max: 60 }), fc.double({ min: 0.5, max: 0.99, noNaN: true }), (meanPerDay, varianceToMean, days, level) => {
      const mean = meanPerDay * days;
      const mass = (k: number) => (varianceToMean === 1 ? poissonMass(k, mean) : negativeBinomialMass(k, mean / (varianceToMean - 1), 1 / varianceToMean));
      const told = reorderPoint({ meanPerDay, varianceToMean }, { days, deviationDays: 0 }, level);
      let below = 0;
      for (let k = 0; k <= told.reorderPoint; k += 1) below += mass(k);
      let short = 0;
      for (let k = told.reorderPoint + 1; k < told.reorderPoint + 400; k += 1) short += (k - told.reorderPoint) * mass(k);
      expect(told.achieved).toBeCloseTo(below, 9);
      expect(told.achieved).toBeGreaterThanOrEqual(level - 1e-9);
      expect(below - mass(told.reorderPoint)).toBeLessThan(level + 1e-9);
      expect(told.chanceOfStockout).toBeCloseTo(1 - below, 9);
      expect(told.expectedShort).toBeCloseTo(short, 7);
    }),
    { numRuns: 200 },
  );
});

test("a lead time that varies is a reason to order earlier", () => {
  const steady = reorderPoint(byChance, threeWeeks, 0.95);
  const varying = reorderPoint(byChance, { days: 21, deviationDays: 14 }, 0.95);
  expect(steady.reorderPoint).toBe(5); // R: qpois(0.95, 2.31)
  expect(varying.reorderPoint).toBeGreaterThan(5);
});

test("the normal curve: 15 a day, 2 days, 90 % (Heizer and Render)", () => {
  expect(normalReorderPoint({ meanPerDay: 15, deviationPerDay: 5 }, { days: 2, deviationDays: 0 }, 0.9).reorderPoint).toBeCloseTo(39.06, 2);
});

const kit: KitStock = { inStock: 4, onOrder: 0, demand: byChance, lead: threeWeeks, reviewDays: 7, scheduledInLead: 0, scheduledInReview: 0, pack: 1 };

test("orders up to what lasts until the next order is here, in whole packs", () => {
  expect(kitOrder({ ...kit, inStock: 6 }, 0.95)).toEqual({ answer: "enough", reorderPoint: 5, spare: 1 });
  expect(kitOrder(kit, 0.95)).toEqual({ answer: "order", reorderPoint: 5, upTo: 6, quantity: 2 }); // R: qpois(0.95, 3.08) = 6
  expect(kitOrder({ ...kit, pack: 5 }, 0.95)).toMatchObject({ quantity: 5 });
  expect(kitOrder({ ...kit, inStock: 3, pack: 2 }, 0.95)).toMatchObject({ quantity: 4 });
  expect(kitOrder({ ...kit, inStock: 5, reviewDays: 0 }, 0.95)).toMatchObject({ upTo: 5, quantity: 1 });
});

test("planned services and what is on its way both count", () => {
  expect(kitOrder({ ...kit, inStock: 6, scheduledInLead: 4 }, 0.95)).toEqual({ answer: "order", reorderPoint: 9, upTo: 10, quantity: 4 });
  expect(kitOrder({ ...kit, inStock: 6, scheduledInLead: 4, scheduledInReview: 3 }, 0.95)).toMatchObject({ upTo: 13, quantity: 7 });
  expect(kitOrder({ ...kit, onOrder: 2 }, 0.95)).toMatchObject({ answer: "enough" });
});

test("with nothing wanted nothing is kept", () => {
  const none = { meanPerDay: 0, varianceToMean: 1 };
  expect(reorderPoint(none, threeWeeks, 0.95)).toEqual({ leadTimeDemand: 0, reorderPoint: 0, achieved: 1, chanceOfStockout: 0, expectedShort: 0 });
});

test("more stock never asks for a larger order, more demand never for a smaller one", () => {
  fc.assert(
    fc.property(fc.nat(20), fc.nat(5), fc.double({ min: 0, max: 1, noNaN: true }), fc.integer({ min: 1, max: 6 }), (inStock, more, meanPerDay, pack) => {
      const quantity = (stock: number, mean: number) => {
        const told = kitOrder({ ...kit, pack, inStock: stock, demand: { meanPerDay: mean, varianceToMean: 2 } }, 0.9);
        return told.answer === "order" ? told.quantity : 0;
      };
      expect(quantity(inStock + more, meanPerDay)).toBeLessThanOrEqual(quantity(inStock, meanPerDay));
      expect(quantity(inStock, meanPerDay + more / 10)).toBeGreaterThanOrEqual(quantity(inStock, meanPerDay));
    }),
    { numRuns: 300 },
  );
});

test("no other order costs less than the one order, and its cost is the sum over all demands", () => {
  fc.assert(
    fc.property(fc.double({ min: 0.1, max: 12, noNaN: true }), fc.integer({ min: 1, max: 80 }), fc.integer({ min: 1, max: 80 }), (mean, over, short) => {
      const demand = { mean, variance: mean };
      const told = orderOnce(demand, { over, short });
      if (told.answer === "refused") throw new Error(told.why);
      for (const other of [told.quantity - 1, told.quantity + 1]) {
        if (other >= 0) expect(costOfOrder(demand, { over, short }, other)).toBeGreaterThanOrEqual(told.expectedCost - 1e-9);
      }
      let cost = 0;
      for (let k = 0; k < 80; k += 1) cost += poissonMass(k, mean) * (k < told.quantity ? over * (told.quantity - k) : short * (k - told.quantity));
      expect(told.expectedCost).toBeCloseTo(cost, 7);
    }),
    { numRuns: 200 },
  );
});

test("the amount of Snyder and Shen's example 4.3, and a demand that is certain", () => {
  const costs = { over: 0.18, short: 0.7 };
  expect(orderAmountOnce({ mean: 50, deviation: 8 }, costs)).toMatchObject({ quantity: expect.closeTo(56.604, 3), expectedCost: expect.closeTo(1.9976, 4) });
  expect(orderAmountOnce({ mean: 50, deviation: 0 }, costs)).toMatchObject({ quantity: 50, expectedCost: 0 });
  expect(costOfAmount({ mean: 50, deviation: 0 }, costs, 40)).toBeCloseTo(7, 12);
});

test("a cost of nothing has no best order", () => {
  expect(orderOnce({ mean: 2, variance: 2 }, { over: 0, short: 5 })).toEqual({ answer: "refused", why: "no-cost-of-too-many" });
  expect(orderAmountOnce({ mean: 2, deviation: 1 }, { over: 5, short: 0 })).toEqual({ answer: "refused", why: "no-cost-of-too-few" });
});

test("what cannot be is named", () => {
  expect(() => reorderPoint({ meanPerDay: -1, varianceToMean: 1 }, threeWeeks, 0.9)).toThrow(/mean demand a day/);
  expect(() => reorderPoint({ meanPerDay: 1, varianceToMean: 0.5 }, threeWeeks, 0.9)).toThrow(/variance of the demand over its mean/);
  expect(() => reorderPoint(byChance, threeWeeks, 95)).toThrow(/such as 0.05/);
  expect(() => kitOrder({ ...kit, pack: 0 }, 0.9)).toThrow(/at least one kit/);
  expect(() => kitOrder({ ...kit, inStock: 1.5 }, 0.9)).toThrow(/kits in stock/);
});
