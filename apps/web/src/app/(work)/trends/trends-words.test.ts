import { monthlyChart, type MonthCount } from "@hangrail/rules/fault-verdict";
import { expect, test } from "vitest";
import { monthsText, ratesDoNot, sumText, type Months } from "./trends-words.ts";

const chart = (months: readonly Omit<MonthCount, "month">[]): Months => {
  const told = monthlyChart(months.map((one, index) => ({ month: `2026-${String(index + 1).padStart(2, "0")}`, ...one })));
  if (told.answer === "refused") throw new Error(told.why);
  return told;
};
const even = (faults: number, dives: number) => Array.from({ length: 12 }, () => ({ faults, dives }));

test("where a month with twice the usual faults would not stand out, that is said, with how many would", () => {
  const thin = chart(even(1, 100));
  const [first] = thin.months;
  expect(monthsText(thin)).toBe(`No month stands out: each lies where chance alone would put it. Single months are too little to tell by: with about 1.0 faults in a usual one, twice as many would not stand out; ${first!.point!.mostExpected + 1} would.`);
  expect(monthsText(chart(even(60, 100)))).toBe("No month stands out: each lies where chance alone would put it.");
});

test("a month that stands out is named with what to do", () => {
  const months = even(2, 100).map((one, index) => (index === 4 ? { ...one, faults: 20 } : one));
  expect(monthsText(chart(months))).toMatch(/^More faults than chance explains in May 2026\. Open them:/);
});

test("a lasting rise that is not there is said with the months and dives that would show a doubling", () => {
  const plenty = chart(even(6, 1_000));
  if (plenty.cusum.answer === "refused") throw new Error(plenty.cusum.why);
  const months = Math.ceil(plenty.cusum.foundAfter);
  expect(sumText(plenty)).toMatch(new RegExp(`^The rate has not risen for good\\. Had it doubled, it would show after about ${months} months, some [\\d\u202f]+ dives of parts\\.$`));
  const thin = chart(even(0, 10).map((one, index) => (index === 3 ? { ...one, faults: 1 } : one)));
  expect(thin.cusum.answer === "cusum" && thin.cusum.foundAfter).toBeGreaterThan(12);
  expect(sumText(thin)).toMatch(/^Too little to tell a lasting rise soon/);
});

test("parts of all kinds side by side are said to be so", () => {
  expect(ratesDoNot("model", true)).toMatch(/choose a kind of part to compare like with like\.$/);
  expect(ratesDoNot("kind", false)).not.toMatch(/side by side/);
});
