import { expect, test } from "vitest";
import { depthMetres, keepDetails, readDetails, startDetails, tenthsOf, waterTenthsC } from "./hire-details.ts";

const today = "2026-11-30";

test("the first hire of a day is a plain one: air, back today", () => {
  expect(readDetails(startDetails("metric"), today, "metric").hire).toEqual({
    backOn: today, dives: 2, minutes: null, teaching: false, cylinder: { connection: "din-232", bar: 232 }, o2Tenths: 210, waterTenthsC: 180, depthM: 18,
  });
  expect(readDetails({ ...startDetails("metric"), back: "tomorrow" }, today, "metric").hire?.backOn).toBe("2026-12-01");
});

test("figures between two whole ones are taken as the harder: colder water, deeper dive", () => {
  expect(waterTenthsC("50", "us")).toBe(100);
  expect(waterTenthsC("39.2", "us")).toBe(40);
  expect(waterTenthsC("49", "us")).toBe(94);
  expect(waterTenthsC("31", "us")).toBe(-6);
  expect(depthMetres("98", "us")).toBe(30);
  expect(depthMetres("99", "us")).toBe(31);
  expect(depthMetres("18,5", "metric")).toBe(19);
});

test("a comma is a decimal sign, a thousand is asked back, and words are no number", () => {
  expect(tenthsOf("32,5")).toBe(325);
  expect(tenthsOf("-1.5")).toBe(-15);
  expect(tenthsOf("1,234")).toEqual({ problem: "ambiguous" });
  for (const text of ["", "warm", "32.55", "1e3", "0x10"]) expect(tenthsOf(text)).toEqual({ problem: "not-a-number" });
});

test("every detail that is not right yet is named, and nothing is judged meanwhile", () => {
  const details = { ...startDetails("metric"), back: "later" as const, backOn: "2026-11-29", gas: "other" as const, oxygen: "20", water: "x", depth: "1,234" };
  expect(readDetails(details, today, "metric")).toEqual({
    hire: null,
    problems: [{ field: "backOn", what: "past" }, { field: "oxygen", what: "beyond" }, { field: "water", what: "not-a-number" }, { field: "depth", what: "ambiguous" }],
  });
});

test("the next hire begins where the last one was, but not on its old day", () => {
  keepDetails({ ...startDetails("metric"), back: "later", backOn: "2026-12-24", gas: "ean32", connection: "m26" }, "metric");
  expect(startDetails("metric")).toMatchObject({ back: "today", backOn: "", gas: "ean32", connection: "m26" });
  expect(startDetails("us")).toMatchObject({ gas: "air", water: "64" });
});
