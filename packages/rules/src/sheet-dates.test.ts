import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { addDays, day } from "./calendar.ts";
import { judgeDateColumn } from "./sheet-dates.ts";
import type { DateOrder, DateRules } from "./sheet-dates.ts";

const today = day("2026-11-25");
const column = { index: 7, letter: "H", header: "Serviced on" };
const judge = (values: readonly string[], rules: Partial<DateRules> = {}) =>
  judgeDateColumn(column, values.map((value, at) => ({ row: at + 2, value })), { today, ...rules });
/** The days of a column that gives no trouble. */
const days = (values: readonly string[], rules: Partial<DateRules> = {}) => {
  const judged = judge(values, rules);
  expect([judged.problems.map((problem) => problem.sentence), judged.questions.map((question) => question.sentence)]).toEqual([[], []]);
  return values.map((_, at) => judged.values.get(at + 2));
};
const codes = (values: readonly string[], rules: Partial<DateRules> = {}) => judge(values, rules).problems.map((problem) => problem.code);

describe("a day", () => {
  test.each([
    ["2026-03-05", "2026-03-05"], ["2026/3/5", "2026-03-05"], ["2026.03.05", "2026-03-05"], ["20260305", "2026-03-05"],
    ["2026-03-05T00:00:00", "2026-03-05"], ["2026-03-05 14:30", "2026-03-05"], ["31/03/2026 00:00", "2026-03-31"],
    ["31.03.26", "2026-03-31"], ["31-03-2026", "2026-03-31"], ["31 / 03 / 2026", "2026-03-31"], ["3/31/2026", "2026-03-31"],
    ["3 Mar 2026", "2026-03-03"], ["3-Mar-26", "2026-03-03"], ["Mar 3, 2026", "2026-03-03"], ["March 3rd 2026", "2026-03-03"],
    ["3. März 2026", "2026-03-03"], ["1er mars 2026", "2026-03-01"], ["3 de marzo de 2026", "2026-03-03"], ["3 août 2026", "2026-08-03"],
    ["3 dic 2025", "2025-12-03"], ["3 gennaio 2026", "2026-01-03"], ["29.02.2024", "2024-02-29"], ["05/05/2026", "2026-05-05"],
  ])("“%s” is %s", (written, on) => expect(days([written])).toEqual([on]));

  test.each([
    ["31.02.2026", "date-impossible"], ["29/02/2025", "date-impossible"], ["2026-13-01", "date-impossible"], ["45/45/2026", "date-impossible"],
    ["31 Feb 2026", "date-impossible"], ["0/0/2026", "date-impossible"], ["2026-11-26", "date-future"], ["31.12.98", "date-future"],
    ["1949-12-31", "date-too-old"], ["31/12/1849", "date-too-old"], ["2026", "date-form"], ["Mar 2026", "date-form"], ["03/2026", "date-form"],
    ["soon", "date-form"], ["3 Foo 2026", "date-form"], ["2026-03-05T14:30:00Z", "date-form"], ["2026-03-05 14:30 +02:00", "date-form"],
    ["3/3/026", "date-form"], ["31.03-2026", "date-form"], ["#VALUE!", "workbook-error"], ["########", "workbook-error"],
  ])("“%s” is a problem: %s", (written, code) => expect(codes([written])).toEqual([code]));

  test("today itself is no future", () => expect(days(["2026-11-25", "25 Nov 2026"])).toEqual([today, today]));

  test("says what and where", () => {
    expect(judge(["31.02.2026"]).problems[0]).toEqual({
      code: "date-impossible", row: 2, column: "H", header: "Serviced on", value: "31.02.2026",
      sentence: "Row 2, column H, “Serviced on”: “31.02.2026” is not a day that exists.",
    });
    expect(judge(["31.12.98"]).problems[0]?.sentence).toContain("is 2098-12-31, after today, 2026-11-25: two digits of a year are read as 20xx.");
  });

  test("words for nothing are not known, and are counted", () => {
    const judged = judge(["", "-", "?", "N/A", "n/a", "never", "unbekannt"]);
    expect([...judged.values.values()]).toEqual(Array.from({ length: 7 }, () => null));
    expect(judged.blanks.find((blank) => blank.word === "n/a")).toEqual({ column: "H", header: "Serviced on", word: "n/a", cells: 2, firstRow: 5 });
  });
});

