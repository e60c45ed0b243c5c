import { expect, test } from "vitest";
import { emptyBuffer, isScanning, scanned, tidyTag, withKey } from "./scan-buffer.ts";

/** Types each character `gap` milliseconds after the one before; gives the buffer and the time of its last key. */
function typed(text: string, gap: number) {
  return [...text].reduce((state, character) => ({ buffer: withKey(state.buffer, character, state.at + gap), at: state.at + gap }), { buffer: emptyBuffer, at: 1_000 });
}

test("eight milliseconds a key is a scanner", () => {
  const { buffer, at } = typed("R-014", 8);
  expect(isScanning(buffer, at + 1)).toBe(true);
  expect(scanned(buffer, at + 8)).toBe("R-014");
});

test("a person's typing and a person's Enter are no scan", () => {
  const { buffer, at } = typed("R-014", 120);
  expect(isScanning(buffer, at + 120)).toBe(false);
  expect(scanned(buffer, at + 120)).toBeNull();
});

test("a scan, a pause and Enter: the Enter is the person's", () => {
  const { buffer, at } = typed("R-014", 8);
  expect(scanned(buffer, at + 400)).toBeNull();
});

test("what was typed before a scan is not part of it", () => {
  const before = typed("xy", 200);
  const buffer = [..."R-014"].reduce((state, character, index) => withKey(state, character, before.at + 500 + index * 8), before.buffer);
  expect(scanned(buffer, before.at + 540)).toBe("R-014");
});

test("one key and Enter at once is not a scan", () => {
  const { buffer, at } = typed("R", 8);
  expect(scanned(buffer, at + 5)).toBeNull();
});

test("tags are kept in capitals without outer blanks", () => {
  expect(tidyTag(" r-014 ")).toBe("R-014");
});
