import fc from "fast-check";
import { expect, test } from "vitest";
import { addDays, day } from "./calendar.ts";
import { chanceOfAtLeast, predictCount } from "./count-prediction.ts";
import { projectDates } from "./date-projection.ts";
import { firstPassage, passageChance } from "./first-passage.ts";
import { FLAT_SEASON, seasonClock } from "./season.ts";

const rate = fc.record({ shape: fc.double({ min: 0.5, max: 300, noNaN: true }), exposure: fc.double({ min: 1, max: 500, noNaN: true }) });
const remaining = fc.integer({ min: 1, max: 200 });
const chances = [0.1, 0.5, 0.9];

test("by the time told, so many events have come with just that chance", () => {
  fc.assert(
    fc.property(rate, remaining, (one, events) => {
      const told = firstPassage(one, events, chances);
      if (told.answer === "refused") throw new Error(told.why);
      told.exposures.forEach((exposure, index) => {
        expect(chanceOfAtLeast(events, one, exposure)).toBeCloseTo(chances[index]!, 7);
        expect(passageChance([{ weight: 1, ...one }], events, 1)(exposure)).toBeCloseTo(chances[index]!, 7);
      });
    }),
    { numRuns: 300 },
  );
});

test("events in bunches leave the middle about where it was and widen the interval", () => {
  const [even, bunched] = [1, 4].map((dispersion) => firstPassage({ shape: 200, exposure: 400 }, 60, chances, dispersion));
  if (even?.answer !== "told" || bunched?.answer !== "told") throw new Error("both are told");
  expect(Math.abs(bunched.exposures[1]! / even.exposures[1]! - 1)).toBeLessThan(0.03);
  expect(bunched.exposures[0]! < even.exposures[0]! && bunched.exposures[2]! > even.exposures[2]!).toBe(true);
});

test("nothing left is now, and a rate that may be none has no time", () => {
  expect(firstPassage({ shape: 5, exposure: 10 }, 0, [0.5])).toEqual({ answer: "told", exposures: [0] });
  expect(firstPassage({ shape: 5, exposure: 10 }, -3, [0.5])).toEqual({ answer: "told", exposures: [0] });
  expect(firstPassage({ shape: 0.001, exposure: 10 }, 20, [0.95])).toEqual({ answer: "refused", why: "never" });
  expect(() => firstPassage({ shape: 5, exposure: 0 }, 3, [0.5])).toThrow(/exposure behind a rate/);
  expect(() => firstPassage({ shape: 5, exposure: 1 }, 3, [1])).toThrow(/a chance/);
  expect(() => firstPassage({ shape: 5, exposure: 1 }, NaN, [0.5])).toThrow(/events remaining/);
});

test("the mean and the spread of a count are those of its chances", () => {
  const one = { shape: 6.5, exposure: 40 };
  const told = predictCount(one, 25, []);
  let [mean, square] = [0, 0];
  for (let k = 1; k < 400; k += 1) {
    const atLeast = chanceOfAtLeast(k, one, 25);
    mean += atLeast;
    square += (2 * k - 1) * atLeast;
  }
  expect(told.mean).toBeCloseTo(mean, 9);
  expect(told.variance).toBeCloseTo(square - mean ** 2, 8);
});

test("60 dives in 90 days and 40 left: the middle is two months away", () => {
  const clock = seasonClock(FLAT_SEASON, day("2025-06-01"), 100, 1);
  const told = projectDates({ shape: 60, exposure: 90 }, 40, [0.5, 0.99999], clock);
  // 40 left at two dives in three days; the middle of it, 59.8 days (R), ends on the 60th.
  expect(told).toMatchObject({ days: [addDays(clock.today, 60), null], alreadyReached: false });
});

test("a limit reached already is reached today", () => {
  const clock = seasonClock(FLAT_SEASON, day("2027-03-01"), 10, 1);
  for (const remaining of [0, -2]) {
    expect(projectDates({ shape: 30, exposure: 50 }, remaining, [0.05, 0.95], clock)).toEqual({
      answer: "told",
      exposuresNeeded: [0, 0],
      days: ["2027-03-01", "2027-03-01"],
      alreadyReached: true,
    });
  }
});
