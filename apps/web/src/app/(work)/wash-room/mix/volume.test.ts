import { expect, test } from "vitest";
import { readVolume, typedVolume } from "./volume.ts";

test.each([
  ["2.5", "l", 2_500],
  ["2,5", "l", 2_500],
  ["0,250", "l", 250],
  ["10", "l", 10_000],
  [" 280 ", "ml", 280],
  ["0", "l", 0],
] as const)("%s %s is %i ml", (text, unit, ml) => {
  expect(readVolume(text, unit)).toEqual({ ml });
});

test.each([
  ["1,500", "l", "two ways"],
  ["1.500", "ml", "two ways"],
  ["2.5", "ml", "whole millilitres"],
  ["1:10", "l", "not a volume"],
  ["-3", "l", "not a volume"],
  ["", "l", "needed"],
] as const)("%s %s is asked back", (text, unit, words) => {
  expect(readVolume(text, unit)).toEqual({ wrong: expect.stringContaining(words) as string });
});

test("a proposed volume reads back as itself", () => {
  for (const ml of [1, 280, 999, 1_000, 1_010, 9_720, 9_725, 20_000, 100_000]) {
    const { text, unit } = typedVolume(ml);
    expect(readVolume(text, unit)).toEqual({ ml });
  }
});
