/**
 * Judges a spreadsheet of bookings: one row for sets of one kind asked for on every day from one to another.
 *
 * The same promise as for the sheet of parts: every bad cell named, nothing guessed, all or nothing.
 * An empty cell asks for nothing special: any valve, warm water, air, no teaching. Common practice.
 */
import { addDays, daysBetween } from "./calendar.ts";
import type { Day } from "./calendar.ts";
import { verdictOf } from "./fleet-sheet.ts";
import type { SheetVerdict } from "./fleet-sheet.ts";
import type { O2Tenths } from "./measures.ts";
import type { Connection } from "./models.ts";
import { BOOKING_COLUMNS } from "./sheet-columns.ts";
import type { BookingColumn } from "./sheet-columns.ts";
import { judgeDateColumn } from "./sheet-dates.ts";
import type { JudgedColumn } from "./sheet-dates.ts";
import { judgeCountColumn } from "./sheet-numbers.ts";
import { wordKey } from "./sheet-positions.ts";
import { BlankTally, cellProblem, rowProblem, shown } from "./sheet-report.ts";
import type { ProblemCode, Sheet, SheetCell, SheetColumn, SheetProblem } from "./sheet-report.ts";
import { OpenSheet, answerFor, judgeTextColumn } from "./sheet-rows.ts";
import type { SheetAnswers } from "./sheet-rows.ts";
import { cellsToRead } from "./sheet-text.ts";

export interface BookingSheetRow {
  readonly row: number;
  readonly fromOn: Day;
  /** The last day, included. */
  readonly untilOn: Day;
  readonly sets: number;
  /** `null` = any valve. */
  readonly connection: Connection | null;
  readonly cold: boolean;
  readonly o2Tenths: O2Tenths;
  readonly teaching: boolean;
  readonly words: string;
}

export interface BookingSheetRequest {
  readonly answers: SheetAnswers<BookingColumn>;
  /** Today in the site's zone. */
  readonly today: Day;
}

/** The most rows taken in at once, sets of a booking, its days, its words, and how far ahead its last day may lie. */
export const BOOKING_LIMITS = { rows: 1_000, sets: 1_000, days: 366, words: 200, daysAhead: 1_098 } as const;

const AIR: O2Tenths = 210;

/** Judges a sheet of bookings. Errors: none; whatever a cell holds, the answer says what is wrong with it. */
export function judgeBookingSheet(sheet: Sheet, { answers, today }: BookingSheetRequest): SheetVerdict<BookingSheetRow> {
  const open = new OpenSheet<BookingColumn>(sheet, BOOKING_COLUMNS, answers, today);
  if (open.rowNumbers.length > BOOKING_LIMITS.rows) {
    open.report([rowProblem("too-many-rows", null, `The sheet has ${open.rowNumbers.length} bookings; ${BOOKING_LIMITS.rows} are the most at once. Divide it.`)]);
  }
  const rows = readRows(open);
  for (const row of rows) checkRow(open, row);
  return verdictOf(open, rows, 0);
}

function readRows(open: OpenSheet<BookingColumn>): BookingSheetRow[] {
  const { answers, today } = open;
  const days = (name: BookingColumn) =>
    open.judge(name, (column, cells) =>
      judgeDateColumn(column, cells, { today, until: addDays(today, BOOKING_LIMITS.daysAhead), order: answerFor(answers.dateOrder, name), dayNumbers: answerFor(answers.dayNumbers, name) }));
  const fromOn = days("fromOn");
  const untilOn = days("untilOn");
  const sets = open.judge("sets", (column, cells) => judgeCountColumn(column, cells, answerFor(answers.decimalMark, "sets")));
  const valve = open.judge("valve", (column, cells) => judgeWords(column, cells, valveOf, "valve-word", "is no valve known here. Write yoke, DIN 232, DIN 300 or M26, or leave the cell empty for any."));
  const cold = open.judge("cold", (column, cells) => judgeWords(column, cells, yesOrNo, "yes-no-word", "is neither yes nor no."));
  const oxygen = open.judge("oxygen", (column, cells) => judgeWords(column, cells, oxygenOf, "gas-form", "is no share of oxygen from 21 to 100 %. Write 32, EAN32 or air."));
  const teaching = open.judge("teaching", (column, cells) => judgeWords(column, cells, yesOrNo, "yes-no-word", "is neither yes nor no."));
  const note = open.judge("note", (column, cells) => judgeTextColumn(column, cells, null));
  const optional = [valve, cold, oxygen, teaching, note];

  const rows: BookingSheetRow[] = [];
  for (const row of open.rowNumbers) {
    const [from, until, count] = [fromOn?.get(row), untilOn?.get(row), sets?.get(row)];
    if (from === null) open.refuse("empty", row, "fromOn", "the first day is missing.");
    if (until === null) open.refuse("empty", row, "untilOn", "the last day is missing.");
    if (count === null) open.refuse("empty", row, "sets", "how many sets is missing.");
    if (from == null || until == null || count == null) continue;
    if (!optional.every((column) => column === null || column.has(row))) continue;
    rows.push({
      row, fromOn: from, untilOn: until, sets: count,
      connection: valve?.get(row) ?? null, cold: cold?.get(row) ?? false, o2Tenths: oxygen?.get(row) ?? AIR, teaching: teaching?.get(row) ?? false,
      words: note?.get(row) ?? "",
    });
  }
  return rows;
}

