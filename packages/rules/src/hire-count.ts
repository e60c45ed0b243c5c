/**
 * What a return adds to the counts. The count decides when a set is serviced, so what was not said is
 * reckoned and marked, never left out.
 */
import type { Dives, Minutes } from "./measures.ts";

/** What the hirer says at return. `null` = not said. */
export interface ReturnWord {
  readonly dives: Dives | null;
  readonly minutes: Minutes | null;
  /** Whether the set went into water. `null` counts as wet. */
  readonly gotWet: boolean | null;
  /** "Any problem?" has to be asked; `null` = not answered. */
  readonly problem: boolean | null;
}

export interface HireCount {
  readonly dives: Dives;
  readonly minutes: Minutes;
  /** Reckoned, not stated. */
  readonly divesEstimated: boolean;
  readonly minutesEstimated: boolean;
}

export type ReturnDecision =
  | { readonly answer: "count"; readonly count: HireCount; readonly problem: boolean }
  | { readonly answer: "refuse"; readonly reason: "problem-not-answered" };

/** Decides what a return adds. A return is refused only while nobody has asked about problems. */
export function decideReturn(
  word: ReturnWord,
  planned: { readonly dives: Dives },
  policy: { readonly minutesPerDive: Minutes },
): ReturnDecision {
  if (word.problem === null) return { answer: "refuse", reason: "problem-not-answered" };
  return { answer: "count", count: countHire(word, planned, policy), problem: word.problem };
}

/**
 * Counts a hire: the dives stated, else those planned; the minutes stated, else so many for each dive.
 * A set that got wet counts one dive at least, even where "none" was said. Source: common practice.
 */
export function countHire(
  word: Omit<ReturnWord, "problem">,
  planned: { readonly dives: Dives },
  policy: { readonly minutesPerDive: Minutes },
): HireCount {
  const dry = word.gotWet === false && (word.dives === null || word.dives === 0) && !word.minutes;
  if (dry) return { dives: 0, minutes: 0, divesEstimated: false, minutesEstimated: false };
  const stated = word.dives !== null && word.dives > 0 ? word.dives : null;
  // Somebody who says "none" of a wet set did not dive the plan either: one dive is nearer the truth.
  const dives = stated ?? (word.dives === 0 ? 1 : Math.max(1, planned.dives));
  const saidMinutes = word.minutes !== null && word.minutes > 0 ? word.minutes : null;
  return {
    dives,
    minutes: saidMinutes ?? dives * policy.minutesPerDive,
    divesEstimated: stated === null,
    minutesEstimated: saidMinutes === null,
  };
}
