import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { judgeCountColumn, judgeHoursColumn } from "./sheet-numbers.ts";
import type { DecimalMark } from "./sheet-numbers.ts";

const column = { index: 10, letter: "K", header: "Dives since service" };
const cells = (values: readonly string[]) => values.map((value, at) => ({ row: at + 2, value }));
const count = (value: string, told?: DecimalMark) => judgeCountColumn(column, cells([value]), told);
const hours = (value: string, told?: DecimalMark) => judgeHoursColumn(column, cells([value]), told);

describe("a count of dives", () => {
  test.each([["0", 0], ["62", 62], [" 62 ", 62], ["007", 7], ["12.0", 12], ["12,00", 12], ["1 234", 1234], ["1\u202f234", 1234], ["1'234", 1234], ["1’234", 1234], ["１２", 12], ["1000000", 1_000_000]])(
    "“%s” is %i", (written, dives) => expect(count(written).values.get(2)).toBe(dives));

  test.each([
    ["-5", "number-negative"], ["−5", "number-negative"], ["(5)", "number-negative"], ["12.5", "number-not-whole"], ["approx 50", "number-about"], ["~50", "number-about"],
    ["50+", "number-about"], ["ca. 50", "number-about"], ["fifty", "number-form"], ["5O", "number-form"], ["1e3", "number-form"], ["0x10", "number-form"], ["NaN", "number-form"],
    ["Infinity", "number-form"], ["1,23,4", "number-form"], ["1000001", "number-too-large"], ["999999999999", "number-too-large"], ["#REF!", "workbook-error"], ["5\u00075", "character"],
  ])("“%s” is a problem: %s", (written, code) => {
    expect(count(written).problems.map((problem) => problem.code)).toEqual([code]);
    expect(count(written).values.size).toBe(0);
  });

  test.each(["", " ", "-", "–", "?", "n/a", "NA", "none", "unknown"])("“%s” is not known, never nought", (written) => {
    expect(count(written).values.get(2)).toBeNull();
    expect(count(written).blanks).toHaveLength(1);
  });

  test("says what and where", () => expect(count("approx 50").problems[0]?.sentence).toBe(
    "Row 2, column K, “Dives since service”: “approx 50” is only about a number. Write the number itself, or leave the cell empty when it is not known."));
});

describe("hours", () => {
  test.each([["0", 0], ["1", 60], ["40.5", 2430], ["40,5", 2430], ["1.15", 69], [",5", 30], ["0,500", 30], ["0.0083", 0], ["0.0084", 1], ["12:30", 750], ["12h30", 750], ["12:30:00", 750], ["12.5 h", 750], ["12,5 Std.", 750], ["1.234,5", 74_070], ["1,234.5", 74_070], ["1 234,567", 74_074], ["1234,567", 74_074], ["1,234,567", null]])(
    "“%s” is %s minutes", (written, minutes) => expect(hours(written).values.get(2) ?? null).toBe(minutes));
  test.each([["12:75", "number-form"], ["-1.5", "number-negative"], ["170000", "number-too-large"], ["12:30 or so", "number-form"]])(
    "“%s” is a problem: %s", (written, code) => expect(hours(written).problems.map((problem) => problem.code)).toEqual([code]));
});

describe("“1,234”", () => {
  test.each(["1,234", "1.234", "999.999"])("%s is asked about, never guessed", (written) => {
    for (const judged of [count(written), hours(written)]) {
      expect(judged.questions[0]).toMatchObject({ code: "decimal-mark", choices: ["comma", "point"], examples: [{ row: 2, value: written }] });
      expect([judged.values.size, judged.problems.length]).toEqual([0, 0]);
    }
  });
  test("is read as answered", () => {
    expect(count("1,234", "point").values.get(2)).toBe(1234);
    expect(count("1,234", "comma").problems[0]?.code).toBe("number-not-whole");
    expect(hours("1,250", "comma").values.get(2)).toBe(75);
    expect(hours("1.250", "comma").values.get(2)).toBe(75_000);
  });
  test("an answer that a cell contradicts is a problem", () => {
    expect(hours("12.5", "comma").problems[0]?.code).toBe("number-mark");
    expect(hours("1.234.567", "point").problems[0]?.code).toBe("number-mark");
  });
});

test("hours written with two decimals come back to the minute", () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 10_000_000 }), fc.constantFrom(".", ","), (minutes, mark) => {
      expect(hours(String(Math.round((minutes * 100) / 60) / 100).replace(".", mark)).values.get(2)).toBe(minutes);
    }),
    { numRuns: 2_000 },
  );
});

test("whatever a cell holds, it gives a whole number, nothing, a question or a problem", () => {
  const written = fc.oneof(fc.string(), fc.string({ unit: "binary" }), fc.stringMatching(/^[-+0-9.,:' h%eE]{0,14}$/), fc.double().map(String));
  fc.assert(
    fc.property(written, fc.constantFrom<DecimalMark | undefined>("comma", "point", undefined), (value, told) => {
      for (const judged of [count(value, told), hours(value, told)]) {
        expect(judged.values.size + judged.problems.length + judged.questions.length).toBe(1);
        for (const number of judged.values.values()) expect(number === null || (Number.isSafeInteger(number) && number >= 0)).toBe(true);
      }
    }),
    { numRuns: 1_500 },
  );
});
