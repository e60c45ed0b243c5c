/**
 * The wash room's decisions. Clean = bath for the label's wet time, rinse, purge under pressure, dry;
 * anything less leaves the set where it is. Cleaning is per change of user (French Code du sport,
 * art. A322-81), so every return asks for it.
 */
import type { Day, Instant } from "./calendar.ts";
import { againstLabel, ppmTenths } from "./disinfectant.ts";
import type { Mixture } from "./disinfectant.ts";
import type { Cleaning } from "./hand-out.ts";
import type { Minutes } from "./measures.ts";

const MS_PER_MINUTE = 60_000;

/** What the label of a disinfectant says. */
export interface Product {
  readonly leastPpmTenths: number;
  readonly mostPpmTenths: number;
  /** How long the whole set stays in the bath. */
  readonly wetMinutes: Minutes;
  /** The last day it may be used from the bottle; `null` = none printed. */
  readonly bestBefore: Day | null;
}

/** One bath as it was mixed. */
export interface Bath {
  readonly mixture: Mixture;
  readonly madeAt: Instant;
  /** The last instant at which a wash may begin in it. */
  readonly expiresAt: Instant;
}

/** When a bath of this label's life is spent. */
export function bathExpiresAt(madeAt: Instant, lifeMinutes: Minutes): Instant {
  return madeAt + lifeMinutes * MS_PER_MINUTE;
}

/** Whether a bath is spent at an instant; at the very end of its life it is still good. */
export function isSpent(bath: Pick<Bath, "expiresAt">, at: Instant): boolean {
  return !(at <= bath.expiresAt);
}

/** A set that somebody wants to wash. */
export interface WashCandidate {
  readonly tag: string;
  readonly cleaning: Cleaning;
  readonly out: boolean;
  readonly retired: boolean;
  readonly evidenceLock: boolean;
  /** Per component, whether its maker allows this product; `null` = nobody recorded it. */
  readonly components: readonly { readonly id: string; readonly productAllowed: boolean | null }[];
}

export type StartRefusal =
  | { readonly code: "no-sets" }
  | { readonly code: "bath-not-made-yet"; readonly madeAt: Instant }
  | { readonly code: "bath-expired"; readonly expiresAt: Instant }
  | {
      readonly code: "bath-strength";
      readonly is: "below" | "above";
      readonly ppmTenths: number;
      readonly leastPpmTenths: number;
      readonly mostPpmTenths: number;
    }
  | { readonly code: "product-too-old"; readonly bestBefore: Day }
  | { readonly code: "evidence-lock" | "retired" | "out"; readonly tag: string }
  | { readonly code: "not-to-clean"; readonly tag: string; readonly cleaning: Cleaning }
  | { readonly code: "product-not-allowed"; readonly tag: string; readonly component: string; readonly recorded: boolean }
  | { readonly code: "twice"; readonly tag: string };

export type StartDecision =
  | { readonly answer: "start"; readonly wetUntil: Instant }
  | { readonly answer: "refuse"; readonly reasons: readonly [StartRefusal, ...StartRefusal[]] };

/** Decides whether these sets may go into this bath now, all or none, and says every reason why not. */
export function decideStartRun(
  bath: Bath,
  product: Product,
  sets: readonly WashCandidate[],
  now: Instant,
  today: Day,
): StartDecision {
  const [first, ...others] = [...refusalsOfBath(bath, product, now, today), ...refusalsOfSets(sets)];
  if (first !== undefined) return { answer: "refuse", reasons: [first, ...others] };
  return { answer: "start", wetUntil: now + product.wetMinutes * MS_PER_MINUTE };
}

function refusalsOfBath(bath: Bath, product: Product, now: Instant, today: Day): StartRefusal[] {
  const reasons: StartRefusal[] = [];
  const { leastPpmTenths, mostPpmTenths } = product;
  if (!(now >= bath.madeAt)) reasons.push({ code: "bath-not-made-yet", madeAt: bath.madeAt });
  if (isSpent(bath, now)) reasons.push({ code: "bath-expired", expiresAt: bath.expiresAt });
  const is = againstLabel(bath.mixture, leastPpmTenths, mostPpmTenths);
  if (is !== "within") {
    reasons.push({ code: "bath-strength", is, ppmTenths: ppmTenths(bath.mixture), leastPpmTenths, mostPpmTenths });
  }
  if (product.bestBefore !== null && !(today <= product.bestBefore)) {
    reasons.push({ code: "product-too-old", bestBefore: product.bestBefore });
  }
  return reasons;
}

