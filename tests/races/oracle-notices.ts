/**
 * How a serial stands to a range of a notice, said by example: every serial of the range is written
 * down, and the one in question is held against each. For narrow ranges only.
 */

/** Serials of a model; `digits` null = every one of the model. */
export interface Range {
  readonly model: string;
  readonly prefix: string;
  readonly digits: number | null;
  readonly low: number;
  readonly high: number;
}

export type Standing = "in-range" | "every-serial" | "serial-unknown" | "near-miss" | null;

const LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
const DIGITS = "0123456789";

export function standsTo(serial: string, range: Range): Standing {
  if (range.digits === null) return "every-serial";
  let plain = "";
  for (const sign of serial) if (!" .-".includes(sign)) plain += sign >= "a" && sign <= "z" ? LETTERS["abcdefghijklmnopqrstuvwxyz".indexOf(sign)] : sign;
  if (plain === "") return "serial-unknown";
  let letters = 0;
  while (letters < plain.length && LETTERS.includes(plain[letters]!)) letters += 1;
  const prefix = plain.slice(0, letters);
  const number = plain.slice(letters);
  if (number === "" || [...number].some((sign) => !DIGITS.includes(sign))) return "near-miss";
  let near = false;
  for (let one = range.low; one <= range.high; one += 1) {
    let member = String(one);
    while (member.length < range.digits) member = `0${member}`;
    if (number === member) {
      if (prefix === range.prefix) return "in-range";
      near = true;
    }
    if (prefix === range.prefix && (isOneShorter(number, member) || isOneShorter(member, number))) near = true;
  }
  return near ? "near-miss" : null;
}

/** Is the second the first with one sign left out? */
function isOneShorter(long: string, short: string): boolean {
  if (long.length !== short.length + 1) return false;
  let at = 0;
  while (at < short.length && long[at] === short[at]) at += 1;
  return long.slice(at + 1) === short.slice(at);
}
