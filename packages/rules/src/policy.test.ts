import { expect, test } from "vitest";
import { aPolicy } from "../testing/index.ts";
import { DEFAULT_POLICY, judgePolicy } from "./policy.ts";

test("the default policy makes sense", () => {
  expect(judgePolicy(DEFAULT_POLICY)).toEqual([]);
});

test.each([
  [{ teachingMonths: 0 }, { field: "teachingMonths", least: 1, most: 60 }],
  [{ shelfMonths: 1.5 }, { field: "shelfMonths", least: 1, most: 60 }],
  [{ nitroxAboveTenths: 401 }, { field: "nitroxAboveTenths", least: 210, most: 400 }],
  [{ dryingMinutes: Number.NaN }, { field: "dryingMinutes", least: 0, most: 2880 }],
  [{ twoDiverDepthDecimetres: 310 }, { field: "twoDiverDepthDecimetres", least: 0, most: 300 }],
] as const)("%o makes none", (figure, problem) => {
  expect(judgePolicy(aPolicy(figure))).toEqual([problem]);
});

test("every figure that makes no sense is named at once", () => {
  expect(judgePolicy(aPolicy({ teachingMonths: 0, minutesPerDive: 0 })).map(({ field }) => field)).toEqual(["teachingMonths", "minutesPerDive"]);
});

test("no drying time is a choice", () => {
  expect(judgePolicy(aPolicy({ dryingMinutes: 0 }))).toEqual([]);
});
