/** Weeks in words. A week is named by its Monday; its number is the one on the wall calendar (ISO 8601). */
import { dayText, daysBetween, listText } from "../../../format.ts";

/** The number of a Monday's week: ("2027-01-04") → 1. A week belongs to the year of its Thursday. */
export function weekNumber(monday: string): number {
  const thursday = new Date(Date.parse(`${monday}T00:00:00Z`) + 3 * 86_400_000).toISOString().slice(0, 10);
  return Math.floor(daysBetween(`${thursday.slice(0, 4)}-01-01`, thursday) / 7) + 1;
}

/** "week 32". */
export const weekText = (monday: string): string => `week ${weekNumber(monday)}`;

/** "week 32 (9 Aug)": the year is left out, since no plan is as long as a year and a half. */
export function weekAndDay(monday: string): string {
  return `${weekText(monday)} (${shortDay(monday)})`;
}

/** "9 Aug". */
export function shortDay(day: string): string {
  return dayText(day).replace(/ \d{4}$/, "");
}

/** "week 32", "weeks 32 and 34", "weeks 32 to 36"; runs of three and more are drawn together. */
export function weeksText(mondays: readonly string[]): string {
  const runs: (readonly [string, string, number])[] = [];
  for (const monday of mondays) {
    const last = runs.at(-1);
    if (last !== undefined && daysBetween(last[1], monday) === 7) runs[runs.length - 1] = [last[0], monday, last[2] + 1];
    else runs.push([monday, monday, 1]);
  }
  const parts = runs.flatMap(([first, last, length]) => (length === 1 ? [`${weekNumber(first)}`] : length === 2 ? [`${weekNumber(first)}`, `${weekNumber(last)}`] : [`${weekNumber(first)} to ${weekNumber(last)}`]));
  return `${mondays.length === 1 ? "week" : "weeks"} ${listText(parts)}`;
}

/** The Monday of a day's week. */
export function mondayOf(day: string): string {
  const at = Date.parse(`${day}T00:00:00Z`);
  return new Date(at - ((new Date(at).getUTCDay() + 6) % 7) * 86_400_000).toISOString().slice(0, 10);
}