function refusalsOfSets(sets: readonly WashCandidate[]): StartRefusal[] {
  if (sets.length === 0) return [{ code: "no-sets" }];
  const reasons: StartRefusal[] = [];
  const seen = new Set<string>();
  for (const { tag, cleaning, out, retired, evidenceLock, components } of sets) {
    if (seen.has(tag)) {
      reasons.push({ code: "twice", tag });
      continue;
    }
    seen.add(tag);
    if (evidenceLock) reasons.push({ code: "evidence-lock", tag });
    if (retired) reasons.push({ code: "retired", tag });
    if (out) reasons.push({ code: "out", tag });
    if (cleaning !== "to-clean") reasons.push({ code: "not-to-clean", tag, cleaning });
    for (const { id, productAllowed } of components) {
      if (productAllowed === true) continue;
      reasons.push({ code: "product-not-allowed", tag, component: id, recorded: productAllowed === false });
    }
  }
  return reasons;
}

/** A run in the bath. */
export interface WetRun {
  readonly startedAt: Instant;
  readonly wetMinutes: Minutes;
  /** The bath's end of life; what counts is that the run began before it. */
  readonly bathExpiresAt: Instant;
}

export type EndWetDecision =
  | { readonly answer: "end" }
  | {
      readonly answer: "refuse";
      readonly reasons: readonly [EndWetRefusal, ...EndWetRefusal[]];
    };

export type EndWetRefusal =
  | { readonly code: "too-short"; readonly wetUntil: Instant }
  | { readonly code: "bath-was-expired"; readonly expiresAt: Instant };

/** Decides whether a run has been wet for the label's time. A run in a spent bath never ends well: abandon it. */
export function decideEndWet(run: WetRun, now: Instant): EndWetDecision {
  const reasons: EndWetRefusal[] = [];
  const wetUntil = run.startedAt + run.wetMinutes * MS_PER_MINUTE;
  if (!(now >= wetUntil)) reasons.push({ code: "too-short", wetUntil });
  if (isSpent({ expiresAt: run.bathExpiresAt }, run.startedAt)) {
    reasons.push({ code: "bath-was-expired", expiresAt: run.bathExpiresAt });
  }
  const [first, ...others] = reasons;
  return first === undefined ? { answer: "end" } : { answer: "refuse", reasons: [first, ...others] };
}

/** What the wash-room hand says with the finishing scan. */
export interface FinishingWord {
  readonly rinsed: boolean;
  readonly purgedUnderPressure: boolean;
  readonly dry: boolean;
}

export type FinishRefusal =
  | { readonly code: "still-in-bath" }
  | { readonly code: "drying-too-short"; readonly dryFrom: Instant }
  | { readonly code: "not-rinsed" | "not-purged" | "not-dry" };

export type FinishDecision =
  | { readonly answer: "clean" }
  | { readonly answer: "refuse"; readonly reasons: readonly [FinishRefusal, ...FinishRefusal[]] };

/** Decides whether a run is clean: out of the bath, dried for the site's time, and all three steps confirmed. */
export function decideFinish(
  run: { readonly wetEndedAt: Instant | null },
  word: FinishingWord,
  policy: { readonly dryingMinutes: Minutes },
  now: Instant,
): FinishDecision {
  const reasons: FinishRefusal[] = [];
  if (run.wetEndedAt === null) reasons.push({ code: "still-in-bath" });
  else {
    const dryFrom = run.wetEndedAt + policy.dryingMinutes * MS_PER_MINUTE;
    if (!(now >= dryFrom)) reasons.push({ code: "drying-too-short", dryFrom });
  }
  if (word.rinsed !== true) reasons.push({ code: "not-rinsed" });
  if (word.purgedUnderPressure !== true) reasons.push({ code: "not-purged" });
  if (word.dry !== true) reasons.push({ code: "not-dry" });
  const [first, ...others] = reasons;
  return first === undefined ? { answer: "clean" } : { answer: "refuse", reasons: [first, ...others] };
}
