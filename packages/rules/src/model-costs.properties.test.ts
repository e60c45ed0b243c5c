import fc from "fast-check";
import { expect, test } from "vitest";
import { compareTwo, modelCost } from "./model-costs.ts";
import { COST_INPUTS } from "./model-figures.ts";
import { modelYearToReplace } from "./model-replacement.ts";
import type { ModelCost } from "./model-costs.ts";
import type { ModelFigures } from "./model-figures.ts";

const limit = (least: number, most: number) => fc.oneof(fc.integer({ min: least, max: most }), fc.constant("no-limit" as const));
const figures = fc.record({
  priceCents: fc.nat(100_000),
  resaleCents: fc.integer({ min: -2000, max: 40_000 }),
  lifeYears: fc.integer({ min: 1, max: 12 }),
  kitsPerService: fc.nat(3),
  kitCents: fc.nat(6000),
  benchMinutesPerService: fc.nat(120),
  benchHourCents: fc.nat(9000),
  serviceMonths: limit(3, 30),
  serviceDives: limit(20, 300),
  divesPerYear: fc.integer({ min: 1, max: 300 }),
  faultsPerYear: fc.double({ min: 0, max: 5, noNaN: true }),
  repairMinutesPerFault: fc.nat(90),
  hireCentsPerYear: fc.nat(200_000),
}) satisfies fc.Arbitrary<ModelFigures>;
const settings = fc.record({ interestPermille: fc.constantFrom(0, 30, 50, 250), netOfIncome: fc.boolean() });

const cost = (given: ModelFigures, how: { readonly interestPermille: number; readonly netOfIncome: boolean }): ModelCost => {
  const told = modelCost(given, how);
  if (told.answer === "refused") throw new Error(told.why);
  return told;
};

const COSTS = ["priceCents", "kitsPerService", "kitCents", "benchMinutesPerService", "benchHourCents", "faultsPerYear", "repairMinutesPerFault"] as const;

test("raising any cost never lowers the cost a year, nor over years; a better resale or more hire never raises it", () => {
  fc.assert(
    fc.property(figures, settings, fc.constantFrom(...COSTS), fc.integer({ min: 1, max: 500 }), fc.integer({ min: 1, max: 15 }), (given, how, input, more, years) => {
      const worth = (one: ModelFigures) => {
        const told = compareTwo(one, one, years, how);
        if (told.answer === "refused") throw new Error(told.why);
        return told.a.presentCents;
      };
      const dearer = { ...given, [input]: given[input] + more };
      expect(cost(dearer, how).annualCents).toBeGreaterThanOrEqual(cost(given, how).annualCents);
      expect(worth(dearer)).toBeGreaterThanOrEqual(worth(given));
      for (const better of [{ ...given, resaleCents: given.resaleCents + more }, { ...given, hireCentsPerYear: given.hireCentsPerYear + more }]) {
        expect(cost(better, how).annualCents).toBeLessThanOrEqual(cost(given, how).annualCents);
        expect(worth(better)).toBeLessThanOrEqual(worth(given));
      }
    }),
    // Each comparison looks for its break-even, which is 1000 reckonings.
    { numRuns: 40 },
  );
});

test("a shorter service interval never brings fewer services by any year's end, and they are as many as fit", () => {
  fc.assert(
    fc.property(figures, fc.integer({ min: 1, max: 5 }), (given, shorter) => {
      const how = { interestPermille: 50, netOfIncome: false };
      const { serviceMonths, serviceDives, lifeYears, divesPerYear } = given;
      const done = cost(given, how).servicesByYear;
      const oftener = cost({ ...given, serviceMonths: serviceMonths === "no-limit" ? 12 : Math.max(1, serviceMonths - shorter) }, how).servicesByYear;
      let [count, more] = [0, 0];
      for (const [year, services] of done.entries()) {
        count += services;
        more += oftener[year]!;
        expect(services).toBeGreaterThanOrEqual(0);
        expect(more).toBeGreaterThanOrEqual(count);
      }
      // One by one: a service is carried out as long as it falls before the last day.
      const before = (j: number) =>
        (serviceMonths !== "no-limit" && j * serviceMonths < 12 * lifeYears) || (serviceDives !== "no-limit" && j * serviceDives < divesPerYear * lifeYears);
      expect(before(count) || count === 0).toBe(true);
      expect(before(count + 1)).toBe(false);
    }),
    { numRuns: 1000 },
  );
});

