import { expect, test } from "vitest";
import { MAINTAINED, MAINTAINED_BAND, PLACEBO, SIX_MP, SIX_MP_CURVE } from "./survival.cases.ts";
import { atRiskAt, survivalOf } from "./survival.ts";
import type { Spell, Survival } from "./survival.ts";

const curve = (spells: readonly Spell[], confidence = 0.95): Survival => {
  const told = survivalOf(spells, confidence);
  if (told.answer === "refused") throw new Error(told.why);
  return told;
};
const failed = (time: number): Spell => ({ time, fault: true });
const sound = (time: number): Spell => ({ time, fault: false });

test("follows the published curve and its errors to their last digit", () => {
  const { steps, faults, median } = curve(SIX_MP);
  expect(steps).toHaveLength(SIX_MP_CURVE.length);
  for (const [index, published] of SIX_MP_CURVE.entries()) {
    expect(steps[index]).toMatchObject({ time: published.time, atRisk: published.atRisk, faults: published.faults });
    expect(steps[index]!.survival).toBeCloseTo(published.survival, 3);
    expect(steps[index]!.standardError).toBeCloseTo(published.standardError, 4);
  }
  expect([faults, median]).toEqual([9, 23]);
});

test("draws the band and the median of R", () => {
  const { steps, median, medianLower, medianUpper } = curve(MAINTAINED);
  for (const [index, [lower, upper]] of MAINTAINED_BAND.entries()) {
    expect(steps[index]!.lower).toBeCloseTo(lower, 12);
    expect(steps[index]!.upper).toBeCloseTo(upper, 12);
  }
  expect([median, medianLower, medianUpper]).toEqual([31, 13, null]);
});

test("without censoring is the plain share left, and at the end nothing, without error or band", () => {
  const { steps, survivalAtEnd, median } = curve(PLACEBO);
  for (const { time, survival } of steps) expect(survival).toBeCloseTo(PLACEBO.filter((one) => one.time > time).length / 21, 12);
  expect(steps.at(-1)).toMatchObject({ survival: 0, standardError: null, lower: null, upper: null });
  expect([survivalAtEnd, median]).toEqual([0, 8]);
});

test("counts a part watched until 8 as at risk at 8", () => {
  expect(curve([failed(8), sound(8), sound(9)]).steps).toMatchObject([{ time: 8, atRisk: 3, faults: 1 }]);
  expect(atRiskAt([failed(8), sound(8), sound(9)], 8)).toBe(3);
});

test("takes the middle of a stretch at exactly a half, and its start where nobody saw its end", () => {
  expect(curve([failed(2), failed(4), failed(10), sound(12)]).median).toBe(7);
  expect(curve([failed(2), failed(4), sound(10), sound(12)]).median).toBe(4);
});

test("finds the half also where the product misses it by a last digit", () => {
  // 5/6 * 4/5 * 3/4 comes out a hair beside 1/2.
  expect(curve([1, 2, 3, 9, 10, 11].map(failed)).median).toBe(6);
});

test("says what it knows without a fault, of a single part, and at time 0", () => {
  expect(curve([sound(5), sound(9)])).toEqual({
    answer: "survival", spells: 2, faults: 0, steps: [], survivalAtEnd: 1, longest: 9, median: null, medianLower: null, medianUpper: null,
  });
  expect(curve([failed(5)])).toMatchObject({ steps: [{ survival: 0, lower: null }], median: 5, medianLower: null });
  expect(curve([failed(0), sound(5)])).toMatchObject({ steps: [{ time: 0, atRisk: 2, survival: 0.5 }] });
});

test("has no curve of nothing, and names what cannot be", () => {
  expect(survivalOf([], 0.95)).toEqual({ answer: "refused", why: "no-spells" });
  expect(() => survivalOf([sound(3), failed(-1)], 0.95)).toThrow("-1 will not do for the time of spell 2");
  expect(() => survivalOf([failed(Number.NaN)], 0.95)).toThrow("NaN will not do");
  expect(() => survivalOf([failed(1)], 95)).toThrow("95 will not do for the confidence");
});