function checkRow(open: OpenSheet<BookingColumn>, { row, fromOn, untilOn, sets, words }: BookingSheetRow): void {
  const { days, sets: mostSets, words: longest } = BOOKING_LIMITS;
  if (untilOn < fromOn) open.refuse("days-disagree", row, "untilOn", `the last day, ${untilOn}, is before the first, ${fromOn}.`);
  else if (daysBetween(fromOn, untilOn) > days) open.refuse("days-disagree", row, "untilOn", `the booking lasts ${daysBetween(fromOn, untilOn)} days; ${days} are the most.`);
  else if (untilOn < open.today) open.refuse("date-too-old", row, "untilOn", `the booking is over: its last day, ${untilOn}, was before today.`);
  if (sets < 1) open.refuse("number-form", row, "sets", "a booking asks for one set at least.");
  if (sets > mostSets) open.refuse("number-too-large", row, "sets", `${sets} sets in one booking are more than the ${mostSets} that are the most.`);
  if (words.length > longest) open.refuse("cell-too-long", row, "note", `the note holds ${words.length} characters; ${longest} are the most.`);
}

/** A column of words with one meaning each; an empty cell asks for nothing special. */
function judgeWords<Value>(column: SheetColumn, cells: readonly SheetCell[], read: (text: string) => Value | undefined, code: ProblemCode, says: string): JudgedColumn<Value> {
  const values = new Map<number, Value | null>();
  const problems: SheetProblem[] = [];
  const blanks = new BlankTally();
  for (const cell of cellsToRead(column, cells, { values, problems, blanks })) {
    const value = read(cell.value);
    if (value === undefined) problems.push(cellProblem(code, column, cell, `“${shown(cell.value)}” ${says}`));
    else values.set(cell.row, value);
  }
  return { values, problems, questions: [], blanks: blanks.list(column) };
}

const VALVES: Readonly<Record<string, Connection | null>> = {
  yoke: "yoke", "a clamp": "yoke", aclamp: "yoke", international: "yoke", int: "yoke", bügel: "yoke", bugel: "yoke", étrier: "yoke", etrier: "yoke", estribo: "yoke", staffa: "yoke",
  "din 232": "din-232", din232: "din-232", "din 230": "din-232", "din 200": "din-232", "232 bar": "din-232",
  "din 300": "din-300", din300: "din-300", "300 bar": "din-300",
  m26: "m26", "m 26": "m26", m26x2: "m26",
  any: null, either: null, beliebig: null, egal: null, indifférent: null, indifferent: null, cualquiera: null, qualsiasi: null,
};

/** `undefined` = no valve; plain "DIN" does not say which. */
function valveOf(text: string): Connection | null | undefined {
  const key = wordKey(text);
  return Object.hasOwn(VALVES, key) ? VALVES[key] : undefined;
}

const YES: ReadonlySet<string> = new Set(["yes", "y", "true", "1", "x", "ja", "j", "oui", "o", "si", "s", "✓", "✔"]);
const NO: ReadonlySet<string> = new Set(["no", "n", "false", "0", "nein", "non"]);

function yesOrNo(text: string): boolean | undefined {
  const key = wordKey(text) || text.trim();
  return YES.has(key) ? true : NO.has(key) ? false : undefined;
}

const AIR_WORDS: ReadonlySet<string> = new Set(["air", "luft", "aire", "aria"]);
const SHARE = /^(?:ean ?x?|nitrox|nx|nitrox ean)? ?(\d{2,3})(?:[.,](\d))? ?%?$/i;

function oxygenOf(text: string): O2Tenths | undefined {
  if (AIR_WORDS.has(wordKey(text))) return AIR;
  const written = SHARE.exec(text.normalize("NFKC").replace(/\s+/g, " ").trim());
  if (written === null) return undefined;
  const tenths = Number(written[1]) * 10 + Number(written[2] ?? "0");
  return tenths >= AIR && tenths <= 1000 ? tenths : undefined;
}
