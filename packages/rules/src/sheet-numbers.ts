/**
 * Columns of counts and of hours. Counts are whole dives; hours become whole minutes.
 *
 * "1,234" is one thousand to one reader and one and a quarter to another: it is asked, never guessed.
 * A blank is "not known" and never nought.
 */
import { minutes as checkedMinutes, dives as checkedDives } from "./measures.ts";
import type { Dives, Minutes } from "./measures.ts";
import type { JudgedColumn } from "./sheet-dates.ts";
import { BlankTally, cellProblem, columnQuestion, shown } from "./sheet-report.ts";
import type { ProblemCode, SheetCell, SheetColumn, SheetProblem, SheetQuestion } from "./sheet-report.ts";
import { cellsToRead } from "./sheet-text.ts";

export type DecimalMark = "comma" | "point";

/** A number as written: digits before the mark and behind it. */
interface Written {
  readonly form: "number";
  readonly whole: string;
  readonly decimals: string;
}

export type NumberReading =
  | Written
  /** Thousands or decimals, by which mark is the decimal one. */
  | { readonly form: "open"; readonly whole: string; readonly mark: DecimalMark; readonly rest: string }
  | { readonly form: "clock"; readonly hours: string; readonly minutes: string }
  /** `says` goes on from the value: "“approx 50” is only about a number." */
  | { readonly form: "bad"; readonly code: ProblemCode; readonly says: string };

