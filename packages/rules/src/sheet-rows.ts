/**
 * Opens a sheet: which column is which, which rows count, and the cells of a column in order.
 */
import type { ColumnSpec } from "./sheet-columns.ts";
import type { DateOrder, DayNumbers, JudgedColumn } from "./sheet-dates.ts";
import { judgeDateColumn } from "./sheet-dates.ts";
import type { Day } from "./calendar.ts";
import { mapHeader } from "./sheet-headers.ts";
import type { HeaderAnswers } from "./sheet-headers.ts";
import type { DecimalMark } from "./sheet-numbers.ts";
import { BlankTally, SHEET_LIMITS, cellProblem, counted, examplesOf, rowProblem, shown } from "./sheet-report.ts";
import type { AcceptedBlank, ProblemCode, Sheet, SheetCell, SheetColumn, SheetProblem, SheetQuestion } from "./sheet-report.ts";
import { tidy, unknownText, unusableCell } from "./sheet-text.ts";

/** One answer for every column, or an answer for each by the column's name. */
export type PerColumn<Name extends string, Answer> = Answer | Readonly<Partial<Record<Name, Answer>>>;

/** What the caller may answer about any sheet. */
export interface SheetAnswers<Name extends string> extends HeaderAnswers<Name> {
  readonly dateOrder?: PerColumn<Name, DateOrder>;
  readonly dayNumbers?: PerColumn<Name, DayNumbers>;
  readonly decimalMark?: PerColumn<Name, DecimalMark>;
  /** Rows that end early: their missing cells are empty. Some programs leave empty cells at the end out. */
  readonly shortRows?: "empty";
}

/** The answer for one column. */
export function answerFor<Name extends string, Answer extends string>(given: PerColumn<Name, Answer> | undefined, name: Name): Answer | undefined {
  if (given === undefined || typeof given === "string") return given;
  return Object.hasOwn(given, name) ? given[name] : undefined;
}

/** A sheet whose columns are known. It gathers what is found wrong while its columns are read. */
export class OpenSheet<Name extends string> {
  readonly questions: SheetQuestion[] = [];
  readonly blanks: AcceptedBlank[] = [];
  readonly unknownHeaders: readonly string[];
  /** Row numbers of the rows that hold anything. */
  readonly rowNumbers: readonly number[];
  readonly blankRows: number;
  readonly #columns: ReadonlyMap<Name, SheetColumn>;
  readonly #firstRow: number;
  readonly #problems: SheetProblem[] = [];
  readonly #badRows = new Set<number>();
  #problemCount = 0;

