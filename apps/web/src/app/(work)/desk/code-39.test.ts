import { expect, test } from "vitest";
import { code39 } from "./code-39.ts";

test("each sign has five bars, three wide elements, and stars around the text", () => {
  // 9 elements of which 3 are wide: 6 + 3 × 3 modules, and one module between two signs.
  const { width, bars } = code39("HAND-OUT");
  expect(width).toBe(10 * 15 + 9);
  expect(bars).toHaveLength(10 * 5);
  expect(bars.slice(0, 5)).toEqual(code39("A").bars.slice(0, 5));
});

test("no sign but the ones it has", () => {
  expect(() => code39("a")).toThrow('Code 39 has no sign for "a".');
  expect(() => code39("A*B")).toThrow(RangeError);
});
