import { expect, test } from "vitest";
import { readScan } from "./scan-rule.ts";

test("a tag, a hirer and the confirm code are told apart by their text alone", () => {
  expect(readScan(" r-014 ")).toEqual({ kind: "set", tag: "R-014" });
  expect(readScan("Hand-Out")).toEqual({ kind: "confirm" });
  expect(readScan("H:Ana  Costa")).toEqual({ kind: "hirer", name: "Ana Costa" });
  expect(readScan("h: 40817")).toEqual({ kind: "hirer", name: "40817" });
  expect(readScan("José de la Peña-Ruiz")).toEqual({ kind: "hirer", name: "José de la Peña-Ruiz" });
  expect(readScan("Cabin 7")).toEqual({ kind: "hirer", name: "Cabin 7" });
});

test("one word is a tag until H: says otherwise", () => {
  expect(readScan("Costa")).toEqual({ kind: "set", tag: "COSTA" });
  expect(readScan("H:Costa")).toEqual({ kind: "hirer", name: "Costa" });
});

test("a torn or foreign scan does nothing", () => {
  for (const text of ["R-01§", "http://example.test/x y", "H:", "--", "", "R-014R-015R-016R-017R-018"]) expect(readScan(text).kind).toBe("unreadable");
});
