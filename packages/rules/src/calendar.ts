/**
 * Days of the calendar, apart from the clock.
 *
 * A `Day` is what is written on a service label: a date in the shop, without hour or zone. An
 * instant is a moment in the world, kept as milliseconds since 1970 in UTC. The two never mix;
 * `dayOf` is the one door between them and wants to be told the zone.
 *
 * All day arithmetic is on whole numbers, so no summer time can shift a due date.
 */

declare const dayBrand: unique symbol;

/** A real date as 'YYYY-MM-DD', from 1900 to 9999. As text it sorts in the order of time. */
export type Day = string & { readonly [dayBrand]: true };

/** Milliseconds since 1970-01-01T00:00Z. */
export type Instant = number;

const FIRST_YEAR = 1900;
const LAST_YEAR = 9999;
const DAY_FORM = /^\d{4}-\d{2}-\d{2}$/;
/** "-MM-DD" at month * 32 + date: the due dates of a fleet write some hundred thousand days at a time. */
const TAILS = Array.from({ length: 13 * 32 }, (_, at) => `-${twoDigits(at >> 5)}-${twoDigits(at & 31)}`);

/** Reads a day. Throws a RangeError with a sentence when the text is no date of the calendar. */
export function day(text: string): Day {
  if (!isDay(text)) {
    throw new RangeError(`"${text}" is not a day: write a real date from ${FIRST_YEAR} to ${LAST_YEAR} as YYYY-MM-DD.`);
  }
  return text;
}

/** Whether the text is a real date as 'YYYY-MM-DD' (2025-02-29 is not). */
export function isDay(text: string): text is Day {
  if (!DAY_FORM.test(text)) return false;
  const year = yearOf(text);
  const month = monthOf(text);
  if (year < FIRST_YEAR || month < 1 || month > 12) return false;
  return dateOf(text) >= 1 && dateOf(text) <= daysInMonth(year, month);
}

/**
 * Adds calendar months. When that day does not exist the month's last day stands in:
 * 31 August + 6 months = 28 (or 29) February, 29 February + 12 months = 28 February.
 */
export function addMonths(from: Day, months: number): Day {
  whole(months, "months");
  const monthsSinceYear0 = yearOf(from) * 12 + monthOf(from) - 1 + months;
  const year = Math.floor(monthsSinceYear0 / 12);
  const month = monthsSinceYear0 - year * 12 + 1;
  const last = daysInMonth(year, month);
  const date = dateOf(from);
  return write(year, month, date < last ? date : last);
}

/** Adds days; a negative number goes back. */
export function addDays(from: Day, days: number): Day {
  whole(days, "days");
  return dayAt(dayNumber(from) + days);
}

/** Days from the first to the second: 1 from today to tomorrow, negative when the second is earlier. */
export function daysBetween(from: Day, to: Day): number {
  return dayNumber(to) - dayNumber(from);
}

