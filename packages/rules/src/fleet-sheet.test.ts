import { describe, expect, test } from "vitest";
import { day } from "./calendar.ts";
import { cellsOf, fleetSheetOf } from "./fleet-sheet-export.ts";
import { judgeFleetSheet } from "./fleet-sheet.ts";
import type { FleetAnswers, FleetRequest } from "./fleet-sheet.ts";
import type { FleetFacts } from "./fleet-sheet-parts.ts";

const today = day("2026-11-25");
const HEADER = ["Tag", "Position", "Maker", "Model", "Serial", "Bought on", "In use on", "Last used on", "Serviced on", "Inspected on", "Dives since service", "Hours since service", "Dives since inspection", "Hours since inspection", "Total dives", "Note"] as const;
type Cells = Partial<Record<(typeof HEADER)[number], string>>;

const GOOD: Cells = {
  Tag: "R-1", Position: "first stage", Maker: "Copperfin", Model: "Keel", Serial: "K1", "Bought on": "2023-03-04", "In use on": "2023-04-12", "Last used on": "2026-10-18",
  "Serviced on": "2026-02-03", "Inspected on": "2026-08-17", "Dives since service": "62", "Hours since service": "58.5", "Dives since inspection": "14", "Hours since inspection": "13.25", "Total dives": "301", Note: "",
};
const sheetOf = (...rows: Cells[]) => ({ header: HEADER, rows: rows.map((row) => HEADER.map((name) => ({ ...GOOD, ...row })[name] ?? "")) });
const judge = (rows: readonly Cells[], answers: FleetAnswers = {}, known: FleetRequest["known"] = { components: [] }) => judgeFleetSheet(sheetOf(...rows), { answers, today, known });
const told = (rows: readonly Cells[], known: FleetRequest["known"] = { components: [] }) => judge(rows, {}, known).problems.map((problem) => `${problem.code} ${problem.row ?? "-"}${problem.column ?? ""}`);

const SET: Cells[] = [{}, { Position: "primary", Model: "Keel P", Serial: "P1" }, { Position: "octo", Model: "Keel A", Serial: "A1" }, { Position: "SPG", Model: "Dial", Serial: "" }, { Position: "hose", Model: "Hose", Serial: "" }, { Position: "hose", Model: "Hose", Serial: "" }];

