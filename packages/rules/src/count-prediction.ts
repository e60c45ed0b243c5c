/**
 * How many events a coming exposure brings, when the rate itself is only known as a gamma distribution.
 *
 * Formula: rate ~ Gamma(shape a, exposure b), so events in exposure t ~ negative binomial with size a
 * and chance b / (b + t): mean a t / b, variance (a t / b)(1 + t / b).
 * Units: counts; b and t in the same exposure.
 * Source: Gelman et al., Bayesian Data Analysis, section 2.6. Check values: R.
 */
import { betaCdf, negativeBinomialQuantile } from "./distributions.ts";
import { between } from "./refusal.ts";

/** What is known of a rate: as if `shape` events had been seen in so much exposure. Mean rate = shape / exposure. */
export interface GammaRate {
  readonly shape: number;
  readonly exposure: number;
}

export interface CountPrediction {
  readonly mean: number;
  readonly variance: number;
  /** The smallest count that so much of the chance lies at or below, one for each share asked. */
  readonly quantiles: readonly number[];
}

/** Predicts the count of a coming exposure. Errors: RangeError for a rate, exposure or share that cannot be. */
export function predictCount(rate: GammaRate, ahead: number, shares: readonly number[]): CountPrediction {
  const { shape, exposure } = checkedRate(rate);
  between(ahead, 0, 1e12, "the exposure ahead");
  const mean = (shape * ahead) / exposure;
  return {
    mean,
    variance: mean * (1 + ahead / exposure),
    quantiles: shares.map((share) => (ahead === 0 ? 0 : negativeBinomialQuantile(share, shape, exposure / (exposure + ahead)))),
  };
}

/** The chance of at least so many events, with all its digits where it is tiny. */
export function chanceOfAtLeast(events: number, rate: GammaRate, ahead: number): number {
  const { shape, exposure } = checkedRate(rate);
  between(ahead, 0, 1e12, "the exposure ahead");
  between(events, -1e12, 1e12, "the number of events");
  if (events <= 0) return 1;
  return ahead === 0 ? 0 : betaCdf(ahead / (exposure + ahead), Math.ceil(events), shape);
}

/** Errors: RangeError unless both are above 0 and of a size that can be reckoned with. */
export function checkedRate(rate: GammaRate): GammaRate {
  between(rate.shape, 1e-6, 1e12, "the events behind a rate");
  between(rate.exposure, 1e-6, 1e12, "the exposure behind a rate");
  return rate;
}
