/**
 * What happens to parts after a service: how long until the first confirmed fault, by model or by kind
 * of service. Never by person: thin figures would blame whoever had the worst sets on the bench.
 *
 * Units: dives or days since the service, one kind at a time, in whole numbers.
 */
import { betaQuantile } from "./distributions.ts";
import { logRank } from "./log-rank.ts";
import type { LogRank, LogRankRefusal } from "./log-rank.ts";
import { between, eventCount, properShare, refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";
import { atRiskAt, survivalOf } from "./survival.ts";
import type { Survival } from "./survival.ts";
import { fitWeibull } from "./weibull.ts";
import type { WeibullFit, WeibullRefusal } from "./weibull.ts";

/** One part from a service on. */
export interface AfterService {
  /** The model, or the kind of service. */
  readonly group: string;
  /** Until the first confirmed fault, or until the next service or today without one. */
  readonly lasted: number;
  readonly fault: boolean;
}

export interface EarlySettings {
  /** What the groups are. */
  readonly groupedBy: "model" | "service-kind";
  /** Such as 0.95. */
  readonly confidence: number;
  /** A fault within so many dives or days after the service is a bedding failure; the last one counts. */
  readonly beddingWithin: number;
  /** Fewer faults than this give no verdict on the shape. */
  readonly leastFaults: number;
  /** A shape within this factor of 1 is steady: 1.5 is from 0.67 to 1.5. */
  readonly steadyWithin: number;
}

/** Ten dives are common practice for the bedding check after a service. The other figures are Hangrail's choice. */
export const EARLY_SETTINGS: Omit<EarlySettings, "groupedBy"> = { confidence: 0.95, beddingWithin: 10, leastFaults: 5, steadyWithin: 1.5 };

export type ShapeVerdict = "early-faults" | "wear-out" | "steady" | "too-little-to-tell";

export interface ShareInterval {
  readonly answer: "share";
  readonly share: number;
  readonly lower: number;
  readonly upper: number;
}

export interface Bedding {
  readonly failures: number;
  /** Spells whose bedding is known: a fault within it, or watched to its end. */
  readonly known: number;
  /** Spells that ended, sound, before it was over; they are in neither number. */
  readonly notYetKnown: number;
  readonly interval: ShareInterval | Refused<"no-tries" | "confidence-too-high">;
}

export interface GroupAtRisk {
  readonly at: number;
  readonly atRisk: number;
}

export interface EarlyGroup {
  readonly group: string;
  readonly curve: Survival;
  /** At the same times for all groups, for the line under a chart. */
  readonly atRisk: readonly GroupAtRisk[];
  readonly weibull: WeibullFit | Refused<WeibullRefusal>;
  readonly verdict: ShapeVerdict;
  readonly bedding: Bedding;
}

export interface EarlyFaults {
  readonly answer: "early-faults";
  readonly groupedBy: EarlySettings["groupedBy"];
  /** By name. */
  readonly groups: readonly EarlyGroup[];
  /** Whether the groups differ by more than chance. */
  readonly difference: LogRank | Refused<LogRankRefusal>;
}

/**
 * Survival to the first fault after a service, group by group.
 *
 * Curve and band: `survivalOf`. Difference: `logRank`. Verdict: from the interval of the Weibull shape
 * (`fitWeibull`) where there are `leastFaults`: wholly below 1 "early-faults", wholly above 1
 * "wear-out", within `steadyWithin` of 1 "steady"; all else is "too-little-to-tell". For a risk that is
 * steady, in 20 000 trials each with 5 to 15 faults among 20 to 60 spells, the 95 % interval said
 * "early-faults" in 2 of 100 at most and "wear-out" in up to 10: the shape leans upwards on thin data.
 * For the shape a fault with no dive or day since the service counts as half of one, since 0 has no
 * logarithm; the curve keeps it at 0.
 * Bedding: failures over the spells whose bedding is known, with exact limits (`shareInterval`). Those
 * still in it are left out, which makes the share too high rather than too low.
 * Refuses: "no-spells". A group too small for one of the figures says so in that figure.
 * Errors: RangeError for a spell that is no whole number from 0, and for a setting that cannot be.
 */
export function earlyFaults(spells: readonly AfterService[], settings: EarlySettings): EarlyFaults | Refused<"no-spells"> {
  properShare(settings.confidence, "the confidence");
  eventCount(settings.beddingWithin, "the dives or days of bedding");
  eventCount(settings.leastFaults, "the least faults for a verdict");
  between(settings.steadyWithin, 1, 100, "the factor within which a shape is steady");
  for (const [index, { group, lasted }] of spells.entries()) eventCount(lasted, `how long spell ${index + 1} (${group}) lasted`);
  const timed = spells.map(({ group, lasted, fault }) => ({ group, time: lasted, fault }));
  const times = tidyTimes(timed.reduce((most, { time }) => Math.max(most, time), 0));
  const groups: EarlyGroup[] = [];
  for (const group of [...new Set(timed.map((spell) => spell.group))].sort()) {
    const own = timed.filter((spell) => spell.group === group);
    const curve = survivalOf(own, settings.confidence);
    if (curve.answer === "refused") return curve;
    const weibull = fitWeibull(own.map((spell) => (spell.fault && spell.time === 0 ? { ...spell, time: 0.5 } : spell)), settings.confidence);
    groups.push({
      group,
      curve,
      atRisk: times.map((at) => ({ at, atRisk: atRiskAt(own, at) })),
      weibull,
      verdict: verdictOn(weibull, settings),
      bedding: beddingOf(own, settings),
    });
  }
  if (groups.length === 0) return refused("no-spells");
  return { answer: "early-faults", groupedBy: settings.groupedBy, groups, difference: logRank(timed) };
}

function verdictOn(weibull: WeibullFit | Refused<WeibullRefusal>, { leastFaults, steadyWithin }: EarlySettings): ShapeVerdict {
  if (weibull.answer === "refused" || weibull.faults < leastFaults) return "too-little-to-tell";
  if (weibull.shapeUpper < 1) return "early-faults";
  if (weibull.shapeLower > 1) return "wear-out";
  return weibull.shapeLower >= 1 / steadyWithin && weibull.shapeUpper <= steadyWithin ? "steady" : "too-little-to-tell";
}

function beddingOf(spells: readonly { readonly time: number; readonly fault: boolean }[], { beddingWithin, confidence }: EarlySettings): Bedding {
  const failures = spells.filter(({ time, fault }) => fault && time <= beddingWithin).length;
  const sound = spells.filter(({ time, fault }) => (fault ? time > beddingWithin : time >= beddingWithin)).length;
  const known = failures + sound;
  return { failures, known, notYetKnown: spells.length - known, interval: shareInterval(failures, known, confidence) };
}

/**
 * A share x of n and its exact limits, each missed half of the time that is left.
 *
 * Formula: lower = B(α/2; x, n - x + 1), 0 where x = 0; upper = B(1 - α/2; x + 1, n - x), 1 where
 *   x = n; B(p; a, b) the p quantile of the beta distribution, α = 1 - confidence.
 * Refuses: "no-tries" where n is 0; "confidence-too-high" where 1 - α/2 is not to be told from 1.
 * Errors: RangeError for counts that cannot be.
 * Source: Clopper and Pearson, Biometrika 26:404 (1934).
 */
export function shareInterval(x: number, n: number, confidence: number): ShareInterval | Refused<"no-tries" | "confidence-too-high"> {
  eventCount(n, "the tries");
  between(eventCount(x, "the failures"), 0, n, "the failures");
  const missed = (1 - properShare(confidence, "the confidence")) / 2;
  if (n === 0) return refused("no-tries");
  if (1 - missed === 1) return refused("confidence-too-high");
  return {
    answer: "share",
    share: x / n,
    lower: x === 0 ? 0 : betaQuantile(missed, x, n - x + 1),
    upper: x === n ? 1 : betaQuantile(1 - missed, x + 1, n - x),
  };
}

const MOST_STEPS = 6;

/** 0 and then even steps of 1, 2 or 5 times a power of ten, at most six of them, up to the longest spell. */
export function tidyTimes(longest: number): readonly number[] {
  between(longest, 0, Number.MAX_SAFE_INTEGER, "the longest spell");
  const finest = 10 ** Math.max(0, Math.floor(Math.log10(Math.max(1, longest / MOST_STEPS))));
  const step = [1, 2, 5, 10].map((times) => times * finest).find((one) => longest / one <= MOST_STEPS) ?? 10 * finest;
  return Array.from({ length: Math.floor(longest / step) + 1 }, (_, index) => index * step);
}
