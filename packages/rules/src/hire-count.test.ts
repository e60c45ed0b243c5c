import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { countHire, decideReturn } from "./hire-count.ts";

const policy = { minutesPerDive: 60 };
const word = { dives: null, minutes: null, gotWet: null, problem: false };

describe("a return counts", () => {
  test.each([
    ["the dives planned, as estimated, where none were stated", {}, 2, { dives: 2, minutes: 120, divesEstimated: true, minutesEstimated: true }],
    ["the dives stated", { dives: 3 }, 2, { dives: 3, minutes: 180, divesEstimated: false, minutesEstimated: true }],
    ["the minutes stated", { dives: 3, minutes: 140 }, 2, { dives: 3, minutes: 140, divesEstimated: false, minutesEstimated: false }],
    ["one dive of a set that got wet and was 'not dived'", { dives: 0, gotWet: true }, 4, { dives: 1, minutes: 60, divesEstimated: true, minutesEstimated: true }],
    ["one dive where nobody says it stayed dry", { dives: 0 }, 4, { dives: 1, minutes: 60, divesEstimated: true, minutesEstimated: true }],
    ["one dive where none were planned", { gotWet: true }, 0, { dives: 1, minutes: 60, divesEstimated: true, minutesEstimated: true }],
    ["nothing of a set that stayed dry", { gotWet: false }, 4, { dives: 0, minutes: 0, divesEstimated: false, minutesEstimated: false }],
    ["the dives stated, whatever was ticked about water", { gotWet: false, dives: 2 }, 4, { dives: 2, minutes: 120, divesEstimated: false, minutesEstimated: true }],
    ["the dives planned where only minutes were stated", { gotWet: false, minutes: 45 }, 1, { dives: 1, minutes: 45, divesEstimated: true, minutesEstimated: false }],
  ] as const)("%s", (_what, said, planned, count) => {
    expect(countHire({ ...word, ...said }, { dives: planned }, policy)).toEqual(count);
  });

  test("never nothing for a set that got wet", () => {
    const said = fc.option(fc.nat(3));
    fc.assert(
      fc.property(said, said, fc.constantFrom(true, null), fc.nat(3), (dives, minutes, gotWet, planned) => {
        const count = countHire({ dives, minutes, gotWet }, { dives: planned }, policy);
        expect(count.dives).toBeGreaterThanOrEqual(1);
        expect(count.minutes).toBeGreaterThanOrEqual(1);
      }),
    );
  });
});

test("a return waits for the answer about problems", () => {
  expect(decideReturn({ ...word, problem: null }, { dives: 2 }, policy)).toEqual({ answer: "refuse", reason: "problem-not-answered" });
  expect(decideReturn({ ...word, problem: true }, { dives: 2 }, policy)).toMatchObject({ answer: "count", problem: true, count: { dives: 2 } });
});
