import { readingDrift } from "@hangrail/rules/reading-drift";
import { addDays, day } from "@hangrail/rules/calendar";
import { expect, test } from "vitest";
import { driftText } from "./life-words.ts";

const series = { name: "intermediate-pressure" } as const;
const readings = (values: readonly number[]) => values.map((value, index) => ({ on: addDays(day("2026-01-01"), index * 60), value }));

test("a pressure that climbs test by test is said to reach its limit, and when", () => {
  const drift = readingDrift(readings([940, 946, 951, 957, 962, 969, 974]), { low: 900, high: 1_000 });
  expect(driftText(drift, series, "metric")).toMatch(/^Rises by about 0\.3\d bar a year; at that pace it reaches its limit of 10\.00 bar in about \d+ months\.$/);
});

test("too few tests, and noise, claim nothing", () => {
  expect(driftText(readingDrift(readings([950, 951]), { low: 900, high: 1_000 }), series, "metric")).toBe("Too few tests since the last service to see a drift: 2 days of 6.");
  expect(driftText(readingDrift(readings([950, 944, 952, 946, 951, 945, 950]), { low: 900, high: 1_000 }), series, "metric")).toBe("No drift to be told from noise since the last service.");
});
