/**
 * How long parts stay sound: the share still without a fault after so many dives or days, from spells
 * of which many have not ended yet.
 *
 * Units: times in dives or days, one kind at a time; shares from 0 to 1.
 */
import { normalQuantile } from "./distributions.ts";
import { exposureOf, properShare, refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";

/** One spell under watch. */
export interface Spell {
  /** How long it lasted: up to the fault, or as long as it has been watched. */
  readonly time: number;
  /** `false`: no fault so far (censored). It still counts as watched at `time` itself. */
  readonly fault: boolean;
}

/** One time with faults. */
export interface SurvivalStep {
  readonly time: number;
  /** Spells that had lasted at least so long. */
  readonly atRisk: number;
  readonly faults: number;
  /** Share still sound just after this time. */
  readonly survival: number;
  /** Greenwood's. `null`: nothing is left, and the formula has no value. */
  readonly standardError: number | null;
  /** `null` where nothing is left. */
  readonly lower: number | null;
  readonly upper: number | null;
}

export interface Survival {
  readonly answer: "survival";
  readonly spells: number;
  readonly faults: number;
  /** By time; before the first the share is 1. Empty where there was no fault. */
  readonly steps: readonly SurvivalStep[];
  /** After the longest spell. */
  readonly survivalAtEnd: number;
  /** The longest spell; beyond it nothing is known. */
  readonly longest: number;
  /** `null`: fewer than half have failed, so the half-way point is not known. */
  readonly median: number | null;
  /** `null`: the band never comes down to a half. */
  readonly medianLower: number | null;
  readonly medianUpper: number | null;
}

/**
 * The product-limit curve with its band.
 *
 * Formula: S(t) = Π (1 - d/n) over the times with faults up to t, d faults among n at risk. Standard
 *   error: S √(Σ d / (n (n - d))). Band: S^exp(±z s), s = √(Σ d / (n (n - d))) / ln S, which stays
 *   inside 0 and 1 (log-log). Median: the first time with S <= 1/2; where S is exactly 1/2 up to a
 *   later fault, the middle of that stretch; its limits likewise, from the limits of S.
 * A spell without a fault that ends at t is at risk at t. The order of the spells changes nothing.
 * Refuses: "no-spells". No fault at all is an answer: the share is 1 as far as was watched.
 * Errors: RangeError for a time or confidence that cannot be.
 * Source: Kaplan and Meier, JASA 53:457 (1958); Greenwood (1926); the band: Kalbfleisch and Prentice,
 * The Statistical Analysis of Failure Time Data (1980), 1.3.
 */
export function survivalOf(spells: readonly Spell[], confidence: number): Survival | Refused<"no-spells"> {
  properShare(confidence, "the confidence");
  const times = countsByTime(spells);
  if (times.length === 0) return refused("no-spells");
  const z = -normalQuantile((1 - confidence) / 2);
  const steps: SurvivalStep[] = [];
  let atRisk = spells.length;
  let survival = 1;
  let logSurvival = 0;
  let spread = 0;
  for (const { time, faults, ended } of times) {
    if (faults > 0) {
      survival = faults === atRisk ? 0 : survival * ((atRisk - faults) / atRisk);
      logSurvival += Math.log1p(-faults / atRisk);
      spread += faults / (atRisk * (atRisk - faults));
      const log = { survival: logSurvival, error: Math.sqrt(spread) };
      const known = survival > 0;
      steps.push({
        time,
        atRisk,
        faults,
        survival,
        standardError: known ? survival * log.error : null,
        lower: known ? logLogLimit(log, z) : null,
        upper: known ? logLogLimit(log, -z) : null,
      });
    }
    atRisk -= ended;
  }
  return {
    answer: "survival",
    spells: spells.length,
    faults: steps.reduce((sum, step) => sum + step.faults, 0),
    steps,
    survivalAtEnd: survival,
    longest: times.at(-1)?.time ?? 0,
    median: halfWay(steps, (step) => step.survival),
    medianLower: halfWay(steps, (step) => step.lower),
    medianUpper: halfWay(steps, (step) => step.upper),
  };
}

/** Spells at risk at a time: those that lasted at least so long. */
export function atRiskAt(spells: readonly Spell[], time: number): number {
  return spells.filter((spell) => spell.time >= time).length;
}

export interface TimeCount {
  readonly time: number;
  readonly faults: number;
  /** With a fault or without. */
  readonly ended: number;
}

/** The spells counted by the time at which they ended, earliest first. Errors: RangeError for a time that cannot be. */
export function countsByTime(spells: readonly Spell[]): readonly TimeCount[] {
  const byTime = new Map<number, { faults: number; ended: number }>();
  for (const [index, { time, fault }] of spells.entries()) {
    exposureOf(time, `the time of spell ${index + 1}`);
    const counted = byTime.get(time) ?? { faults: 0, ended: 0 };
    counted.ended += 1;
    if (fault) counted.faults += 1;
    byTime.set(time, counted);
  }
  return [...byTime].map(([time, counted]) => ({ time, ...counted })).sort((a, b) => a.time - b.time);
}

function logLogLimit(log: { readonly survival: number; readonly error: number }, z: number): number {
  return Math.exp(log.survival * Math.exp((z * log.error) / -log.survival));
}

/** A product of fractions that should be 1/2 may miss it by its last digits. */
const HALF_WITHIN = 1.5e-8;

function halfWay(steps: readonly SurvivalStep[], height: (step: SurvivalStep) => number | null): number | null {
  const known = steps.flatMap((step) => {
    const share = height(step);
    return share === null ? [] : [{ time: step.time, share }];
  });
  const first = known.find(({ share }) => share < 0.5 + HALF_WITHIN);
  if (first === undefined) return null;
  if (Math.abs(first.share - 0.5) >= HALF_WITHIN) return first.time;
  // Without a later fault the stretch has no end that anybody has seen.
  const next = known.find(({ share }) => share < first.share - HALF_WITHIN);
  return next === undefined ? first.time : (first.time + next.time) / 2;
}
