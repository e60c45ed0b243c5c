/**
 * How often something fails, and how sure one can be of it: exact limits for a rate of rare events,
 * and an exact comparison of two rates. Exact, because a kit room counts faults in ones and twos,
 * where "plus or minus two deviations" reaches below zero.
 *
 * Units: events in whole numbers, exposure in dives (or hours, or anything else, one kind at a time),
 * rates in events per `per` of exposure.
 */
import { betaQuantile, binomialAtLeast, binomialCdf, binomialMass, gammaQuantile } from "./distributions.ts";
import { between, eventCount, exposureOf, properShare, refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";

/** Events, and what they happened in. */
export interface Observed {
  readonly events: number;
  readonly exposure: number;
}

export interface RateSettings {
  /** Rates are told per so much exposure: 100 for "per 100 dives". */
  readonly per: number;
  /** Such as 0.95. */
  readonly confidence: number;
}

export interface RateInterval {
  readonly answer: "interval";
  readonly rate: number;
  readonly lower: number;
  readonly upper: number;
}

export type RateRefusal = "no-exposure" | "confidence-too-high";

const MOST_PER = 1e9;

/**
 * The rate of events and its exact limits, each missed half of the time that is left.
 *
 * Formula: for c events in an exposure T, lower = G(α/2; c) / T (0 where c = 0) and
 * upper = G(1 - α/2; c + 1) / T, where G(p; a) is the p quantile of the gamma distribution of shape
 * a and rate 1 and α = 1 - confidence. No events in T: the 95 % upper limit is 3.689 / T.
 * The limits hold the true rate at least as often as the confidence says.
 * Refuses: "no-exposure" where T is 0, for nothing is known then; "confidence-too-high" where 1 - α/2
 * is not to be told from 1.
 * Errors: RangeError for a count, exposure or setting that cannot be.
 * Source: Garwood, Biometrika 28:437 (1936).
 */
export function rateInterval(observed: Observed, settings: RateSettings): RateInterval | Refused<RateRefusal> {
  const told = limits(observed, settings, 2);
  return told.answer === "refused" ? told : { answer: "interval", ...told.limits };
}

/**
 * One limit alone, missed all of the time that is left: "surely no more than", "surely no fewer than".
 * No events in T: the 95 % upper limit is 2.996 / T, the "rule of three". Refuses, errors and source as
 * `rateInterval`.
 */
export function rateLimit(
  observed: Observed,
  settings: RateSettings,
  side: "lower" | "upper",
): { readonly answer: "limit"; readonly rate: number; readonly limit: number } | Refused<RateRefusal> {
  const told = limits(observed, settings, 1);
  return told.answer === "refused" ? told : { answer: "limit", rate: told.limits.rate, limit: told.limits[side] };
}

function limits({ events, exposure }: Observed, { per, confidence }: RateSettings, sides: 1 | 2) {
  eventCount(events, "the events");
  exposureOf(exposure, "the exposure");
  between(per, 1 / MOST_PER, MOST_PER, "the exposure a rate is told per");
  properShare(confidence, "the confidence");
  if (exposure === 0) return refused("no-exposure");
  const missed = (1 - confidence) / sides;
  if (1 - missed === 1) return refused("confidence-too-high");
  const limit = (p: number, shape: number) => (gammaQuantile(p, shape, 1) / exposure) * per;
  return {
    answer: "limits",
    limits: {
      rate: (events / exposure) * per,
      lower: events === 0 ? 0 : limit(missed, events),
      upper: limit(1 - missed, events + 1),
    },
  } as const;
}

export interface RateRatio {
  readonly answer: "ratio";
  /** The first rate over the second. `null`: without bound, for the second had no event. */
  readonly ratio: number | null;
  readonly lower: number;
  readonly upper: number | null;
  readonly p: TwoRateP;
}

/** Chances, if both rates were one, of a split of the events at least this uneven. */
export interface TwoRateP {
  /** Twice the smaller tail, at most 1. Agrees with the interval: below α exactly when 1 is outside. */
  readonly pCentral: number;
  /** All splits no likelier than this one; may disagree with the interval. */
  readonly pMinlike: number;
  /** The first having so many or more. */
  readonly pGreater: number;
  /** The first having so many or fewer. */
  readonly pLess: number;
}

/** Without an event there is nothing to split: the ratio is unknown, and nothing speaks against one rate. */
export type NoEvents = Refused<"no-events"> & { readonly p: TwoRateP };

/**
 * Compares two rates, exactly.
 *
 * Formula: given n = c1 + c2 events in all, c1 is binomial(n, π) with π = r T1 / (r T1 + T2), where r
 * is the ratio of the rates; equal rates are r = 1. The limits of π are those of Clopper and Pearson,
 * Beta(α/2; c1, c2 + 1) and Beta(1 - α/2; c1 + 1, c2), and give those of r = π / (1 - π) * T2 / T1.
 * Refuses: "no-exposure" where either has none; "no-events"; "confidence-too-high".
 * Errors: RangeError for a count, exposure or setting that cannot be.
 * Source: Przyborowski and Wilenski, Biometrika 31:313 (1940); Clopper and Pearson, Biometrika
 * 26:404 (1934); on the two-sided p: Fay, Biostatistics 11:373 (2010).
 */
export function rateRatio(first: Observed, second: Observed, confidence: number): RateRatio | NoEvents | Refused<RateRefusal> {
  const p = twoRateP(first, second);
  properShare(confidence, "the confidence");
  if ("answer" in p) return p;
  const n = first.events + second.events;
  if (n === 0) return { ...refused("no-events"), p };
  const missed = (1 - confidence) / 2;
  if (1 - missed === 1) return refused("confidence-too-high");
  const scale = second.exposure / first.exposure;
  return {
    answer: "ratio",
    ratio: second.events === 0 ? null : (first.events / second.events) * scale,
    lower: first.events === 0 ? 0 : odds(missed, first.events, second.events + 1) * scale,
    upper: second.events === 0 ? null : odds(1 - missed, first.events + 1, second.events) * scale,
    p,
  };
}

/** The chances alone. Refuses and errors as `rateRatio`; without an event all are 1. */
export function twoRateP(first: Observed, second: Observed): TwoRateP | Refused<"no-exposure"> {
  eventCount(first.events, "the events of the first");
  eventCount(second.events, "the events of the second");
  exposureOf(first.exposure, "the exposure of the first");
  exposureOf(second.exposure, "the exposure of the second");
  if (first.exposure === 0 || second.exposure === 0) return refused("no-exposure");
  const n = first.events + second.events;
  const share = first.exposure / (first.exposure + second.exposure);
  // From the far side where its own share is the larger: 1 - share would lose the digits of the other.
  const pGreater = binomialAtLeast(first.events, n, share);
  const pLess = binomialAtLeast(second.events, n, second.exposure / (first.exposure + second.exposure));
  return { pCentral: Math.min(1, 2 * Math.min(pGreater, pLess)), pMinlike: minlike(first.events, n, share), pGreater, pLess };
}

/** π / (1 - π) at the quantile p of a beta distribution, from whichever end keeps the digits. */
function odds(p: number, a: number, b: number): number {
  const share = betaQuantile(p, a, b);
  if (share <= 0.5) return share / (1 - share);
  const rest = betaQuantile(1 - p, b, a);
  return (1 - rest) / rest;
}

/** Two chances that differ by less than this are the same chance. The figure is the usual one. */
const SAME = 1 + 1e-7;

/** The sum of the chances of all counts no likelier than c: c's own tail, and the far tail up to its like. */
function minlike(c: number, n: number, share: number): number {
  const mean = n * share;
  if (n === 0 || c === mean) return 1;
  const most = binomialMass(c, n, share) * SAME;
  const unlikely = (k: number) => binomialMass(k, n, share) <= most;
  if (c < mean) {
    let [low, high] = [Math.ceil(mean), n + 1];
    while (low < high) {
      const middle = Math.floor((low + high) / 2);
      if (unlikely(middle)) high = middle;
      else low = middle + 1;
    }
    return Math.min(1, binomialCdf(c, n, share) + binomialAtLeast(low, n, share));
  }
  let [low, high] = [-1, Math.floor(mean)];
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if (unlikely(middle)) low = middle;
    else high = middle - 1;
  }
  return Math.min(1, binomialCdf(low, n, share) + binomialAtLeast(c, n, share));
}
