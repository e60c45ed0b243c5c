import { expect, test } from "vitest";
import { BENCH_LIMIT_NAMES, benchLimitsOf, judgeBenchLimits, limitNamed, quantityOf, standingOf } from "./bench-limits.ts";
import { MODEL_KINDS } from "./models.ts";

test("every limit belongs to one kind of model", () => {
  expect(MODEL_KINDS.flatMap(benchLimitsOf).toSorted()).toEqual(BENCH_LIMIT_NAMES.toSorted());
  expect(BENCH_LIMIT_NAMES.filter((name) => quantityOf(name) === "effort")).toEqual(benchLimitsOf("second-stage"));
});

test("limits that make no sense are named, each with what is wrong", () => {
  expect(judgeBenchLimits("first-stage", [{ name: "intermediate-pressure", low: 900, high: 1000 }, { name: "creep", low: null, high: 30 }])).toEqual([]);
  expect(
    judgeBenchLimits("first-stage", [
      { name: "intermediate-pressure", low: 1000, high: 900 },
      { name: "creep", low: 5, high: null },
      { name: "creep", low: null, high: 0.5 },
      { name: "gauge-error", low: null, high: 500 },
      { name: "supply-change", low: null, high: 100_001 },
    ]),
  ).toEqual([
    { name: "intermediate-pressure", problem: "low-above-high" },
    { name: "creep", problem: "needs-high" },
    { name: "creep", problem: "twice" },
    { name: "creep", problem: "not-whole" },
    { name: "gauge-error", problem: "not-of-this-kind" },
    { name: "supply-change", problem: "out-of-range" },
  ]);
});

test("a limit without edges, or one that contradicts itself, is none", () => {
  expect(limitNamed([{ name: "creep", low: null, high: null }], "creep")).toBeNull();
  expect(limitNamed([{ name: "creep", low: 40, high: 30 }], "creep")).toBeNull();
  expect(limitNamed([], "creep")).toBeNull();
  expect(limitNamed([{ name: "creep", low: null, high: 0 }], "creep")).toEqual({ name: "creep", low: null, high: 0 });
});

test("an edge is inside; a gauge's error has to lie wholly on one side", () => {
  const band = { low: 900, high: 1000 };
  expect(standingOf(1000, 0, band)).toEqual({ standing: "inside" });
  expect(standingOf(1001, 0, band)).toEqual({ standing: "outside", edge: "high", by: 1 });
  expect(standingOf(899, 0, band)).toEqual({ standing: "outside", edge: "low", by: 1 });
  expect(standingOf(984, 16_000, band)).toEqual({ standing: "inside" });
  expect(standingOf(984, 16_001, band)).toEqual({ standing: "cannot-tell" });
  expect(standingOf(1016, 16_000, band)).toEqual({ standing: "cannot-tell" });
  expect(standingOf(1017, 16_000, band)).toEqual({ standing: "outside", edge: "high", by: 17 });
  expect(standingOf(5, 0, { low: null, high: null })).toEqual({ standing: "inside" });
});