test("any figure that is not known is named, and no answer is given", () => {
  fc.assert(
    fc.property(figures, fc.subarray([...COST_INPUTS], { minLength: 1 }), (given, unknown) => {
      const missing = Object.fromEntries(unknown.map((input) => [input, null]));
      expect(modelCost({ ...given, ...missing }, { interestPermille: 50, netOfIncome: true })).toEqual({ answer: "refused", why: "not-known", which: unknown });
    }),
    { numRuns: 300 },
  );
});

test("the parts add up to the whole but for the rounding of each", () => {
  fc.assert(
    fc.property(figures, settings, (given, how) => {
      const { annualCents, perDiveCents, parts } = cost(given, how);
      expect(Math.abs(parts.capital + parts.service + parts.repair - (parts.income ?? 0) - annualCents)).toBeLessThanOrEqual(2);
      expect(Math.abs(perDiveCents! * given.divesPerYear - annualCents)).toBeLessThanOrEqual(given.divesPerYear / 2 + 1);
      expect([annualCents, perDiveCents].every((one) => Number.isSafeInteger(one) && !Object.is(one, -0))).toBe(true);
    }),
    { numRuns: 500 },
  );
});

test("swapping two models swaps the answer", () => {
  fc.assert(
    fc.property(figures, figures, settings, fc.integer({ min: 1, max: 12 }), (a, b, how, years) => {
      const [there, back] = [compareTwo(a, b, years, how), compareTwo(b, a, years, how)];
      if (there.answer === "refused" || back.answer === "refused") throw new Error("known figures were refused");
      const swapped = { a: "b", b: "a", same: "same" } as const;
      expect([back.a, back.b, back.byCents, back.cheaper]).toEqual([there.b, there.a, there.byCents, swapped[there.cheaper]]);
      expect(back.breakEven?.dives).toBe(there.breakEven?.dives);
    }),
    { numRuns: 30 },
  );
});

test("what break-even says of a number of dives holds when both dive so often", () => {
  const rising = figures.map((one) => ({ ...one, divesPerYear: 100 }));
  fc.assert(
    fc.property(rising, rising, fc.integer({ min: 1, max: 1000 }), (a, b, dives) => {
      const how = { interestPermille: 50, netOfIncome: false };
      const told = compareTwo(a, b, 6, how);
      const so = (one: typeof a) => ({ ...one, divesPerYear: dives, faultsPerYear: one.faultsPerYear * (dives / 100) });
      const then = compareTwo(so(a), so(b), 6, how);
      if (told.answer === "refused" || then.answer === "refused" || "answer" in told.byDives) throw new Error("known figures were refused");
      expect(told.byDives.findLast(({ fromDives }) => fromDives <= dives)!.cheaper).toBe(then.cheaper);
      if (told.breakEven !== null && dives >= told.breakEven.dives) expect(then.cheaper).toBe(told.breakEven.cheaper);
    }),
    { numRuns: 30 },
  );
});

test("where age makes no difference, a life as long as was entered costs a year what the model costs, to a cent", () => {
  fc.assert(
    fc.property(figures, fc.constantFrom(0, 30, 50, 250), fc.integer({ min: 0, max: 3 }), (given, interestPermille, beyond) => {
      const ages = Array.from({ length: given.lifeYears + beyond }, () => ({ faults: 0, partDays: 4000 }));
      const told = modelYearToReplace(given, ages, { interestPermille });
      if (told.answer === "refused") throw new Error(told.why);
      expect(Math.abs(told.annualCentsByYear[given.lifeYears - 1]! - cost(given, { interestPermille, netOfIncome: false }).annualCents)).toBeLessThanOrEqual(1);
      expect(told.leastAnnualCents).toBe(Math.min(...told.annualCentsByYear));
    }),
    { numRuns: 300 },
  );
});
