import { describe, expect, test } from "vitest";
import { countText, cylinderText, dayText, daysLeftText, depthText, effortText, hoursText, instantText, listText, oxygenText, pressureText, secondsText, strengthText, temperatureText, timeText, volumeText } from "./format.ts";

describe("days and instants", () => {
  test("a day has its month in letters", () => {
    expect(dayText("2026-11-05")).toBe("5 Nov 2026");
    expect(dayText("not a day")).toBe("not a day");
  });

  test("an instant is told in the site's zone, over midnight too", () => {
    expect(instantText("2026-06-30T22:30:00Z", "Europe/Malta")).toBe("1 Jul 2026, 00:30");
    expect(instantText("2026-06-30T22:30:00Z", "America/New_York")).toBe("30 Jun 2026, 18:30");
    expect(timeText("2026-01-01T13:45:00Z", "Australia/Lord_Howe")).toBe("00:45");
  });

  test.each([
    ["2026-11-25", "today"],
    ["2026-11-26", "tomorrow"],
    ["2026-11-24", "yesterday"],
    ["2026-12-25", "in 30 days"],
    ["2026-11-22", "3 days ago"],
  ])("%s is %s", (day, words) => {
    expect(daysLeftText("2026-11-25", day)).toBe(words);
  });
});

test("counts take their plural, and thousands cannot be read as a decimal", () => {
  expect(countText(1, "dive")).toBe("1 dive");
  expect(countText(0, "dive")).toBe("0 dives");
  expect(countText(12_045, "dive")).toBe("12\u202f045 dives");
  expect(countText(2, "entry", "entries")).toBe("2 entries");
});

test("minutes become hours", () => {
  expect([45, 60, 90, 0, -30].map(hoursText)).toEqual(["45 min", "1 h", "1 h 30 min", "0 min", "−30 min"]);
});

test("pressures keep the recorded figure beside the converted one", () => {
  expect(pressureText(950, "metric")).toBe("9.50 bar");
  expect(pressureText(950, "us")).toBe("137.8 psi (9.50 bar)");
  expect(cylinderText(23_200, "us")).toBe("3365 psi (232 bar)");
  expect(effortText(311, "us")).toBe("1.25 inH2O (3.11 mbar)");
});

test("oxygen, temperature, depth", () => {
  expect([320, 325, 1000].map(oxygenText)).toEqual(["32 %", "32.5 %", "100 %"]);
  expect(temperatureText(40, "us")).toBe("39 °F (4 °C)");
  expect(depthText(300, "us")).toBe("98 ft (30 m)");
});

test("lists read as a sentence", () => {
  expect(listText([])).toBe("");
  expect(listText(["A"])).toBe("A");
  expect(listText(["A", "B", "C"])).toBe("A, B and C");
});

test("the wash room's measures", () => {
  expect([250, 59.2, 9, 0, -3, 3_605].map(secondsText)).toEqual(["4 min 10 s", "1 min", "9 s", "0 s", "0 s", "1 h 5 s"]);
  expect([280, 1_000, 9_720].map(volumeText)).toEqual(["280 ml", "1 litre", "9.72 litres"]);
  expect([5_000, 4_999, 10_500_000].map(strengthText)).toEqual(["500 ppm (0.05 %)", "499.9 ppm (0.04999 %)", "1\u202f050\u202f000 ppm (105 %)"]);
});
