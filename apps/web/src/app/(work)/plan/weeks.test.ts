import { expect, test } from "vitest";
import { mondayOf, shortDay, weekAndDay, weekNumber, weeksText } from "./weeks.ts";

test.each([
  ["2026-11-23", 48],
  ["2026-12-28", 53],
  ["2027-01-04", 1],
  ["2024-12-30", 1],
  ["2021-01-04", 1],
  ["2020-12-28", 53],
  ["2027-08-09", 32],
])("the week of %s is number %i on the wall", (monday, number) => {
  expect(weekNumber(monday)).toBe(number);
});

test("weeks one after the other are drawn together, others are named", () => {
  expect(weeksText(["2027-08-09"])).toBe("week 32");
  expect(weeksText(["2027-08-09", "2027-08-16"])).toBe("weeks 32 and 33");
  expect(weeksText(["2027-08-09", "2027-08-16", "2027-08-23"])).toBe("weeks 32 to 34");
  expect(weeksText(["2027-08-02", "2027-08-16", "2027-08-23", "2027-08-30"])).toBe("weeks 31 and 33 to 35");
  expect(weeksText(["2026-12-28", "2027-01-04"])).toBe("weeks 53 and 1");
});

test("a week is told with the day it begins on", () => {
  expect(weekAndDay("2027-08-09")).toBe("week 32 (9 Aug)");
  expect(shortDay("2026-11-25")).toBe("25 Nov");
});

test.each([
  ["2026-11-23", "2026-11-23"],
  ["2026-11-25", "2026-11-23"],
  ["2026-11-29", "2026-11-23"],
  ["2027-01-01", "2026-12-28"],
])("%s is in the week of Monday %s", (on, monday) => {
  expect(mondayOf(on)).toBe(monday);
});
