import { expect, test } from "vitest";
import { readOxygen } from "./booking-entry.ts";

test.each([
  ["21", 210],
  ["32", 320],
  ["32,5", 325],
  ["32.5", 325],
  ["100", 1000],
])("%s %% is %i tenths", (text, tenths) => {
  expect(readOxygen(text)).toBe(tenths);
});

test.each(["", "20.9", "101", "air", "32.55", "-32", "3e1"])("“%s” is no percentage of oxygen in a gas", (text) => {
  expect(readOxygen(text)).toBeNull();
});
