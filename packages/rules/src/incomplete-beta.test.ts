import fc from "fast-check";
import { expect, test } from "vitest";
import { betaCdf } from "./distributions.ts";
import { betaShare } from "./incomplete-beta.ts";

test("agrees with the library, wherever the curve is neither flat nor steep and where it is", () => {
  const size = fc.double({ min: -2, max: 9, noNaN: true }).map(Math.exp);
  fc.assert(
    fc.property(size, size, fc.double({ min: -4, max: 4, noNaN: true }), (a, b, deviations) => {
      const mean = a / (a + b);
      const x = Math.min(1, Math.max(0, mean + deviations * Math.sqrt((mean * (1 - mean)) / (a + b + 1))));
      expect(betaShare(a, b)(x, 1 - x)).toBeCloseTo(betaCdf(x, a, b), 10);
    }),
    { numRuns: 500 },
  );
});

test("knows the ends and the laws that can be done by hand (DLMF 8.17.4 to 8.17.5)", () => {
  expect(betaShare(2, 3)(0, 1)).toBe(0);
  expect(betaShare(2, 3)(1, 0)).toBe(1);
  expect(betaShare(1, 7)(0.2, 0.8)).toBeCloseTo(1 - 0.8 ** 7, 12);
  expect(betaShare(7, 1)(0.2, 0.8)).toBeCloseTo(0.2 ** 7, 12);
  expect(betaShare(4.5, 4.5)(0.5, 0.5)).toBeCloseTo(0.5, 12);
});

test("refuses a beta distribution there is none of", () => {
  expect(() => betaShare(0, 1)).toThrow(/two numbers above 0, not 0 and 1/);
  expect(() => betaShare(1, NaN)).toThrow(RangeError);
});
