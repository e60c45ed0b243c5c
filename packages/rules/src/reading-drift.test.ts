import fc from "fast-check";
import { expect, test } from "vitest";
import { addDays, day } from "./calendar.ts";
import { readingDrift, type Band, type Drift } from "./reading-drift.ts";

const start = day("2025-01-01");
const band: Band = { low: 900, high: 1000 };
const monthly = (...values: number[]) => values.map((value, nth) => ({ on: addDays(start, nth * 30), value }));
type Drifts = Extract<Drift, { answer: "drifts" }>;
function drifts(told: Drift): Drifts {
  if (told.answer !== "drifts") throw new Error(told.answer);
  return told;
}

test("five days of readings are too few, however steep", () => {
  expect(readingDrift(monthly(900, 910, 920, 930, 940), band)).toEqual({ answer: "too-few", days: 5, needs: 6 });
  expect(readingDrift([], band)).toEqual({ answer: "too-few", days: 0, needs: 6 });
});

test("six readings of one day are one day", () => {
  expect(readingDrift([1, 2, 3, 4, 5, 6].map((value) => ({ on: start, value })), band)).toMatchObject({ answer: "too-few", days: 1 });
});

test("six that rise by 10 in 30 days reach 1000 from 950 in 150 days, about five months", () => {
  const told = drifts(readingDrift(monthly(900, 910, 920, 930, 940, 950), band));
  expect(told).toMatchObject({ direction: "up", limit: 1000, months: 5 });
  expect(told.perYear).toBeCloseTo(121.75, 9);
  // S = 15, variance 6 · 5 · 17 / 18 = 28.33, z = 14 / √28.33 = 2.6302; the normal tail twice is 0.00853.
  expect(told.p).toBeCloseTo(0.00853, 5);
});

test("S = 11 of 15 is still noise (z = 1.88, p = 0.060)", () => {
  const told = readingDrift(monthly(900, 920, 910, 930, 950, 940), band);
  expect(told.answer).toBe("no-drift");
  expect(told.answer === "no-drift" && told.p).toBeCloseTo(0.0603, 3);
});

test("one wild reading does not move the slope", () => {
  const told = drifts(readingDrift(monthly(900, 910, 920, 930, 940, 950, 960, 970, 980, 5000), { low: null, high: 1000 }));
  expect(told.perYear).toBeCloseTo(121.75, 9);
});

test("the same reading again and again has no drift", () => {
  expect(readingDrift(monthly(950, 950, 950, 950, 950, 950, 950), band)).toEqual({ answer: "no-drift", p: 1 });
});

test("a drift away from the only limit names none; one past its limit has no months left", () => {
  expect(drifts(readingDrift(monthly(30, 25, 20, 15, 10, 5), { low: null, high: 30 }))).toMatchObject({ direction: "down", limit: null, months: null });
  expect(drifts(readingDrift(monthly(980, 990, 1000, 1010, 1020, 1030), band))).toMatchObject({ months: 0 });
});

test("a limit more than ten years off is not dated", () => {
  expect(drifts(readingDrift(monthly(900, 901, 902, 903, 904, 905), { low: null, high: 5000 }))).toMatchObject({ limit: 5000, months: null });
});

test("a value that is no number is refused by its day", () => {
  expect(() => readingDrift([{ on: start, value: Number.NaN }], band)).toThrow("NaN will not do for a reading of 2025-01-01");
});

const values = fc.array(fc.integer({ min: 900, max: 1000 }), { minLength: 6, maxLength: 20 });

test("upside down it drifts the other way, as surely and as fast, whatever order it is told in", () => {
  fc.assert(
    fc.property(values, (list) => {
      const told = readingDrift(monthly(...list), { low: null, high: null });
      const turned = readingDrift(monthly(...list.map((value) => -value)).reverse(), { low: null, high: null });
      expect(turned.answer).toBe(told.answer);
      if (told.answer === "drifts") {
        expect(drifts(turned).direction).not.toBe(told.direction);
        expect(drifts(turned).perYear).toBeCloseTo(-told.perYear, 9);
      }
    }),
  );
});

test("a higher upper limit is never reached sooner", () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 40 }), fc.integer({ min: 0, max: 400 }), fc.nat(400), (step, high, more) => {
      const readings = monthly(...[0, 1, 2, 3, 4, 5, 6].map((nth) => nth * step));
      const [near, far] = [high, high + more].map((limit) => drifts(readingDrift(readings, { low: null, high: limit })).months ?? Infinity);
      expect(far).toBeGreaterThanOrEqual(near ?? 0);
    }),
  );
});
