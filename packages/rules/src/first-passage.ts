/**
 * When a count reaches a limit, when the rate itself is only known as a gamma distribution. Exact: no
 * simulation.
 *
 * Formula: rate ~ Gamma(shape a, exposure b), events Poisson. The exposure until event number N is
 * b B / (1 - B) with B ~ Beta(N, a). Check: it is at or below t just when at least N events fall in t,
 * P = I(t / (b + t); N, a). Events that come in bunches, with a variance φ times their mean, behave as
 * N / φ bunches: Beta(N / φ, a / φ).
 * Units: exposure, as b.
 * Source: Johnson, Kotz and Balakrishnan, Continuous Univariate Distributions, on the beta of the
 * second kind (a ratio of gammas); φ: the quasi-likelihood of McCullagh and Nelder, Generalized Linear
 * Models (1989). Check values: R.
 */
import { checkedRate } from "./count-prediction.ts";
import type { GammaRate } from "./count-prediction.ts";
import { betaQuantile } from "./distributions.ts";
import { betaShare } from "./incomplete-beta.ts";
import { between, properShare, refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";

/** Longer than this is no length of time: the rate may as well be 0. */
const MOST_EXPOSURE_AHEAD = 1e15;

export interface PassageTimes {
  readonly answer: "told";
  /** The exposure by which the limit is reached with each chance asked. */
  readonly exposures: readonly number[];
}

/**
 * The exposure by which `remaining` more events have come, with each of the chances asked.
 *
 * With 0 or fewer remaining, 0. Refuses: "never" where the rate may be so near 0 that the answer has
 * no size. Errors: RangeError for a rate, chance or dispersion that cannot be.
 */
export function firstPassage(rate: GammaRate, remaining: number, chances: readonly number[], dispersion = 1): PassageTimes | Refused<"never"> {
  const { shape, exposure } = checkedRate(rate);
  between(remaining, -1e12, 1e12, "the events remaining");
  between(dispersion, 1e-3, 1e6, "the dispersion");
  for (const chance of chances) properShare(chance, "a chance");
  if (remaining <= 0) return { answer: "told", exposures: chances.map(() => 0) };
  const exposures = chances.map((chance) => exposure * odds(chance, remaining / dispersion, shape / dispersion));
  return exposures.every((one) => one < MOST_EXPOSURE_AHEAD) ? { answer: "told", exposures } : refused("never");
}

/** B / (1 - B) at a quantile of B, from whichever of the two is small and so has all its digits. */
function odds(chance: number, events: number, shape: number): number {
  const share = betaQuantile(chance, events, shape);
  if (share < 0.5) return share / (1 - share);
  const rest = betaQuantile(1 - chance, shape, events);
  return (1 - rest) / rest;
}

/** One of several things a rate may be. The weights of them all add up to 1. */
export interface WeightedRate extends GammaRate {
  readonly weight: number;
}

/**
 * The chance that `remaining` more events have come by an exposure, as a function of it, when the rate
 * is one of several: the same law, weighted. It never falls as the exposure grows.
 */
export function passageChance(rates: readonly WeightedRate[], remaining: number, dispersion: number): (exposure: number) => number {
  if (remaining <= 0) return () => 1;
  const parts = rates.map(({ weight, shape, exposure }) => ({ weight, exposure, share: betaShare(remaining / dispersion, shape / dispersion) }));
  return (ahead) => {
    let chance = 0;
    for (const { weight, exposure, share } of parts) chance += weight * share(ahead / (exposure + ahead), exposure / (exposure + ahead));
    return chance;
  };
}
