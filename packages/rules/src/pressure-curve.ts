/**
 * Finds lock-up and creep in a curve of intermediate pressure over time.
 *
 * Lock-up is where the needle stops after the valve is opened or after a purge. Creep is the rise from
 * there over five minutes (common practice). The curve may begin before the valve is opened, hold any
 * number of purges, and end with the valve shut.
 *
 * Answer: both figures, or "incomplete" with the reason; never a guess. Of several whole five minutes
 * the one with the most creep counts, so that purging once more hides nothing.
 *
 * How: a running median of three takes out lone spikes. A fall of more than the noise ends a rest, be it
 * of one point: it cannot be creep, and a short purge lets creep off and shows no more than that. A rest
 * begins where the pressure no longer rises faster than any creep; what races on soon after was a purge
 * held or a valve opened in steps. All thresholds are choices.
 */
import type { Centibar } from "./measures.ts";
import type { PressurePoint } from "./pressure-column.ts";

/** The time over which creep is taken, thousandths of a second. */
const FIVE_MINUTES = 300_000;
/** A figure is the median of what was read within this long. */
const WINDOW = 3000;
/** Between two points of the five minutes may lie so much; hand-written curves have one a minute. */
const WIDEST_GAP = 60_000;
/** The moment of lock-up has to be known to so much. */
const WIDEST_LOCK_UP_GAP = 10_000;
/** A rest shorter than this that rises on was none: the purge was held, or the valve opened in steps. */
const SHORTEST_REST = 30_000;
/** Below 1 bar the set is not under pressure, and 1 bar below an earlier lock-up the supply was shut. */
const PRESSURE_THERE: Centibar = 100;
/** Rise within a window that is still part of locking up, without noise. */
const STILL_RISING: Centibar = 5;
/** Rise within a window that no creep makes, without noise. */
const RACING: Centibar = 30;
/** Fall that is no noise, without any. */
const FALLING: Centibar = 10;
/** Curves of fewer points are not a logger's. */
const BY_HAND = 30;
/** Rise in the last minute that says it goes on, without noise. */
const GOES_ON: Centibar = 3;

export type WhyIncomplete =
  | "no-points"
  /** The points are not in the order of time, or hold something that is no number. */
  | "not-in-order"
  /** The pressure never came up, or never stopped. */
  | "no-lock-up"
  /** Fewer than five minutes from lock-up to the next purge or the end. */
  | "too-short"
  /** Too few points to know when it locked up, or what it did in between. */
  | "too-sparse";

export interface FoundCurve {
  readonly answer: "found";
  readonly lockUp: Centibar;
  /** When it locked up, in the seconds of the curve. */
  readonly lockUpAt: number;
  readonly afterFiveMinutes: Centibar;
  /** Negative when the pressure fell. */
  readonly creep: number;
  /** Rise in the last of the five minutes, and whether that is more than noise. */
  readonly lastMinuteRise: number;
  readonly stillCreeping: boolean;
  /** How many times it locked up in all. */
  readonly lockUps: number;
}

export interface IncompleteCurve {
  readonly answer: "incomplete";
  readonly why: WhyIncomplete;
  /** The longest rest there is, where one was found. */
  readonly lockUp: Centibar | null;
  readonly lockUpAt: number | null;
  /** How much of the five minutes is missing; `null` where that is not what is wrong. */
  readonly secondsMissing: number | null;
}

/** Times in thousandths of a second. */
interface Curve {
  readonly at: readonly number[];
  readonly raw: readonly number[];
  /** Without lone spikes. */
  readonly pressure: readonly number[];
  /** Standard deviation of the noise, in hundredths of a bar. */
  readonly noise: number;
}

/** From the point where the needle stopped to the last one before it moved otherwise. */
interface Rest {
  readonly from: number;
  readonly until: number;
  readonly lockUp: Centibar;
}

const incomplete = (why: WhyIncomplete, rest: { lockUp: Centibar; at: number } | null = null, secondsMissing: number | null = null): IncompleteCurve => ({
  answer: "incomplete", why, lockUp: rest?.lockUp ?? null, lockUpAt: rest === null ? null : rest.at / 1000, secondsMissing,
});

