/**
 * The words every reading of a spreadsheet shares: what a sheet is, how a cell is named,
 * and how a bad cell or an open question is reported.
 *
 * Nothing here decides; it only keeps rows, columns and sentences the same everywhere.
 */

/** A spreadsheet as cells of text. */
export interface Sheet {
  readonly header: readonly string[];
  /** The rows under the header, in order, blank ones included so that row numbers stay true. */
  readonly rows: readonly (readonly string[])[];
  /** The row number, as a spreadsheet program shows it, of the header. 1 unless blank rows stand above it. */
  readonly headerRow?: number;
}

/** Largest sheet that is judged. A bigger one is asked for in parts. */
export const SHEET_LIMITS = { rows: 50_000, columns: 200, cell: 500, problems: 20_000 } as const;

export type ProblemCode =
  // the sheet as a whole
  | "no-rows"
  | "too-many-rows"
  | "too-many-columns"
  | "cell-too-long"
  | "cell-holds-rows"
  | "row-too-long"
  // its header
  | "column-missing"
  | "column-twice"
  | "column-unnamed"
  // one cell
  | "character"
  | "workbook-error"
  | "empty"
  | "tag-form"
  | "position-word"
  | "work-word"
  | "valve-word"
  | "yes-no-word"
  | "gas-form"
  | "serial-mangled"
  | "date-form"
  | "date-impossible"
  | "date-order"
  | "date-order-mixed"
  | "date-future"
  | "date-too-old"
  | "number-form"
  | "number-negative"
  | "number-not-whole"
  | "number-too-large"
  | "number-about"
  | "number-mark"
  // several cells, rows or what is recorded
  | "position-ambiguous"
  | "set-doubled"
  | "part-twice"
  | "work-twice"
  | "days-disagree"
  | "counts-disagree"
  | "set-recorded"
  | "differs-from-record"
  | "part-unknown"
  | "part-ambiguous";

/** One thing that is wrong, where it is, and a sentence that says both. */
export interface SheetProblem {
  readonly code: ProblemCode;
  /** Row as the spreadsheet shows it; null when it is about the sheet or a whole column. */
  readonly row: number | null;
  /** Column letter; null when it is about a row or the sheet. */
  readonly column: string | null;
  readonly header: string | null;
  /** The cell as found, cut to a length that can be shown. */
  readonly value: string | null;
  readonly sentence: string;
}

export type QuestionCode =
  | "unknown-column"
  | "short-rows"
  | "blank-tags"
  | "tags-alike"
  | "position-word"
  | "date-order"
  | "day-numbers"
  | "decimal-mark";

/** Something the sheet does not say and nobody may guess. The caller answers and asks again. */
export interface SheetQuestion {
  readonly code: QuestionCode;
  readonly column: string | null;
  readonly header: string | null;
  /** What exactly is asked about (a header, a word, a pair of tags); null when the column says it all. */
  readonly about: string | null;
  /** The first few cells the question stands on. */
  readonly examples: readonly { readonly row: number; readonly value: string }[];
  readonly choices: readonly string[];
  readonly sentence: string;
}

/** How many cells of a column were read as "not known", by the word that stood there ("" for empty). */
export interface AcceptedBlank {
  readonly column: string;
  readonly header: string;
  readonly word: string;
  readonly cells: number;
  readonly firstRow: number;
}

/** A column of the sheet that has been understood. */
export interface SheetColumn {
  readonly index: number;
  readonly letter: string;
  readonly header: string;
}

/** One cell of a column, with the row it stands in. */
export interface SheetCell {
  readonly row: number;
  readonly value: string;
}

/** Column letter of a 0-based index: 0 is A, 25 is Z, 26 is AA. */
export function columnLetter(index: number): string {
  let letters = "";
  for (let rest = index + 1; rest > 0; rest = Math.floor((rest - 1) / 26)) {
    letters = String.fromCharCode(65 + ((rest - 1) % 26)) + letters;
  }
  return letters;
}

/** A cell's text fit to stand in a sentence: no invisible characters, at most 60 of the rest. */
export function shown(value: string): string {
  const visible = value.slice(0, 200).replace(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}]+/gu, " ").trim();
  const letters = [...visible];
  return letters.length > 60 ? `${letters.slice(0, 59).join("")}…` : visible;
}

/** "column H, “Serviced on”", the way every sentence names a column. */
export function columnName(column: SheetColumn): string {
  return `column ${column.letter}, “${shown(column.header)}”`;
}

/** "Row 7, column H, “Serviced on”", the way every sentence about one cell begins. */
export function cellName(column: SheetColumn, row: number): string {
  return `Row ${row}, ${columnName(column)}`;
}

/** A problem with one cell. `says` completes "Row 7, column H, “Serviced on”: …". */
export function cellProblem(code: ProblemCode, column: SheetColumn, cell: SheetCell, says: string): SheetProblem {
  return {
    code,
    row: cell.row,
    column: column.letter,
    header: column.header,
    value: shown(cell.value),
    sentence: `${cellName(column, cell.row)}: ${says}`,
  };
}

/** A problem with a whole row, or with the sheet when `row` is null. */
export function rowProblem(code: ProblemCode, row: number | null, sentence: string): SheetProblem {
  return { code, row, column: null, header: null, value: null, sentence };
}

/** The first few of many, for a question. */
export function examplesOf(cells: readonly SheetCell[]): SheetQuestion["examples"] {
  return cells.slice(0, 5).map((cell) => ({ row: cell.row, value: shown(cell.value) }));
}

/** A question about a whole column. `says` completes "Column H, “Serviced on”: …" from its first open cell. */
export function columnQuestion(
  code: QuestionCode,
  column: SheetColumn,
  cells: readonly SheetCell[],
  choices: readonly string[],
  says: (first: SheetCell) => string,
): SheetQuestion {
  const first = cells[0] ?? { row: 0, value: "" };
  return {
    code,
    column: column.letter,
    header: column.header,
    about: null,
    examples: examplesOf(cells),
    choices,
    sentence: `C${columnName(column).slice(1)}: ${says(first)}`,
  };
}

/** "3 rows" or "1 row". */
export function counted(count: number, one: string, many: string = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

/** Collects accepted blanks of one column. */
export class BlankTally {
  readonly #found = new Map<string, { cells: number; firstRow: number }>();

  add(cell: SheetCell, word: string): void {
    const seen = this.#found.get(word);
    if (seen) seen.cells += 1;
    else this.#found.set(word, { cells: 1, firstRow: cell.row });
  }

  list(column: SheetColumn): AcceptedBlank[] {
    return [...this.#found].map(([word, seen]) => ({ column: column.letter, header: column.header, word, ...seen }));
  }
}
