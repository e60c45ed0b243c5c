/**
 * The regularised incomplete gamma function, both sides, each with all its digits: P(a, x) is the
 * share of a gamma variable of shape a at or below x, Q(a, x) = 1 - P the share above.
 *
 * Why it is here: from a shape of about 1000 the library's own loses its way within a few deviations
 * of the mean (P(1546, 1503.02) comes out 0.106 for 0.137), and a thousand faults are not many.
 *
 * Method: the series of P below the mean, the continued fraction of Q above it, and the factor they
 * share, x^a e^-x / Γ(a + 1), in the form that does not cancel at a large shape.
 * Source: Abramowitz and Stegun (1964) 6.5.29 and 6.5.31; DLMF 8.7.1, 8.9.2, 5.11.1; the factor:
 * Loader, Fast and Accurate Computation of Binomial Probabilities (2000). The fraction is worked
 * from the front as in Lentz, Applied Optics 15:668 (1976).
 */
import gammaln from "@stdlib/math-base-special-gammaln";

const DIGITS = 2 ** -53;
/** Terms needed grow as 9 times the root of the shape; this is enough for a shape of 1e11. */
const MOST_TERMS = 5_000_000;
const STIRLING_FROM = 16;

export interface Sides {
  readonly below: number;
  readonly above: number;
}

/** P and Q for a shape above 0 and a finite x. Both are from 0 to 1 and neither is NaN. */
export function incompleteGamma(shape: number, x: number): Sides {
  if (x <= 0) return { below: 0, above: 1 };
  if (x < shape + 1) {
    const below = Math.min(1, Math.exp(logPoissonTerm(shape, x)) * risingSeries(shape, x));
    return { below, above: 1 - below };
  }
  const above = Math.min(1, (shape / x) * Math.exp(logPoissonTerm(shape, x)) * fraction(shape, x));
  return { below: 1 - above, above };
}

/**
 * ln(x^a e^-x / Γ(a + 1)) for a >= 0, x > 0: at a whole a, the log of a Poisson chance. Written out
 * it is the difference of numbers as large as a ln a, which leaves no digits where a is large.
 */
export function logPoissonTerm(a: number, x: number): number {
  if (a < STIRLING_FROM) return a * Math.log(x) - x - gammaln(a + 1);
  return -0.5 * Math.log(2 * Math.PI * a) - stirlingError(a) - a * deviance((x - a) / a);
}

/** ln Γ(a + 1) less Stirling's formula, for a >= 16. */
function stirlingError(a: number): number {
  const square = a * a;
  return (1 / 12 - (1 / 360 - (1 / 1260 - (1 / 1680 - 1 / (1188 * square)) / square) / square) / square) / a;
}

/** u - ln(1 + u), by its series where the two would cancel. */
function deviance(u: number): number {
  if (Math.abs(u) > 0.01) return u - Math.log1p(u);
  let sum = 0;
  let power = u;
  for (let k = 2; k < 12; k += 1) {
    power *= -u;
    sum -= power / k;
  }
  return sum;
}

/** 1 + x/(a+1) + x²/((a+1)(a+2)) + ... */
function risingSeries(a: number, x: number): number {
  let sum = 1;
  let term = 1;
  for (let n = 1; n < MOST_TERMS; n += 1) {
    term *= x / (a + n);
    sum += term;
    if (term < DIGITS * sum) break;
  }
  return sum;
}

/** x times 1/(x+1-a- 1(1-a)/(x+3-a- 2(2-a)/(x+5-a- ...))). */
function fraction(a: number, x: number): number {
  const tiny = 1e-300;
  let b = x + 1 - a;
  let c = 1 / tiny;
  let d = 1 / (b === 0 ? tiny : b);
  let value = d;
  for (let n = 1; n < MOST_TERMS; n += 1) {
    const numerator = -n * (n - a);
    b += 2;
    d = numerator * d + b;
    d = 1 / (d === 0 ? tiny : d);
    c = b + numerator / c;
    if (c === 0) c = tiny;
    const step = d * c;
    value *= step;
    if (Math.abs(step - 1) <= DIGITS * 2) break;
  }
  return value * x;
}
