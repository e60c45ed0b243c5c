import { expect, test } from "vitest";
import { logRank } from "./log-rank.ts";
import type { GroupedSpell, LogRank } from "./log-rank.ts";
import { AML, REMISSION } from "./survival.cases.ts";

const compared = (spells: readonly GroupedSpell[]): LogRank => {
  const told = logRank(spells);
  if (told.answer === "refused") throw new Error(told.why);
  return told;
};
const failed = (group: string, time: number): GroupedSpell => ({ group, time, fault: true });
const sound = (group: string, time: number): GroupedSpell => ({ group, time, fault: false });

test("gives the published chi-square of the remission trial (16.79 on 1 degree: Kleinbaum and Klein)", () => {
  const { chiSquare, degrees, p, groups } = compared(REMISSION);
  expect([chiSquare.toFixed(2), degrees]).toEqual(["16.79", 1]);
  expect(p).toBeCloseTo(4.16880910933453e-5, 14); // R, survdiff
  expect(groups).toMatchObject([{ group: "6-MP", spells: 21, observed: 9 }, { group: "placebo", spells: 21, observed: 21 }]);
  expect(groups[0]!.expected).toBeCloseTo(19.2505009480311, 10); // R, survdiff
});

test("gives R's p for the leukaemia trial", () => {
  expect(compared(AML).p).toBeCloseTo(0.0653393220405051, 12);
});

test("reckons a small table as by hand", () => {
  // At 1: n = 4, 2 of each, one fault: E 1/2, V 1/4. At 2: n = 3, 1 and 2: E 1/3, V 2/9. At 3: n = 2, 1 and 1: E 1/2, V 1/4. At 4 only B.
  const { chiSquare, groups } = compared([failed("A", 1), failed("A", 3), failed("B", 2), failed("B", 4)]);
  expect(groups[0]!.expected).toBeCloseTo(4 / 3, 12);
  expect(chiSquare).toBeCloseTo((2 - 4 / 3) ** 2 / (1 / 4 + 2 / 9 + 1 / 4), 12);
});

test("loses a degree for a group that was never there when a fault came", () => {
  const two = [failed("A", 3), failed("B", 4), sound("A", 6), sound("B", 7)];
  expect(compared([...two, sound("C", 1)])).toMatchObject({ degrees: 1, chiSquare: compared(two).chiSquare });
});

test("says why nothing can be compared", () => {
  const why = (spells: readonly GroupedSpell[]) => logRank(spells);
  expect(why([])).toEqual({ answer: "refused", why: "no-spells" });
  expect(why([failed("A", 1), failed("A", 2)])).toEqual({ answer: "refused", why: "one-group" });
  expect(why([sound("A", 1), sound("B", 2)])).toEqual({ answer: "refused", why: "no-events" });
  expect(why([sound("A", 1), failed("B", 2), failed("B", 3)])).toEqual({ answer: "refused", why: "never-together" });
  expect(why([failed("A", 5), failed("B", 5)])).toEqual({ answer: "refused", why: "never-together" });
  expect(() => why([failed("A", -5)])).toThrow(RangeError);
});
