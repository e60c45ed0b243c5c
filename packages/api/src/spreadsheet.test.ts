import { readFileSync } from "node:fs";
import fc from "fast-check";
import { day } from "@hangrail/rules/calendar";
import { judgeFleetSheet } from "@hangrail/rules/fleet-sheet";
import { cellsOf, fleetSheetOf } from "@hangrail/rules/fleet-sheet-export";
import { judgeHistorySheet } from "@hangrail/rules/fleet-sheet-history";
import type { Sheet } from "@hangrail/rules/sheet-report";
import { describe, expect, test } from "vitest";
import { MOST_BYTES, readSheet, writeSheet } from "./spreadsheet.ts";
import type { ReadSheet } from "./spreadsheet.ts";

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const sample = (name: string): Uint8Array => readFileSync(new URL(`../../../tests/support/sheets/${name}`, import.meta.url));
const read = (input: Uint8Array | string): Extract<ReadSheet, { ok: true }> => {
  const answer = readSheet(typeof input === "string" ? bytes(input) : input);
  if (!answer.ok) throw new Error(answer.sentence);
  return answer;
};
const cells = (input: Uint8Array | string): string[][] => [read(input).sheet.header, ...read(input).sheet.rows].map((row) => [...row]);
const refused = (input: Uint8Array | string): string => {
  const answer = readSheet(typeof input === "string" ? bytes(input) : input);
  return answer.ok ? "read" : answer.code;
};
const utf16 = (text: string, bigEndian: boolean): Uint8Array => {
  const out = new Uint8Array(2 + text.length * 2);
  const view = new DataView(out.buffer);
  view.setUint16(0, 0xfeff, !bigEndian);
  for (let at = 0; at < text.length; at += 1) view.setUint16(2 + at * 2, text.charCodeAt(at), !bigEndian);
  return out;
};

describe("encodings", () => {
  const text = "Maker;Note\r\nMüller;Größe 5 €\r\n";
  const expected = [["Maker", "Note"], ["Müller", "Größe 5 €"]];
  test("UTF-8 with and without a mark", () => {
    expect([cells(text), read(text).encoding]).toEqual([expected, "UTF-8"]);
    expect([cells(`\ufeff${text}`), read(`\ufeff${text}`).encoding]).toEqual([expected, "UTF-8 with mark"]);
  });
  test("UTF-16 of both kinds", () => {
    expect([cells(utf16(text, false)), read(utf16(text, false)).encoding]).toEqual([expected, "UTF-16 little-endian"]);
    expect([cells(utf16(text, true)), read(utf16(text, true)).encoding]).toEqual([expected, "UTF-16 big-endian"]);
  });
  test("Windows-1252 where it is no UTF-8, with its own characters", () => {
    const windows = Uint8Array.from([..."Maker;Note\r\nM"].map((letter) => letter.charCodeAt(0)).concat([0xfc, 0x3b, 0x80, 0x92, 0x8a]));
    expect([cells(windows), read(windows).encoding]).toEqual([[["Maker", "Note"], ["Mü", "€’Š"]], "Windows-1252"]);
  });
  test("torn text is not read as something else", () => {
    expect(refused(Uint8Array.of(0xef, 0xbb, 0xbf, 0x41, 0xfc, 0x42))).toBe("torn-text");
    expect(refused(Uint8Array.of(0xff, 0xfe, 0x41, 0x00, 0x42))).toBe("torn-text");
    expect(refused(Uint8Array.of(0xff, 0xfe, 0x00, 0xd8, 0x41, 0x00))).toBe("torn-text");
  });
});

describe("files that are no CSV", () => {
  test.each<[string, Uint8Array, string]>([
    ["nothing", new Uint8Array(), "empty"],
    ["blank space", bytes(" \r\n\r\n"), "empty"],
    ["only a mark", Uint8Array.of(0xef, 0xbb, 0xbf), "empty"],
    ["a workbook", Uint8Array.of(0x50, 0x4b, 3, 4, 20, 0, 6, 0), "workbook"],
    ["an older workbook", Uint8Array.of(0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1), "workbook"],
    ["a PDF", bytes("%PDF-1.7\n"), "pdf"],
    ["a picture", Uint8Array.of(0x89, 0x50, 0x4e, 0x47), "not-text"],
    ["zero bytes", bytes("Tag,Maker\nR-1,\u0000\n"), "not-text"],
    ["UTF-16 without a mark", utf16("Tag,Maker\n", false).slice(2), "not-text"],
    ["a zero character in UTF-16", utf16("Tag,\u0000\n", false), "not-text"],
    ["more than 5 MB", new Uint8Array(MOST_BYTES + 1).fill(0x61), "too-big"],
    ["one endless line", new Uint8Array(MOST_BYTES).fill(0x61), "line-too-long"],
    ["one line of endless columns", new Uint8Array(MOST_BYTES).fill(0x2c), "line-too-long"],
    ["201 columns", bytes(`a,b\n${",".repeat(200)}\n`), "too-many-columns"],
    ["endless blank rows", bytes(`a,b\n${"\n".repeat(200_000)}x,y`), "too-many-rows"],
    ["one endless quoted cell", bytes(`a,b\n"${"x\n".repeat(200_000)}`), "line-too-long"],
    ["a quotation mark never closed", bytes('a,b\n1,2\n"3,4\n5,6\n'), "quotation-mark"],
    ["a quotation mark inside a cell", bytes('a,b\n1,2\n5" hose,4\n'), "quotation-mark"],
  ])("%s", (_, input, code) => {
    const started = process.memoryUsage().rss;
    expect(refused(input)).toBe(code);
    expect((process.memoryUsage().rss - started) / 1e6).toBeLessThan(300);
  });

  test("the sentence says what to do, and where", () => {
    expect(readSheet(Uint8Array.of(0x50, 0x4b, 3, 4))).toMatchObject({ sentence: expect.stringContaining("This is a workbook file") as string });
    expect(readSheet(bytes('a,b\n1,2\n5" hose,4\n'))).toMatchObject({ sentence: expect.stringContaining("Row 3:") as string });
    expect(readSheet(bytes('a,b\n1,2\n"3,4\n'))).toMatchObject({ sentence: expect.stringContaining("Row 3:") as string });
    expect(readSheet(new Uint8Array(), { name: "fleet.csv" })).toMatchObject({ sentence: "The file “fleet.csv” is empty." });
  });
});

