import fc from "fast-check";
import { expect, test } from "vitest";
import { addDays, day } from "./calendar.ts";
import type { Day } from "./calendar.ts";
import { cellsOf, fleetSheetOf } from "./fleet-sheet-export.ts";
import { judgeHistorySheet } from "./fleet-sheet-history.ts";
import { judgeFleetSheet } from "./fleet-sheet.ts";
import type { FleetFacts } from "./fleet-sheet-parts.ts";
import { ROLES } from "./models.ts";
import { FLEET_COLUMNS, HISTORY_COLUMNS } from "./sheet-columns.ts";
import { tagLikeness } from "./sheet-tags.ts";
import { unknownText, unusableCell } from "./sheet-text.ts";

const today = day("2026-11-25");
const maybe = <T>(value: fc.Arbitrary<T>): fc.Arbitrary<T | null> => fc.option(value, { nil: null, freq: 3 });
const pastDay = fc.integer({ min: 0, max: 20_000 }).map((back): Day => addDays(today, -back));
const anyColumn = { index: 0, letter: "A", header: "any" };
/** Text as a record may hold it: visible, tidy, and no word for "not known". */
const name = fc.oneof(fc.constantFrom("Copperfin", "Keel 3", "Müller & Söhne", "=Anchor", "-9", "l'Étoile"), fc.string({ minLength: 1, maxLength: 20, unit: "grapheme" }))
  .map((text) => text.replace(/\s+/g, " ").trim())
  .filter((text) => text !== "" && text === text.normalize("NFC") && unknownText(text) === null && unusableCell(anyColumn, { row: 2, value: text }) === null);
const serial = fc.stringMatching(/^[A-Z]{1,2}[0-9]{3,6}$/);
const dives = maybe(fc.integer({ min: 0, max: 1_000_000 }));
const minutes = maybe(fc.integer({ min: 0, max: 10_000_000 }));

/** Parts as a record may hold them, whatever their counts and days say together; no serial number twice. */
const fleet: fc.Arbitrary<FleetFacts[]> = fc.uniqueArray(
  fc.record<FleetFacts>({
    tag: maybe(fc.stringMatching(/^[A-Z]{1,3}-[1-9][0-9]{0,2}$/)), role: fc.constantFrom(...ROLES), maker: name, model: name, serial,
    boughtOn: maybe(pastDay), inUseOn: maybe(pastDay), lastUsedOn: maybe(pastDay), servicedOn: maybe(pastDay), inspectedOn: maybe(pastDay),
    divesSinceService: dives, minutesSinceService: minutes, divesSinceInspection: dives, minutesSinceInspection: minutes, totalDives: dives, note: maybe(name),
  }),
  { selector: (part) => part.serial, maxLength: 12, minLength: 1 },
).map((parts) => parts.map((part) => (part.role === "hose" || part.role === "gauge" ? { ...part, serial: null } : part)));

test("what is exported and read again is already here, row by row", () => {
  fc.assert(
    fc.property(fleet, (parts) => {
      const judged = judgeFleetSheet(cellsOf(fleetSheetOf(parts)), { answers: { tagsAlike: "different-sets" }, today, known: { components: parts } });
      expect(judged.problems.map((problem) => problem.sentence)).toEqual([]);
      expect([judged.verdict, judged.rows.length, judged.counts.alreadyHere]).toEqual(["ready", 0, parts.length]);
    }),
    { numRuns: 300 },
  );
});

test("one fact changed in an exported sheet is a contradiction, never a silent change", () => {
  const changes: ((part: FleetFacts) => FleetFacts)[] = [
    (part) => ({ ...part, tag: part.tag === "Q-1" ? "Q-2" : "Q-1" }),
    (part) => ({ ...part, servicedOn: addDays(part.servicedOn ?? today, -1) }),
    (part) => ({ ...part, divesSinceService: part.divesSinceService === 7 ? 8 : 7 }),
    (part) => ({ ...part, minutesSinceInspection: part.minutesSinceInspection === null ? 1 : Math.max(0, part.minutesSinceInspection - 1) + (part.minutesSinceInspection === 0 ? 1 : 0) }),
    (part) => ({ ...part, note: `${part.note ?? ""} more` }),
  ];
  fc.assert(
    fc.property(fleet, fc.nat(), fc.constantFrom(...changes), (parts, pick, change) => {
      const at = pick % parts.length;
      const part = parts[at];
      if (part === undefined || part.serial === null) return;
      const judged = judgeFleetSheet(cellsOf(fleetSheetOf(parts.map((one, index) => (index === at ? change(one) : one)))), { answers: { tagsAlike: "different-sets" }, today, known: { components: parts } });
      expect(judged.problems.map((problem) => [problem.code, problem.row])).toContainEqual(["differs-from-record", at + 2]);
      expect(judged.rows).toEqual([]);
    }),
    { numRuns: 300 },
  );
});

