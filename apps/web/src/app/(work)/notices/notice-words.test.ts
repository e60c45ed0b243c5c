import { expect, test } from "vitest";
import { progressText, rangeText, unreadText, whyWords } from "./notice-words.ts";

test("ranges are written as on the part, with their leading noughts", () => {
  expect(rangeText({ model: "Beck", range: { prefix: "FI", digits: 6, low: "37", high: "76" } })).toBe("Beck, FI000037 to FI000076");
  expect(rangeText({ model: "Beck", range: { prefix: "", digits: 3, low: "12", high: "12" } })).toBe("Beck, 012");
  expect(rangeText({ model: "Beck", range: null })).toBe("Beck, every serial");
});

test("how far it has come names what is still held, who has to be called and what to look at", () => {
  expect(progressText({ open: 0, check: 0, cleared: 0, out: 0 })).toBe("No part here is named by it.");
  expect(progressText({ open: 2, check: 1, cleared: 4, out: 1 })).toBe("3 parts still held, 4 seen to. 1 set to call back. 1 part to look at by hand.");
  expect(progressText({ open: 0, check: 0, cleared: 3, out: 0 })).toBe("Done: 3 parts seen to.");
  expect(whyWords("near-miss")).toMatch(/read it on the part itself/);
});

test("a range that cannot be read is quoted with what is wrong with it", () => {
  expect(unreadText({ modelId: "m", text: "AB12-CD34", reason: { code: "prefix-differs", low: "AB", high: "CD" } })).toBe("“AB12-CD34” has other letters at its two ends.");
  expect(unreadText({ modelId: "m", text: "", reason: { code: "none" } })).toMatch(/^No serial is written/);
});
