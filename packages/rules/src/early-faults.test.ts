import { expect, test } from "vitest";
import { binomialAtLeast, binomialCdf } from "./distributions.ts";
import { EARLY_SETTINGS, earlyFaults, shareInterval, tidyTimes } from "./early-faults.ts";
import type { AfterService, EarlyFaults, EarlySettings } from "./early-faults.ts";

const settings: EarlySettings = { ...EARLY_SETTINGS, groupedBy: "model" };
const told = (spells: readonly AfterService[], differing: Partial<EarlySettings> = {}): EarlyFaults => {
  const answer = earlyFaults(spells, { ...settings, ...differing });
  if (answer.answer === "refused") throw new Error(answer.why);
  return answer;
};
const failed = (group: string, ...lasted: readonly number[]) => lasted.map((one) => ({ group, lasted: one, fault: true }));
const sound = (group: string, ...lasted: readonly number[]) => lasted.map((one) => ({ group, lasted: one, fault: false }));

const early = [...failed("Tern", 1, 1, 2, 2, 3, 4, 6, 9, 14, 25), ...sound("Tern", ...Array(10).fill(100))];
const worn = [...failed("Skua", 70, 78, 82, 85, 88, 90, 93, 95, 97, 99), ...sound("Skua", ...Array(5).fill(100))];

test("tells trouble left by the service from wear, and that the two models differ", () => {
  const { groups, difference } = told([...early, ...worn]);
  expect(groups.map(({ group, verdict }) => [group, verdict])).toEqual([["Skua", "wear-out"], ["Tern", "early-faults"]]);
  expect(difference).toMatchObject({ answer: "log-rank", degrees: 1 });
});

test("calls a risk steady only where the interval leaves no other", () => {
  // 60 spells at the quantiles of an even risk, mean 40.
  const even = Array.from({ length: 60 }, (_, index) => Math.round(-40 * Math.log(1 - (index + 0.5) / 60)) + 1);
  expect(told(failed("Auk", ...even)).groups[0]!.verdict).toBe("steady");
  expect(told(failed("Auk", ...even), { steadyWithin: 1.05 }).groups[0]!.verdict).toBe("too-little-to-tell");
});

test("gives no verdict where the interval reaches over 1, whichever side the shape is on", () => {
  const [leansEarly, leansLate] = told([
    ...failed("A", 2, 5, 12, 20, 33, 58), ...sound("A", ...Array(6).fill(80)),
    ...failed("B", 20, 35, 48, 60, 66, 75), ...sound("B", ...Array(20).fill(80)),
  ]).groups;
  for (const [one, side] of [[leansEarly!, -1], [leansLate!, 1]] as const) {
    if (one.weibull.answer === "refused") throw new Error(one.weibull.why);
    expect(Math.sign(one.weibull.shape - 1)).toBe(side);
    expect(one.verdict).toBe("too-little-to-tell");
  }
});

test("gives no verdict on few faults, however early, nor where none came or all came at the end", () => {
  const few = [...failed("Tern", 1, 1, 2, 2), ...sound("Tern", ...Array(60).fill(100))];
  expect(told(few).groups[0]!.verdict).toBe("too-little-to-tell");
  expect(told(few, { leastFaults: 4 }).groups[0]!.verdict).toBe("early-faults");
  expect(told(sound("Tern", 3, 9)).groups[0]).toMatchObject({ verdict: "too-little-to-tell", weibull: { why: "no-events" } });
  expect(told(failed("Tern", 9, 9, 9, 9, 9)).groups[0]).toMatchObject({ verdict: "too-little-to-tell", weibull: { why: "all-at-end" } });
});

test("counts a fault before the first dive as half a dive for the shape, and at 0 on the curve", () => {
  const [group] = told([...failed("Tern", 0, 0, 1, 2, 3), ...sound("Tern", ...Array(9).fill(80))]).groups;
  expect(group!.weibull.answer).toBe("fit");
  expect(group!.curve.steps[0]).toMatchObject({ time: 0, atRisk: 14, faults: 2 });
});

test("numbers at risk stand at the same tidy times for all groups", () => {
  const { groups } = told([...early, ...sound("Auk", 12)]);
  expect(groups[0]!.atRisk).toEqual([0, 20, 40, 60, 80, 100].map((at) => ({ at, atRisk: at === 0 ? 1 : 0 })));
  expect(groups[1]!.atRisk.map(({ atRisk }) => atRisk)).toEqual([20, 11, 10, 10, 10, 10]);
  expect(tidyTimes(0)).toEqual([0]);
  expect(tidyTimes(3)).toEqual([0, 1, 2, 3]);
  expect(tidyTimes(37)).toEqual([0, 10, 20, 30]);
  expect(tidyTimes(4321)).toEqual([0, 1000, 2000, 3000, 4000]);
});

test("bedding counts the tenth dive, and leaves out what is still in it", () => {
  const spells = [...failed("Tern", 3, 10, 11), ...sound("Tern", 9, 10, 40)];
  expect(told(spells).groups[0]!.bedding).toMatchObject({ failures: 2, known: 5, notYetKnown: 1, interval: { answer: "share", share: 0.4 } });
  expect(told(sound("Tern", 4)).groups[0]!.bedding).toEqual({ failures: 0, known: 0, notYetKnown: 1, interval: { answer: "refused", why: "no-tries" } });
});

test("limits of a share are exact", () => {
  // 4 of 20 at 90 %: NIST/SEMATECH e-Handbook 7.2.4.1.
  const four = shareInterval(4, 20, 0.9);
  expect(four).toMatchObject({ share: 0.2 });
  if (four.answer === "refused") throw new Error(four.why);
  expect(four.lower).toBeCloseTo(0.071354, 5);
  expect(four.upper).toBeCloseTo(0.401029, 5);
  // What makes them exact: so few, or so many, is then a 1 in 20 chance.
  expect(binomialCdf(4, 20, four.upper)).toBeCloseTo(0.05, 12);
  expect(binomialAtLeast(4, 20, four.lower)).toBeCloseTo(0.05, 12);
  // None and all of n have closed limits: the n-th root of α/2.
  const none = shareInterval(0, 20, 0.95);
  expect(none.answer === "share" && none.upper).toBeCloseTo(1 - 0.025 ** (1 / 20), 12);
  expect(shareInterval(20, 20, 0.95)).toMatchObject({ share: 1, upper: 1 });
  expect(() => shareInterval(3, 2, 0.95)).toThrow("3 will not do for the failures");
});

test("one group has a curve and no difference; no spell has neither", () => {
  expect(told(early).difference).toEqual({ answer: "refused", why: "one-group" });
  expect(earlyFaults([], settings)).toEqual({ answer: "refused", why: "no-spells" });
  expect(() => told(failed("Tern", 2.5))).toThrow("2.5 will not do for how long spell 1 (Tern) lasted");
});