const junk = fc.oneof(
  fc.constantFrom("", "-", "?", "n/a", "=1+1", "#REF!", "__proto__", "constructor", "toString", "NaN", "Infinity", "1e309", "-0", "1,234", "45000", "03/04/2026", "13/13/2026", "R-1", "second stage", "\u0000", "\u202e", "\ud800", "x".repeat(501)),
  fc.string({ maxLength: 30 }),
  fc.string({ unit: "binary", maxLength: 30 }),
  fc.double().map(String),
  fc.date({ noInvalidDate: true }).map(String),
);
const answers = fc.constantFrom(
  {},
  { dateOrder: "day-first", dayNumbers: "from-1900", decimalMark: "comma", blankTags: "same-as-above", tagsAlike: "same-set", shortRows: "empty", ignoreUnknown: true } as const,
  { dateOrder: "month-first", dayNumbers: "from-1904", decimalMark: "point", blankTags: "spare", tagsAlike: "different-sets", shortRows: "empty" } as const,
);
const junkSheet = (titles: readonly string[]) =>
  fc.record({
    header: fc.oneof({ weight: 4, arbitrary: fc.constant(titles) }, { weight: 1, arbitrary: fc.array(fc.oneof(junk, fc.constantFrom(...titles)), { maxLength: 20 }) }),
    rows: fc.array(fc.array(junk, { minLength: titles.length - 2, maxLength: titles.length + 1 }), { maxLength: 6 }),
  });
const GOOD_FLEET = ["R-7", "first stage", "Copperfin", "Keel", "K7", "2024-01-01", "2024-01-02", "2024-05-02", "2024-02-02", "2024-02-03", "5", "5", "5", "5", "5", ""];

/** Every number of an answer is one, and every sentence says where. */
function expectSound(judged: ReturnType<typeof judgeFleetSheet> | ReturnType<typeof judgeHistorySheet>): void {
  for (const row of judged.rows) {
    for (const value of Object.values(row)) if (typeof value === "number") expect(Number.isSafeInteger(value) && value >= 0).toBe(true);
  }
  expect(judged.verdict === "ready" || judged.rows.length === 0).toBe(true);
  expect(judged.verdict === "ready").toBe(judged.problems.length === 0 && judged.questions.length === 0);
  for (const said of [...judged.problems, ...judged.questions]) {
    expect(said.sentence).toMatch(/row|column|sheet/i);
    expect(said.sentence.replace(/“[^”]*”/g, "")).not.toMatch(/NaN|undefined|\[object|null/);
    expect(said.sentence.length).toBeLessThan(700);
  }
}

test("whatever the cells of a fleet hold, the answer is sound", () => {
  fc.assert(
    fc.property(junkSheet(FLEET_COLUMNS.map((column) => column.title)), answers, (sheet, told) => {
      expectSound(judgeFleetSheet(sheet, { answers: told, today, known: { components: [] } }));
    }),
    { numRuns: 400 },
  );
});

test("one junk cell in a good row is taken as it should be or stops the sheet", () => {
  fc.assert(
    fc.property(fc.nat(GOOD_FLEET.length - 1), junk, answers, (at, cell, told) => {
      const rows = [GOOD_FLEET.map((good, index) => (index === at ? cell : good))];
      const judged = judgeFleetSheet({ header: FLEET_COLUMNS.map((column) => column.title), rows }, { answers: told, today, known: { components: [] } });
      expectSound(judged);
      expect(judged.counts.rows).toBe(1);
      expect(judged.verdict !== "ready" || judged.rows.length === 1).toBe(true);
    }),
    { numRuns: 400 },
  );
});

test("whatever the cells of a history hold, the answer is sound", () => {
  fc.assert(
    fc.property(junkSheet(HISTORY_COLUMNS.map((column) => column.title)), (sheet) => {
      expectSound(judgeHistorySheet(sheet, { answers: {}, today, known: { components: [], work: [] } }));
    }),
    { numRuns: 400 },
  );
});

test("tags that look alike never end in one set unless the caller said so", () => {
  fc.assert(
    fc.property(fc.stringMatching(/^[rR][- ]?0{0,2}1$/), fc.stringMatching(/^[rR][- ]?0{0,2}1$/), (one, other) => {
      const rows = [one, other].map((tag, at) => GOOD_FLEET.map((good, index) => (index === 0 ? tag : index === 1 ? ["first stage", "gauge"][at] ?? "" : index === 4 ? `K${at}` : good)));
      const judged = judgeFleetSheet({ header: FLEET_COLUMNS.map((column) => column.title), rows }, { answers: {}, today, known: { components: [] } });
      const alike = one.toUpperCase().replace(" ", "-") !== other.toUpperCase().replace(" ", "-");
      expect(judged.questions.map((question) => question.code)).toEqual(alike ? ["tags-alike"] : []);
      expect(tagLikeness("R-1")).toBe("R1");
    }),
  );
});
