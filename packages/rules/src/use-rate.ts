/**
 * What the past use of components says of their kinds and of the season, ready for forecasts.
 *
 * The past is read in blocks of four weeks counted back from today, so that each holds every weekday
 * equally often.
 *
 * Formulas. Dispersion φ (variance over mean of the counts; dives come in bunches, a return at a time):
 * over pairs of neighbouring blocks with counts c and exposure x, Σ (c₁x₂ - c₂x₁)² / (x₁x₂(x₁ + x₂)) over
 * Σ (c₁ + c₂) / (x₁ + x₂), each term's mean being φ for one level. A kind's prior: mean m = its use over
 * its exposure; spread between components v = (Σ E(r - m)² - (n - 1) φ m) / (ΣE - ΣE² / ΣE).
 * Units: counts (dives, or minutes); exposure in days of average season.
 * Source: φ from neighbours, after von Neumann, Annals of Mathematical Statistics 12:367 (1941); the
 * spread by moments, DerSimonian and Laird, Controlled Clinical Trials 7:177 (1986).
 */
import { addDays, daysBetween } from "./calendar.ts";
import type { Day } from "./calendar.ts";
import type { Dives, Minutes } from "./measures.ts";
import { estimateSeason, FLAT_SEASON, LOOK_BACK_DAYS, monthOf, monthsFrom, seasonClock } from "./season.ts";
import type { MonthsSeen, Season, SeasonClock } from "./season.ts";

/** What one return added. */
export interface UseOnDay {
  readonly on: Day;
  readonly dives: Dives;
  readonly minutes: Minutes;
}

/** The use of one component, in any order. What lies after today is not looked at. */
export interface UseHistory {
  /** The first day its use was kept; `null` = not in use yet. An earlier use puts it back to that day. */
  readonly since: Day | null;
  readonly uses: readonly UseOnDay[];
}

export type Measure = "dives" | "minutes";

/** What a component of a kind is taken to do before anything is seen of it: as if it had `shape` counts in so much exposure. */
export interface KindPrior {
  readonly shape: number;
  readonly exposure: number;
  /** φ. */
  readonly dispersion: number;
}

/** `null` = no use of that measure was ever seen at the site, so nothing can be said. */
export type KindUse = Readonly<Record<Measure, KindPrior | null>>;

export interface FleetUse {
  readonly season: Season;
  readonly kinds: ReadonlyMap<string, KindUse>;
  /** For a kind of which the site has none yet. */
  readonly anyKind: KindUse;
}

export const BLOCK_DAYS = 28;

/** One component's past in blocks of four weeks, the latest first. */
export interface PastUse {
  /** How many days it covers, today included; 0 = not in use yet. */
  readonly days: number;
  readonly dives: Float64Array;
  readonly minutes: Float64Array;
}

/** Lays a history out in blocks. */
export function pastUse(history: UseHistory, today: Day): PastUse {
  const agoOf = history.uses.map((use) => daysBetween(use.on, today));
  let first = history.since === null ? -1 : daysBetween(history.since, today);
  for (const ago of agoOf) if (ago > first) first = ago;
  const days = Math.max(0, Math.min(first + 1, LOOK_BACK_DAYS));
  const blocks = Math.ceil(days / BLOCK_DAYS);
  const past = { days, dives: new Float64Array(blocks), minutes: new Float64Array(blocks) };
  for (const [index, use] of history.uses.entries()) {
    const ago = agoOf[index]!;
    if (ago < 0 || ago >= days) continue;
    const at = Math.floor(ago / BLOCK_DAYS);
    past.dives[at]! += use.dives;
    past.minutes[at]! += use.minutes;
  }
  return past;
}

/** The exposure of each of its blocks. */
export function blockExposures({ days }: PastUse, { behind }: SeasonClock): Float64Array {
  const exposures = new Float64Array(Math.ceil(days / BLOCK_DAYS));
  for (let at = 0; at < exposures.length; at += 1) {
    exposures[at] = behind[Math.min(days, (at + 1) * BLOCK_DAYS)]! - behind[at * BLOCK_DAYS]!;
  }
  return exposures;
}

/** Learns season, dispersion and what the components of each kind have in common from the whole site's past. */
export function fitUse(components: readonly { readonly kind: string; readonly history: UseHistory }[], today: Day): FleetUse {
  const pasts = components.map(({ history }) => pastUse(history, today));
  const evenly = seasonClock(FLAT_SEASON, today, 1);
  const even = pasts.map((past) => ({ ...past, exposures: blockExposures(past, evenly) }));
  const season = estimateSeason(monthsSeen(components, pasts, today), dispersionOf(even, "dives", 1));
  const clock = seasonClock(season, today, 1);
  const seen = pasts.map((past, index) => ({ ...past, kind: components[index]!.kind, exposures: blockExposures(past, clock) }));
  const dives = priorsOf(seen, "dives");
  const minutes = priorsOf(seen, "minutes");
  const kinds = new Map<string, KindUse>();
  for (const { kind } of components) kinds.set(kind, { dives: dives.of(kind), minutes: minutes.of(kind) });
  return { season, kinds, anyKind: { dives: dives.of(null), minutes: minutes.of(null) } };
}

