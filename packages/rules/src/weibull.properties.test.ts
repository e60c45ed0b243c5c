import fc from "fast-check";
import { expect, test } from "vitest";
import type { Spell } from "./survival.ts";
import { fitWeibull } from "./weibull.ts";

const spells = fc.array(fc.record({ time: fc.integer({ min: 1, max: 60 }), fault: fc.boolean() }), { minLength: 1, maxLength: 40 });

/** Log likelihood straight from density and share left. */
function logLik(given: readonly Spell[], shape: number, scale: number): number {
  return given.reduce((sum, { time, fault }) => {
    const gone = (time / scale) ** shape;
    return sum - gone + (fault ? Math.log(shape / scale) + (shape - 1) * Math.log(time / scale) : 0);
  }, 0);
}

test("no shape and scale nearby are likelier than those found", () => {
  fc.assert(
    fc.property(spells, fc.double({ min: -0.2, max: 0.2, noNaN: true }), fc.double({ min: -0.2, max: 0.2, noNaN: true }), (given, moreShape, moreScale) => {
      const told = fitWeibull(given, 0.95);
      if (told.answer === "refused" || told.scale === null) return;
      expect(told.logLik).toBeCloseTo(logLik(given, told.shape, told.scale), 6);
      expect(logLik(given, told.shape * Math.exp(moreShape), told.scale * Math.exp(moreScale))).toBeLessThanOrEqual(told.logLik + 1e-9);
    }),
    { numRuns: 1000 },
  );
});

test("every number is finite, and there is one exactly where a fault came before the end of the longest spell", () => {
  fc.assert(
    fc.property(spells, fc.constantFrom(0.5, 0.95, 0.999), (given, confidence) => {
      const told = fitWeibull(given, confidence);
      const longest = Math.max(...given.map(({ time }) => time));
      expect(told.answer).toBe(given.some(({ time, fault }) => fault && time < longest) ? "fit" : "refused");
      if (told.answer === "refused") return;
      for (const [name, value] of Object.entries(told)) if (name !== "answer") expect(Number.isFinite(value)).toBe(true);
      expect(told.shapeLower).toBeLessThan(told.shape);
      expect(told.shapeUpper).toBeGreaterThan(told.shape);
    }),
    { numRuns: 1000 },
  );
});

test("counting days as hours changes the scale and nothing else; the order of spells nothing but last digits", () => {
  fc.assert(
    fc.property(spells, (given) => {
      const [days, hours] = [fitWeibull(given, 0.95), fitWeibull([...given].reverse().map((one) => ({ ...one, time: one.time * 24 })), 0.95)];
      if (days.answer === "refused" || hours.answer === "refused") {
        expect(hours).toEqual(days);
        return;
      }
      expect(hours.shape / days.shape).toBeCloseTo(1, 9);
      expect(hours.shapeUpper / days.shapeUpper).toBeCloseTo(1, 9);
      expect(hours.scale! / days.scale!).toBeCloseTo(24, 6);
      expect(hours.lrtShape1).toBeCloseTo(days.lrtShape1, 8);
    }),
    { numRuns: 500 },
  );
});

test("raising the times to a power divides the shape by it", () => {
  fc.assert(
    fc.property(spells, fc.constantFrom(0.5, 2, 3), (given, power) => {
      const [plain, bent] = [fitWeibull(given, 0.95), fitWeibull(given.map((one) => ({ ...one, time: one.time ** power })), 0.95)];
      if (plain.answer === "refused" || bent.answer === "refused") {
        expect(bent).toEqual(plain);
        return;
      }
      expect((bent.shape * power) / plain.shape).toBeCloseTo(1, 9);
      expect(bent.seLogShape).toBeCloseTo(plain.seLogShape, 9);
    }),
    { numRuns: 500 },
  );
});
