/**
 * Check values. Tables: Abramowitz and Stegun (1964), table 26.8 (chi-square) and 26.1 (normal); Pearson
 * and Hartley, Biometrika Tables. "R" = R 4.2.2, package stats. "mpmath" = mpmath 1.3 at 40 digits.
 */
import {
  betaQuantile, binomialCdf, chiSquareQuantile, gammaAbove, gammaCdf, gammaQuantile, negativeBinomialCdf, negativeBinomialQuantile, normalQuantile,
  poissonAtLeast, poissonCdf, poissonQuantile,
} from "./distributions.ts";

export const TABLE_CASES = [
  { what: "chi-square 0.95, 6 degrees", got: () => chiSquareQuantile(0.95, 6), want: 12.591587243744, digits: 12, source: "A&S 26.8 prints 12.5916; digits from R" },
  { what: "chi-square 0.975, 200 degrees", got: () => chiSquareQuantile(0.975, 200), want: 241.057895506311, digits: 12, source: "R" },
  { what: "normal 0.975", got: () => normalQuantile(0.975), want: 1.95996398454005, digits: 13, source: "A&S 26.1 prints 1.960; digits from R" },
  { what: "normal 1e-10", got: () => normalQuantile(1e-10), want: -6.36134090240406, digits: 13, source: "R" },
  { what: "normal 1e-300", got: () => normalQuantile(1e-300), want: -37.0470962993612, digits: 13, source: "mpmath" },
  { what: "gamma 1e-6 of shape 2", got: () => gammaQuantile(1e-6, 2, 1), want: 0.00141488066147934, digits: 12, source: "R" },
  { what: "gamma 0.975 of shape 4, rate 120", got: () => gammaQuantile(0.975, 4, 120), want: 0.0730606089145194, digits: 12, source: "R" },
  { what: "beta 0.5 of 40 and 2", got: () => betaQuantile(0.5, 40, 2), want: 0.959401532969937, digits: 12, source: "R" },
  { what: "Poisson at most 3 of mean 10", got: () => poissonCdf(3, 10), want: 0.0103360506759257, digits: 12, source: "R" },
  { what: "Poisson at least 5 of mean 0.01", got: () => poissonAtLeast(5, 0.01), want: 8.264185641806498e-13, digits: 12, source: "mpmath" },
  { what: "Poisson 0.99865 of mean 1.42", got: () => poissonQuantile(0.99865, 1.42), want: 6, digits: 15, source: "R" },
  { what: "binomial at most 3 of 20 at 0.3", got: () => binomialCdf(3, 20, 0.3), want: 0.107086804503731, digits: 12, source: "R" },
  { what: "negative binomial at most 10", got: () => negativeBinomialCdf(10, 2.5, 0.2), want: 0.611462627833339, digits: 12, source: "R" },
  { what: "negative binomial 0.975", got: () => negativeBinomialQuantile(0.975, 2.5, 0.2), want: 28, digits: 15, source: "R" },
] as const;

/** Where the library's own incomplete gamma is wrong in its first or second figure. */
export const LARGE_SHAPE_CASES = [
  { what: "P(1546, 1503.02)", got: () => gammaCdf(1503.024607, 1546, 1), want: 0.1368054768142302, digits: 12, source: "mpmath" },
  { what: "Q(1008, 1100)", got: () => gammaAbove(1100, 1008, 1), want: 0.0023684179339651303, digits: 12, source: "mpmath" },
  { what: "median of shape 1008", got: () => gammaQuantile(0.5, 1008, 1), want: 1007.6666862700806, digits: 13, source: "mpmath" },
  { what: "0.025 of shape 2500", got: () => gammaQuantile(0.025, 2500, 1), want: 2402.952365431124, digits: 13, source: "mpmath" },
] as const;
