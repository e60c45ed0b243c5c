import { day } from "@hangrail/rules/calendar";
import type { HowWellItHeld } from "@hangrail/rules/forecast-held";
import { expect, test } from "vitest";
import { againstNaiveText, couldBeLuck, coverageText, lossRows, missText, tooFewText } from "./held-words.ts";

const held: HowWellItHeld = {
  answer: "told",
  askedOn: [day("2025-11-25")],
  forecasts: 100,
  inside: 78,
  early: 12,
  late: 10,
  coverage: 0.78,
  promised: 0.8,
  medianMiss: 11.4,
  meanWidth: 60,
  bias: 3.2,
  loss: { forecast: 5.21, lifetimeMean: 8.4, lastFourWeeks: 12.9, sameDaysLastYear: 7.35 },
  saidBeyond: 4,
  wasBeyond: 4,
};

test("a coverage near the promise is as promised; luck is allowed for by how many there are", () => {
  expect(coverageText(held)).toBe("Of 100 forecasts, 78 held: 78 %, where 80 % is promised. That is as promised, as far as so many can tell. 12 sets of dives ran out earlier than said, 10 later.");
  expect(couldBeLuck({ coverage: 0.7, promised: 0.8, forecasts: 60 })).toBe(true);
  expect(couldBeLuck({ coverage: 0.7, promised: 0.8, forecasts: 70 })).toBe(false);
});

test("too few inside says to which side they missed, too many says so", () => {
  expect(coverageText({ ...held, coverage: 0.6, inside: 60, early: 30, late: 10 })).toContain("to the unsafe side: plan on the earliest day");
  expect(coverageText({ ...held, coverage: 0.6, inside: 60, early: 5, late: 35 })).toContain("to the safe side: dives lasted longer than said");
  expect(coverageText({ ...held, coverage: 0.95, inside: 95, early: 3, late: 2 })).toContain("the intervals could be narrower");
});

test("the forecasts are set beside the best that could be done by hand, also when that is better", () => {
  expect(againstNaiveText(held)).toBe("By hand it could not have been done better: the best of the simple ways is off by 7.3 days, the forecasts by 5.2 days.");
  expect(againstNaiveText({ ...held, loss: { ...held.loss, lastFourWeeks: 4 } })).toContain("A simple way would have done better");
  expect(lossRows(held).map(({ days }) => days)).toEqual([5.21, 8.4, 12.9, 7.35]);
});

test("a miss has a side only when it is more than a day", () => {
  expect(missText(held)).toBe("Half of the most likely days were right within 11 days, 3 days too late on the whole.");
  expect(missText({ ...held, bias: -0.4 })).toBe("Half of the most likely days were right within 11 days, neither too early nor too late on the whole.");
  expect(tooFewText(0)).toContain("no forecast made so far back");
  expect(tooFewText(7)).toBe("Too little history: only 7 forecasts can be marked, and so few tell nothing.");
});
