import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { LARGE_SHAPE_CASES, TABLE_CASES } from "./distributions.cases.ts";
import {
  betaQuantile, binomialAtLeast, binomialCdf, binomialMass, binomialQuantile, chiSquareAbove, chiSquareCdf, gammaAbove, gammaCdf, gammaDensity, gammaQuantile,
  negativeBinomialCdf, negativeBinomialMass, negativeBinomialQuantile, normalCdf, normalQuantile, poissonAtLeast, poissonCdf, poissonMass, poissonQuantile,
  poissonUpperQuantile,
} from "./distributions.ts";

test.each([...TABLE_CASES, ...LARGE_SHAPE_CASES])("$what is $want ($source)", ({ got, want, digits }) => {
  expect(Math.abs(got() / want - 1)).toBeLessThan(10 ** -digits);
});

const level = fc.oneof(fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true }), fc.constantFrom(1e-12, 0.025, 0.5, 0.975, 1 - 1e-12));
/** Evenly over the powers of ten, so that shapes of a hundredth and of a hundred thousand both come. */
const overTens = (least: number, most: number) => fc.double({ min: least, max: most, noNaN: true }).map((exponent) => 10 ** exponent);

test("a quantile of time or rate has just its share below it, whatever the shape", () => {
  fc.assert(
    fc.property(level, overTens(-1, 6), overTens(-3, 3), (p, shape, rate) => {
      const x = gammaQuantile(p, shape, rate);
      if (x < 1e-290) return;
      // What the last digit of x moves; a share cannot be nearer than that.
      const lastDigit = gammaDensity(x, shape, rate) * x * 4e-15;
      expect(Math.abs(gammaCdf(x, shape, rate) - p)).toBeLessThan(1e-9 * p + lastDigit + 1e-15);
      expect(Math.abs(gammaCdf(x, shape, rate) + gammaAbove(x, shape, rate) - 1)).toBeLessThan(1e-12);
    }),
    { numRuns: 500 },
  );
});

test("a quantile of a count is the smallest that reaches its share", () => {
  const reaches = (p: number, k: number, cdf: (k: number) => number) => {
    expect(cdf(k)).toBeGreaterThanOrEqual(p * (1 - 1e-12));
    if (k > 0) expect(cdf(k - 1)).toBeLessThan(p);
  };
  fc.assert(
    fc.property(level, overTens(-3, 5), fc.integer({ min: 0, max: 3000 }), fc.double({ min: 0.001, max: 0.999, noNaN: true }), (p, mean, n, chance) => {
      reaches(p, poissonQuantile(p, mean), (k) => poissonCdf(k, mean));
      reaches(p, binomialQuantile(p, n, chance), (k) => binomialCdf(k, n, chance));
      reaches(p, negativeBinomialQuantile(p, mean / 100, chance), (k) => negativeBinomialCdf(k, mean / 100, chance));
      const k = poissonUpperQuantile(p, mean);
      expect(poissonAtLeast(k + 1, mean)).toBeLessThanOrEqual(p * (1 + 1e-12));
      if (k > 0) expect(poissonAtLeast(k, mean)).toBeGreaterThan(p);
    }),
    { numRuns: 300 },
  );
});

test("a share that is reached but for the last digits is reached", () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 40 }), overTens(-1, 1.5), (k, mean) => {
      const share = poissonCdf(k, mean);
      if (share > 0.999_999 || share < 1e-200) return;
      expect(poissonQuantile(share * (1 + 1e-14), mean)).toBe(k);
      expect(negativeBinomialQuantile(negativeBinomialCdf(k, mean, 0.3) * (1 - 1e-14), mean, 0.3)).toBeLessThanOrEqual(k);
      expect(binomialQuantile(binomialCdf(k, 60, 0.4) * (1 + 1e-14), 60, 0.4)).toBeLessThanOrEqual(k);
    }),
  );
});

