/** Where things lie on a set's bar: a share of its width, the middle of each week at a whole step. */
import type { PlannedSet } from "@hangrail/api/plan-view";
import { daysBetween } from "../../../format.ts";

const DAYS = 7;

/** A day as weeks from the middle of the first: its Thursday is 0. Clamped to what is shown. */
export function placeOfDay(day: string, first: string, weeks: number): number {
  return clamp(daysBetween(first, day) / DAYS - 0.5, weeks);
}

/** Half a week before the first to half a week after the last. */
const clamp = (place: number, weeks: number): number => Math.min(weeks - 0.5, Math.max(-0.5, place));

export interface Band {
  /** In weeks from the middle of the first. */
  readonly from: number;
  readonly until: number;
  readonly middle: number | null;
  /** It goes on beyond what is shown. */
  readonly goesOn: boolean;
}

/** The forecast as a band from its earliest to its latest day; null where there is none to draw or it lies after these weeks. */
export function bandOf({ low, middle, high }: PlannedSet["due"], first: string, weeks: number): Band | null {
  if (low === null || daysBetween(first, low) >= weeks * DAYS) return null;
  const beyond = high === null || daysBetween(first, high) >= weeks * DAYS;
  const until = high === null ? weeks - 0.5 : placeOfDay(high, first, weeks);
  const mid = middle === null || daysBetween(first, middle) < 0 || daysBetween(first, middle) >= weeks * DAYS ? null : placeOfDay(middle, first, weeks);
  return { from: placeOfDay(low, first, weeks), until, middle: mid, goesOn: beyond };
}

/** The weeks a set is away when it goes in that one, as far as they are shown. */
export function awayOf(week: number | null, awayWeeks: number, weeks: number): { readonly from: number; readonly until: number } | null {
  return week === null ? null : { from: week - 0.5, until: Math.min(weeks, week + awayWeeks) - 0.5 };
}

/** A place as a share of the track in percent, below 0 in the first half week; the track ends with one more step, "not in these weeks". */
export const shareOf = (place: number, weeks: number): number => (100 * place) / weeks;
