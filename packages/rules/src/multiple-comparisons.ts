/**
 * Looking at thirty models at once, one or two look bad by luck alone. This keeps the share of false
 * accusations among all accusations at or below a stated rate.
 */
import { properShare } from "./refusal.ts";

export interface Comparisons {
  /** For each test, in the order given: the smallest false-discovery rate at which it would be called. */
  readonly adjusted: readonly number[];
  readonly rejected: readonly boolean[];
  /** How many are called. */
  readonly count: number;
  /** How many the stricter rule of Bonferroni, p <= q / m, would call. */
  readonly bonferroniCount: number;
}

/**
 * The step-up procedure of Benjamini and Hochberg.
 *
 * Formula: of m tests in ascending order, adjusted p(i) = min over j >= i of min(1, m p(j) / j); called
 * are those at or below q. Among the called, false ones are on average at most the share q, for
 * independent tests and for tests that move together.
 * Errors: RangeError for a p outside 0 to 1 or a q that is no proper share. No tests: empty lists.
 * Source: Benjamini and Hochberg, J. R. Statist. Soc. B 57:289 (1995); on dependence: Benjamini and
 * Yekutieli, Annals of Statistics 29:1165 (2001).
 */
export function benjaminiHochberg(p: readonly number[], q: number): Comparisons {
  properShare(q, "the false-discovery rate");
  p.forEach((one, index) => {
    if (!(one >= 0 && one <= 1)) throw new RangeError(`${one} is no p value (number ${index + 1} of ${p.length}): write a number from 0 to 1.`);
  });
  const m = p.length;
  const adjusted = p.map(() => 1);
  let least = 1;
  const descending = p.map((value, index) => ({ value, index })).sort((a, b) => b.value - a.value);
  descending.forEach(({ value, index }, place) => {
    least = Math.min(least, (m / (m - place)) * value);
    adjusted[index] = least;
  });
  const rejected = adjusted.map((value) => value <= q);
  return {
    adjusted,
    rejected,
    count: rejected.filter(Boolean).length,
    bonferroniCount: p.filter((value) => m * value <= q).length,
  };
}
