/**
 * The distributions the figures stand on: density or mass, share at or below, share above, and
 * quantile. They are those of @stdlib, made safe at their ends: an argument outside its range is a
 * RangeError, never NaN; a quantile that would be infinite is a RangeError too; the share above has
 * all its digits, which 1 - (share at or below) has not.
 *
 * The quantile of a count is the smallest k with P(X <= k) >= p. A share that equals p but for the
 * last digits counts as reaching it.
 *
 * Source: Johnson, Kemp and Kotz, Univariate Discrete Distributions (2005); Johnson, Kotz and
 * Balakrishnan, Continuous Univariate Distributions (1994). Check values: distributions.cases.ts.
 */
import beta from "@stdlib/stats-base-dists-beta";
import binomial from "@stdlib/stats-base-dists-binomial";
import chisquare from "@stdlib/stats-base-dists-chisquare";
import gamma from "@stdlib/stats-base-dists-gamma";
import negativeBinomial from "@stdlib/stats-base-dists-negative-binomial";
import normal from "@stdlib/stats-base-dists-normal";
import { incompleteGamma, logPoissonTerm } from "./incomplete-gamma.ts";

/** Rounding of a sum of shares; a count whose share falls short by less has reached it. */
const LAST_DIGITS = 1e-13;

// --- normal, mean 0 and deviation 1

export function normalDensity(x: number): number {
  return normal.pdf(known(x, "x"), 0, 1);
}

export function normalCdf(x: number): number {
  return normal.cdf(known(x, "x"), 0, 1);
}

/** The x below which the share p lies, 0 < p < 1; right to the last digits down to p = 1e-300. */
export function normalQuantile(p: number): number {
  inside(p);
  if (p > 0.5) return -normalQuantile(1 - p);
  // The library works on 2p - 1 and loses the digits of a small p (4e-9 wrong at 1e-10, infinite at
  // 1e-300). Newton on ln F, which is concave, so it climbs to the root from whichever side.
  let x = p > 1e-8 ? normal.quantile(p, 0, 1) : -Math.sqrt(-2 * Math.log(p));
  for (let step = 0; step < 60; step += 1) {
    const share = normal.cdf(x, 0, 1);
    const move = ((Math.log(share) - Math.log(p)) * share) / normal.pdf(x, 0, 1);
    if (!Number.isFinite(move)) break;
    x -= move;
    if (Math.abs(move) <= 1e-15 * Math.abs(x)) break;
  }
  return x;
}

// --- gamma by shape and rate (mean shape / rate), and chi-square

export function gammaDensity(x: number, shape: number, rate: number): number {
  return finite(gamma.pdf(known(x, "x"), positive(shape, "shape"), positive(rate, "rate")), "the gamma density");
}

export function gammaCdf(x: number, shape: number, rate: number): number {
  return incompleteGamma(positive(shape, "shape"), known(x, "x") * positive(rate, "rate")).below;
}

/** The share above x. */
export function gammaAbove(x: number, shape: number, rate: number): number {
  return incompleteGamma(positive(shape, "shape"), known(x, "x") * positive(rate, "rate")).above;
}

/** 0 <= p < 1. */
export function gammaQuantile(p: number, shape: number, rate: number): number {
  positive(shape, "shape");
  positive(rate, "rate");
  if (belowOne(p) === 0) return 0;
  return finite(unitGammaQuantile(p, shape) / rate, "the gamma quantile");
}

/** Where the library's incomplete gamma is good, so is its quantile; beyond, it is only a start. */
const LIBRARY_SHAPE = 500;

function unitGammaQuantile(p: number, shape: number): number {
  if (shape < LIBRARY_SHAPE) return gamma.quantile(p, shape, 1);
  // Wilson and Hilferty (1931), right to about a thousandth of a deviation; then Newton.
  let x = shape * Math.max(0.01, 1 - 1 / (9 * shape) + normalQuantile(p) / (3 * Math.sqrt(shape))) ** 3;
  for (let step = 0; step < 30; step += 1) {
    const { below, above } = incompleteGamma(shape, x);
    const over = p < 0.5 ? below - p : 1 - p - above;
    const density = (shape / x) * Math.exp(logPoissonTerm(shape, x));
    const move = density > 0 ? over / density : 0;
    x = Math.max(x / 2, x - move);
    if (Math.abs(move) <= 1e-14 * x) break;
  }
  return x;
}