/** Reads a curve. Errors: none; a curve that does not tell is "incomplete". */
export function readPressureCurve(points: readonly PressurePoint[]): FoundCurve | IncompleteCurve {
  if (points.length === 0) return incomplete("no-points");
  if (!isInOrder(points)) return incomplete("not-in-order");
  const curve = curveOf(points);
  const rests = restsOf(curve);
  if (rests.length === 0) return incomplete("no-lock-up");
  const measured = rests.map((rest) => measure(curve, rest, rests.length));
  const found = measured.filter((one) => one.answer === "found");
  if (found.length > 0) return found.reduce((worst, one) => (one.creep > worst.creep ? one : worst));
  const longest = rests.reduce((best, rest, at) => (lasts(curve, rest) > lasts(curve, rests[best]!) ? at : best), 0);
  return measured[longest]!;
}

function isInOrder(points: readonly PressurePoint[]): boolean {
  return points.every(({ seconds, centibar }, at) => Number.isFinite(seconds) && Number.isSafeInteger(centibar) && (at === 0 || seconds >= points[at - 1]!.seconds));
}

function curveOf(points: readonly PressurePoint[]): Curve {
  const at = points.map(({ seconds }) => Math.round(seconds * 1000));
  const raw = points.map(({ centibar }) => centibar);
  const pressure = raw.map((here, place) => {
    const before = raw[place - 1] ?? here;
    const after = raw[place + 1] ?? here;
    return Math.max(Math.min(before, here), Math.min(Math.max(before, here), after));
  });
  return { at, raw, pressure, noise: noiseOf(at, raw) };
}

/**
 * How much points scatter about the line between their neighbours. Half of them may be anything,
 * openings and purges too, before the median shows it. A few points are written by hand: they are
 * taken as they stand.
 */
function noiseOf(at: readonly number[], raw: readonly number[]): number {
  if (raw.length < BY_HAND) return 0;
  const off: number[] = [];
  for (let place = 1; place < raw.length - 1; place += 1) {
    const span = at[place + 1]! - at[place - 1]!;
    const share = span === 0 ? 0.5 : (at[place]! - at[place - 1]!) / span;
    const line = raw[place - 1]! + (raw[place + 1]! - raw[place - 1]!) * share;
    off.push(Math.abs(raw[place]! - line) / Math.sqrt(1 + share * share + (1 - share) * (1 - share)));
  }
  // 1.4826 makes a median deviation a standard deviation, for noise of the usual shape.
  return 1.4826 * median(off);
}

function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}

const lasts = ({ at }: Curve, { from, until }: Rest): number => at[until]! - at[from]!;

function restsOf(curve: Curve): readonly Rest[] {
  const rests: Rest[] = [];
  let highest = PRESSURE_THERE * 2;
  for (let from = 0; from < curve.at.length; ) {
    const stop = stopsAt(curve, from);
    if (stop === null) break;
    const { until, raced } = restUntil(curve, stop);
    const lockUp = Math.round(valueFrom(curve, stop, until));
    if (!raced && lockUp >= highest - PRESSURE_THERE) {
      rests.push({ from: stop, until, lockUp });
      highest = Math.max(highest, lockUp);
    }
    from = until + 1;
  }
  return rests;
}

/** The first point from which the pressure neither races up nor falls; `null` when there is none. */
function stopsAt(curve: Curve, from: number): number | null {
  const { at, raw, pressure, noise } = curve;
  const fall = Math.max(FALLING, 8 * noise);
  let ahead = from;
  for (let here = from; here < at.length - 1; here += 1) {
    // At least the next point, however far it is.
    ahead = Math.max(ahead, here + 1);
    while (ahead + 1 < at.length && at[ahead + 1]! - at[here]! <= WINDOW) ahead += 1;
    const span = at[ahead]! - at[here]!;
    const beyond = Math.max(0, span - WINDOW) / 1000;
    const change = pressure[ahead]! - pressure[here]!;
    const next = pressure[here + 1]! - pressure[here]!;
    const most = Math.max(STILL_RISING * Math.min(1, span / WINDOW), 4 * noise) + beyond;
    // A purge of one point is still held at that point.
    const held = raw[here]! < pressure[here]! - fall;
    if (!held && Math.max(change, next) <= most && Math.min(change, next) >= -fall) return here;
  }
  return null;
}

