import { expect, test } from "vitest";
import { gapOf, lineOf, minutesOf, startEntry } from "./back-entry.ts";

test("hours are kept as whole minutes, never short", () => {
  expect([minutesOf(""), minutesOf("1"), minutesOf("1,5"), minutesOf("0.75"), minutesOf("0.01")]).toEqual([null, 60, 90, 45, 1]);
  expect([minutesOf("1:30"), minutesOf("-1"), minutesOf("two")]).toEqual(["not-a-number", "not-a-number", "not-a-number"]);
});

test("nobody is let off the question about problems", () => {
  const entry = startEntry(2, "sea");
  expect(gapOf(entry)).toBe("problem-not-answered");
  expect(gapOf({ ...entry, problem: "no" })).toBeNull();
  expect(gapOf({ ...entry, problem: "yes" })).toBe("fault-not-chosen");
  expect(gapOf({ ...entry, problem: "yes", fault: "SS-04" })).toBeNull();
  expect(gapOf({ ...entry, problem: "no", hours: "x" })).toBe("hours-not-a-number");
});

test("a problem taken back leaves no trace of itself", () => {
  const entry = { ...startEntry(2, "pool"), problem: "no" as const, fault: "SS-04" as const, component: "c1", words: "wet" };
  expect(lineOf("s1", entry)).toEqual({ setId: "s1", dives: 2, minutes: null, waterKind: "pool", problem: false, words: null, faultCode: null, component: null, missing: [] });
});

test("nothing is taken off a set that was in an accident", () => {
  const entry = { ...startEntry(1, "sea"), problem: "yes" as const, fault: "GN-03" as const, missing: ["c4"] };
  expect(lineOf("s1", entry)).toMatchObject({ faultCode: "GN-03", missing: [] });
});