const MARK: Readonly<Record<string, DecimalMark>> = { ",": "comma", ".": "point" };
const WHOLE = /^\d{1,12}$/;
const GROUPED_BY_SPACE = /^(\d{1,3}(?:[ '’]\d{3})+)(?:([.,])(\d+))?$/;
const ONE_MARK = /^(\d*)([.,])(\d+)$/;
const GROUPED = /^(\d{1,3}(?:([.,])\d{3})(?:\2\d{3})*)(?:(?!\2)[.,](\d+))?$/;
const CLOCK = /^(\d{1,6})(?::| ?h ?)(\d{2})(?: ?min)?(?::00)?$/i;
const HOUR_WORD = / ?(?:h|hr|hrs|hour|hours|std|stunden|heures?|horas?|ore)\.?$/i;

const bad = (code: ProblemCode, says: string): NumberReading => ({ form: "bad", code, says });

/** Reads one cell that is not blank. `told` is which mark is the decimal one, where the caller knows. Never throws. */
export function readNumber(text: string, told: DecimalMark | undefined): NumberReading {
  if (WHOLE.test(text)) return { form: "number", whole: text, decimals: "" };
  const written = text.normalize("NFKC").replace(/[\u2010-\u2015\u2212]/g, "-").replace(/\s+/g, " ").trim();
  if (WHOLE.test(written)) return { form: "number", whole: written, decimals: "" };
  if (written.length > 40) return bad("number-form", "is too long for a number.");
  if (/^-\s*[\d.,]/.test(written) || /^\([\d.,]+\)$|^[\d.,]+-$/.test(written)) return bad("number-negative", "is below nought, and no count is.");
  const spaced = GROUPED_BY_SPACE.exec(written);
  if (spaced) return marked(spaced[1] ?? "", spaced[2], spaced[3] ?? "", told);
  const one = ONE_MARK.exec(written);
  if (one) return oneMark(one[1] ?? "", one[2] ?? "", one[3] ?? "", told);
  const grouped = GROUPED.exec(written);
  if (grouped) return groupedNumber(grouped[1] ?? "", grouped[2] ?? "", grouped[3], told);
  if (/^(?:~|<|>|=|±|\+|ca\b|c\.|circa|approx|about|around|etwa|env|aprox|over|under|roughly)/i.test(written) || /[+~?]$/.test(written)) {
    return bad("number-about", "is only about a number. Write the number itself, or leave the cell empty when it is not known.");
  }
  return bad("number-form", "is not a number. Write digits alone, or leave the cell empty when it is not known.");
}

const WRONG_MARK: Readonly<Record<DecimalMark, string>> = {
  comma: "cannot be read with the comma as the decimal mark.",
  point: "cannot be read with the point as the decimal mark.",
};

function marked(whole: string, mark: string | undefined, decimals: string, told: DecimalMark | undefined): NumberReading {
  if (mark !== undefined && told !== undefined && MARK[mark] !== told) return bad("number-mark", WRONG_MARK[told]);
  return { form: "number", whole: whole.replace(/[ '’.,]/g, ""), decimals };
}

function oneMark(whole: string, mark: string, rest: string, told: DecimalMark | undefined): NumberReading {
  // A group of thousands has three digits, and no number begins with a group of noughts.
  const couldGroup = rest.length === 3 && /^[1-9]\d{0,2}$/.test(whole);
  if (!couldGroup) return marked(whole === "" ? "0" : whole, mark, rest, told);
  const open = MARK[mark] ?? "comma";
  if (told === undefined) return { form: "open", whole, mark: open, rest };
  return told === open ? { form: "number", whole, decimals: rest } : { form: "number", whole: whole + rest, decimals: "" };
}

function groupedNumber(groups: string, mark: string, decimals: string | undefined, told: DecimalMark | undefined): NumberReading {
  if (told !== undefined && MARK[mark] === told) return bad("number-mark", WRONG_MARK[told]);
  return { form: "number", whole: groups.replace(/[.,]/g, ""), decimals: decimals ?? "" };
}

/** Reads one cell of hours: a number, or hours and minutes as 12:30 or 12h30. */
export function readHours(text: string, told: DecimalMark | undefined): NumberReading {
  const written = text.normalize("NFKC").replace(/\s+/g, " ").trim();
  const clock = CLOCK.exec(written);
  if (clock) {
    if (Number(clock[2]) > 59) return bad("number-form", "has more than 59 minutes behind the hours.");
    return { form: "clock", hours: clock[1] ?? "0", minutes: clock[2] ?? "0" };
  }
  return readNumber(written.replace(HOUR_WORD, ""), told);
}

type Valued = { readonly value: number } | { readonly code: ProblemCode; readonly says: string };
const TOO_LARGE: Valued = { code: "number-too-large", says: "is more than any part can have." };

/** Whole dives. "12.0" is 12, as some programs write; "12.5" is no count. */
function asDives({ whole, decimals }: Written): Valued {
  if (/[1-9]/.test(decimals)) return { code: "number-not-whole", says: "is not whole, and a count of dives is." };
  return within(Number(whole), checkedDives);
}

/** Whole minutes, to the nearest: half a minute decides nothing, and hours with two decimals come back exactly. */
function asMinutes({ whole, decimals }: Written): Valued {
  // Whole numbers throughout: in floating point 1.15 hours × 60 is 68.99999999999999.
  const digits = decimals.slice(0, 6);
  const perHour = 10 ** digits.length;
  return within(Number(whole) * 60 + Math.floor((Number(digits || "0") * 120 + perHour) / (2 * perHour)), checkedMinutes);
}

function within(value: number, check: (n: number) => number): Valued {
  try {
    return { value: check(value) };
  } catch {
    return TOO_LARGE;
  }
}

/** Reads a whole column of dives. Errors: none; what is wrong is in the answer. */
export function judgeCountColumn(column: SheetColumn, cells: readonly SheetCell[], told: DecimalMark | undefined): JudgedColumn<Dives> {
  return judgeNumbers(column, cells, told, readNumber, asDives);
}

/** Reads a whole column of hours, as whole minutes. Errors: none; what is wrong is in the answer. */
export function judgeHoursColumn(column: SheetColumn, cells: readonly SheetCell[], told: DecimalMark | undefined): JudgedColumn<Minutes> {
  return judgeNumbers(column, cells, told, readHours, asMinutes);
}

function judgeNumbers(
  column: SheetColumn,
  cells: readonly SheetCell[],
  told: DecimalMark | undefined,
  read: (text: string, told: DecimalMark | undefined) => NumberReading,
  value: (written: Written) => Valued,
): JudgedColumn<number> {
  const values = new Map<number, number | null>();
  const problems: SheetProblem[] = [];
  const open: SheetCell[] = [];
  const blanks = new BlankTally();

  for (const cell of cellsToRead(column, cells, { values, problems, blanks })) {
    const reading = read(cell.value, told);
    if (reading.form === "open") {
      open.push(cell);
      continue;
    }
    const valued = reading.form === "bad" ? reading : reading.form === "clock" ? fromClock(reading.hours, reading.minutes) : value(reading);
    if ("value" in valued) values.set(cell.row, valued.value);
    else problems.push(cellProblem(valued.code, column, cell, `“${shown(cell.value)}” ${valued.says}`));
  }
  return { values, problems, questions: open.length > 0 ? [markQuestion(column, open)] : [], blanks: blanks.list(column) };
}

function fromClock(hours: string, rest: string): Valued {
  return within(Number(hours) * 60 + Number(rest), checkedMinutes);
}

function markQuestion(column: SheetColumn, cells: readonly SheetCell[]): SheetQuestion {
  return columnQuestion("decimal-mark", column, cells, ["comma", "point"], (first) =>
    `row ${first.row} holds ${shown(first.value)}, which can be thousands or a fraction. Which is the decimal mark in this column, the comma or the point?`);
}
