import fc from "fast-check";
import { expect, test } from "vitest";
import { atRiskAt, survivalOf } from "./survival.ts";
import type { Spell, Survival } from "./survival.ts";

/** Few different times, so that ties of faults and of ends without fault are common. */
const spell: fc.Arbitrary<Spell> = fc.record({ time: fc.integer({ min: 0, max: 12 }), fault: fc.boolean() });
const spells = fc.array(spell, { minLength: 1, maxLength: 30 });
const confidence = fc.constantFrom(0.5, 0.9, 0.95, 0.999);

const curve = (given: readonly Spell[], at = 0.95): Survival => {
  const told = survivalOf(given, at);
  if (told.answer === "refused") throw new Error(told.why);
  return told;
};

test("the share still sound never rises, and curve and band stay from 0 to 1 and in order", () => {
  fc.assert(
    fc.property(spells, confidence, (given, at) => {
      let before = 1;
      for (const { survival, lower, upper, standardError, atRisk, faults } of curve(given, at).steps) {
        expect(survival).toBeGreaterThanOrEqual(0);
        expect(survival).toBeLessThan(before);
        expect(faults).toBeLessThanOrEqual(atRisk);
        if (lower === null || upper === null) expect([survival, lower, upper, standardError]).toEqual([0, null, null, null]);
        else {
          expect([lower >= 0, lower < survival, survival < upper, upper <= 1]).toEqual([true, true, true, true]);
          expect(standardError).toBeGreaterThan(0);
        }
        before = survival;
      }
    }),
    { numRuns: 1000 },
  );
});

test("the order in which spells are given changes nothing at all", () => {
  fc.assert(
    fc.property(
      spells.chain((given) => fc.tuple(fc.constant(given), fc.shuffledSubarray(given, { minLength: given.length }))),
      ([given, shuffled]) => {
        expect(curve(shuffled)).toEqual(curve(given));
      },
    ),
    { numRuns: 500 },
  );
});

test("counts everybody once: faults add up, and at risk are those that lasted so long", () => {
  fc.assert(
    fc.property(spells, (given) => {
      const { steps, faults, survivalAtEnd, longest } = curve(given);
      expect(faults).toBe(given.filter(({ fault }) => fault).length);
      for (const { time, atRisk } of steps) expect(atRisk).toBe(atRiskAt(given, time));
      expect(survivalAtEnd).toBe(steps.at(-1)?.survival ?? 1);
      expect(longest).toBe(Math.max(...given.map(({ time }) => time)));
    }),
    { numRuns: 500 },
  );
});

test("one more part watched to the end without fault never lowers the curve", () => {
  fc.assert(
    fc.property(spells, (given) => {
      const more = curve([...given, { time: 12, fault: false }]).steps;
      for (const [index, { survival }] of curve(given).steps.entries()) expect(more[index]!.survival).toBeGreaterThan(survival);
    }),
    { numRuns: 500 },
  );
});

test("the median lies between its limits", () => {
  fc.assert(
    fc.property(spells, confidence, (given, at) => {
      const { median, medianLower, medianUpper } = curve(given, at);
      if (median !== null && medianLower !== null) expect(medianLower).toBeLessThanOrEqual(median);
      if (median !== null && medianUpper !== null) expect(medianUpper).toBeGreaterThanOrEqual(median);
      if (median === null) expect(medianUpper).toBeNull();
    }),
    { numRuns: 1000 },
  );
});
