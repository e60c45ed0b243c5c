/**
 * Which column of a sheet is which.
 *
 * Names are found in the tables of sheet-columns.ts. What the caller says about a column comes first.
 * A column nobody knows is reported, and left out only when the caller says so: a misspelt
 * "Servised on" silently dropped would make every part look never serviced.
 */
import type { ColumnSpec } from "./sheet-columns.ts";
import { SHEET_LIMITS, columnLetter, columnName, examplesOf, rowProblem, shown } from "./sheet-report.ts";
import type { Sheet, SheetCell, SheetColumn, SheetProblem, SheetQuestion } from "./sheet-report.ts";

export interface HeaderAnswers<Name extends string> {
  /**
   * What a column is, by its header as written or by "column C". "ignore" leaves it out.
   * Comes before anything the names say.
   */
  readonly columns?: Readonly<Record<string, Name | "ignore">>;
  /** Leave out every column whose name is not known. */
  readonly ignoreUnknown?: boolean;
}

export interface MappedHeader<Name extends string> {
  readonly columns: ReadonlyMap<Name, SheetColumn>;
  /** Headers nobody knows, ignored or not, as written. */
  readonly unknownHeaders: readonly string[];
  readonly problems: readonly SheetProblem[];
  readonly questions: readonly SheetQuestion[];
}

/** A header reduced to what is compared: "Dives since service (No.)" and "DIVES_SINCE-SERVICE (no)" are one. */
export function headerKey(header: string): string {
  return header
    .normalize("NFKD")
    .toLowerCase()
    .replace(/ß/g, "ss")
    .replace(/[^\p{L}\p{N}]+/gu, "");
}

const withoutBrackets = (header: string): string => header.replace(/\([^()]*\)|\[[^[\]]*\]|\{[^{}]*\}/g, " ");

const keysOf = new WeakMap<readonly ColumnSpec<string>[], ReadonlyMap<string, string>>();

/** Every known name of every column, by its key. */
function knownNames<Name extends string>(specs: readonly ColumnSpec<Name>[]): ReadonlyMap<string, Name> {
  const seen = keysOf.get(specs);
  if (seen) return seen as ReadonlyMap<string, Name>;
  const names = new Map<string, Name>();
  for (const spec of specs) for (const text of [spec.title, spec.name, ...spec.alsoCalled]) names.set(headerKey(text), spec.name);
  keysOf.set(specs, names);
  return names;
}

/** What the names alone say about a header. Brackets are read first ("Total (dives)"), then taken for a unit ("Hours since service (h)"). */
export function columnNamed<Name extends string>(header: string, specs: readonly ColumnSpec<Name>[]): Name | null {
  const names = knownNames(specs);
  return names.get(headerKey(header)) ?? names.get(headerKey(withoutBrackets(header))) ?? null;
}

/** Reads the header. Errors: none; everything wrong is a problem or a question in the answer. */
export function mapHeader<Name extends string>(
  sheet: Sheet,
  specs: readonly ColumnSpec<Name>[],
  answers: HeaderAnswers<Name>,
): MappedHeader<Name> {
  const told = new Map(Object.entries(answers.columns ?? {}).map(([key, name]) => [headerKey(key), name]));
  told.delete("");
  const titles = new Map(specs.map((spec) => [spec.name, spec.title]));
  const columns = new Map<Name, SheetColumn>();
  const unknown: SheetColumn[] = [];
  const problems: SheetProblem[] = [];

  sheet.header.slice(0, SHEET_LIMITS.columns).forEach((header, index) => {
    const column: SheetColumn = { index, letter: columnLetter(index), header };
    const says = told.get(`column${column.letter.toLowerCase()}`) ?? told.get(headerKey(header));
    const name = says ?? columnNamed(header, specs);
    if (name === "ignore") return;
    if (name === null || !titles.has(name)) {
      if (headerKey(header) === "") problems.push(...unnamedColumn(sheet, column));
      else unknown.push(column);
      return;
    }
    const first = columns.get(name);
    if (first) problems.push(columnTwice(sheet, first, column, titles.get(name) ?? name));
    else columns.set(name, column);
  });

  for (const spec of specs) {
    if (spec.required && !columns.has(spec.name)) problems.push(columnMissing(sheet, spec));
  }
  return {
    columns,
    unknownHeaders: unknown.map((column) => column.header),
    problems,
    questions: answers.ignoreUnknown === true ? [] : unknown.map((column) => unknownColumn(sheet, column, specs)),
  };
}

const headerRow = (sheet: Sheet): number => sheet.headerRow ?? 1;

/** Cells of one column that hold something, for as many as a question shows. */
function firstCells(sheet: Sheet, index: number): SheetCell[] {
  const found: SheetCell[] = [];
  for (let at = 0; at < sheet.rows.length && found.length < 5; at += 1) {
    const value = sheet.rows[at]?.[index] ?? "";
    if (value.trim() !== "") found.push({ row: headerRow(sheet) + 1 + at, value });
  }
  return found;
}

/** A column without a name is fine while it is empty: spreadsheets trail such columns. */
function unnamedColumn(sheet: Sheet, column: SheetColumn): SheetProblem[] {
  const first = firstCells(sheet, column.index)[0];
  if (!first) return [];
  const sentence = `Row ${headerRow(sheet)}, column ${column.letter}: this column has no name, yet row ${first.row} holds “${shown(first.value)}” in it. Name the column, or say that it is to be left out.`;
  return [{ code: "column-unnamed", row: headerRow(sheet), column: column.letter, header: column.header, value: null, sentence }];
}

function columnTwice(sheet: Sheet, first: SheetColumn, second: SheetColumn, title: string): SheetProblem {
  const sentence = `Row ${headerRow(sheet)}: ${columnName(first)} and ${columnName(second)} both mean “${title}”. Keep one, or say that one is to be left out.`;
  return { code: "column-twice", row: headerRow(sheet), column: second.letter, header: second.header, value: shown(second.header), sentence };
}

function columnMissing<Name extends string>(sheet: Sheet, spec: ColumnSpec<Name>): SheetProblem {
  return rowProblem("column-missing", headerRow(sheet), `Row ${headerRow(sheet)}: no column is called “${spec.title}” or another name known for it. Row ${headerRow(sheet)} must hold the names of the columns. Add the column, or say which one it is.`);
}

function unknownColumn<Name extends string>(sheet: Sheet, column: SheetColumn, specs: readonly ColumnSpec<Name>[]): SheetQuestion {
  return {
    code: "unknown-column",
    column: column.letter,
    header: column.header,
    about: column.header,
    examples: examplesOf(firstCells(sheet, column.index)),
    choices: ["ignore", ...specs.map((spec) => spec.name)],
    sentence: `Row ${headerRow(sheet)}, ${columnName(column)}: this name is not known. What does the column hold, or is it to be left out?`,
  };
}