export function chiSquareDensity(x: number, degrees: number): number {
  return finite(chisquare.pdf(known(x, "x"), positive(degrees, "degrees of freedom")), "the chi-square density");
}

export function chiSquareCdf(x: number, degrees: number): number {
  return gammaCdf(x, positive(degrees, "degrees of freedom") / 2, 0.5);
}

export function chiSquareAbove(x: number, degrees: number): number {
  return gammaAbove(x, positive(degrees, "degrees of freedom") / 2, 0.5);
}

/** 0 <= p < 1. */
export function chiSquareQuantile(p: number, degrees: number): number {
  return gammaQuantile(p, positive(degrees, "degrees of freedom") / 2, 0.5);
}

// --- beta

export function betaDensity(x: number, a: number, b: number): number {
  return finite(beta.pdf(known(x, "x"), positive(a, "a"), positive(b, "b")), "the beta density");
}

export function betaCdf(x: number, a: number, b: number): number {
  return beta.cdf(known(x, "x"), positive(a, "a"), positive(b, "b"));
}

/** 0 <= p <= 1. */
export function betaQuantile(p: number, a: number, b: number): number {
  positive(a, "a");
  positive(b, "b");
  if (!(p >= 0 && p <= 1)) throw new RangeError(`${p} is no share: write a number from 0 to 1.`);
  return beta.quantile(p, a, b);
}

// --- Poisson

/** P(X = k). */
export function poissonMass(k: number, mean: number): number {
  notNegative(mean, "the mean");
  if (!Number.isInteger(known(k, "k")) || k < 0) return 0;
  if (mean === 0) return k === 0 ? 1 : 0;
  return Math.exp(logPoissonTerm(k, mean));
}

/** P(X <= k). */
export function poissonCdf(k: number, mean: number): number {
  notNegative(mean, "the mean");
  return known(k, "k") < 0 ? 0 : incompleteGamma(Math.floor(k) + 1, mean).above;
}

/** P(X >= k), with all its digits where it is tiny. */
export function poissonAtLeast(k: number, mean: number): number {
  notNegative(mean, "the mean");
  return known(k, "k") <= 0 ? 1 : incompleteGamma(Math.ceil(k), mean).below;
}

/** 0 <= p < 1. */
export function poissonQuantile(p: number, mean: number): number {
  notNegative(mean, "the mean");
  belowOne(p);
  if (mean === 0 || p === 0) return 0;
  const reached = (k: number) => poissonCdf(k, mean) >= p * (1 - LAST_DIGITS);
  return firstTrue(0, doubledUntil(Math.ceil(mean) + 1, reached), reached);
}

/** The smallest k with P(X > k) <= p, 0 < p < 1: the upper quantile, also where 1 - p would round to 1. */
export function poissonUpperQuantile(p: number, mean: number): number {
  inside(p);
  notNegative(mean, "the mean");
  const few = (k: number) => poissonAtLeast(k + 1, mean) <= p * (1 + LAST_DIGITS);
  return firstTrue(0, doubledUntil(Math.ceil(mean) + 1, few), few);
}

// --- binomial

/** P(X = k) of n tries. */
export function binomialMass(k: number, n: number, chance: number): number {
  return binomial.pmf(known(k, "k"), whole(n, "the number of tries"), share(chance));
}

/** P(X <= k) of n tries. */
export function binomialCdf(k: number, n: number, chance: number): number {
  whole(n, "the number of tries");
  share(chance);
  const upTo = Math.floor(known(k, "k"));
  if (upTo < 0) return 0;
  return upTo >= n ? 1 : beta.cdf(1 - chance, n - upTo, upTo + 1);
}

