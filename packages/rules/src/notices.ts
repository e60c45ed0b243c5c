/**
 * Which serial numbers a maker's or public safety notice is about.
 *
 * Notices print several disjoint ranges of different lengths, and now and then a prefix whose digit
 * count changes within one notice, which is likely a misprint. So a range is taken by its letter and no
 * further, and what comes close to it is looked at by hand.
 *
 * Digits are compared as text of equal length, so that no serial is too long for a number.
 */

/** Serials from one to another, both included. */
export interface SerialRange {
  /** The letters before the digits, in capitals; "" for none. */
  readonly prefix: string;
  /** How many digits a serial has; 1 to 17. */
  readonly digits: number;
  /** The digits of both ends; noughts in front may be left out. */
  readonly low: string;
  readonly high: string;
}

export type RangeRefusal =
  | { readonly code: "empty" | "too-long" | "form" }
  /** "AB6000637-6000676": the letters are part of the serial, and have to stand at both ends. */
  | { readonly code: "prefix-differs"; readonly low: string; readonly high: string }
  | { readonly code: "digit-count-differs"; readonly low: number; readonly high: number }
  | { readonly code: "high-below-low" };

export type RangeReading =
  | { readonly answer: "range"; readonly range: SerialRange }
  | { readonly answer: "refused"; readonly text: string; readonly reason: RangeRefusal };

const MOST_DIGITS = 17;
const LONGEST_RANGE = 80;

/**
 * Reads a range as a notice prints it: "AB6000637-AB6000676", "608262 to 695909", or one serial alone.
 *
 * Errors: none; what is no range is refused with a reason.
 */
export function readSerialRange(text: string): RangeReading {
  const written = text.normalize("NFKC").trim();
  const refuse = (reason: RangeRefusal): RangeReading => ({ answer: "refused", text: written.slice(0, LONGEST_RANGE), reason });
  if (written === "") return refuse({ code: "empty" });
  if (written.length > LONGEST_RANGE) return refuse({ code: "too-long" });
  const ends = endsOf(written)?.map(serialParts);
  const [low, high] = ends ?? [];
  if (low === undefined || low === null || high === undefined || high === null) return refuse({ code: "form" });
  if (low.prefix !== high.prefix) return refuse({ code: "prefix-differs", low: low.prefix, high: high.prefix });
  const digits = low.number.length;
  if (digits !== high.number.length) return refuse({ code: "digit-count-differs", low: digits, high: high.number.length });
  if (digits > MOST_DIGITS) return refuse({ code: "too-long" });
  if (high.number < low.number) return refuse({ code: "high-below-low" });
  return { answer: "range", range: { prefix: low.prefix, digits, low: low.number, high: high.number } };
}

/** The two ends of a range as written. Among hyphens, which serials have too, the middle one parts them. */
function endsOf(written: string): readonly [string, string] | null {
  const parted = written.split(/\s*(?:[\u2010-\u2015\u2212]|\.\.+|\bto\b)\s*/i);
  if (parted.length === 2) return [parted[0]!, parted[1]!];
  if (parted.length > 2) return null;
  const parts = written.split("-");
  if (parts.length === 1) return [written, written];
  if (parts.length % 2 === 1) return null;
  const middle = parts.length / 2;
  return [parts.slice(0, middle).join("-"), parts.slice(middle).join("-")];
}

/**
 * Reads the ranges of a notice, parted by commas, semicolons or line ends.
 *
 * Answer: all of them, or every one that is refused; a notice with half its ranges would let sets out.
 */
export function readSerialRanges(
  text: string,
): { readonly answer: "ranges"; readonly ranges: readonly SerialRange[] } | { readonly answer: "refused"; readonly refused: readonly Extract<RangeReading, { answer: "refused" }>[] } {
  const readings = text.split(/[,;\r\n]/).filter((part) => part.trim() !== "").map(readSerialRange);
  const refused = readings.filter((one) => one.answer === "refused");
  if (refused.length > 0) return { answer: "refused", refused };
  return { answer: "ranges", ranges: readings.flatMap((one) => (one.answer === "range" ? [one.range] : [])) };
}

interface SerialParts {
  readonly prefix: string;
  readonly number: string;
}

/** A serial as letters and digits: spaces, full stops and hyphens do not count; `null` for any other form. */
function serialParts(serial: string): SerialParts | null {
  const parts = /^([A-Z]*)([0-9]+)$/.exec(bare(serial));
  return parts === null ? null : { prefix: parts[1] ?? "", number: parts[2] ?? "" };
}

/** Only the letters a to z are made capitals: other alphabets have rules of their own. */
function bare(serial: string): string {
  return serial.replace(/[ .-]/g, "").replace(/[a-z]/g, (letter) => letter.toUpperCase());
}

export type SerialMatch = "match" | "check" | "none";
/** Why a serial was matched; `null` = it was not. */
export type MatchReason = "in-range" | "every-serial" | "serial-unknown" | "near-miss" | null;

/**
 * How the serial of an affected model stands to the ranges of a notice, exactly:
 *
 * 1. No ranges: the notice is about every serial, "every-serial".
 * 2. Spaces (U+0020), full stops and hyphens (U+002D) are taken out of the serial and a to z become
 *    capitals. Nothing left, or no serial recorded: "serial-unknown", held until it is known.
 * 3. What is left is letters A to Z, perhaps none, then digits 0 to 9, at least one. Any other form:
 *    "near-miss", a person looks.
 * 4. Same letters, same digit count, number from low to high, both included: "in-range".
 * 5. Same digit count and number, other letters: "near-miss".
 * 6. Same letters, and putting one digit 0 to 9 in anywhere among the digits, or taking one out, gives
 *    what 4 would match: "near-miss".
 * 7. Everything else: not matched.
 *
 * Of several ranges the hardest answer counts, in the order of `MatchReason`.
 */
export function serialMatchReason(serial: string | null, ranges: readonly SerialRange[]): MatchReason {
  if (ranges.length === 0) return "every-serial";
  if (serial === null || bare(serial) === "") return "serial-unknown";
  const parts = serialParts(serial);
  if (parts === null) return "near-miss";
  const { prefix, number } = parts;
  if (ranges.some((range) => prefix === range.prefix && liesIn(number, range))) return "in-range";
  return ranges.some((range) => isNear(parts, range)) ? "near-miss" : null;
}

/** "match" holds until the remedy is recorded, "check" until somebody has looked; see `serialMatchReason`. */
export function matchSerial(serial: string | null, ranges: readonly SerialRange[]): SerialMatch {
  const reason = serialMatchReason(serial, ranges);
  if (reason === null) return "none";
  return reason === "near-miss" ? "check" : "match";
}

function liesIn(number: string, { digits, low, high }: SerialRange): boolean {
  return number.length === digits && number >= low.padStart(digits, "0") && number <= high.padStart(digits, "0");
}

function isNear({ prefix, number }: SerialParts, range: SerialRange): boolean {
  if (prefix !== range.prefix) return liesIn(number, range);
  if (number.length === range.digits + 1) {
    for (let at = 0; at < number.length; at += 1) if (liesIn(number.slice(0, at) + number.slice(at + 1), range)) return true;
  }
  if (number.length === range.digits - 1) {
    for (let at = 0; at <= number.length; at += 1) {
      for (let digit = 0; digit <= 9; digit += 1) if (liesIn(number.slice(0, at) + digit + number.slice(at), range)) return true;
    }
  }
  return false;
}