describe("columns and rows", () => {
  test.each<[string, string]>([["a,b\n1,2\n", ","], ["a;b\n1,5;2,5\n", ";"], ["a\tb\n1,5\t2;5\n", "\t"], ["a;b,c;d\n1;2;3\n4;5;6\n", ";"], ["sep=;\na,x;b,y\n1;2\n", ";"], ['"a;b","c"\n1,2\n', ","], ["Maker (e.g. A, B);Serial\nX;1\n", ";"]])(
    "%j is divided by %j", (text, delimiter) => expect(read(text).delimiter).toBe(delimiter));
  test("when two divide equally well it is asked, and the answer is taken", () => {
    const text = "a,b;c\n1,2;3\n";
    expect(refused(text)).toBe("delimiter-unclear");
    expect(readSheet(bytes(text), { delimiter: ";" })).toMatchObject({ ok: true, sheet: { header: ["a,b", "c"] } });
  });
  test.each(["\n", "\r\n", "\r"])("line ends %j", (end) => expect(cells(["a,b", "1,2", '"x,""y""",3'].join(end))).toEqual([["a", "b"], ["1", "2"], ['x,"y"', "3"]]));
  test("a cell may hold line breaks, and the row is still one row", () => expect(cells('a,b\r\n"one\r\ntwo",2\r\n3,4\r\n')).toEqual([["a", "b"], ["one\r\ntwo", "2"], ["3", "4"]]));
  test("uneven rows stay as they are, blank ones keep their place", () => {
    expect(cells("a,b,c\n1\n\n1,2,3,4\n")).toEqual([["a", "b", "c"], ["1"], [""], ["1", "2", "3", "4"]]);
    expect(read("\n,\na,b\n1,2\n").sheet).toEqual({ header: ["a", "b"], rows: [["1", "2"]], headerRow: 3 });
  });
  test("a cell that swallowed rows is a problem", () => {
    const swallowed = read('a,b,c,d\n1,2,3,"see\n1,2,3,4\n5,6,7,ok"\n');
    expect(swallowed.problems.map((problem) => problem.sentence)).toEqual(["Row 2, column D, “d”: the cell holds what looks like whole rows of the sheet. A quotation mark may be missing in it."]);
    expect(read('a,b,c,d\n1,2,3,"see\nthis, and that"\n').problems).toEqual([]);
  });
});

describe("writing", () => {
  const written = (header: string[], rows: (string | number | null)[][]): string => new TextDecoder("utf-8", { ignoreBOM: true }).decode(writeSheet(header, rows));
  test("has a mark, CRLF and quotation marks where needed", () => expect(written(["a", "b"], [["x,y", 'say "hi"'], ["two\nlines", null]])).toBe('\ufeffa,b\r\n"x,y","say ""hi"""\r\n"two\nlines",\r\n'));
  test("no text is a formula, and numbers are numbers", () => expect(written(["a"], [["=1+1"], ["+49"], ["-5"], ["@x"], ["\tx"], ["'=x"], ["'plain"], [-5], [1.5]])).toBe("\ufeffa\r\n'=1+1\r\n'+49\r\n'-5\r\n'@x\r\n\"'\tx\"\r\n''=x\r\n'plain\r\n-5\r\n1.5\r\n"));
  test("what cannot be written is an error", () => {
    expect(() => writeSheet(["a"], [[Number.NaN]])).toThrow(RangeError);
    expect(() => writeSheet(["a"], [["\u0000"]])).toThrow(RangeError);
  });

  const text = fc.oneof(
    fc.string({ unit: "grapheme", maxLength: 12 }),
    fc.string({ unit: "binary", maxLength: 12 }).map((value) => value.replaceAll("\u0000", "")),
    fc.stringMatching(/^'{0,2}[=+\-@\t\r\n＝"',;]{0,3}[a-z,;"\n\r ']{0,6}$/),
  );
  test("what is written is read back the same, cell by cell", () => {
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 5 }).chain((width) => fc.tuple(fc.array(text, { minLength: width, maxLength: width }), fc.array(fc.array(text, { minLength: width, maxLength: width }), { maxLength: 6 }))), ([header, rows]) => {
        const named = ["Tag", ...header];
        const full = rows.map((row) => ["x", ...row]);
        const answer = read(writeSheet(named, full));
        expect([answer.sheet.header, answer.sheet.rows, answer.delimiter]).toEqual([named, full, ","]);
      }),
      { numRuns: 800 },
    );
  });
  test("whatever the bytes, there is an answer", () => {
    fc.assert(fc.property(fc.oneof(fc.uint8Array({ maxLength: 200 }), fc.string({ maxLength: 200 }).map(bytes)), (input) => {
      const answer = readSheet(input);
      if (!answer.ok) expect(answer.sentence).toMatch(/\.$/);
    }), { numRuns: 1_000 });
  });
});

