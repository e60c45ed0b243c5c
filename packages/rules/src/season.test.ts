import fc from "fast-check";
import { expect, test } from "vitest";
import { anyDay } from "../testing/generators.ts";
import { addDays, day } from "./calendar.ts";
import { daysToReach, estimateSeason, FLAT_SEASON, monthOf, monthsFrom, seasonClock } from "./season.ts";

const summer = [0.2, 0.25, 0.5, 0.9, 1.4, 1.8, 2.2, 2.1, 1.3, 0.8, 0.35, 0.2];

test("walks the months day by day, leap days and ends of centuries too", () => {
  fc.assert(
    fc.property(anyDay, fc.integer({ min: 1, max: 900 }), (first, days) => {
      const months = monthsFrom(first, days);
      for (let at = 0; at < days; at += 7) expect(months[at]).toBe(monthOf(addDays(first, at)));
      expect(months[days - 1]).toBe(monthOf(addDays(first, days - 1)));
    }),
    { numRuns: 200 },
  );
});

test("counts today behind and not ahead", () => {
  const clock = seasonClock(summer, day("2026-06-30"), 2, 2);
  expect([...clock.ahead]).toEqual([0, 2.2, 4.4]);
  expect([...clock.behind]).toEqual([0, 1.8, 3.6]);
});

test("a day that reaches the exposure but for rounding has reached it", () => {
  const clock = seasonClock(Array.from({ length: 12 }, () => 0.1), day("2026-01-01"), 30);
  expect(daysToReach(clock, 0.3)).toBe(3);
  expect(daysToReach(clock, 0)).toBe(0);
  expect(daysToReach(clock, 3.1)).toBeNull();
});

test("a closed winter is waited out", () => {
  const closed = [0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 0, 0];
  const clock = seasonClock(closed, day("2026-10-31"), 400);
  expect(addDays(clock.today, daysToReach(clock, 1)!)).toBe("2027-04-01");
});

test("a season is twelve weights from 0", () => {
  expect(() => seasonClock([1, 1], day("2026-01-01"), 10)).toThrow(/twelve weights/);
  expect(() => seasonClock(FLAT_SEASON.with(3, -1), day("2026-01-01"), 10)).toThrow(/twelve weights/);
  expect(() => seasonClock(FLAT_SEASON, day("2026-01-01"), 0)).toThrow(/how far to look ahead/);
});

const DAYS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

test("finds the season behind components that were there in different months", () => {
  // The first all the year, the second, twice as busy, from July only: plain sums would make the autumn twice what it is.
  const all = { counts: DAYS.map((days, month) => days * summer[month]! * 20), days: DAYS };
  const half = { counts: all.counts.map((count, month) => (month < 6 ? 0 : 2 * count)), days: DAYS.map((days, month) => (month < 6 ? 0 : days)) };
  const season = estimateSeason([all, half], 1);
  const mean = summer.reduce((total, weight, month) => total + weight * DAYS[month]!, 0) / 365;
  for (let month = 0; month < 12; month += 1) expect(season[month]!).toBeCloseTo(summer[month]! / mean, 1);
});

test("little use is drawn to flat, none is flat, and the mean over the year is 1", () => {
  const thin = (scale: number) => estimateSeason([{ counts: DAYS.map((_, month) => (month === 6 ? 12 * scale : 0)), days: DAYS }], 1);
  expect(thin(0)).toEqual(FLAT_SEASON);
  expect(thin(1)[6]!).toBeLessThan(4);
  expect(thin(1000)[6]!).toBeGreaterThan(11);
  for (const scale of [1, 1000]) expect(thin(scale).reduce((total, weight, month) => total + weight * DAYS[month]!, 0)).toBeCloseTo(365, 9);
});