/** P(X >= k) of n tries, with all its digits where it is tiny. */
export function binomialAtLeast(k: number, n: number, chance: number): number {
  whole(n, "the number of tries");
  share(chance);
  const from = Math.ceil(known(k, "k"));
  if (from <= 0) return 1;
  return from > n ? 0 : beta.cdf(chance, from, n - from + 1);
}

/** 0 <= p <= 1. */
export function binomialQuantile(p: number, n: number, chance: number): number {
  whole(n, "the number of tries");
  share(chance);
  if (!(p >= 0 && p <= 1)) throw new RangeError(`${p} is no share: write a number from 0 to 1.`);
  if (p === 1) return chance === 0 ? 0 : n;
  return firstTrue(0, n, (k) => binomialCdf(k, n, chance) >= p * (1 - LAST_DIGITS));
}

// --- negative binomial: failures before success number `size`, which need not be whole

/** P(X = k). */
export function negativeBinomialMass(k: number, size: number, chance: number): number {
  return negativeBinomial.pmf(known(k, "k"), positive(size, "size"), chanceOf(chance));
}

/** P(X <= k). */
export function negativeBinomialCdf(k: number, size: number, chance: number): number {
  positive(size, "size");
  chanceOf(chance);
  if (known(k, "k") < 0) return 0;
  return chance === 1 ? 1 : beta.cdf(chance, size, Math.floor(k) + 1);
}

/** 0 <= p < 1. */
export function negativeBinomialQuantile(p: number, size: number, chance: number): number {
  positive(size, "size");
  chanceOf(chance);
  belowOne(p);
  if (chance === 1 || p === 0) return 0;
  const reached = (k: number) => negativeBinomialCdf(k, size, chance) >= p * (1 - LAST_DIGITS);
  return firstTrue(0, doubledUntil(1, reached), reached);
}

// ---

function doubledUntil(start: number, holds: (k: number) => boolean): number {
  let k = start;
  while (!holds(k)) {
    k *= 2;
    if (k > Number.MAX_SAFE_INTEGER) throw new RangeError("This quantile is too large to count.");
  }
  return k;
}

/** The first whole number from low to high for which a test holds that holds from there on; high holds. */
function firstTrue(low: number, high: number, holds: (k: number) => boolean): number {
  while (low < high) {
    const middle = Math.floor((low + high) / 2);
    if (holds(middle)) high = middle;
    else low = middle + 1;
  }
  return low;
}

function known(x: number, what: string): number {
  if (!Number.isFinite(x)) throw new RangeError(`${x} is no number for ${what}.`);
  return x;
}

function positive(x: number, what: string): number {
  if (!(x > 0 && x < Infinity)) throw new RangeError(`${x} will not do for ${what}: write a number above 0.`);
  return x;
}

function notNegative(x: number, what: string): number {
  if (!(x >= 0 && x < Infinity)) throw new RangeError(`${x} will not do for ${what}: write a number from 0.`);
  return x;
}

function whole(n: number, what: string): number {
  if (!Number.isSafeInteger(n) || n < 0) throw new RangeError(`${n} will not do for ${what}: write a whole number from 0.`);
  return n;
}

function share(p: number): number {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`${p} is no chance: write a number from 0 to 1.`);
  return p;
}

function chanceOf(p: number): number {
  if (!(p > 0 && p <= 1)) throw new RangeError(`${p} is no chance of success: write a number above 0, at most 1.`);
  return p;
}

function inside(p: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`The quantile at ${p} has no end: write a share between 0 and 1.`);
  return p;
}

function belowOne(p: number): number {
  if (!(p >= 0 && p < 1)) throw new RangeError(`The quantile at ${p} has no end: write a share from 0, below 1.`);
  return p;
}

function finite(x: number, what: string): number {
  if (!Number.isFinite(x)) throw new RangeError(`For these arguments ${what} has no finite value.`);
  return x;
}
