import fc from "fast-check";
import { expect, test } from "vitest";
import { MOST_POINTS, readPressureColumn } from "./pressure-column.ts";
import type { ColumnTold } from "./pressure-column.ts";

const POINTS = [{ seconds: 0, centibar: 0 }, { seconds: 1.5, centibar: 950 }, { seconds: 65, centibar: 951 }];

test.each<[string, string, ColumnTold?]>([
  ["tabs and points", "Time (s)\tPressure (bar)\n0\t0\n1.5\t9.50\n65\t9.51\n"],
  ["semicolons and commas", "Zeit;Druck bar\r\n0;0\r\n1,5;9,50\r\n1:05;9,51;\r\n"],
  ["commas and points", "seconds,bar\n0,0\n1.5,9.5\n65,9.51"],
  ["comma and space", "0, 0\n1.5, 9.5\n65, 9.51", { unit: "bar" }],
  ["spaces", "0   0.0\n1.5   9.5\n 65   9.51 ", { unit: "bar" }],
  ["spaces and commas", "0 0\n1,5 9,5\n65 9,51", { unit: "bar" }],
  ["units behind the figures", "0 s 0 bar\n1.5 s 9.5 bar\n65 s 9.51 bar"],
  ["minutes and seconds", "0:00\t0\n0:01.5\t9.5\n0:01:05\t9.51", { unit: "bar" }],
  ["psi", "time psi\n0 0\n1.5 137.8\n65 138"],
  ["the mark told", "0\t0\n1,500\t9,500\n65,000\t9,510", { unit: "bar", mark: "comma" }],
  ["a byte order mark and empty lines", "\ufeffbar\n\n0\t0\n\n1.5\t9.5\n65\t9.51\n\n"],
])("reads %s", (_, text, told) => {
  const read = readPressureColumn(text, told);
  expect(read).toMatchObject({ answer: "points", points: POINTS });
});

test("bad lines are all named, and no point is taken", () => {
  const read = readPressureColumn("bar\n0 9.5\n1 9.5 20\nx 9.5\n3 nine\n2 9.5\n1 9.5\n4 137 psi\n5 9,5\n6 1200\n7 -2\n8:99 9.5\nend of log");
  expect(read.answer === "refused" && read.reason.code === "bad-lines" && read.reason.problems.map(({ line, code }) => `${line} ${code}`)).toEqual([
    "3 not-two-figures", "4 time-form", "5 pressure-form", "7 time-goes-back", "8 unit-differs", "9 pressure-form", "10 pressure-out-of-range", "11 pressure-out-of-range", "12 time-form", "13 not-two-figures",
  ]);
});

test.each<[string, string, ColumnTold?]>([
  ["no-points", ""],
  ["no-points", "time\tbar\n"],
  ["unit-unknown", "0\t9.5"],
  ["unit-unclear", "time\tbar\n0\t9.5", { unit: "psi" }],
  ["unit-unclear", "bar or psi\n0\t9.5"],
  ["time-unit", "time (min)\tbar\n0\t9.5"],
  ["time-unit", "Elapsed [ms];bar\n0;9.5"],
  ["decimal-mark-open", "bar\n10\t9,500\n20\t9,510"],
  ["bad-lines", "2026-11-25 log\n0\t9.5"],
])("refuses with %s: %j", (code, text, told) => {
  expect(readPressureColumn(text, told)).toMatchObject({ answer: "refused", reason: { code } });
});

test("fifty lines of headings are read over, one more is not", () => {
  const under = (headings: number) => readPressureColumn(`${"words\n".repeat(headings)}0\t9.5`, { unit: "bar" });
  expect(under(50).answer).toBe("points");
  expect(under(51)).toEqual({ answer: "refused", reason: { code: "too-many-headings" } });
});

test("a text of more than two million characters is not looked at", () => {
  expect(readPressureColumn("0\t9.5\n".repeat(400_000), { unit: "bar" })).toEqual({ answer: "refused", reason: { code: "too-long" } });
});

test("twenty thousand points are read, one more is refused", () => {
  const lines = Array.from({ length: MOST_POINTS + 1 }, (_, at) => `${at / 10}\t9.5`);
  const read = readPressureColumn(lines.slice(1).join("\n"), { unit: "bar" });
  expect(read.answer === "points" && read.points.length).toBe(MOST_POINTS);
  expect(readPressureColumn(lines.join("\n"), { unit: "bar" })).toMatchObject({ answer: "refused", reason: { code: "too-many-points" } });
  const bad = readPressureColumn(lines.slice(1).map((line, at) => (at === 0 ? line : "x\ty")).join("\n"), { unit: "bar" });
  expect(bad).toMatchObject({ reason: { code: "bad-lines", more: MOST_POINTS - 101 } });
});

test("a column written in any of these forms is read back as it was", () => {
  const columns = fc.array(fc.record({ step: fc.nat(30_000), centibar: fc.nat(2000) }), { minLength: 1, maxLength: 20 });
  const forms = fc.constantFrom(["\t", "."], [";", ","], [",", "."], [" ", ","], ["; ", "."], ["\t", ","]) satisfies fc.Arbitrary<[string, string]>;
  fc.assert(
    fc.property(columns, forms, fc.boolean(), (steps, [between, mark], clock) => {
      let at = 0;
      const points = steps.map(({ step, centibar }) => ({ seconds: (at += step) / 1000, centibar }));
      // Two decimals after a comma: three could part thousands.
      const time = (seconds: number) => (clock ? `${Math.floor(seconds / 60)}:${(seconds % 60).toFixed(3)}` : seconds.toFixed(4)).replace(".", mark);
      const text = points.map(({ seconds, centibar }) => time(seconds) + between + (centibar / 100).toFixed(2).replace(".", mark)).join("\n");
      expect(readPressureColumn(text, { unit: "bar" })).toEqual({ answer: "points", points, unit: "bar" });
    }),
    { numRuns: 500 },
  );
});

test("whatever is pasted, the answer is points in order or a reason", () => {
  const piece = fc.constantFrom("0", "9.5", "9,5", "\t", ";", ",", " ", "\n", ":", "bar", "psi", "time", "-", "1e9", "NaN", "1:05", "99999999");
  fc.assert(
    fc.property(fc.array(piece, { maxLength: 30 }), (pieces) => {
      const read = readPressureColumn(pieces.join(""), { unit: "bar" });
      if (read.answer === "refused") return;
      expect(read.points.length).toBeGreaterThan(0);
      expect(read.points.every(({ seconds, centibar }) => Number.isFinite(seconds) && Number.isSafeInteger(centibar))).toBe(true);
      expect(read.points.map(({ seconds }) => seconds).toSorted((a, b) => a - b)).toEqual(read.points.map(({ seconds }) => seconds));
    }),
    { numRuns: 1000 },
  );
});
