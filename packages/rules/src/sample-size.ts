/**
 * How many dives it takes to tell two fault rates apart. Three ways, from the rule of thumb to the
 * test that is really made.
 *
 * Units: rates per `per` of exposure, exposure of the first group; alpha is two-sided.
 * Formulas, with z = z(1 - α/2) + z(power), λ the usual rate, r the ratio, A the exposure of the other
 * group over that of the first:
 *   root       T = z² (1 + 1/A) / (4 (√(rλ) - √λ)²)
 *   logarithm  T = z² (1/(rλ) + 1/(Aλ)) / (ln r)²
 *   exact      the smallest T at which the conditional test of `rateRatio` (twice the smaller tail)
 *              rejects with the power asked for, both counts being Poisson. With few faults that power
 *              climbs in teeth; the answer has it, and a little more may fall short again by a little.
 * Source: van Belle, Statistical Rules of Thumb (2nd ed. 2008), 2.7, on Poisson counts; Gu, Ng, Tang and
 * Schucany, Biometrical Journal 50:283 (2008).
 */
import { binomialAtLeast, normalQuantile, poissonAtLeast, poissonCdf, poissonMass, poissonQuantile, poissonUpperQuantile } from "./distributions.ts";
import { between, properShare, refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";

export interface Certainty {
  /** How often a difference is called that is none, two-sided. */
  readonly alpha: number;
  /** How often a difference that is there is called. */
  readonly power: number;
}

/**
 * Units of observation in each group to tell two Poisson means apart: `rule4`, 4 / (√a - √b)², to be
 * kept in the head for 80 % power at 5 %, and with the right figure, z² / 2 in place of 4.
 * Refuses: "no-difference". Errors: RangeError for means below 0 or a level that is no share.
 */
export function unitsToTell(
  a: number,
  b: number,
  { alpha, power }: Certainty,
): { readonly answer: "units"; readonly rule4: number; readonly exact: number } | Refused<"no-difference"> {
  const z = bothTails(alpha, power);
  const apart = (Math.sqrt(between(a, 0, MOST_RATE, "the first mean")) - Math.sqrt(between(b, 0, MOST_RATE, "the second mean"))) ** 2;
  const [rule4, exact] = [4 / apart, (z * z) / 2 / apart];
  return Number.isFinite(rule4) && Number.isFinite(exact) ? { answer: "units", rule4, exact } : refused("no-difference");
}

export interface RateQuestion extends Certainty {
  readonly baseRate: number;
  readonly per: number;
  /** The rate to be found over the usual one; below 1 for a fall. */
  readonly ratio: number;
}

export interface ExposureNeeded {
  readonly answer: "exposure";
  readonly root: number;
  readonly logarithm: number;
  /** What the exact test's power comes to at the exposure by the root, taken up to a whole number. */
  readonly powerAtRoot: number;
  /** The exposure to go by. */
  readonly exact: number;
  /** Events to be expected in both groups at the exact exposure. */
  readonly expectedEvents: number;
}

export type SampleRefusal = "no-difference" | "no-base-rate" | "too-many-needed";

const MOST_RATE = 1e9;
const MOST_POWER = 0.999999;
/** More events than this are not awaited for an answer; the ratio is then too near 1 to be told. */
const MOST_EXPECTED = 1e7;

/**
 * The exposure of the first group, the other having `allocation` times as much.
 * Refuses: "no-difference" for a ratio of 1, "no-base-rate" for a rate of 0, "too-many-needed" where it
 * would take over ten million events.
 * Errors: RangeError for a rate, ratio, allocation or level that cannot be, and for a power no larger
 * than alpha.
 */
export function exposureToTell(question: RateQuestion & { readonly allocation: number }): ExposureNeeded | Refused<SampleRefusal> {
  const { allocation, ratio, alpha, power } = question;
  between(allocation, 1e-6, 1e6, "the exposure of the others over that of the first");
  const rate = usualRate(question);
  if (typeof rate !== "number") return rate;
  const z = bothTails(alpha, power);
  const root = (z * z * (1 + 1 / allocation)) / (4 * (Math.sqrt(ratio * rate) - Math.sqrt(rate)) ** 2);
  const logarithm = (z * z * (1 / (ratio * rate) + 1 / (allocation * rate))) / Math.log(ratio) ** 2;
  const eventsAt = (exposure: number) => exposure * rate * (ratio + allocation);
  if (!(eventsAt(Math.max(root, logarithm)) < MOST_EXPECTED)) return refused("too-many-needed");
  const powerAt = (exposure: number) => exactPower({ first: exposure * rate * ratio, other: exposure * rate * allocation, share: 1 / (1 + allocation), alpha });
  const exact = leastExposure(powerAt, power, root, Number.MAX_VALUE);
  if (exact === null) return refused("too-many-needed");
  return { answer: "exposure", root, logarithm, powerAtRoot: powerAt(Math.ceil(root)), exact, expectedEvents: eventsAt(exact) };
}

/** Beyond, hardly anything is gained: what is not known is then the usual rate. */
const MOST_TIMES_OTHERS = 10;

/**
 * The exposure one group needs against others whose exposure is what it is and does not grow.
 * Refuses, beside what `exposureToTell` does: "others-too-few" where ten times theirs would not do,
 * for the others themselves have told too little of the usual rate.
 */
export function exposureAgainst(
  question: RateQuestion & { readonly others: number },
): { readonly answer: "exposure"; readonly exposure: number } | Refused<SampleRefusal | "others-too-few"> {
  const { others, ratio, alpha, power } = question;
  between(others, 1e-6, 1e12, "the exposure of the others");
  const rate = usualRate(question);
  if (typeof rate !== "number") return rate;
  const z = bothTails(alpha, power);
  const powerAt = (exposure: number) => powerAgainst(question, exposure);
  const root = 1 / ((4 * (Math.sqrt(ratio * rate) - Math.sqrt(rate)) ** 2) / (z * z) - 1 / others);
  if (!(rate * others * (1 + ratio) < MOST_EXPECTED * 100)) return refused("too-many-needed");
  const longest = others * MOST_TIMES_OTHERS;
  const exposure = leastExposure(powerAt, power, root > 0 && root < longest ? root : longest, longest);
  return exposure === null ? refused("others-too-few") : { answer: "exposure", exposure };
}

/** How often the exact test would call the ratio at these exposures. Errors as `exposureAgainst`. */
export function powerAgainst(question: RateQuestion & { readonly others: number }, exposure: number): number {
  const { baseRate, per, ratio, others, alpha } = question;
  const rate = baseRate / per;
  return exactPower({ first: exposure * rate * ratio, other: others * rate, share: exposure / (exposure + others), alpha });
}

function usualRate({ baseRate, per, ratio }: RateQuestion): number | Refused<SampleRefusal> {
  between(per, 1e-9, 1e9, "the exposure a rate is told per");
  between(ratio, 1e-6, 1e6, "the ratio of the rates");
  if (between(baseRate, 0, MOST_RATE, "the usual rate") === 0) return refused("no-base-rate");
  return Math.abs(ratio - 1) < 1e-6 ? refused("no-difference") : baseRate / per;
}

function bothTails(alpha: number, power: number): number {
  properShare(alpha, "the level of the test");
  between(power, 1e-6, MOST_POWER, "the power");
  // A test that calls nothing by the data has the power alpha already.
  if (power <= alpha) throw new RangeError(`A power of ${power} is no more than the level of the test, ${alpha}, calls by chance.`);
  return normalQuantile(power) - normalQuantile(alpha / 2);
}

/** Nobody plans dives more closely than this. */
const PRECISION = 0.005;

/** The smallest exposure that has the power, in whole units where it is more than a hundred; `null`: not by `longest`. */
function leastExposure(powerAt: (exposure: number) => number, power: number, guess: number, longest: number): number | null {
  // What is tried is what is answered: the power of a test on counts moves in small jumps.
  const whole = (exposure: number) => (exposure > 100 ? Math.ceil(exposure) : exposure);
  let [low, high] = [whole(guess * 0.8), whole(guess * 1.2)];
  while (powerAt(high) < power) {
    if (high >= longest) return null;
    [low, high] = [high, whole(high * 1.5)];
  }
  while (powerAt(low) >= power) [low, high] = [low / 1.5, low];
  while (high - low > Math.max(high * PRECISION, high > 100 ? 2 : 0)) {
    const middle = whole((low + high) / 2);
    if (powerAt(middle) >= power) high = middle;
    else low = middle;
  }
  return high;
}

interface Planned {
  /** Events to be expected in the first group and the other, if the difference is there. */
  readonly first: number;
  readonly other: number;
  /** The first group's part of the exposure. */
  readonly share: number;
  readonly alpha: number;
}

/** Nothing this rare moves the power in its fourth place. */
const RARE = 1e-9;
const MOST_BLOCKS = 160;

/**
 * The chance that the conditional test rejects: over the other group's count y, the chance that the
 * first's reaches the count at which the upper tail is α/2 at most, or stays at that of the lower.
 * Where y has thousands of likely values, they are taken in blocks by their middle.
 */
function exactPower({ first, other, share, alpha }: Planned): number {
  const from = poissonQuantile(RARE, other);
  const to = poissonUpperQuantile(RARE, other);
  const block = Math.max(1, Math.ceil((to - from + 1) / MOST_BLOCKS));
  let [power, all, high, low] = [0, 0, 0, -1];
  for (let start = from; start <= to; start += block) {
    const end = Math.min(to, start + block - 1);
    const y = Math.floor((start + end) / 2);
    const chance = block === 1 ? poissonMass(y, other) : poissonCdf(end, other) - poissonCdf(start - 1, other);
    high = leastFrom(high, (x) => binomialAtLeast(x, x + y, share) <= alpha / 2);
    low = leastFrom(low + 1, (x) => binomialAtLeast(y, x + y, 1 - share) > alpha / 2) - 1;
    all += chance;
    power += chance * (poissonAtLeast(high, first) + poissonCdf(low, first));
  }
  return Math.min(1, power / all);
}

/** The first whole number from a start on for which a test holds that holds from there on. */
function leastFrom(start: number, holds: (x: number) => boolean): number {
  let step = 1;
  let low = start;
  while (!holds(low + step - 1)) {
    low += step;
    step *= 2;
  }
  let high = low + step - 1;
  while (low < high) {
    const middle = Math.floor((low + high) / 2);
    if (holds(middle)) high = middle;
    else low = middle + 1;
  }
  return low;
}
