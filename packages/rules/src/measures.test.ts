import { expect, test } from "vitest";
import { centibar, decimetres, dives, inUnits, minutes, o2Tenths, tenthsC } from "./measures.ts";

test("a figure typed in becomes whole small units without binary dust", () => {
  expect([inUnits(40.1, 10), inUnits(40.1, 10, "up"), inUnits(40.1, 10, "down")]).toEqual([401, 401, 401]);
  expect([inUnits(9.8, 100), inUnits(9.5, 100), inUnits(-1.8, 10)]).toEqual([980, 950, -18]);
});

test("a figure finer than the unit goes the way that does no harm", () => {
  expect([inUnits(40.04, 10, "up"), inUnits(40.04, 10, "down"), inUnits(40.04, 10)]).toEqual([401, 400, 400]);
  expect(() => inUnits(Number.NaN, 10)).toThrow("NaN is not a number");
});

test.each([
  [centibar, 23_200, -1],
  [minutes, 0, 1.5],
  [dives, 0, -1],
  [o2Tenths, 1000, 0],
  [tenthsC, -20, 501],
  [decimetres, 300, 3501],
])("%o takes %i and refuses %d with a sentence", (constructor, good, bad) => {
  expect(constructor(good)).toBe(good);
  expect(() => constructor(bad)).toThrow(RangeError);
  expect(() => constructor(bad)).toThrow(`${bad} is not a`);
});

test("the sentence says what was wanted", () => {
  expect(() => centibar(200_000)).toThrow("a pressure in hundredths of a bar: it must lie between 0 and 100000");
  expect(() => dives(2.5)).toThrow("2.5 is not a number of dives: write a whole number.");
});
