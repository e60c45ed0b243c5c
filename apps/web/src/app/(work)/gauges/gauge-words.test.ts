import { day } from "@hangrail/rules/calendar";
import { expect, test } from "vitest";
import { calibrationText, classText, readClass, readSpan, spanText } from "./gauge-words.ts";

test("a coarse gauge says what it cannot prove", () => {
  expect(classText({ measures: "pressure", errorThousandths: 62_500, classTenths: 25 }, "metric")).toBe("Class 2.5: may be off by 0.625 bar either way. It can show a change; it cannot prove 9.5 from 10.0 bar.");
  expect(classText({ measures: "pressure", errorThousandths: 16_000, classTenths: 10 }, "metric")).toBe("Class 1: may be off by 0.16 bar either way. It tells 9.5 from 10.0 bar.");
  // 9.5 read on a gauge that may be half a bar off may be 10.0.
  expect(classText({ measures: "pressure", errorThousandths: 50_000, classTenths: 20 }, "us")).toContain("cannot prove");
  expect(classText({ measures: "effort", errorThousandths: 10_000, classTenths: 10 }, "metric")).toBe("Class 1: may be off by 0.1 mbar either way.");
  expect(classText({ measures: "effort", errorThousandths: null, classTenths: 10 }, "metric")).toContain("no reading of it is judged");
});

test("a class is never kept as better than it is", () => {
  expect(["1", "2.5", "1,6", "0.25", "0.1", "10"].map(readClass)).toEqual([10, 25, 16, 3, 1, 100]);
  for (const wrong of ["0", "", "x", "10.1", "-1"]) expect(readClass(wrong)).toHaveProperty("problem");
});

test("the scale is read and shown in the site's units", () => {
  expect([readSpan("0", "pressure", "metric"), readSpan("25", "pressure", "metric"), readSpan("10", "effort", "us")]).toEqual([0, 2_500, 2_491]);
  expect(readSpan("ten", "pressure", "metric")).toHaveProperty("problem");
  expect(spanText({ measures: "pressure", spanLow: 0, spanHigh: 2_500 }, "metric")).toBe("0.00 bar to 25.00 bar");
});

test("a calibration that has ended passes nothing", () => {
  expect(calibrationText({ calibration: "out-of-date", calibratedUntil: day("2026-01-31") })).toBe("Its calibration ended on 31 Jan 2026: no reading of it passes a test.");
});
