/**
 * Spreadsheets at the door: bytes to cells and cells to bytes (RFC 4180, as spreadsheet programs read it).
 *
 * What the cells mean is decided in the rules; here only the file is opened and closed, within limits
 * that keep a hostile or mistaken file from costing more than a moment.
 */
import { SHEET_LIMITS, columnLetter, shown } from "@hangrail/rules/sheet-report";
import type { Sheet, SheetProblem } from "@hangrail/rules/sheet-report";
import { CsvError, parse } from "csv-parse/sync";
import { stringify } from "csv-stringify/sync";
import { decodeText } from "./sheet-encoding.ts";
import type { SheetEncoding } from "./sheet-encoding.ts";

export type Delimiter = "," | ";" | "\t";

export interface ReadOptions {
  /** The file's name, only to be named in a sentence. */
  readonly name?: string;
  /** The mark between columns, where the caller was asked; else it is found. */
  readonly delimiter?: Delimiter;
}

export type SheetFileCode =
  | "empty" | "too-big" | "workbook" | "pdf" | "not-text" | "torn-text"
  | "line-too-long" | "too-many-rows" | "too-many-columns" | "quotation-mark" | "delimiter-unclear";

export type ReadSheet =
  | {
      readonly ok: true;
      readonly sheet: Sheet;
      readonly encoding: SheetEncoding;
      readonly delimiter: Delimiter;
      /** Cells that seem to have swallowed rows. Show them with the problems of the judgement. */
      readonly problems: readonly SheetProblem[];
    }
  | { readonly ok: false; readonly code: SheetFileCode; readonly sentence: string };

type Refusal = Extract<ReadSheet, { ok: false }>;

/** 5 MB of file at the most. */
export const MOST_BYTES = 5 * 1024 * 1024;
/** A line as long as the widest row with full cells; anything longer is no row of a sheet. */
const MOST_LINE = SHEET_LIMITS.columns * (SHEET_LIMITS.cell + 3);
/** Rows in the file, blank ones included. */
const MOST_RECORDS = 2 * SHEET_LIMITS.rows;
const DELIMITERS: readonly Delimiter[] = [",", ";", "\t"];
const DELIMITER_WORD: Readonly<Record<Delimiter, string>> = { ",": "commas", ";": "semicolons", "\t": "tabs" };

const refuse = (code: SheetFileCode, sentence: string): Refusal => ({ ok: false, code, sentence });
class Refused extends Error {
  constructor(readonly refusal: Refusal) {
    super(refusal.sentence);
  }
}

/** Reads a file of cells. Errors: none; a file that cannot be read is answered with a sentence. */
export function readSheet(bytes: Uint8Array, options: ReadOptions = {}): ReadSheet {
  const name = options.name === undefined ? "The file" : `The file “${shown(options.name)}”`;
  if (bytes.byteLength === 0) return refuse("empty", `${name} is empty.`);
  if (bytes.byteLength > MOST_BYTES) return refuse("too-big", `${name} is larger than 5 MB. A sheet of ${SHEET_LIMITS.rows} rows is smaller; save the one sheet as CSV, or divide it.`);
  const decoded = decodeText(bytes);
  if (!decoded.ok) return refuse(decoded.code, decoded.sentence);
  const { text, told } = withoutHint(decoded.text);
  if (text.trim() === "") return refuse("empty", `${name} holds nothing but blank space.`);
  if (longestLine(text) > MOST_LINE) return refuse("line-too-long", `${name} has a line of more than ${MOST_LINE} characters. That is no row of a spreadsheet.`);
  try {
    const delimiter = options.delimiter ?? told ?? findDelimiter(text);
    return { ok: true, encoding: decoded.encoding, delimiter, ...cellsOf(text, delimiter) };
  } catch (error) {
    if (error instanceof Refused) return error.refusal;
    throw error;
  }
}