/** Below 0 when the first is earlier, 0 when they are the same day, above 0 when it is later. */
export function compareDays(a: Day, b: Day): -1 | 0 | 1 {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** The later of two days. */
export function later(a: Day, b: Day): Day {
  return a > b ? a : b;
}

/** The earlier of two days. */
export function earlier(a: Day, b: Day): Day {
  return a < b ? a : b;
}

/** The latest of the days that are known, or null when none is. */
export function latestKnown(...days: readonly (Day | null)[]): Day | null {
  let latest: Day | null = null;
  for (const one of days) if (one !== null && (latest === null || one > latest)) latest = one;
  return latest;
}

/** Day of the week: 1 = Monday to 7 = Sunday (ISO 8601). */
export function weekdayOf(on: Day): number {
  // Day 0 of the count, 1970-01-01, was a Thursday.
  return ((((dayNumber(on) + 3) % 7) + 7) % 7) + 1;
}

/**
 * The day it is in a time zone at an instant.
 *
 * Errors: a RangeError naming the zone when there is no such zone, or the instant when it is no
 * moment of the years 1900 to 9999.
 */
export function dayOf(instant: Instant, timeZone: string): Day {
  if (!Number.isFinite(instant)) throw new RangeError(`${instant} is no moment in time.`);
  const parts = new Map(formatterOf(timeZone).formatToParts(instant).map((part) => [part.type, part.value]));
  return day(`${(parts.get("year") ?? "").padStart(4, "0")}-${parts.get("month")}-${parts.get("day")}`);
}

/** Whether this machine knows the zone, for example "Europe/Malta". */
export function isTimeZone(timeZone: string): boolean {
  try {
    formatterOf(timeZone);
    return true;
  } catch {
    return false;
  }
}

// Building a formatter costs some 50 µs, a thousand times more than using it.
const formatters = new Map<string, Intl.DateTimeFormat>();

function formatterOf(timeZone: string): Intl.DateTimeFormat {
  const known = formatters.get(timeZone);
  if (known !== undefined) return known;
  try {
    const made = new Intl.DateTimeFormat("en-u-ca-iso8601-nu-latn", {
      timeZone,
      year: "numeric",
      month: "2-digit",
      day: "2-digit",
    });
    formatters.set(timeZone, made);
    return made;
  } catch {
    throw new RangeError(`"${timeZone}" is not a time zone this machine knows.`);
  }
}

function yearOf(text: string): number {
  return digit(text, 0) * 1000 + digit(text, 1) * 100 + digit(text, 2) * 10 + digit(text, 3);
}

function monthOf(text: string): number {
  return digit(text, 5) * 10 + digit(text, 6);
}

function dateOf(text: string): number {
  return digit(text, 8) * 10 + digit(text, 9);
}

function digit(text: string, at: number): number {
  return text.charCodeAt(at) - 48;
}

function daysInMonth(year: number, month: number): number {
  if (month === 2) return isLeapYear(year) ? 29 : 28;
  return month === 4 || month === 6 || month === 9 || month === 11 ? 30 : 31;
}

function isLeapYear(year: number): boolean {
  return year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
}

function write(year: number, month: number, date: number): Day {
  if (year < FIRST_YEAR || year > LAST_YEAR) {
    throw new RangeError(`The year ${year} lies outside ${FIRST_YEAR} to ${LAST_YEAR}.`);
  }
  return (year + TAILS[month * 32 + date]!) as Day;
}

function twoDigits(n: number): string {
  return String(n).padStart(2, "0");
}

const DAYS_BEFORE_1970 = 719_468;
const DAYS_IN_400_YEARS = 146_097;

/**
 * Days since 1970-01-01. The year is taken to begin in March, so that the leap day comes last and
 * the lengths of the months before it follow one straight line: (153 m + 2) / 5.
 */
function dayNumber(of: Day): number {
  const month = monthOf(of);
  const year = month > 2 ? yearOf(of) : yearOf(of) - 1;
  const marchMonth = month > 2 ? month - 3 : month + 9;
  const dayInYear = Math.floor((153 * marchMonth + 2) / 5) + dateOf(of) - 1;
  const leapDays = Math.floor(year / 4) - Math.floor(year / 100) + Math.floor(year / 400);
  return year * 365 + leapDays + dayInYear - DAYS_BEFORE_1970;
}

function dayAt(number: number): Day {
  const shifted = number + DAYS_BEFORE_1970;
  const era = Math.floor(shifted / DAYS_IN_400_YEARS);
  const inEra = shifted - era * DAYS_IN_400_YEARS;
  const yearInEra = Math.floor(
    (inEra - Math.floor(inEra / 1460) + Math.floor(inEra / 36_524) - Math.floor(inEra / 146_096)) / 365,
  );
  const inYear = inEra - (365 * yearInEra + Math.floor(yearInEra / 4) - Math.floor(yearInEra / 100));
  const marchMonth = Math.floor((5 * inYear + 2) / 153);
  const date = inYear - Math.floor((153 * marchMonth + 2) / 5) + 1;
  const month = marchMonth < 10 ? marchMonth + 3 : marchMonth - 9;
  return write(era * 400 + yearInEra + (month <= 2 ? 1 : 0), month, date);
}

function whole(n: number, what: string): void {
  if (!Number.isSafeInteger(n)) throw new RangeError(`${n} is not a whole number of ${what}.`);
}
