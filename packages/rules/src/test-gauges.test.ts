import { expect, test } from "vitest";
import { aTestGauge } from "../testing/index.ts";
import { day } from "./calendar.ts";
import { calibrationOn, classErrorOf, classErrorThousandths, isInCalibration, judgeGauge, resolutionThousandths } from "./test-gauges.ts";

test.each([
  { gauge: "0 to 25 bar, class 2.5", spanHigh: 2500, classTenths: 25, error: 62.5, source: "EN 837-1" },
  { gauge: "0 to 400 bar, class 1.6", spanHigh: 40_000, classTenths: 16, error: 640, source: "EN 837-1" },
  { gauge: "0 to 16 bar, class 1.0", spanHigh: 1600, classTenths: 10, error: 16, source: "EN 837-1" },
])("$gauge is at most $error hundredths of a bar off ($source)", ({ error, ...differing }) => {
  expect(classErrorOf(aTestGauge(differing))).toBe(error);
  expect(classErrorThousandths(aTestGauge(differing))).toBe(error * 1000);
});

test("a span that does not begin at nought counts from end to end", () => {
  expect(classErrorOf(aTestGauge({ spanLow: -100, spanHigh: 900, classTenths: 10 }))).toBe(10);
});

test("a change is read to the gauge's own step, else to a fifth of its class error", () => {
  expect(resolutionThousandths(aTestGauge({ spanHigh: 2500, classTenths: 25 }))).toBe(12_500);
  expect(resolutionThousandths(aTestGauge({ resolution: 1 }))).toBe(1000);
  expect(resolutionThousandths(aTestGauge({ spanHigh: 1, classTenths: 1 }))).toBe(1);
});

test("a calibration counts from its first day to its last", () => {
  const gauge = aTestGauge({ calibratedOn: day("2026-01-10"), calibratedUntil: day("2027-01-09") });
  const state = (on: string) => calibrationOn(gauge, day(on));
  expect(["2026-01-09", "2026-01-10", "2026-12-09", "2026-12-10", "2027-01-09", "2027-01-10"].map(state)).toEqual([
    "not-yet", "in-calibration", "in-calibration", "due-soon", "due-soon", "out-of-date",
  ]);
  expect(isInCalibration(gauge, day("2027-01-09"))).toBe(true);
  expect(isInCalibration(gauge, day("2027-01-10"))).toBe(false);
  expect(isInCalibration(aTestGauge({ calibratedUntil: null }), day("2026-07-03"))).toBe(false);
  expect(calibrationOn(aTestGauge({ calibratedOn: null }), day("2026-07-03"))).toBe("never");
});

test("a gauge that makes no sense says what about it, and has no error to reckon with", () => {
  expect(judgeGauge(aTestGauge())).toEqual([]);
  expect(judgeGauge(aTestGauge({ spanHigh: 0, classTenths: 2.5, resolution: 0, calibratedUntil: day("2026-01-09") }))).toEqual([
    "span", "class", "resolution", "calibration-ends-before-it-begins",
  ]);
  expect(() => classErrorOf(aTestGauge({ classTenths: 0 }))).toThrow("The test gauge p16 makes no sense: class.");
});