/** Some programs name the delimiter in a line of its own, "sep=;", which is no row to them. */
function withoutHint(text: string): { readonly text: string; readonly told: Delimiter | undefined } {
  const hint = /^sep=([,;\t])(?:\r\n|\n|\r)/i.exec(text);
  const told = DELIMITERS.find((delimiter) => delimiter === hint?.[1]);
  return { text: hint ? text.slice(hint[0].length) : text, told };
}

function longestLine(text: string): number {
  let longest = 0;
  let start = 0;
  for (let at = 0; at <= text.length; at += 1) {
    const code = text.charCodeAt(at);
    if (at < text.length && code !== 10 && code !== 13) continue;
    if (at - start > longest) longest = at - start;
    start = at + 1;
  }
  return longest;
}

interface Trial {
  readonly delimiter: Delimiter;
  readonly columns: number;
  /** Of the first rows, those as wide as the header. */
  readonly alike: number;
}

const TRIAL_ROWS = 30;

/** The delimiter that gives a header of several columns and rows of the same width. */
function findDelimiter(text: string): Delimiter {
  const trials = DELIMITERS.flatMap((delimiter) => tryDelimiter(text, delimiter)).filter((trial) => trial.columns > 1);
  // Rows as wide as the header count most: a comma inside semicolon cells is rarely in all of them.
  trials.sort((a, b) => b.alike - a.alike || b.columns - a.columns);
  const [best, next] = trials;
  if (!best) return ",";
  if (next && next.alike === best.alike && next.columns === best.columns) {
    throw new Refused(refuse("delimiter-unclear", `The columns may be divided by ${DELIMITER_WORD[best.delimiter]} or by ${DELIMITER_WORD[next.delimiter]}; both fit. Say which.`));
  }
  return best.delimiter;
}

function tryDelimiter(text: string, delimiter: Delimiter): Trial[] {
  try {
    const rows = records(text, delimiter, TRIAL_ROWS).filter((row) => !isBlank(row));
    const columns = rows[0]?.length ?? 0;
    return [{ delimiter, columns, alike: rows.filter((row) => row.length === columns).length }];
  } catch (error) {
    // Wrongly divided, a quotation mark can stand in the middle of a cell. Another delimiter will fit, or
    // the whole reading says what is wrong.
    if (error instanceof CsvError || error instanceof Refused) return [];
    throw error;
  }
}

/** Divides text into rows of cells, as written. Throws Refused when it is too large, CsvError when torn. */
function records(text: string, delimiter: Delimiter, most?: number): string[][] {
  let count = 0;
  const countRow = (row: string[]): string[] => {
    count += 1;
    if (count > MOST_RECORDS) throw new Refused(refuse("too-many-rows", `The file has more than ${MOST_RECORDS} rows; ${SHEET_LIMITS.rows} are the most at once. Divide it.`));
    if (row.length > SHEET_LIMITS.columns) throw new Refused(refuse("too-many-columns", `Row ${count}: the row has ${row.length} columns; ${SHEET_LIMITS.columns} are the most.`));
    return row;
  };
  return withoutTraces(() => parse(text, {
    delimiter,
    record_delimiter: ["\r\n", "\n", "\r"],
    relax_column_count: true,
    max_record_size: MOST_LINE,
    on_record: countRow,
    ...(most === undefined ? {} : { to: most }),
  }));
}

/** The parser makes an error for each uneven row, also where those are allowed; the trace is nearly all its cost. */
function withoutTraces<Result>(work: () => Result): Result {
  const limit = Error.stackTraceLimit;
  Error.stackTraceLimit = 0;
  try {
    return work();
  } finally {
    Error.stackTraceLimit = limit;
  }
}