test("a share that is exactly reached is reached: half of one toss, a quarter of two", () => {
  expect([binomialQuantile(0.5, 1, 0.5), binomialQuantile(0.25, 2, 0.5), binomialQuantile(0.5, 3, 0.5)]).toEqual([0, 0, 1]);
  expect(poissonQuantile(Math.exp(-2), 2)).toBe(0);
});

test("the chances of all counts add up to the share at or below, and with the share above to 1", () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 60 }), overTens(-2, 1.8), fc.double({ min: 0.01, max: 0.99, noNaN: true }), (k, mean, chance) => {
      const sum = (mass: (i: number) => number) => Array.from({ length: k + 1 }, (_, i) => mass(i)).reduce((a, b) => a + b, 0);
      expect(sum((i) => poissonMass(i, mean))).toBeCloseTo(poissonCdf(k, mean), 11);
      expect(sum((i) => binomialMass(i, 80, chance))).toBeCloseTo(binomialCdf(k, 80, chance), 11);
      expect(sum((i) => negativeBinomialMass(i, mean, chance))).toBeCloseTo(negativeBinomialCdf(k, mean, chance), 11);
      expect(poissonCdf(k, mean) + poissonAtLeast(k + 1, mean)).toBeCloseTo(1, 12);
      expect(binomialCdf(k, 80, chance) + binomialAtLeast(k + 1, 80, chance)).toBeCloseTo(1, 12);
      expect(chiSquareCdf(mean, k + 1) + chiSquareAbove(mean, k + 1)).toBeCloseTo(1, 12);
    }),
  );
});

describe("at their ends the distributions", () => {
  test("answer where there is an answer", () => {
    expect([poissonCdf(0, 0), poissonMass(0, 0), poissonMass(1, 0), poissonAtLeast(1, 0), poissonQuantile(0.5, 0), poissonUpperQuantile(0.5, 0)]).toEqual([1, 1, 0, 0, 0, 0]);
    expect([binomialCdf(-1, 5, 0.5), binomialCdf(0, 0, 0.5), binomialAtLeast(0, 0, 0), binomialAtLeast(5, 5, 1), binomialCdf(4, 5, 1)]).toEqual([0, 1, 1, 1, 0]);
    expect([gammaQuantile(0, 3, 1), betaQuantile(0, 2, 2), betaQuantile(1, 2, 2), binomialQuantile(1, 7, 0.1)]).toEqual([0, 0, 1, 7]);
    expect([normalCdf(-40), gammaAbove(0, 2, 1), gammaCdf(-1, 2, 1)]).toEqual([0, 1, 0]);
    expect(poissonUpperQuantile(1e-300, 1e-9)).toBeGreaterThan(20);
    expect(gammaQuantile(0.5, 1e9, 1)).toBeCloseTo(1e9 - 1 / 3, 2);
  });

  test.each([
    ["all of a gamma", () => gammaQuantile(1, 3, 1), "has no end"],
    ["all of a Poisson", () => poissonQuantile(1, 3), "has no end"],
    ["none of a normal", () => normalQuantile(0), "has no end"],
    ["a share of 95", () => normalQuantile(95), "has no end"],
    ["a share that is none", () => betaQuantile(Number.NaN, 1, 1), "is no share"],
    ["no shape", () => gammaCdf(1, 0, 1), "shape"],
    ["no mean", () => poissonCdf(1, Number.NaN), "the mean"],
    ["half a try", () => binomialCdf(1, 2.5, 0.5), "the number of tries"],
    ["a chance of 2", () => binomialMass(1, 2, 2), "no chance"],
    ["an unknown place", () => gammaCdf(Number.NaN, 1, 1), "is no number for x"],
    ["an endless density", () => gammaDensity(0, 0.5, 1), "no finite value"],
    ["a count beyond counting", () => negativeBinomialQuantile(0.999, 0.001, 1e-300), "too large to count"],
  ])("refuse %s", (_, call, words) => {
    expect(call).toThrow(RangeError);
    expect(call).toThrow(words);
  });
});