describe("a sheet of parts", () => {
  test("comes out typed and in normal form", () => {
    const judged = judge([{ Tag: "r 1", Maker: "  Copperfin  ", Note: "two\r\nlines" }]);
    expect(judged.verdict).toBe("ready");
    expect(judged.summary).toBe("1 new row to take in.");
    expect(judged.rows).toEqual([{
      row: 2, tag: "R-1", role: "first-stage", maker: "Copperfin", model: "Keel", serial: "K1", boughtOn: "2023-03-04", inUseOn: "2023-04-12", lastUsedOn: "2026-10-18", servicedOn: "2026-02-03", inspectedOn: "2026-08-17",
      divesSinceService: 62, minutesSinceService: 3510, divesSinceInspection: 14, minutesSinceInspection: 795, totalDives: 301, note: "two lines",
    }]);
  });

  test("a column the sheet has not got is not known, never nought", () => {
    const header = ["Tag", "Position", "Maker", "Model", "Serial"];
    const { rows } = judgeFleetSheet({ header, rows: [["R-1", "fs", "Copperfin", "Keel", "K1"]] }, { answers: {}, today, known: { components: [] } });
    expect(rows[0]).toMatchObject({ servicedOn: null, divesSinceService: null, minutesSinceInspection: null, totalDives: null });
  });

  test("is all or nothing: one bad cell and no row is taken in", () => {
    const judged = judge([...SET, { Tag: "R-2", Serial: "K2", "Total dives": "lots" }]);
    expect([judged.verdict, judged.rows.length, judged.counts.newRows, judged.counts.rowsWithProblems]).toEqual(["problems", 0, 6, 1]);
    expect(judged.summary).toBe("1 problem in 7 rows: nothing is taken in.");
  });

  test("every bad cell of a row is named, and its good cells are still checked", () => {
    expect(told([{ "Bought on": "31.02.2023", "In use on": "2026-12-01", "Total dives": "10", "Hours since service": "~60" }])).toEqual([
      "date-impossible 2F", "date-future 2G", "number-about 2L", "counts-disagree 2K", "counts-disagree 2M"]);
  });

  test("blank rows keep the row numbers true, and a header further down moves them", () => {
    const sheet = sheetOf({}, { Position: "what" }, { Tag: "R/1" });
    const rows = [sheet.rows[0] ?? [], ["", " "], [], sheet.rows[2] ?? []];
    const judged = judgeFleetSheet({ header: HEADER, rows, headerRow: 3 }, { answers: {}, today, known: { components: [] } });
    expect(judged.problems.map((problem) => problem.row)).toEqual([7]);
    expect(judged.counts).toMatchObject({ rows: 2, blankRows: 2 });
  });

  test("a row longer than the header is a problem, a shorter one is asked about", () => {
    const [row] = sheetOf({}).rows;
    const long = judgeFleetSheet({ header: HEADER, rows: [[...(row ?? []), "", "stray"]] }, { answers: {}, today, known: { components: [] } });
    expect(long.problems.map((problem) => problem.sentence)[0]).toContain("Row 2: the row has more cells than the header has names; “stray”");
    const short = { header: HEADER, rows: [(row ?? []).slice(0, 12)] };
    const asked = judgeFleetSheet(short, { answers: {}, today, known: { components: [] } });
    expect([asked.verdict, asked.questions[0]?.code, asked.rows]).toEqual(["questions", "short-rows", []]);
    expect(judgeFleetSheet(short, { answers: { shortRows: "empty" }, today, known: { components: [] } }).verdict).toBe("ready");
  });

  test("the limits are said", () => {
    expect(told([{ Note: "x".repeat(501) }])).toEqual(["cell-too-long 2P"]);
    expect(judge([{ Note: "x".repeat(501) }]).problems[0]?.value?.length).toBeLessThan(70);
    const wide = judgeFleetSheet({ header: [...HEADER, ...Array.from({ length: 200 }, () => "")], rows: sheetOf({}).rows }, { answers: { shortRows: "empty" }, today, known: { components: [] } });
    expect(wide.problems.map((problem) => problem.code)).toEqual(["too-many-columns"]);
    const tall = judgeFleetSheet({ header: ["Tag"], rows: Array.from({ length: 50_001 }, () => ["R-1"]) }, { answers: {}, today, known: { components: [] } });
    expect(tall.problems[0]?.code).toBe("too-many-rows");
    expect(judgeFleetSheet({ header: HEADER, rows: [] }, { answers: {}, today, known: { components: [] } }).problems.map((problem) => problem.code)).toEqual(["no-rows"]);
  });

  test("problems beyond what anyone reads are counted, not listed", () => {
    const rows = Array.from({ length: 30_000 }, () => ["R/1"]);
    const judged = judgeFleetSheet({ header: ["Tag"], rows }, { answers: {}, today, known: { components: [] } });
    expect([judged.problems.length, judged.counts.problems]).toEqual([20_000, 30_004]);
  });
});

