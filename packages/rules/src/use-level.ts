/**
 * How much a component is used now, given that its use may have changed: a set is promoted to the
 * boats, or left in the cupboard.
 *
 * Model: use per exposure is level until it changes; a change comes in any block with the same small
 * chance and brings a new level drawn from the kind's prior. The blocks since the last change tell of
 * the present level, and how far back that lies is weighed by how well each answer explains the whole
 * past. This is how the past is discounted: by no more than it has ceased to hold.
 *
 * Formula, for counts C in exposure E since block i, prior shape a and exposure b, dispersion φ:
 *   weight(i) ~ e^(-i k) ev(0..i) R(i + 1),  R(n) = 1,  R(j) = Σ_m (1 - e^-k) e^(-(m - j) k) ev(j..m) R(m + 1),
 *   ev = (b/φ)^(a/φ) / (b/φ + E/φ)^(a/φ + C/φ) × Γ(a/φ + C/φ) / Γ(a/φ),  k = block days / days between changes,
 * and given i the level is gamma with shape a + C and exposure b + E.
 * Units: counts; exposure in days of average season; the latest block first.
 * Source: Barry and Hartigan, Annals of Statistics 20:260 (1992) (product partition models).
 */
import gammaln from "@stdlib/math-base-special-gammaln";
import type { WeightedRate } from "./first-passage.ts";
import { between } from "./refusal.ts";
import { BLOCK_DAYS } from "./use-rate.ts";
import type { KindPrior } from "./use-rate.ts";

/** Answers that are together less likely than this are left out. */
const NEGLIGIBLE = 0.005;

/**
 * What the present level may be. Without any past, the kind's prior.
 *
 * Errors: RangeError for days between changes that cannot be.
 */
export function presentLevel(counts: ArrayLike<number>, exposures: ArrayLike<number>, prior: KindPrior, daysBetweenChanges: number): readonly WeightedRate[] {
  between(daysBetweenChanges, 1, 1e6, "the days between changes of use");
  const n = counts.length;
  if (n === 0) return [{ weight: 1, shape: prior.shape, exposure: prior.exposure }];
  const evidence = evidenceOf(prior);
  const stay = BLOCK_DAYS / daysBetweenChanges;
  const logChange = Math.log(-Math.expm1(-stay));

  // Older first: what was before block j, when the level changed at its end.
  const older = new Float64Array(n + 1);
  const terms = new Float64Array(n);
  for (let j = n - 1; j >= 0; j -= 1) {
    let [count, exposure] = [0, 0];
    for (let m = j; m < n; m += 1) {
      count += counts[m]!;
      exposure += exposures[m]!;
      // The first block of all begins a level too: one change more in every way of cutting, so it weighs nothing.
      terms[m - j] = evidence(count, exposure) + older[m + 1]! - (m - j) * stay + logChange;
    }
    // Block 0 is the present: its terms are the answers themselves.
    if (j > 0) older[j] = logSum(terms, n - j);
  }
  const whole = logSum(terms, n);
  const rates: WeightedRate[] = [];
  let [count, exposure] = [0, 0];
  for (let i = 0; i < n; i += 1) {
    count += counts[i]!;
    exposure += exposures[i]!;
    rates.push({ weight: Math.exp(terms[i]! - whole), shape: prior.shape + count, exposure: prior.exposure + exposure });
  }
  return withoutNegligible(rates);
}

/** ln of how well one level explains a count, but for a factor that is the same however the past is cut up. */
function evidenceOf({ shape, exposure, dispersion }: KindPrior): (count: number, within: number) => number {
  const a = shape / dispersion;
  const fixed = a * Math.log(exposure) - gammaln(a);
  return (count, within) => fixed + lnGamma(a + count / dispersion) - (a + count / dispersion) * Math.log(exposure + within);
}

/** Stirling's series where it has all the digits wanted; some hundred thousand are asked for a fleet. */
function lnGamma(x: number): number {
  if (x < 16) return gammaln(x);
  const square = x * x;
  return (x - 0.5) * Math.log(x) - x + 0.9189385332046728 + (1 / 12 - (1 / 360 - 1 / (1260 * square)) / square) / x;
}

function logSum(logs: Float64Array, count: number): number {
  let most = -Infinity;
  for (let at = 0; at < count; at += 1) if (logs[at]! > most) most = logs[at]!;
  let sum = 0;
  for (let at = 0; at < count; at += 1) sum += Math.exp(logs[at]! - most);
  return most + Math.log(sum);
}

function withoutNegligible(rates: readonly WeightedRate[]): readonly WeightedRate[] {
  const rising = [...rates].sort((a, b) => a.weight - b.weight);
  let dropped = 0;
  let first = 0;
  while (dropped + rising[first]!.weight < NEGLIGIBLE) dropped += rising[first++]!.weight;
  return rising.slice(first).map((rate) => ({ ...rate, weight: rate.weight / (1 - dropped) }));
}
