/**
 * A column of days. The whole column decides which number of "03/04/2026" is the month, never one cell
 * and never the machine's language. When no cell decides, it is asked.
 */
import { addDays, day } from "./calendar.ts";
import type { Day } from "./calendar.ts";
import { dayOrBad, readDate } from "./sheet-date-forms.ts";
import type { DateReading } from "./sheet-date-forms.ts";
import { BlankTally, cellProblem, columnName, columnQuestion, shown } from "./sheet-report.ts";
import type { AcceptedBlank, ProblemCode, SheetCell, SheetColumn, SheetProblem, SheetQuestion } from "./sheet-report.ts";
import { cellsToRead } from "./sheet-text.ts";

export type DateOrder = "day-first" | "month-first";
/** Workbooks count days from the start of 1900, some old ones from that of 1904. */
export type DayNumbers = "from-1900" | "from-1904";

export interface DateRules {
  /** The day of the import. Facts of the past cannot lie after it. */
  readonly today: Day;
  /** Of a column about what is to come: no day lies after this one, and any may lie after today. */
  readonly until?: Day | undefined;
  /** The caller's answers for this column. */
  readonly order?: DateOrder | undefined;
  readonly dayNumbers?: DayNumbers | undefined;
}

export interface JudgedColumn<Value> {
  /** By row; null = not known. A row that has a problem or an open question is missing. */
  readonly values: ReadonlyMap<number, Value | null>;
  readonly problems: readonly SheetProblem[];
  readonly questions: readonly SheetQuestion[];
  readonly blanks: readonly AcceptedBlank[];
}

type Ordered = Extract<DateReading, { form: "ordered" }>;
interface Read<Reading> {
  readonly cell: SheetCell;
  readonly reading: Reading;
}

const FIRST_YEAR = 1950;
/**
 * A known pair of each count. Workbooks that count from 1900 believe in a 29 February 1900, so that
 * from March 1900 on 1 January 1900 has in effect the number 2.
 */
const KNOWN_NUMBER: Readonly<Record<DayNumbers, { readonly number: number; readonly on: Day }>> = {
  "from-1900": { number: 2, on: day("1900-01-01") },
  "from-1904": { number: 0, on: day("1904-01-01") },
};

/** Reads a whole column of days. Errors: none; what is wrong is in the answer. */
export function judgeDateColumn(column: SheetColumn, cells: readonly SheetCell[], rules: DateRules): JudgedColumn<Day> {
  const values = new Map<number, Day | null>();
  const problems: SheetProblem[] = [];
  const questions: SheetQuestion[] = [];
  const blanks = new BlankTally();
  const ordered: Read<Ordered>[] = [];
  const numbered: Read<{ number: number }>[] = [];

  const settle = (cell: SheetCell, reading: DateReading): void => {
    const problem = reading.form === "day" ? outOfTime(column, cell, reading.on, rules) : badCell(column, cell, reading);
    if (problem) problems.push(problem);
    else if (reading.form === "day") values.set(cell.row, reading.on);
  };

  for (const cell of cellsToRead(column, cells, { values, problems, blanks })) {
    const reading = readDate(cell.value);
    if (reading.form === "ordered") ordered.push({ cell, reading });
    else if (reading.form === "day-number") numbered.push({ cell, reading });
    else settle(cell, reading);
  }

  const order = decideOrder(column, ordered, rules.order);
  if (order.answer === "mixed") problems.push(order.problem);
  if (order.answer === "ask") questions.push(order.question);
  if (order.answer === "decided") for (const { cell, reading } of ordered) settle(cell, inOrder(reading, order.order));

  const from = rules.dayNumbers;
  if (from !== undefined) for (const { cell, reading } of numbered) settle(cell, { form: "day", on: fromDayNumber(reading.number, from) });
  else if (numbered.length > 0) questions.push(dayNumberQuestion(column, numbered.map((read) => read.cell)));

  return { values, problems, questions, blanks: blanks.list(column) };
}

type OrderDecision =
  | { readonly answer: "decided"; readonly order: DateOrder }
  | { readonly answer: "mixed"; readonly problem: SheetProblem }
  | { readonly answer: "ask"; readonly question: SheetQuestion };

const couldBeDayOnly = (part: number): boolean => part > 12 && part <= 31;