describe("positions in a set", () => {
  test("one second stage without another name is the primary", () => {
    expect(judge([{}, { Position: "2nd stage", Serial: "S1" }, { Position: "octo", Serial: "A1" }]).rows.map((row) => row.role)).toEqual(["first-stage", "primary", "alternate"]);
  });
  test("two are a problem for both", () => {
    const judged = judge([{}, { Position: "second stage", Serial: "S1", Model: "S" }, { Position: "DV", Serial: "S2", Model: "S" }]);
    expect(judged.problems.map((problem) => problem.sentence)).toEqual([
      "Row 3, column B, “Position”: set R-1 has more than one second stage, and row 4 says second stage too. Write primary or alternate for each.",
      "Row 4, column B, “Position”: set R-1 has more than one second stage, and row 3 says second stage too. Write primary or alternate for each.",
    ]);
  });
  test("one beside a primary is a problem", () => expect(told([{ Position: "primary" }, { Position: "DV", Serial: "S2" }])).toEqual(["position-ambiguous 3B"]));
  test("each position has one place, apart from hoses", () => {
    expect(judge(SET).verdict).toBe("ready");
    expect(told([{}, { Serial: "K2" }, { Tag: "R-2", Serial: "K3" }])).toEqual(["set-doubled 3B"]);
    expect(told([{ Position: "gauge" }, { Position: "spg", Serial: "G2" }])).toEqual(["set-doubled 3B"]);
  });
  test("stages and transmitters need a serial number, hoses and gauges do not", () => {
    expect(told([{ Serial: "" }, { Position: "DV", Serial: "n/a" }, { Position: "gauge", Serial: "" }, { Position: "hose", Serial: "?" }])).toEqual(["empty 2E", "empty 3E"]);
  });
  test("a shortened serial number is refused", () => expect(told([{ Serial: "1.23E+11" }, { Position: "octo", Serial: "1,23457E+12" }])).toEqual(["serial-mangled 2E", "serial-mangled 3E"]));
});

describe("rows that contradict", () => {
  test.each<[string, Cells[], string[]]>([
    ["the same part twice", [{}, { Tag: "R-2", Maker: "COPPERFIN", Serial: "k 1" }], ["part-twice 3E"]],
    ["the same part twice with its model typed differently", [{}, { Tag: "R-2", Model: "Keel II" }], ["part-twice 3E"]],
    ["first and second stage of one number are two parts", [{}, { Position: "DV", Model: "Keel P" }], []],
    ["serviced before bought", [{ "Serviced on": "2023-03-03" }], ["days-disagree 2I"]],
    ["inspected before bought", [{ "Inspected on": "2023-03-03", "Dives since inspection": "62", "Hours since inspection": "58.5" }], ["days-disagree 2J"]],
    ["in use before bought", [{ "In use on": "2023-03-03" }], ["days-disagree 2G"]],
    ["serviced before first use is fine", [{ "Serviced on": "2023-04-01", "Inspected on": "" }], []],
    ["last used before in use", [{ "In use on": "2026-10-19" }], ["days-disagree 2H"]],
    ["more since than in all", [{ "Total dives": "61" }], ["counts-disagree 2K"]],
    ["more since the later inspection than since service", [{ "Dives since inspection": "63" }], ["counts-disagree 2M"]],
    ["fewer since the earlier inspection than since service", [{ "Inspected on": "2025-08-17" }], ["counts-disagree 2M", "counts-disagree 2N"]],
    ["the same day, the same count", [{ "Inspected on": "2026-02-03", "Dives since inspection": "62", "Hours since inspection": "58.5" }], []],
    ["the same day, another count", [{ "Inspected on": "2026-02-03", "Dives since inspection": "63", "Hours since inspection": "58.5" }], ["counts-disagree 2M"]],
    ["hours without dives", [{ "Dives since inspection": "0" }], ["counts-disagree 2N"]],
    ["dives without hours", [{ "Hours since inspection": "0" }], ["counts-disagree 2N"]],
    ["minutes in the hours column", [{ "Hours since service": "3510", "Hours since inspection": "" }], ["counts-disagree 2L"]],
    ["no dive since service, but used since", [{ "Dives since service": "0", "Hours since service": "", "Dives since inspection": "0", "Hours since inspection": "" }], ["counts-disagree 2K"]],
    ["dives since service, but not used since", [{ "Last used on": "2026-02-02" }], ["counts-disagree 2K"]],
    ["used, but no dives in all", [{ "Total dives": "0", "Dives since service": "", "Dives since inspection": "" }], ["counts-disagree 2O"]],
  ])("%s", (_, rows, expected) => expect(told(rows)).toEqual(expected));
});