/** The last point of a rest: before a fall, or `raced`, before a rise too fast for creep while the rest is young. */
function restUntil(curve: Curve, from: number): { readonly until: number; readonly raced: boolean } {
  const { at, raw, pressure, noise } = curve;
  const fall = Math.max(FALLING, 8 * noise);
  const race = Math.max(RACING, 8 * noise);
  let highest = pressure[from]!;
  let behind = from;
  for (let here = from + 1; here < at.length; here += 1) {
    while (behind < here - 1 && at[here]! - at[behind]! > WINDOW) behind += 1;
    if (raw[here]! < highest - fall) return { until: here - 1, raced: false };
    const young = at[here]! - at[from]! < SHORTEST_REST || pressure[behind]! < PRESSURE_THERE;
    const soon = at[here]! - at[behind]! <= WIDEST_LOCK_UP_GAP;
    if (young && soon && pressure[here]! - pressure[behind]! > race) return { until: here - 1, raced: true };
    highest = Math.max(highest, pressure[here]!);
  }
  return { until: at.length - 1, raced: false };
}

function measure(curve: Curve, { from, until, lockUp }: Rest, lockUps: number): FoundCurve | IncompleteCurve {
  const { at, pressure, noise } = curve;
  const start = at[from]!;
  const rest = { lockUp, at: start };
  // Where the curve begins at rest, its first point was taken as the lock-up by whoever wrote it.
  if (from > 0 && start - at[from - 1]! > WIDEST_LOCK_UP_GAP) return incomplete("too-sparse", rest);
  if (at[until]! - start < FIVE_MINUTES) return incomplete("too-short", rest, (FIVE_MINUTES - (at[until]! - start)) / 1000);
  for (let here = from + 1; here <= until && at[here - 1]! < start + FIVE_MINUTES; here += 1) {
    if (at[here]! - at[here - 1]! > WIDEST_GAP) return incomplete("too-sparse", rest);
  }
  const end = valueAt(curve, start + FIVE_MINUTES, from, until);
  const after = Math.round(end);
  const perMinute = lastMinute(at, pressure, start + FIVE_MINUTES, from, until);
  return {
    answer: "found",
    lockUp,
    lockUpAt: start / 1000,
    afterFiveMinutes: after,
    creep: after - lockUp,
    lastMinuteRise: Math.round(perMinute),
    stillCreeping: perMinute >= Math.max(GOES_ON, 3 * noise),
    lockUps,
  };
}

/** The median of the points from one on, within the window. */
function valueFrom({ at, pressure }: Curve, from: number, until: number): number {
  let last = from;
  while (last + 1 <= until && at[last + 1]! - at[from]! <= WINDOW) last += 1;
  return median(pressure.slice(from, last + 1));
}

/** The pressure at a moment: the median of the window from there on, else on the line between the points about it. */
function valueAt(curve: Curve, moment: number, from: number, until: number): number {
  const { at, pressure } = curve;
  let next = from;
  while (next < until && at[next]! < moment) next += 1;
  if (at[next]! - moment <= WINDOW) return valueFrom(curve, next, lastWithin(at, moment + WINDOW, next, until));
  const before = next - 1;
  const share = (moment - at[before]!) / (at[next]! - at[before]!);
  return pressure[before]! + (pressure[next]! - pressure[before]!) * share;
}

function lastWithin(at: readonly number[], moment: number, from: number, until: number): number {
  let last = from;
  while (last < until && at[last + 1]! <= moment) last += 1;
  return last;
}

/** Rise per minute over the last minute: between the means of its two halves, pressures and times. */
function lastMinute(at: readonly number[], pressure: readonly number[], end: number, from: number, until: number): number {
  const halves: [number[], number[]] = [[], []];
  for (let here = from; here <= until && at[here]! <= end; here += 1) {
    if (at[here]! < end - 60_000) continue;
    halves[at[here]! < end - 30_000 ? 0 : 1].push(here);
  }
  const [early, late] = halves;
  if (early.length === 0 || late.length === 0) return widely(at, pressure, end, from, until);
  const meanOf = (values: readonly number[], half: readonly number[]) => half.reduce((sum, here) => sum + values[here]!, 0) / half.length;
  return ((meanOf(pressure, late) - meanOf(pressure, early)) * 60_000) / (meanOf(at, late) - meanOf(at, early));
}

/** As `lastMinute`, with points so far apart that one half has none: between the last two up to the end or about it. */
function widely(at: readonly number[], pressure: readonly number[], end: number, from: number, until: number): number {
  let last = from;
  while (last < until && at[last]! < end) last += 1;
  let before = last;
  while (before > from && at[last]! - at[before]! < 30_000) before -= 1;
  return at[last]! === at[before]! ? 0 : ((pressure[last]! - pressure[before]!) * 60_000) / (at[last]! - at[before]!);
}