/** The order of a column: as the caller answered, else as its cells prove, else a question. Any will do when none matters. */
function decideOrder(column: SheetColumn, ordered: readonly Read<Ordered>[], told: DateOrder | undefined): OrderDecision {
  if (told !== undefined) return { answer: "decided", order: told };
  const dayFirst = ordered.find(({ reading }) => couldBeDayOnly(reading.first) && reading.second <= 12);
  const monthFirst = ordered.find(({ reading }) => couldBeDayOnly(reading.second) && reading.first <= 12);
  if (dayFirst && monthFirst) return { answer: "mixed", problem: mixedOrders(column, dayFirst.cell, monthFirst.cell) };
  if (dayFirst) return { answer: "decided", order: "day-first" };
  if (monthFirst) return { answer: "decided", order: "month-first" };
  // 05/05/2026 is the same day either way, and 45/45/2026 is none either way.
  const open = ordered.filter(({ reading }) => reading.first !== reading.second && reading.first <= 12 && reading.second <= 12);
  if (open.length > 0) return { answer: "ask", question: orderQuestion(column, open.map((read) => read.cell)) };
  return { answer: "decided", order: "day-first" };
}

function inOrder({ first, second, year }: Ordered, order: DateOrder): DateReading {
  const [date, month] = order === "day-first" ? [first, second] : [second, first];
  const reading = dayOrBad(year, month, date);
  if (reading.form !== "bad" || month <= 12 || !couldBeDayOnly(month)) return reading;
  const how = order === "day-first" ? "day first" : "month first";
  return { form: "bad", code: "date-order", says: `cannot be read: the column is ${how}, and there is no month ${month}.` };
}

function fromDayNumber(number: number, from: DayNumbers): Day {
  const known = KNOWN_NUMBER[from];
  return addDays(known.on, number - known.number);
}

function badCell(column: SheetColumn, cell: SheetCell, reading: DateReading): SheetProblem | null {
  return reading.form === "bad" ? cellProblem(reading.code, column, cell, `“${shown(cell.value)}” ${reading.says}`) : null;
}

function outOfTime(column: SheetColumn, cell: SheetCell, on: Day, { today, until }: DateRules): SheetProblem | null {
  const refuse = (code: ProblemCode, says: string): SheetProblem => cellProblem(code, column, cell, `“${shown(cell.value)}” ${says}`);
  if (until !== undefined) return on > until ? refuse("date-future", `lies after ${until}, further ahead than anything is planned here.`) : null;
  if (on > today) return refuse("date-future", /\d{4}/.test(cell.value) ? `is after today, ${today}.` : `is ${on}, after today, ${today}: two digits of a year are read as 20xx. Write all four.`);
  if (Number(on.slice(0, 4)) < FIRST_YEAR) return refuse("date-too-old", `lies before ${FIRST_YEAR}.`);
  return null;
}

function mixedOrders(column: SheetColumn, dayFirst: SheetCell, monthFirst: SheetCell): SheetProblem {
  const written = (cell: SheetCell): string => `row ${cell.row} (${shown(cell.value)})`;
  return {
    ...cellProblem("date-order-mixed", column, monthFirst, ""),
    sentence: `Rows ${dayFirst.row} and ${monthFirst.row}, ${columnName(column)}: ${written(dayFirst)} can only be day first, ${written(monthFirst)} can only be month first. One column must keep to one order.`,
  };
}

function orderQuestion(column: SheetColumn, cells: readonly SheetCell[]): SheetQuestion {
  return columnQuestion("date-order", column, cells, ["day-first", "month-first"], (first) =>
    `nothing in the column tells the day from the month, as in row ${first.row} (${shown(first.value)}). Which comes first?`);
}

function dayNumberQuestion(column: SheetColumn, cells: readonly SheetCell[]): SheetQuestion {
  return columnQuestion("day-numbers", column, cells, ["from-1900", "from-1904"], (first) => {
    const number = Number(/\d{5}/.exec(first.value.normalize("NFKC"))?.[0] ?? 0);
    return `row ${first.row} holds ${shown(first.value)}, a workbook's own count of days. Counted from 1900 it is ${fromDayNumber(number, "from-1900")}, counted from 1904 it is ${fromDayNumber(number, "from-1904")}. Which is right?`;
  });
}
