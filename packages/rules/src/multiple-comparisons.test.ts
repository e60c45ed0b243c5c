import fc from "fast-check";
import { expect, test } from "vitest";
import { benjaminiHochberg } from "./multiple-comparisons.ts";

/** Benjamini and Hochberg 1995, section 4: the 15 p values of a trial of two treatments. */
const PUBLISHED = [0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.324, 0.4262, 0.5719, 0.6528, 0.759, 1];

test("calls four of the fifteen tests of the paper, where Bonferroni calls three", () => {
  const { rejected, count, bonferroniCount } = benjaminiHochberg(PUBLISHED, 0.05);
  expect([count, bonferroniCount]).toEqual([4, 3]);
  expect(rejected.map(Boolean)).toEqual(PUBLISHED.map((p) => p <= 0.0095));
});

test("steps up: one that misses its own mark is called where a later one meets its", () => {
  expect(benjaminiHochberg([0.03, 0.035, 0.038, 0.0399], 0.05).count).toBe(4);
  expect(benjaminiHochberg([0.03, 0.035, 0.038, 0.0501], 0.05).count).toBe(0);
});

test("no tests, one test, all alike", () => {
  expect(benjaminiHochberg([], 0.05)).toEqual({ adjusted: [], rejected: [], count: 0, bonferroniCount: 0 });
  expect(benjaminiHochberg([0.05], 0.05)).toEqual({ adjusted: [0.05], rejected: [true], count: 1, bonferroniCount: 1 });
  expect(benjaminiHochberg([0.2, 0.2, 0.2], 0.3).adjusted).toEqual([0.2, 0.2, 0.2]);
});

test.each([[[0.1, Number.NaN], 0.05, "number 2 of 2"], [[-0.1], 0.05, "is no p value"], [[0.1], 5, "false-discovery rate"]])("%j at %d cannot be: %s", (p, q, words) => {
  expect(() => benjaminiHochberg(p, q)).toThrow(words);
});

const chances = fc.array(fc.oneof(fc.double({ min: 0, max: 1, noNaN: true }), fc.constantFrom(0, 0.01, 0.05, 1)), { maxLength: 25 });

test("calls exactly those the step-up rule calls, as the rule is written in the paper", () => {
  fc.assert(
    fc.property(chances, fc.double({ min: 0.001, max: 0.5, noNaN: true }), (p, q) => {
      const sorted = [...p].sort((a, b) => a - b);
      const most = sorted.findLastIndex((value, index) => (p.length / (index + 1)) * value <= q);
      const { rejected, count } = benjaminiHochberg(p, q);
      expect(count).toBe(most + 1);
      expect(rejected).toEqual(p.map((value) => most >= 0 && value <= (sorted[most] ?? -1)));
    }),
    { numRuns: 500 },
  );
});

test("adjusting keeps the order, never lowers, and does not mind the order of the tests", () => {
  fc.assert(
    fc.property(chances, (p) => {
      const { adjusted } = benjaminiHochberg(p, 0.05);
      const back = benjaminiHochberg([...p].reverse(), 0.05).adjusted;
      expect([...back].reverse()).toEqual(adjusted);
      p.forEach((one, i) => {
        expect(adjusted[i]).toBeGreaterThanOrEqual(one);
        p.forEach((other, j) => {
          if (one <= other) expect(adjusted[i]).toBeLessThanOrEqual(adjusted[j] ?? Number.NaN);
        });
      });
    }),
  );
});
