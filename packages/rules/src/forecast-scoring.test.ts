import fc from "fast-check";
import { expect, test } from "vitest";
import { pinball, scoreForecasts, skill } from "./forecast-scoring.ts";

test("the interval score is the two pinball losses in other words (Gneiting and Raftery 2007)", () => {
  const day = fc.integer({ min: 0, max: 600 });
  const forecasts = fc.array(fc.tuple(day, fc.tuple(day, day, day)), { minLength: 1, maxLength: 30 });
  fc.assert(
    fc.property(forecasts, fc.constantFrom(0.1, 0.2, 0.5), (drawn, outside) => {
      const told = scoreForecasts(
        drawn.map(([actual, said]) => {
          const [lower, middle, upper] = [...said].sort((a, b) => a - b);
          return { actual, lower: lower!, middle: middle!, upper: upper! };
        }),
        outside,
      );
      if (told.answer === "refused") throw new Error(told.why);
      expect(told.intervalScore).toBeCloseTo((2 / outside) * (told.pinballLow + told.pinballHigh), 7);
      expect(told.meanMiss).toBeCloseTo(2 * told.pinballMiddle, 9);
    }),
  );
});

test("no other answer loses less than the quantile", () => {
  const truths = [3, 5, 8, 13, 21, 34, 55, 89, 144, 233];
  const loss = (said: number) => truths.reduce((total, truth) => total + pinball(truth, said, 0.85), 0);
  for (let said = 0; said < 250; said += 1) expect(loss(said)).toBeGreaterThanOrEqual(loss(144));
});

test("said too late is a bias above 0", () => {
  expect(scoreForecasts([{ actual: 10, lower: 12, middle: 15, upper: 20 }], 0.2)).toMatchObject({ bias: 5, coverage: 0, medianMiss: 5 });
});

test("nothing to score, nothing to save", () => {
  expect(scoreForecasts([], 0.1)).toEqual({ answer: "refused", why: "no-forecasts" });
  expect(skill(3, 0)).toBeNull();
  expect(skill(3, 12)).toBe(0.75);
});

test("an interval out of order, or no number, is named", () => {
  expect(() => scoreForecasts([{ actual: 1, lower: 3, middle: 2, upper: 4 }], 0.1)).toThrow(/Forecast 1 is out of order: 3, 2, 4/);
  expect(() => scoreForecasts([{ actual: NaN, lower: 1, middle: 2, upper: 4 }], 0.1)).toThrow(/no number/);
});
