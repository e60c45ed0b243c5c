import { describe, expect, test } from "vitest";
import { judgeBookingSheet } from "./booking-sheet.ts";
import { day } from "./calendar.ts";

const today = day("2026-07-01");
const HEADER = ["From", "Until", "Sets", "Valve", "Cold water", "Oxygen %", "Teaching", "Note"];
const judge = (rows: readonly (readonly string[])[], header = HEADER, answers = {}) =>
  judgeBookingSheet({ header, rows: rows.map((row) => header.map((_, at) => row[at] ?? "")) }, { answers, today });
const told = (rows: readonly (readonly string[])[]) => judge(rows).problems.map(({ code, row, column }) => `${code} ${row ?? "-"}${column ?? ""}`);

describe("a sheet of bookings", () => {
  test("comes out typed, whatever the words", () => {
    const { verdict, rows } = judge([
      ["2026-07-06", "2026-07-12", "8", "DIN 300", "yes", "EAN32", "no", "Club from the north"],
      ["13.07.2026", "19/07/2026", "2", "A-clamp", "nein", "28,5 %", "x", ""],
      ["2026-07-20", "2026-07-20", "1"],
    ]);
    expect(verdict).toBe("ready");
    expect(rows).toEqual([
      { row: 2, fromOn: "2026-07-06", untilOn: "2026-07-12", sets: 8, connection: "din-300", cold: true, o2Tenths: 320, teaching: false, words: "Club from the north" },
      { row: 3, fromOn: "2026-07-13", untilOn: "2026-07-19", sets: 2, connection: "yoke", cold: false, o2Tenths: 285, teaching: true, words: "" },
      { row: 4, fromOn: "2026-07-20", untilOn: "2026-07-20", sets: 1, connection: null, cold: false, o2Tenths: 210, teaching: false, words: "" },
    ]);
  });

  test("names every bad cell, and takes nothing in", () => {
    const rows = [
      ["2026-07-06", "2026-07-05", "8"],
      ["2026-02-30", "2026-07-05", "eight"],
      ["", "2026-07-09", "0"],
      ["2026-07-06", "2026-07-09", "2", "DIN", "perhaps", "19", "often"],
      ["2026-06-01", "2026-06-09", "2"],
      ["2026-07-06", "2027-08-09", "1001"],
      ["2026-07-06", "2031-08-09", "1"],
    ];
    expect(told(rows)).toEqual([
      "days-disagree 2B", "date-impossible 3A", "number-form 3C", "empty 4A", "valve-word 5D", "yes-no-word 5E", "gas-form 5F", "yes-no-word 5G",
      "date-too-old 6B", "days-disagree 7B", "number-too-large 7C", "date-future 8B",
    ]);
    expect(judge(rows).rows).toEqual([]);
  });

  test("asks which comes first where nothing tells the day from the month", () => {
    const rows = [["05/08/2026", "06/08/2026", "3"]];
    expect(judge(rows)).toMatchObject({ verdict: "questions", questions: [{ code: "date-order" }, { code: "date-order" }] });
    expect(judge(rows, HEADER, { dateOrder: "day-first" }).rows).toMatchObject([{ fromOn: "2026-08-05", untilOn: "2026-08-06" }]);
  });

  test("without a column it needs, or with more bookings than may come at once, says so", () => {
    expect(judge([["2026-07-06", "2026-07-09"]], ["From", "Until"]).problems).toMatchObject([{ code: "column-missing" }]);
    expect(told(Array.from({ length: 1001 }, () => ["2026-07-06", "2026-07-09", "1"]))).toEqual(["too-many-rows -"]);
  });
});
