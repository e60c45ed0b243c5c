/**
 * Whether a reading of one component (intermediate pressure at one supply, creep, cracking effort)
 * drifts, and when it reaches its limit if it goes on like that.
 *
 * A drift is told only where it stands out from noise: the Mann-Kendall test, two-sided at 5 %, by the
 * normal approximation with ties and with the correction for continuity. Its speed is the Theil-Sen
 * slope, the median of the slopes of all pairs, which one wild reading does not move.
 *
 * Formulas, for values y in the order of their days x, n of them:
 *   S = Σ sign(y_j - y_i), i < j;  var S = (n(n-1)(2n+5) - Σ t(t-1)(2t+5)) / 18, t the sizes of ties
 *   z = (S - sign S) / √(var S);   slope = median (y_j - y_i) / (x_j - x_i)
 *   line: median (y - slope x) + slope x
 * Several readings of one day count as their median, since they have no order among themselves.
 *
 * Units:  values in whatever whole unit they come (hundredths of a bar or of a millibar); days.
 * Answer: "too-few" and "no-drift" are answers of their own; neither says that the reading is good.
 * Source: Mann, Econometrica 13 (1945) 245; Sen, JASA 63 (1968) 1379. Our own choice: the fewest readings,
 *         six, and the month of 30.4375 days.
 */
import { daysBetween, type Day } from "./calendar.ts";
import { normalCdf } from "./distributions.ts";

export const FEWEST_DAYS = 6;
const SIGNIFICANT = 0.05;
const DAYS_A_MONTH = 30.4375;
/** Beyond ten years nobody can say. */
export const MOST_MONTHS = 120;

export interface DatedReading {
  readonly on: Day;
  readonly value: number;
}

/** The limits of a reading; `null` where there is none on that side. */
export interface Band {
  readonly low: number | null;
  readonly high: number | null;
}

export type Drift =
  | { readonly answer: "too-few"; readonly days: number; readonly needs: number }
  | { readonly answer: "no-drift"; readonly p: number }
  | {
      readonly answer: "drifts";
      readonly direction: "up" | "down";
      /** In the reading's unit, per year of twelve such months. */
      readonly perYear: number;
      readonly p: number;
      /** The limit it drifts towards; `null` where there is none on that side. */
      readonly limit: number | null;
      /** Whole months from the last reading until the line meets the limit, 0 where it has; `null` without a limit or beyond `MOST_MONTHS`. */
      readonly months: number | null;
    };

/** Readings in any order. Throws a RangeError for a value that is no finite number. */
export function readingDrift(readings: readonly DatedReading[], band: Band): Drift {
  const points = dayMedians(readings);
  if (points.length < FEWEST_DAYS) return { answer: "too-few", days: points.length, needs: FEWEST_DAYS };
  const p = mannKendall(points.map(({ y }) => y));
  const slope = theilSen(points);
  if (p >= SIGNIFICANT || slope === 0) return { answer: "no-drift", p };
  const limit = slope > 0 ? band.high : band.low;
  return { answer: "drifts", direction: slope > 0 ? "up" : "down", perYear: slope * DAYS_A_MONTH * 12, p, limit, months: limit === null ? null : monthsTo(limit, slope, points) };
}

interface Point {
  readonly x: number;
  readonly y: number;
}

function dayMedians(readings: readonly DatedReading[]): readonly Point[] {
  const byDay = new Map<Day, number[]>();
  for (const { on, value } of readings) {
    if (!Number.isFinite(value)) throw new RangeError(`${value} will not do for a reading of ${on}: write a number.`);
    byDay.set(on, [...(byDay.get(on) ?? []), value]);
  }
  const days = [...byDay].sort(([a], [b]) => (a < b ? -1 : 1));
  const first = days[0]?.[0];
  return first === undefined ? [] : days.map(([on, values]) => ({ x: daysBetween(first, on), y: median(values) }));
}

/** Two-sided chance of so much order among values that have none; 1 where all are the same. */
function mannKendall(values: readonly number[]): number {
  const n = values.length;
  const s = values.flatMap((y, i) => values.slice(i + 1).map((later) => Math.sign(later - y))).reduce((sum, sign) => sum + sign, 0);
  const spread = (size: number) => size * (size - 1) * (2 * size + 5);
  const sizes = [...new Set(values)].map((value) => values.filter((other) => other === value).length);
  const variance = (spread(n) - sizes.reduce((sum, size) => sum + spread(size), 0)) / 18;
  if (s === 0 || variance <= 0) return 1;
  return Math.min(1, 2 * normalCdf(-(Math.abs(s) - 1) / Math.sqrt(variance)));
}

function theilSen(points: readonly Point[]): number {
  return median(points.flatMap((a, i) => points.slice(i + 1).map((b) => (b.y - a.y) / (b.x - a.x))));
}

function monthsTo(limit: number, slope: number, points: readonly Point[]): number | null {
  const last = points.at(-1)?.x ?? 0;
  const now = median(points.map(({ x, y }) => y - slope * x)) + slope * last;
  const months = Math.max(0, Math.round((limit - now) / slope / DAYS_A_MONTH));
  return months > MOST_MONTHS ? null : months;
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = Math.floor(sorted.length / 2);
  const upper = sorted[half] ?? 0;
  return sorted.length % 2 === 1 ? upper : ((sorted[half - 1] ?? upper) + upper) / 2;
}