function cellsOf(text: string, delimiter: Delimiter): { readonly sheet: Sheet; readonly problems: readonly SheetProblem[] } {
  const all = strictRecords(text, delimiter);
  const headerAt = all.findIndex((row) => !isBlank(row));
  const header = all[headerAt] ?? [];
  const problems: SheetProblem[] = [];
  const rows = all.slice(headerAt + 1);
  const columns = header.length;
  rows.forEach((row, at) => {
    row.forEach((cell, index) => {
      if (swallowedRows(cell, delimiter, columns)) problems.push(swallowed(headerAt + 2 + at, index, header[index] ?? "", cell));
    });
  });
  const sheet = { header: header.map(withoutApostrophe), rows: rows.map((row) => row.map(withoutApostrophe)), headerRow: headerAt + 1 };
  return { sheet, problems };
}

function strictRecords(text: string, delimiter: Delimiter): string[][] {
  try {
    return records(text, delimiter);
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    throw new Refused(tornCell(error));
  }
}

function tornCell(error: CsvError): Refusal {
  const done: unknown = error["records"];
  const row = typeof done === "number" ? done + 1 : null;
  const where = row === null ? "Somewhere in the file" : `Row ${row}`;
  if (error.code === "CSV_QUOTE_NOT_CLOSED") return refuse("quotation-mark", `${where}: a cell begins with a quotation mark that is never closed. Close it, or take it out.`);
  if (error.code === "CSV_MAX_RECORD_SIZE") return refuse("line-too-long", `${where}: the row holds more than ${MOST_LINE} characters. A quotation mark may be missing.`);
  return refuse("quotation-mark", `${where}: a quotation mark stands inside a cell in a way that cannot be read. A cell with quotation marks stands in quotation marks itself, and each inside it is doubled. Save the sheet again from the spreadsheet program.`);
}

const isBlank = (row: readonly string[]): boolean => row.every((cell) => cell.trim() === "");

/** A missing quotation mark lets one cell run on over whole rows, up to the next mark. */
function swallowedRows(cell: string, delimiter: Delimiter, columns: number): boolean {
  if (columns < 4 || !/[\r\n]/.test(cell)) return false;
  return cell.split(/[\r\n]+/).slice(1).some((line) => line.split(delimiter).length >= columns);
}

function swallowed(row: number, index: number, header: string, cell: string): SheetProblem {
  const column = columnLetter(index);
  const sentence = `Row ${row}, column ${column}, “${shown(header)}”: the cell holds what looks like whole rows of the sheet. A quotation mark may be missing in it.`;
  return { code: "cell-holds-rows", row, column, header, value: shown(cell), sentence };
}

/** Characters that make a spreadsheet program take a cell for a formula, with their wide forms. */
const FORMULA = /^'*[=+\-@\t\r\n＝＋－＠]/;

/** Text that a spreadsheet program could take for a formula gets an apostrophe; so does text that already looks so protected. */
function withApostrophe(text: string): string {
  return FORMULA.test(text) ? `'${text}` : text;
}

/** Takes off exactly the apostrophe that writing put on. */
function withoutApostrophe(cell: string): string {
  return cell.startsWith("'") && FORMULA.test(cell) ? cell.slice(1) : cell;
}

/**
 * Writes cells as UTF-8 with a mark, CRLF at line ends, quotation marks where needed (RFC 4180).
 * Text is never a formula to the program that opens it; numbers are numbers.
 *
 * Errors: RangeError for a number that is none, or a zero character, which no record can hold.
 */
export function writeSheet(header: readonly string[], rows: readonly (readonly (string | number | null)[])[]): Uint8Array {
  const cells = [header, ...rows].map((row) => row.map(written));
  const text = stringify(cells, { record_delimiter: "\r\n", bom: true, quoted_match: /[,;\t"\r\n]|^\s|\s$/ });
  return new TextEncoder().encode(text);
}

function written(value: string | number | null): string {
  if (value === null) return "";
  if (typeof value === "number") {
    if (!Number.isFinite(value)) throw new RangeError(`${value} cannot be written as a number.`);
    return String(value);
  }
  if (value.includes("\u0000")) throw new RangeError("A text with a zero character cannot be written.");
  return withApostrophe(value);
}
