import { expect, test } from "vitest";
import { readHours } from "./hours-entry.ts";

test.each([
  ["12", 720],
  ["7,5", 450],
  ["7.5", 450],
  [" 7:30 ", 450],
  ["0", 0],
  ["0.25", 15],
  ["100", 6000],
])("%s is %i minutes", (text, minutes) => {
  expect(readHours(text)).toBe(minutes);
});

test.each(["", "-1", "101", "7:60", "7.125", "seven", "1e2", "1000"])("“%s” is no number of hours", (text) => {
  expect(readHours(text)).toBeNull();
});