describe("sheets as shops have them", () => {
  const today = day("2026-11-25");
  const judge = (sheet: Sheet, known: Parameters<typeof judgeFleetSheet>[1]["known"] = { components: [] }) => judgeFleetSheet(sheet, { answers: { dateOrder: { inUseOn: "day-first" } }, today, known });
  const german = () => judge(read(sample("fleet-semicolon-windows-1252.csv")).sheet);

  test("a German one: semicolons, Windows-1252, day first, decimal commas", () => {
    expect(read(sample("fleet-semicolon-windows-1252.csv"))).toMatchObject({ encoding: "Windows-1252", delimiter: ";", problems: [] });
    const judged = german();
    expect([judged.problems, judged.questions, judged.counts]).toEqual([[], [], { rows: 20, blankRows: 1, newRows: 20, alreadyHere: 0, rowsWithProblems: 0, problems: 0 }]);
    expect(judged.rows[3]).toMatchObject({ row: 5, tag: "R-01", role: "gauge", maker: "Müller & Söhne", servicedOn: "2026-02-03", minutesSinceService: 3510, minutesSinceInspection: 795 });
    expect(judged.rows[4]?.note).toBe("gelb; 70 cm");
    expect(new Set(judged.rows.map((row) => row.tag))).toEqual(new Set(["R-01", "R-02", "R-03", "R-04"]));
  });
  test("its days are asked about where the column does not decide", () => {
    const asked = judgeFleetSheet(read(sample("fleet-semicolon-windows-1252.csv")).sheet, { answers: {}, today, known: { components: [] } });
    expect(asked.questions.map((question) => [question.code, question.header])).toEqual([["date-order", "Inbetriebnahme"]]);
  });
  test("its history fits it", () => {
    const judged = judgeHistorySheet(read(sample("history-semicolon-windows-1252.csv")).sheet, { answers: {}, today, known: { components: german().rows, work: [] } });
    expect([judged.problems, judged.questions]).toEqual([[], []]);
    expect(judged.rows.map((row) => [row.work, row.doneOn, row.divesAt])).toEqual([["service", "2026-02-03", 239], ["inspection", "2026-08-17", 287], ["service", "2025-01-18", 120], ["service", "2026-02-03", 239]]);
  });
  test("one with tabs and a mark, a cell of two lines and a spare", () => {
    expect(read(sample("fleet-tab-utf8-mark.txt"))).toMatchObject({ encoding: "UTF-8 with mark", delimiter: "\t" });
    const judged = judge(read(sample("fleet-tab-utf8-mark.txt")).sheet);
    expect([judged.verdict, judged.rows.length]).toEqual(["ready", 11]);
    expect(judged.rows.map((row) => row.role).slice(0, 5)).toEqual(["first-stage", "primary", "alternate", "gauge", "inflator-hose"]);
    expect(judged.rows[4]).toMatchObject({ note: "two lines in one cell", divesSinceService: null, servicedOn: null });
    expect(judged.rows.at(-1)).toMatchObject({ tag: null, role: "transmitter" });
  });
  test("one with a dozen bad cells, each named", () => {
    const judged = judge(read(sample("fleet-comma-bad-cells.csv")).sheet);
    expect(judged.rows).toEqual([]);
    expect(judged.problems.map((problem) => `${problem.row ?? "-"}${problem.column ?? ""} ${problem.code}`)).toEqual([
      "3I date-impossible", "4K number-about", "5H date-future", "6F date-too-old", "7B set-doubled", "8E empty", "9E part-twice", "10A tag-form", "11C empty",
      "12E serial-mangled", "13O number-negative", "14L workbook-error", "15K number-not-whole", "16G days-disagree",
    ]);
  });
  test("written out and read again, all of it is already here", () => {
    const parts = german().rows;
    const sheet = fleetSheetOf(parts);
    const answer = read(writeSheet(sheet.header, sheet.rows));
    expect([answer.sheet.header, answer.sheet.rows]).toEqual([cellsOf(sheet).header, cellsOf(sheet).rows]);
    expect(judge(answer.sheet, { components: parts }).summary).toBe("Nothing new. Already here: 20 rows.");
  });
});
