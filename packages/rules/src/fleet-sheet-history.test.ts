import { describe, expect, test } from "vitest";
import { day } from "./calendar.ts";
import { judgeHistorySheet } from "./fleet-sheet-history.ts";
import type { FleetFacts, HistoryFacts } from "./fleet-sheet-parts.ts";

const today = day("2026-11-25");
const PART: FleetFacts = {
  tag: "R-1", role: "first-stage", maker: "Copperfin", model: "Keel", serial: "K1", boughtOn: day("2023-03-04"), inUseOn: day("2023-04-12"), lastUsedOn: day("2026-10-18"), servicedOn: day("2026-02-03"), inspectedOn: day("2026-08-17"),
  divesSinceService: 62, minutesSinceService: 3510, divesSinceInspection: 14, minutesSinceInspection: 795, totalDives: 301, note: null,
};
const HEADER = ["Maker", "Serial", "Date", "Work", "Dives at service", "Technician", "Note"];
const judge = (rows: readonly string[][], known: { components?: FleetFacts[]; work?: HistoryFacts[] } = {}) =>
  judgeHistorySheet({ header: HEADER, rows: rows.map((row) => HEADER.map((_, at) => row[at] ?? "")) }, { answers: {}, today, known: { components: known.components ?? [PART], work: known.work ?? [] } });
const told = (rows: readonly string[][], known: Parameters<typeof judge>[1] = {}) => judge(rows, known).problems.map((problem) => `${problem.code} ${problem.row ?? "-"}${problem.column ?? ""}`);

const LAST = ["Copperfin", "K1", "2026-02-03", "Service", "239", "Ines Brandt", ""];

describe("a sheet of past work", () => {
  test("comes out typed", () => {
    const judged = judge([LAST, ["COPPERFIN", "k1", "2025-01-18", "Wartung", "120", "", "kit 2"]]);
    expect(judged.verdict).toBe("ready");
    expect(judged.rows).toEqual([
      { row: 2, maker: "Copperfin", serial: "K1", doneOn: "2026-02-03", work: "service", divesAt: 239, by: "Ines Brandt", note: null },
      { row: 3, maker: "COPPERFIN", serial: "k1", doneOn: "2025-01-18", work: "service", divesAt: 120, by: null, note: "kit 2" },
    ]);
  });

  test.each<[string, string[][], string[]]>([
    ["an unknown part", [["Copperfin", "K9", "2025-01-18", "service"]], ["part-unknown 2B"]],
    ["no serial number, no day", [["Copperfin", "", "", "service"]], ["empty 2B", "empty 2C"]],
    ["work that resets nothing", [["Copperfin", "K1", "2025-01-18", "new hose"]], ["work-word 2D"]],
    ["the same work twice", [LAST, [...LAST]], ["work-twice 3C"]],
    ["service and inspection on one day are two", [LAST, ["Copperfin", "K1", "2026-02-03", "inspection", "239"]], []],
    ["before it was bought", [["Copperfin", "K1", "2023-03-03", "service"]], ["days-disagree 2C"]],
    ["a later service than the fleet says", [["Copperfin", "K1", "2026-02-04", "service"]], ["days-disagree 2C"]],
    ["a later inspection than the fleet says", [["Copperfin", "K1", "2026-08-18", "inspection"]], ["days-disagree 2C"]],
    ["a count that does not fit the fleet's", [["Copperfin", "K1", "2026-02-03", "service", "240"]], ["counts-disagree 2E"]],
    ["more dives than in all", [["Copperfin", "K1", "2025-01-18", "inspection", "302"]], ["counts-disagree 2E"]],
    ["dives that fall as time goes on", [["Copperfin", "K1", "2024-01-18", "service", "130"], ["Copperfin", "K1", "2025-01-18", "service", "120"]], ["counts-disagree 3E"]],
    ["a future day", [["Copperfin", "K1", "2027-01-18", "service"]], ["date-future 2C"]],
  ])("%s", (_, rows, expected) => expect(told(rows)).toEqual(expected));

  test("two parts of one number cannot be told apart here", () => expect(told([LAST], { components: [PART, { ...PART, role: "primary", model: "Keel P" }] })).toEqual(["part-ambiguous 2B"]));
  test("a service of a part never serviced contradicts the fleet", () => expect(told([["Copperfin", "K1", "2025-01-18", "service"]], { components: [{ ...PART, servicedOn: null, divesSinceService: null }] })).toEqual(["days-disagree 2C"]));

  test("repeated it is already here; changed it is a contradiction", () => {
    const work = judge([LAST]).rows;
    expect(judge([LAST], { work: [...work] })).toMatchObject({ verdict: "ready", rows: [], summary: "Nothing new. Already here: 1 row." });
    expect(told([["Copperfin", "K1", "2026-02-03", "service", "238", "Ole Petri"]], { work: [...work] })).toEqual(["differs-from-record 2E", "differs-from-record 2F"]);
    expect(told([["Copperfin", "K1", "2025-02-03", "service", "290"]], { work: [...work] })).toEqual(["counts-disagree 2E"]);
  });
});
