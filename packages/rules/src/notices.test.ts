import { expect, test } from "vitest";
import { RANGE_CASES, REFUSED_RANGE_CASES, SERIAL_CASES } from "./notices.cases.ts";
import { matchSerial, readSerialRange, readSerialRanges, serialMatchReason } from "./notices.ts";

const rangesOf = (text: string) => {
  const read = readSerialRanges(text);
  if (read.answer === "refused") throw new Error(`These ranges should be read: ${text}`);
  return read.ranges;
};

test.each(SERIAL_CASES)("$serial against $ranges: $is ($source)", ({ serial, ranges, is }) => {
  expect(matchSerial(serial, rangesOf(ranges))).toBe(is);
});

test.each(RANGE_CASES)("“$text” is a range", ({ text, range }) => {
  expect(readSerialRange(text)).toEqual({ answer: "range", range });
});

test.each(REFUSED_RANGE_CASES)("“$text” is refused: $reason.code", ({ text, reason }) => {
  expect(readSerialRange(text)).toMatchObject({ answer: "refused", reason });
});

test("ranges are taken all or none, and every refused one is named", () => {
  expect(rangesOf("608262–695909; 1170357–1180342\n1200001–1200070,\r\n20031001–22082698;")).toHaveLength(4);
  const read = readSerialRanges("100-200; 300-20; what");
  expect(read.answer === "refused" && read.refused.map(({ text, reason }) => [text, reason.code])).toEqual([
    ["300-20", "digit-count-differs"],
    ["what", "form"],
  ]);
});

test("the hardest of several ranges counts, and says why", () => {
  const ranges = rangesOf("AB100-AB200; CD100-CD200");
  expect(serialMatchReason("CD150", ranges)).toBe("in-range");
  expect(serialMatchReason("EF150", ranges)).toBe("near-miss");
  expect(serialMatchReason("EF250", ranges)).toBeNull();
  expect(serialMatchReason(null, ranges)).toBe("serial-unknown");
  expect(serialMatchReason(null, [])).toBe("every-serial");
});

test("the ends of a range may come without their noughts in front", () => {
  expect(matchSerial("AB0000638", [{ prefix: "AB", digits: 7, low: "637", high: "676" }])).toBe("match");
});
