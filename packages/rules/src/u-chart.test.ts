import fc from "fast-check";
import { expect, test } from "vitest";
import { poissonCdf } from "./distributions.ts";
import type { Observed } from "./fault-rates.ts";
import { uChart } from "./u-chart.ts";
import type { UChart } from "./u-chart.ts";

const settings = { per: 100, sigma: 3, alpha: 0.0027 };
const series = (counts: readonly number[], exposures: readonly number[]): Observed[] => counts.map((events, index) => ({ events, exposure: exposures[index] ?? 0 }));

function chart(observed: readonly Observed[], with_ = settings): UChart {
  const told = uChart(observed, with_);
  if (told.answer === "refused") throw new Error(told.why);
  return told;
}

test("ten rolls of dyed cloth: mean 1.42, first limits 0.29 and 2.55, no signal (Montgomery, u-chart with variable sample size)", () => {
  const rolls = series([14, 12, 20, 11, 7, 10, 21, 16, 19, 23], [10, 8, 13, 10, 9.5, 10, 12, 10.5, 12, 12.5]);
  const { meanRate, points } = chart(rolls, { ...settings, per: 1 });
  // The book computes from the rounded 1.42 and prints 2.55; unrounded the limit is 2.555.
  expect([meanRate.toFixed(2), points[0]?.lowerLimit.toFixed(2)]).toEqual(["1.42", "0.29"]);
  expect(points[0]?.upperLimit).toBeCloseTo(2.555, 3);
  expect(points.every((point) => point?.signal === null && !point.signalSigma)).toBe(true);
});

test("a month of 19 faults in 610 dives stands out", () => {
  const { points } = chart(series([1, 0, 2, 3, 2, 4, 19, 5, 3, 1, 0, 1], [60, 75, 140, 260, 390, 520, 610, 640, 420, 180, 90, 55]));
  expect(points.flatMap((point, index) => (point?.signal === "above" ? [index] : []))).toEqual([6]);
  expect(points[6]).toMatchObject({ mostExpected: 17, leastExpected: 1 });
});

test("one fault in five dives is no signal, though three deviations would have it so", () => {
  const { points } = chart(series([1, 0, 0, 1, 12, 0, 1], [5, 4, 9, 6, 1200, 3, 7]));
  expect(points.map((point) => point?.signalSigma)).toEqual([true, false, false, true, false, false, true]);
  expect(points.map((point) => point?.signal)).toEqual([null, null, null, null, null, null, null]);
  expect(points.map((point) => point?.lowerLimit === 0)).toEqual([true, true, true, true, false, true, true]);
});

test("too few faults stand out as well", () => {
  const { points } = chart(series([40, 40, 3, 40], [1000, 1000, 1000, 1000]));
  expect(points.map((point) => point?.signal)).toEqual([null, null, "below", null]);
});

test("a month without dives is a gap, and its faults are in no mean", () => {
  expect(chart(series([2, 5, 1], [100, 0, 140]))).toMatchObject({ meanRate: 1.25, points: [{ rate: 2 }, null, {}] });
});

test("no dives have no chart, no faults have a flat one", () => {
  expect(uChart([], settings)).toEqual({ answer: "refused", why: "no-exposure" });
  expect(uChart(series([1], [0]), settings)).toEqual({ answer: "refused", why: "no-exposure" });
  const { points } = chart(series([0, 0], [10, 80]));
  expect(points).toEqual(Array(2).fill({ rate: 0, upperLimit: 0, lowerLimit: 0, mostExpected: 0, leastExpected: 0, signalSigma: false, signal: null }));
});

test.each([
  [series([1.5], [10]), settings, "the events of point 1"],
  [series([1, 1], [10, -1]), settings, "the exposure of point 2"],
  [series([1], [10]), { ...settings, alpha: 0 }, "false signals"],
  [series([1], [10]), { ...settings, sigma: Number.NaN }, "deviations"],
])("%j with %j cannot be: %s", (observed, with_, words) => {
  expect(() => uChart(observed, with_)).toThrow(words);
});

const month = fc.record({ events: fc.integer({ min: 0, max: 40 }), exposure: fc.integer({ min: 0, max: 900 }) });

test("a month that signals is rarer than the share allowed, one that does not is not", () => {
  fc.assert(
    fc.property(fc.array(month, { minLength: 1, maxLength: 24 }), fc.constantFrom(0.2, 0.05, 0.0027, 1e-9, 1e-200), (observed, alpha) => {
      const told = uChart(observed, { ...settings, alpha });
      if (told.answer === "refused") return;
      told.points.forEach((point, index) => {
        const { events, exposure } = observed[index] ?? { events: 0, exposure: 0 };
        if (point === null) {
          expect(exposure).toBe(0);
          return;
        }
        const mean = (told.meanRate / 100) * exposure;
        // Chances of so few, and of so many: the latter by hand, from the far side of 1 only where it is not tiny.
        const few = poissonCdf(events, mean);
        const many = 1 - poissonCdf(events - 1, mean);
        if (point.signal === "below") expect(few).toBeLessThan(alpha / 2);
        if (point.signal === "above") expect(many).toBeLessThan(alpha / 2 + 1e-12);
        if (point.signal === null) expect(Math.min(few, many)).toBeGreaterThan((alpha / 2) * (1 - 1e-9) - 1e-12);
      });
    }),
    { numRuns: 300 },
  );
});