/** What is known of a kind; of one the site has none of, what is known of all of them. */
export function useOfKind({ kinds, anyKind }: FleetUse, kind: string): KindUse {
  return kinds.get(kind) ?? anyKind;
}

type Seen = PastUse & { readonly exposures: Float64Array };

function monthsSeen(components: readonly { readonly history: UseHistory }[], pasts: readonly PastUse[], today: Day): MonthsSeen[] {
  // How often each month occurs in the last n days, for every n.
  const months = monthsFrom(addDays(today, 1 - LOOK_BACK_DAYS), LOOK_BACK_DAYS);
  const within = new Uint16Array((LOOK_BACK_DAYS + 1) * 12);
  for (let n = 1; n <= LOOK_BACK_DAYS; n += 1) {
    within.copyWithin(n * 12, (n - 1) * 12, n * 12);
    within[n * 12 + months[LOOK_BACK_DAYS - n]!]! += 1;
  }
  return components.map(({ history }, index) => {
    const { days } = pasts[index]!;
    const counts = new Float64Array(12);
    for (const { on, dives } of history.uses) {
      const ago = daysBetween(on, today);
      if (ago >= 0 && ago < days) counts[monthOf(on)]! += dives;
    }
    return { counts, days: within.subarray(days * 12, days * 12 + 12) };
  });
}

/** Before anything is seen: dives come by fours, a weekend's hire at a time. Common practice; it counts as so many pairs of blocks. */
const USUAL_DISPERSION = 4;
const USUAL_PAIRS = 10;

/** φ of a measure, whose unit is the counts of one dive; never less than one dive's worth. */
function dispersionOf(seen: readonly Seen[], measure: Measure, unit: number): number {
  let [spread, level, pairs] = [0, 0, 0];
  for (const { [measure]: counts, exposures } of seen) {
    for (let at = 1; at < counts.length; at += 1) {
      const [c1, x1, c2, x2] = [counts[at - 1]!, exposures[at - 1]!, counts[at]!, exposures[at]!];
      if (x1 <= 0 || x2 <= 0) continue;
      spread += (c1 * x2 - c2 * x1) ** 2 / (x1 * x2 * (x1 + x2));
      level += (c1 + c2) / (x1 + x2);
      pairs += 1;
    }
  }
  if (level === 0) return USUAL_DISPERSION * unit;
  const usual = (level / pairs) * USUAL_PAIRS;
  return Math.max(unit, (spread + USUAL_DISPERSION * unit * usual) / (level + usual));
}

/** A kind of few components is drawn to the mean of all by as much as half a year of one component tells. */
const BORROWED_EXPOSURE = 180;
/** The spread between components, as a squared share of the mean: what it is taken for, as if seen on so many, and its limits. */
const USUAL_SPREAD = 0.4;
const USUAL_SPREAD_COUNT = 5;
const LEAST_SPREAD = 0.1;
const MOST_SPREAD = 2;

function priorsOf(seen: readonly (Seen & { readonly kind: string })[], measure: Measure): { of: (kind: string | null) => KindPrior | null } {
  const all = seen.map((one) => ({ kind: one.kind, count: total(one[measure]), dives: total(one.dives), exposure: total(one.exposures) }));
  const used = all.filter((one) => one.exposure > 0);
  const count = total(used.map((one) => one.count));
  if (count === 0) return { of: () => null };
  const unit = measure === "dives" ? 1 : count / Math.max(1, total(used.map((one) => one.dives)));
  const dispersion = dispersionOf(seen, measure, unit);
  const mean = count / total(used.map((one) => one.exposure));
  const byKind = new Map<string, typeof used>();
  for (const one of used) {
    const same = byKind.get(one.kind);
    if (same === undefined) byKind.set(one.kind, [one]);
    else same.push(one);
  }
  const priorOf = (group: typeof used): KindPrior => {
    const exposure = total(group.map((one) => one.exposure));
    const rate = (total(group.map((one) => one.count)) + mean * BORROWED_EXPOSURE) / (exposure + BORROWED_EXPOSURE);
    const shape = dispersion / spreadOf(group, rate, dispersion);
    return { shape, exposure: shape / rate, dispersion };
  };
  return { of: (kind) => priorOf((kind === null ? used : byKind.get(kind)) ?? []) };
}

function spreadOf(group: readonly { readonly count: number; readonly exposure: number }[], rate: number, dispersion: number): number {
  const n = group.length;
  const exposure = total(group.map((one) => one.exposure));
  const evenness = n < 2 ? 0 : exposure - total(group.map((one) => one.exposure ** 2)) / exposure;
  if (evenness <= 0) return USUAL_SPREAD;
  const own = total(group.map((one) => one.count)) / exposure;
  const around = total(group.map((one) => (one.count - own * one.exposure) ** 2 / one.exposure));
  const between = Math.max(0, (around - (n - 1) * dispersion * own) / evenness) / rate ** 2;
  return Math.min(MOST_SPREAD, Math.max(LEAST_SPREAD, (n * between + USUAL_SPREAD_COUNT * USUAL_SPREAD) / (n + USUAL_SPREAD_COUNT)));
}

function total(values: ArrayLike<number>): number {
  let sum = 0;
  for (let at = 0; at < values.length; at += 1) sum += values[at]!;
  return sum;
}