describe("against the record", () => {
  const recorded = judge(SET).rows;
  const known = { components: recorded };

  test("the same sheet again is already here and changes nothing", () => {
    const judged = judge(SET, {}, known);
    expect([judged.verdict, judged.rows, judged.summary]).toEqual(["ready", [], "Nothing new. Already here: 6 rows."]);
  });
  test("so it is when the record has moved on since that import", () => {
    const moved = recorded.map((part) => ({ ...part, tag: "R-9", totalDives: 400, imported: part }));
    expect(judge(SET, {}, { components: moved }).counts).toMatchObject({ alreadyHere: 6, newRows: 0, problems: 0 });
  });
  test("an empty cell says nothing, so it contradicts nothing", () => expect(judge([{ "Serviced on": "", "Dives since service": "?" }], {}, known).counts.alreadyHere).toBe(1));
  test("what differs is a problem for each cell", () => {
    const judged = judge([{ "Serviced on": "2026-03-03", Tag: "R-7" }], {}, known);
    expect(judged.problems.map((problem) => problem.sentence)).toEqual([
      "Row 2, column A, “Tag”: this part is recorded already, and the set differs: recorded is R-1, the sheet says R-7. Correct the record by a further entry, or correct the sheet.",
      "Row 2, column I, “Serviced on”: this part is recorded already, and the day serviced differs: recorded is 2026-02-03, the sheet says 2026-03-03. Correct the record by a further entry, or correct the sheet.",
    ]);
  });
  test("a third hose where two are recorded is no repeat", () => expect(told([...SET, { Position: "hose", Model: "Hose", Serial: "" }], known)).toEqual(["set-recorded 8A"]));
  test("a new part for a recorded set is fitted at the bench", () => {
    expect(told([{ Position: "transmitter", Model: "Pulse", Serial: "T1" }], known)).toEqual(["set-recorded 2A"]);
    expect(told([{ Tag: "R-5", Serial: "K5" }], { components: [], tags: ["R-5"] })).toEqual(["set-recorded 2A"]);
  });
  test("new sets beside known ones are taken in alone", () => expect(judge([...SET, { Tag: "R-2", Serial: "K2" }], {}, known).rows.map((row) => row.tag)).toEqual(["R-2"]));
  test("a tag that looks like a recorded one is asked about", () => {
    const rows = [{ Tag: "R1", Serial: "K5" }];
    expect(judge(rows, {}, known).questions[0]?.code).toBe("tags-alike");
    expect(judge(rows, { tagsAlike: "different-sets" }, known).rows[0]?.tag).toBe("R1");
    expect(judge(rows, { tagsAlike: "same-set" }, known).problems.map((problem) => problem.code)).toEqual(["set-recorded"]);
  });
});

test("an exported spare comes back as a spare", () => {
  const spare: FleetFacts = { ...(judge([{}]).rows[0] as FleetFacts), tag: null };
  const judged = judgeFleetSheet(cellsOf(fleetSheetOf([spare])), { answers: {}, today, known: { components: [spare] } });
  expect([judged.verdict, judged.counts.alreadyHere]).toEqual(["ready", 1]);
});

test("answers are for all columns or for one", () => {
  const rows = [{ "Bought on": "03/04/2023", "In use on": "03/05/2023" }];
  expect(judge(rows).questions.map((question) => question.column)).toEqual(["F", "G"]);
  expect(judge(rows, { dateOrder: "day-first" }).rows[0]).toMatchObject({ boughtOn: "2023-04-03", inUseOn: "2023-05-03" });
  expect(judge(rows, { dateOrder: { boughtOn: "month-first" } }).questions.map((question) => question.column)).toEqual(["G"]);
});
