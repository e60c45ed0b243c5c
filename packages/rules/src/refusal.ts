/**
 * How a figure says that it does not know, and how it checks what it is given.
 *
 * What can happen in a kit room and has no number (no dives yet, no fault at all) is an answer like
 * any other: `{ answer: "refused", why }`. What cannot happen (minus three faults, a confidence of
 * 95 instead of 0.95) is a mistake in the calling code and throws a RangeError that names it.
 */

export interface Refused<Why extends string> {
  readonly answer: "refused";
  readonly why: Why;
}

export function refused<Why extends string>(why: Why): Refused<Why> {
  return { answer: "refused", why };
}

/** Beyond these the arithmetic loses its digits; no fleet comes near them. */
export const MOST_EVENTS = 1e9;
export const MOST_EXPOSURE = 1e12;
const LEAST_EXPOSURE = 1e-6;

/** A count of events: a whole number from 0 to a milliard. */
export function eventCount(n: number, what: string): number {
  if (!Number.isSafeInteger(n) || n < 0 || n > MOST_EVENTS) {
    throw new RangeError(`${n} will not do for ${what}: write a whole number from 0 to ${MOST_EVENTS}.`);
  }
  return n;
}

/** What the events happened in (dives, hours): 0 or more, and not so little that a rate runs away. */
export function exposureOf(n: number, what: string): number {
  if (n === 0) return 0;
  return between(n, LEAST_EXPOSURE, MOST_EXPOSURE, what);
}

/** A share that is neither none nor all: a confidence, a level, a power. */
export function properShare(p: number, what: string): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`${p} will not do for ${what}: write a share between 0 and 1, such as 0.05.`);
  return p;
}

export function between(n: number, least: number, most: number, what: string): number {
  if (!(n >= least && n <= most)) throw new RangeError(`${n} will not do for ${what}: write a number from ${least} to ${most}.`);
  return n;
}
