/**
 * Which of the sets that may go should go, so that wear and due dates spread.
 *
 * Of two sets the one with more dives left per day left goes first: its dives would otherwise be
 * thrown away when the calendar calls it to the bench, while the other would come to the bench by
 * dives long before its day. Used this way the sets run out of dives and days together.
 *
 *   R-01  40 dives left, 20 days left with today    2.0 dives a day to give
 *   R-02  40 dives left, 80 days left               0.5
 *   R-03  90 dives left, 90 days left               1.0
 *   →: R-02 is ahead of its calendar and rests.
 *
 * A set without a limit in dives loses nothing by going out and goes first; one with dives to lose
 * and no day to lose them by goes last. Equal ones go by the earlier due day, then by tag.
 */
import { daysBetween } from "./calendar.ts";
import type { Day } from "./calendar.ts";
import type { Dives } from "./measures.ts";

/** A set that may go out on the hire in question. */
export interface Candidate {
  readonly tag: string;
  /** The earliest due day among its components; `null` = no limit in months. */
  readonly dueOn: Day | null;
  /** The fewest dives left among its components; `null` = no limit in dives. */
  readonly divesLeft: Dives | null;
}

/** The candidates, the one to give first in front. The list given is left as it is. */
export function rankInstead<C extends Candidate>(candidates: readonly C[], today: Day): readonly C[] {
  return [...candidates].sort((a, b) => byDivesPerDay(a, b, today) || byDueDay(a, b) || byTag(a, b));
}

function byDivesPerDay(a: Candidate, b: Candidate, today: Day): number {
  if (a.divesLeft === null || b.divesLeft === null) return Number(b.divesLeft === null) - Number(a.divesLeft === null);
  if (a.dueOn === null || b.dueOn === null) return Number(a.dueOn === null) - Number(b.dueOn === null);
  // a.dives / a.days against b.dives / b.days, multiplied out to stay with whole numbers.
  return b.divesLeft * daysLeft(a.dueOn, today) - a.divesLeft * daysLeft(b.dueOn, today);
}

/** The due day itself still counts, so there is one day left on it. */
function daysLeft(dueOn: Day, today: Day): number {
  return Math.max(1, daysBetween(today, dueOn) + 1);
}

function byDueDay(a: Candidate, b: Candidate): number {
  if (a.dueOn === b.dueOn) return 0;
  if (a.dueOn === null) return 1;
  if (b.dueOn === null) return -1;
  return a.dueOn < b.dueOn ? -1 : 1;
}

function byTag(a: Candidate, b: Candidate): number {
  return a.tag < b.tag ? -1 : a.tag > b.tag ? 1 : 0;
}