  constructor(
    readonly sheet: Sheet,
    specs: readonly ColumnSpec<Name>[],
    readonly answers: SheetAnswers<Name>,
    readonly today: Day,
  ) {
    this.#firstRow = (sheet.headerRow ?? 1) + 1;
    const header = mapHeader(sheet, specs, answers);
    this.#columns = header.columns;
    this.unknownHeaders = header.unknownHeaders;
    this.report([...tooLarge(sheet), ...header.problems]);
    this.questions.push(...header.questions);
    const filled: number[] = [];
    let rows = 0;
    for (const cells of sheet.rows) {
      if (filled.length < SHEET_LIMITS.rows && cells.some((cell) => cell.trim() !== "")) filled.push(this.#firstRow + rows);
      rows += 1;
    }
    this.rowNumbers = filled;
    this.blankRows = rows - filled.length;
    if (filled.length === 0) this.report([rowProblem("no-rows", null, "The sheet has no rows under its header.")]);
    this.#judgeWidths();
  }

  /** Adds problems. All are counted; as many are kept as anyone could read. */
  report(problems: readonly SheetProblem[]): void {
    for (const problem of problems) {
      this.#problemCount += 1;
      if (problem.row !== null) this.#badRows.add(problem.row);
      if (this.#problems.length < SHEET_LIMITS.problems) this.#problems.push(problem);
    }
  }

  /** What was found wrong, by row. */
  get found(): { readonly problems: readonly SheetProblem[]; readonly problemCount: number; readonly badRows: number } {
    const problems = [...this.#problems].sort((a, b) => (a.row ?? 0) - (b.row ?? 0));
    return { problems, problemCount: this.#problemCount, badRows: this.#badRows.size };
  }

  /** Whether nothing is wrong and nothing is open. */
  get ready(): boolean {
    return this.#problemCount === 0 && this.questions.length === 0;
  }

  column(name: Name): SheetColumn | undefined {
    return this.#columns.get(name);
  }

  /** What stands in a cell; "" when the sheet has no such column. */
  text(row: number, name: Name): string {
    const column = this.#columns.get(name);
    return column ? (this.sheet.rows[row - this.#firstRow]?.[column.index] ?? "") : "";
  }

  /** Adds a problem about the cell of a row and column. */
  refuse(code: ProblemCode, row: number, name: Name, says: string): void {
    const column = this.#columns.get(name);
    this.report([column ? cellProblem(code, column, { row, value: this.text(row, name) }, says) : rowProblem(code, row, `Row ${row}: ${says}`)]);
  }

  /** Reads one column by a rule; null when the sheet has no such column. */
  judge<Value>(name: Name, rule: (column: SheetColumn, cells: readonly SheetCell[]) => JudgedColumn<Value>): ReadonlyMap<number, Value | null> | null {
    const column = this.#columns.get(name);
    if (!column) return null;
    const judged = rule(column, this.#cells(name, column));
    this.report(judged.problems);
    this.questions.push(...judged.questions);
    this.blanks.push(...judged.blanks);
    return judged.values;
  }

  /** Reads one column of days. */
  judgeDays(name: Name): ReadonlyMap<number, Day | null> | null {
    const order = answerFor(this.answers.dateOrder, name);
    const dayNumbers = answerFor(this.answers.dayNumbers, name);
    return this.judge(name, (column, cells) => judgeDateColumn(column, cells, { today: this.today, order, dayNumbers }));
  }

  /** The cells of a column, without those that are too long to be read. */
  #cells(name: Name, column: SheetColumn): SheetCell[] {
    const cells: SheetCell[] = [];
    for (const row of this.rowNumbers) {
      const value = this.text(row, name);
      if (value.length <= SHEET_LIMITS.cell) cells.push({ row, value });
      else this.report([cellProblem("cell-too-long", column, { row, value }, `the cell holds ${value.length} characters; ${SHEET_LIMITS.cell} are the most.`)]);
    }
    return cells;
  }

  /** Rows that end too late are wrong; those that end too early are asked about. */
  #judgeWidths(): void {
    const width = this.sheet.header.length;
    const needed = this.sheet.header.findLastIndex((header) => header.trim() !== "") + 1;
    const short: SheetCell[] = [];
    for (const row of this.rowNumbers) {
      const cells = this.sheet.rows[row - this.#firstRow] ?? [];
      const beyond = cells.length > width ? cells.findIndex((cell, at) => at >= width && cell.trim() !== "") : -1;
      if (beyond >= 0) {
        this.report([rowProblem("row-too-long", row, `Row ${row}: the row has more cells than the header has names; “${shown(cells[beyond] ?? "")}” is beyond the last column. A cell may hold the mark that divides the columns.`)]);
      }
      if (cells.length < needed) short.push({ row, value: cells.join(" ") });
    }
    if (short.length > 0 && this.answers.shortRows !== "empty") this.questions.push(shortRowsQuestion(short, needed));
  }
}

function shortRowsQuestion(short: readonly SheetCell[], needed: number): SheetQuestion {
  const rows = short.slice(0, 5).map((cell) => cell.row).join(", ");
  return {
    code: "short-rows",
    column: null,
    header: null,
    about: null,
    examples: examplesOf(short),
    choices: ["empty"],
    sentence: `${counted(short.length, "row")} of the sheet (${rows}${short.length > 5 ? ", …" : ""}) end before the last of its ${needed} columns. Are their missing cells empty? Some programs leave out empty cells at the end of a row; a torn file looks the same.`,
  };
}

function tooLarge(sheet: Sheet): SheetProblem[] {
  const problems: SheetProblem[] = [];
  let filled = 0;
  for (const cells of sheet.rows) if (cells.some((cell) => cell.trim() !== "")) filled += 1;
  if (filled > SHEET_LIMITS.rows) problems.push(rowProblem("too-many-rows", null, `The sheet has ${filled} rows; ${SHEET_LIMITS.rows} are the most at once. Divide it.`));
  if (sheet.header.length > SHEET_LIMITS.columns) problems.push(rowProblem("too-many-columns", null, `The sheet has ${sheet.header.length} columns; ${SHEET_LIMITS.columns} are the most.`));
  return problems;
}

/** Reads a column of text. Where `needed` says why, an empty cell is a problem; else it is "not known". */
export function judgeTextColumn(column: SheetColumn, cells: readonly SheetCell[], needed: string | null): JudgedColumn<string> {
  const values = new Map<number, string | null>();
  const problems: SheetProblem[] = [];
  const blanks = new BlankTally();
  for (const cell of cells) {
    const unusable = unusableCell(column, cell);
    const word = unusable ? null : unknownText(cell.value);
    if (unusable) problems.push(unusable);
    else if (word === null) values.set(cell.row, tidy(cell.value));
    else if (needed !== null) problems.push(cellProblem("empty", column, cell, needed));
    else {
      blanks.add(cell, word);
      values.set(cell.row, null);
    }
  }
  return { values, problems, questions: [], blanks: blanks.list(column) };
}

/** Serial numbers as text. A workbook that took one for a number may have cut its digits: that one is refused. */
export function judgeSerialColumn(column: SheetColumn, cells: readonly SheetCell[]): JudgedColumn<string> {
  const mangled = cells.filter((cell) => /^\s*\d[.,]\d+E\+?\d+\s*$/i.test(cell.value));
  if (mangled.length === 0) return judgeTextColumn(column, cells, null);
  const rows = new Set(mangled.map((cell) => cell.row));
  const judged = judgeTextColumn(column, cells.filter((cell) => !rows.has(cell.row)), null);
  const problems = mangled.map((cell) =>
    cellProblem("serial-mangled", column, cell, "the workbook took this serial number for a number and shortened it. Make the column text and type the serial number again."));
  return { ...judged, problems: [...judged.problems, ...problems] };
}
