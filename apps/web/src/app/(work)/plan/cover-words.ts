/** What cover and bench load say as a whole: one sentence each. */
import { countText, hoursText } from "../../../format.ts";
import { weekAndDay, weeksText } from "./weeks.ts";

export interface CoverPoint {
  readonly week: string;
  readonly booked: number;
  /** Sets able to go out, and how many would be were nothing serviced. */
  readonly able: number;
  readonly before: number;
  readonly short: number;
}

export const most = (values: readonly number[]): number => Math.max(0, ...values);

/** "3 weeks are short: weeks 31 to 33, by 2 sets at the most." */
export function coverText(points: readonly CoverPoint[], planned: boolean): string {
  const short = points.filter((point) => point.short > 0);
  if (points.every(({ booked }) => booked === 0)) return "Nothing of this kind is booked in these weeks.";
  if (short.length === 0) return planned ? "With this plan every booking has a set." : "Every booking has a set, even were nothing serviced.";
  return `${countText(short.length, "week")} ${short.length === 1 ? "is" : "are"} short${planned ? "" : " were nothing serviced"}: ${weeksText(short.map(({ week }) => week))}, by ${countText(most(short.map((point) => point.short)), "set")} at the most.`;
}

/** Minutes of work and of room in one week. */
export interface LoadRow {
  readonly week: string;
  readonly load: number;
  readonly room: number;
  readonly going: number;
}

/** What the load says as a whole. */
export function loadText(rows: readonly LoadRow[], planned: boolean): string {
  const room = rows.reduce((sum, row) => sum + row.room, 0);
  if (room === 0) return "No hours at the bench are entered for these weeks.";
  if (!planned) return `The bench has ${hoursText(room)} in these weeks. Work out a plan to see how they are filled.`;
  const over = rows.filter((row) => row.load > row.room);
  if (over.length > 0) return `Too much work in ${weeksText(over.map(({ week }) => week))}.`;
  const load = rows.reduce((sum, row) => sum + row.load, 0);
  const fullest = rows.reduce((a, b) => (b.room > 0 && b.load / b.room > (a.room === 0 ? 0 : a.load / a.room) ? b : a), rows[0]!);
  if (load === 0) return `No work is planned; the bench has ${hoursText(room)} in these weeks.`;
  return `${hoursText(load)} of work in ${hoursText(room)}; the fullest is ${weekAndDay(fullest.week)}, ${hoursText(fullest.load)} of ${hoursText(fullest.room)}.`;
}