describe("the order of a column", () => {
  test("one first part above 12 makes all of it day first", () => expect(days(["03/04/2026", "13/04/2026"])).toEqual(["2026-04-03", "2026-04-13"]));
  test("one second part above 12 makes all of it month first", () => expect(days(["03/04/2026", "04/13/2026"])).toEqual(["2026-03-04", "2026-04-13"]));

  test("both are a problem that names both rows, and nothing in doubt is read", () => {
    const judged = judge(["03/04/2026", "13/04/2026", "04/13/2026"]);
    expect(judged.problems.map((problem) => problem.sentence)).toEqual([
      "Rows 3 and 4, column H, “Serviced on”: row 3 (13/04/2026) can only be day first, row 4 (04/13/2026) can only be month first. One column must keep to one order.",
    ]);
    expect(judged.values.size).toBe(0);
  });

  test("is asked when nothing decides", () => {
    const judged = judge(["03/04/2026", "2026-01-31"]);
    expect(judged.questions[0]).toMatchObject({ code: "date-order", column: "H", choices: ["day-first", "month-first"], examples: [{ row: 2, value: "03/04/2026" }] });
    expect([...judged.values]).toEqual([[3, "2026-01-31"]]);
  });

  test("is as answered, and a cell that does not fit is a problem", () => {
    expect(days(["03/04/2026"], { order: "day-first" })).toEqual(["2026-04-03"]);
    expect(days(["03/04/2026"], { order: "month-first" })).toEqual(["2026-03-04"]);
    expect(codes(["03/04/2026", "04/13/2026"], { order: "day-first" })).toEqual(["date-order"]);
    expect(judge(["04/13/2026"], { order: "day-first" }).problems[0]?.sentence).toContain("the column is day first, and there is no month 13");
  });

  test("an impossible number proves no order", () => expect(judge(["45/04/2026", "03/04/2026"]).questions).toHaveLength(1));
});

describe("a workbook's day numbers", () => {
  test("are asked about, with what they would mean", () => {
    const judged = judge(["45000", "2026-01-31"]);
    expect(judged.questions[0]).toMatchObject({ code: "day-numbers", choices: ["from-1900", "from-1904"] });
    expect(judged.questions[0]?.sentence).toContain("Counted from 1900 it is 2023-03-15, counted from 1904 it is 2027-03-16.");
  });
  test("are read as answered", () => {
    expect(days(["45000", "45000.5"], { dayNumbers: "from-1900" })).toEqual(["2023-03-15", "2023-03-15"]);
    expect(days(["43538"], { dayNumbers: "from-1904" })).toEqual(["2023-03-15"]);
    expect(codes(["99999", "10000"], { dayNumbers: "from-1900" })).toEqual(["date-future", "date-too-old"]);
  });
});

test("a column written in one order comes back as it was, or is asked about; it is never read in two orders", () => {
  const someDay = fc.integer({ min: 0, max: 27_000 }).map((back) => addDays(today, -back));
  const order = fc.constantFrom<DateOrder>("day-first", "month-first");
  fc.assert(
    fc.property(fc.array(someDay, { minLength: 1, maxLength: 6 }), order, fc.constantFrom("/", ".", "-"), (facts, written, mark) => {
      const judged = judge(facts.map((on) => {
        const [year, month, date] = on.split("-");
        return (written === "day-first" ? [date, month, year] : [month, date, year]).join(mark);
      }));
      expect(judged.problems).toEqual([]);
      const inDoubt = facts.every((on) => Number(on.slice(8)) <= 12) && facts.some((on) => on.slice(8) !== on.slice(5, 7));
      expect(judged.questions.length).toBe(inDoubt ? 1 : 0);
      if (!inDoubt) expect([...judged.values.values()]).toEqual(facts);
      else expect(judged.values.size).toBe(0);
    }),
    { numRuns: 2_000 },
  );
});
