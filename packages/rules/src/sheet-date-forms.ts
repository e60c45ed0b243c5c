/**
 * The forms a day is written in, each read as far as it speaks for itself.
 *
 * "03/04/2026" stays two numbers and a year here: only its whole column can say which is the month.
 */
import { isDay } from "./calendar.ts";
import type { Day } from "./calendar.ts";
import type { ProblemCode } from "./sheet-report.ts";

export type DateReading =
  /** One meaning only. */
  | { readonly form: "day"; readonly on: Day }
  /** Two numbers and a year; which number is the month is open. */
  | { readonly form: "ordered"; readonly first: number; readonly second: number; readonly year: number }
  /** A workbook's own count of days. */
  | { readonly form: "day-number"; readonly number: number }
  /** `says` goes on from the value: "“31.02.2026” is not a day that exists." */
  | { readonly form: "bad"; readonly code: ProblemCode; readonly says: string };

/** Month names and their usual short forms, accents taken off: English, German, French, Spanish, Italian. */
const MONTHS: readonly string[] = [
  "jan january januar janner jaenner janv janvier ene enero gen gennaio",
  "feb february februar fev fevr fevrier febrero febbraio",
  "mar march marz maerz mrz mars marzo",
  "apr april avr avril abr abril aprile",
  "may mai mayo mag maggio",
  "jun june juni juin junio giu giugno",
  "jul july juli juil juillet julio lug luglio",
  "aug august aou aout ago agosto",
  "sep sept september septembre septiembre set settembre setiembre",
  "oct october okt oktober octobre octubre ott ottobre",
  "nov november novembre noviembre",
  "dec december dez dezember decembre dic diciembre dicembre",
];
const MONTH_NUMBER: ReadonlyMap<string, number> = new Map(
  MONTHS.flatMap((names, at) => names.split(" ").map((name) => [name, at + 1] as const)),
);

/** Midnight, or any hour, behind a day; spreadsheets add one. A zone is not allowed: it can move the day. */
const CLOCK = /^(.*?\d)[T ,]\s*\d{1,2}:\d{2}(?::\d{2}(?:[.,]\d{1,6})?)?\s*(?:[ap]\.?m\.?)?$/i;
const ZONED = /\d:\d{2}.*(?:Z|UTC|GMT|[+-]\d{2}:?\d{2})$/i;

const YEAR_FIRST = /^(\d{4})\s*([-/.])\s*(\d{1,2})\s*\2\s*(\d{1,2})\.?$/;
const YEAR_LAST = /^(\d{1,2})\s*([-/.])\s*(\d{1,2})\s*\2\s*(\d{4}|\d{2})$/;
const EIGHT_DIGITS = /^((?:19|20)\d{2})(\d{2})(\d{2})$/;
const DAY_NAMED_MONTH = /^(\d{1,2})(?:st|nd|rd|th|er|º|°|\.)?[\s\-/.]*(?:de |of )?\s*(\p{L}+)\.?[\s\-/.,]*(?:de |del )?\s*(\d{4}|\d{2})$/iu;
const NAMED_MONTH_DAY = /^(\p{L}+)\.?[\s\-/.]*(\d{1,2})(?:st|nd|rd|th)?[\s\-/.,]+(\d{4}|\d{2})$/iu;
const DAY_NUMBER = /^(\d{5})(?:[.,]\d+)?$/;

const bad = (code: ProblemCode, says: string): DateReading => ({ form: "bad", code, says });

/** Reads one cell that is not blank. Never throws; what cannot be read says why. */
export function readDate(text: string): DateReading {
  if (isDay(text)) return { form: "day", on: text };
  const whole = text.normalize("NFKC").replace(/[\u2010-\u2015\u2212]/g, "-").replace(/\s+/g, " ").trim();
  if (whole.length > 60) return bad("date-form", "is too long for a day.");
  if (ZONED.test(whole)) return bad("date-form", "carries a time zone, which can move the day. Write the day alone.");
  const written = CLOCK.exec(whole)?.[1]?.trim() ?? whole;

  const yearFirst = YEAR_FIRST.exec(written) ?? EIGHT_DIGITS.exec(written);
  if (yearFirst) {
    const [year, month, date] = yearFirst.length === 5 ? [yearFirst[1], yearFirst[3], yearFirst[4]] : yearFirst.slice(1);
    return dayOrBad(Number(year), Number(month), Number(date));
  }
  const yearLast = YEAR_LAST.exec(written);
  if (yearLast) return { form: "ordered", first: Number(yearLast[1]), second: Number(yearLast[3]), year: fullYear(yearLast[4]) };
  const dayFirst = DAY_NAMED_MONTH.exec(written);
  if (dayFirst) return namedMonth(dayFirst[2], dayFirst[1], dayFirst[3]);
  const monthFirst = NAMED_MONTH_DAY.exec(written);
  if (monthFirst) return namedMonth(monthFirst[1], monthFirst[2], monthFirst[3]);
  const number = DAY_NUMBER.exec(written);
  if (number) return { form: "day-number", number: Number(number[1]) };
  return notADay(written);
}

/** A day from its parts, or the sentence that there is none. */
export function dayOrBad(year: number, month: number, date: number): DateReading {
  // Before 1900 the calendar has no days here; the year alone says that it is too old.
  const text = `${String(Math.max(year, 1900)).padStart(4, "0")}-${String(month).padStart(2, "0")}-${String(date).padStart(2, "0")}`;
  if (!isDay(text)) return bad("date-impossible", "is not a day that exists.");
  return { form: "day", on: text };
}

/** Two digits mean 20xx. Were that in the future, the future is what gets reported; 19xx is never assumed. */
function fullYear(digits: string | undefined): number {
  const year = Number(digits);
  return digits?.length === 2 ? 2000 + year : year;
}

function namedMonth(name: string | undefined, date: string | undefined, year: string | undefined): DateReading {
  const plain = (name ?? "").normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
  const month = MONTH_NUMBER.get(plain);
  if (month === undefined) return bad("date-form", "names no month that is known here.");
  return dayOrBad(fullYear(year), month, Number(date));
}

function notADay(written: string): DateReading {
  if (/^\d{4}$/.test(written)) return bad("date-form", "is only a year. Write the whole day.");
  if (/^[\p{L}.]+[ \-/.]*\d{2,4}$/u.test(written) || /^\d{1,2}[/.-]\d{4}$/.test(written)) {
    return bad("date-form", "has no day of the month in it. Write the whole day.");
  }
  return bad("date-form", "is not a day. Write it like 2026-03-05 or 5 Mar 2026.");
}
