import { day } from "@hangrail/rules/calendar";
import { expect, test } from "vitest";
import { awayOf, bandOf, placeOfDay, shareOf } from "./place.ts";

const first = "2026-11-23";
const due = (low: string | null, middle: string | null, high: string | null) => ({ answer: "falls-due" as const, low: low === null ? null : day(low), middle: middle === null ? null : day(middle), high: high === null ? null : day(high), leads: [], perWeek: null, borrowed: null });

test("a week's days lie around its middle", () => {
  expect(placeOfDay("2026-11-23", first, 26)).toBe(-0.5);
  expect(placeOfDay("2026-11-26", first, 26)).toBeCloseTo(-0.07, 2);
  expect(placeOfDay("2026-12-07", first, 26)).toBe(1.5);
  expect(placeOfDay("2030-01-01", first, 26)).toBe(25.5);
});

test("a forecast is drawn from its earliest day to its latest, as far as the weeks go", () => {
  expect(bandOf(due("2026-12-07", "2026-12-14", "2026-12-28"), first, 26)).toEqual({ from: 1.5, until: 4.5, middle: 2.5, goesOn: false });
  expect(bandOf(due("2026-12-07", null, null), first, 26)).toEqual({ from: 1.5, until: 25.5, middle: null, goesOn: true });
  expect(bandOf(due("2026-10-01", "2026-11-01", "2026-12-07"), first, 26)).toEqual({ from: -0.5, until: 1.5, middle: null, goesOn: false });
});

test("nothing is drawn of what is not known or comes after", () => {
  expect(bandOf(due(null, null, null), first, 26)).toBeNull();
  expect(bandOf(due("2027-12-07", null, null), first, 26)).toBeNull();
});

test("a set is away for its whole weeks, cut at the last one", () => {
  expect(awayOf(3, 2, 26)).toEqual({ from: 2.5, until: 4.5 });
  expect(awayOf(25, 2, 26)).toEqual({ from: 24.5, until: 25.5 });
  expect(awayOf(null, 2, 26)).toBeNull();
  expect(shareOf(13, 26)).toBe(50);
  expect(shareOf(-0.5, 26)).toBeCloseTo(-1.92, 2);
});
