/**
 * Do some groups fail earlier than others? Compares whole survival curves, not one point of them.
 */
import { chiSquareAbove } from "./distributions.ts";
import { refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";
import { countsByTime } from "./survival.ts";
import type { Spell } from "./survival.ts";

/** A spell of one of several groups: a model, a kind of service. */
export interface GroupedSpell extends Spell {
  readonly group: string;
}

export interface LogRankGroup {
  readonly group: string;
  readonly spells: number;
  /** Faults seen. */
  readonly observed: number;
  /** Faults this group would have had if all groups failed alike. */
  readonly expected: number;
}

export interface LogRank {
  readonly answer: "log-rank";
  readonly chiSquare: number;
  /** One less than the groups that were still watched when the first fault came. */
  readonly degrees: number;
  readonly p: number;
  /** By name. */
  readonly groups: readonly LogRankGroup[];
}

/**
 * "never-together": when the first fault came only one group was still watched, or all that was watched
 * failed at once; nothing tells groups apart then.
 */
export type LogRankRefusal = "no-spells" | "no-events" | "one-group" | "never-together";

/**
 * The log-rank test.
 *
 * Formula: at each time with d faults among n at risk, n_j of them in group j, E_j = d n_j / n and
 *   V_jk = d (n - d) / (n - 1) * n_j / n * ([j = k] - n_k / n). With D = Σ (O - E) and V summed over
 *   the times, χ² = D' V⁻ D, its degrees the rank of V. Ties count together (hypergeometric).
 * A group whose every spell ended before the first fault takes no part. Names and order of the groups
 * change nothing but the last digits.
 * Refuses: "no-spells"; "one-group"; "no-events"; "never-together".
 * Errors: RangeError for a time that cannot be.
 * Source: Mantel, Cancer Chemotherapy Reports 50:163 (1966); Peto and Peto, JRSS A 135:185 (1972).
 */
export function logRank(spells: readonly GroupedSpell[]): LogRank | Refused<LogRankRefusal> {
  const names = [...new Set(spells.map(({ group }) => group))].sort();
  const all = countsByTime(spells);
  if (all.length === 0) return refused("no-spells");
  if (names.length === 1) return refused("one-group");
  const groups = names.map((name) => {
    const own = spells.filter(({ group }) => group === name);
    return { name, byTime: new Map(countsByTime(own).map((count) => [count.time, count])), spells: own.length, atRisk: own.length, observed: 0, expected: 0 };
  });
  const variance = names.map(() => names.map(() => 0));
  let n = spells.length;
  for (const { time, faults: d, ended } of all) {
    if (d > 0) {
      const scale = n > 1 ? (d * (n - d)) / (n - 1) : 0;
      for (const [j, one] of groups.entries()) {
        const share = one.atRisk / n;
        one.expected += d * share;
        const row = variance[j] ?? [];
        for (const [k, other] of groups.entries()) row[k] = (row[k] ?? 0) + scale * share * ((j === k ? 1 : 0) - other.atRisk / n);
      }
    }
    for (const one of groups) {
      const here = one.byTime.get(time);
      one.observed += here?.faults ?? 0;
      one.atRisk -= here?.ended ?? 0;
    }
    n -= ended;
  }
  if (groups.every(({ observed }) => observed === 0)) return refused("no-events");
  // All groups there at the first fault share it, so V lacks one rank among them; the others have none.
  const compared = [...groups.keys()].filter((j) => (variance[j]?.[j] ?? 0) > 0).slice(1);
  if (compared.length === 0) return refused("never-together");
  const degrees = compared.length;
  const chiSquare = solvedSquare(
    compared.map((j) => compared.map((k) => variance[j]?.[k] ?? 0)),
    compared.map((j) => (groups[j]?.observed ?? 0) - (groups[j]?.expected ?? 0)),
  );
  return {
    answer: "log-rank",
    chiSquare,
    degrees,
    p: chiSquareAbove(chiSquare, degrees),
    groups: groups.map(({ name, spells: count, observed, expected }) => ({ group: name, spells: count, observed, expected })),
  };
}

/** b' A⁻¹ b for a positive definite A, by its Cholesky factor L: the squared length of L⁻¹ b. */
function solvedSquare(matrix: readonly (readonly number[])[], b: readonly number[]): number {
  const factor: number[][] = [];
  const solved: number[] = [];
  for (const [i, row] of matrix.entries()) {
    const own: number[] = [];
    for (let j = 0; j <= i; j += 1) {
      const before = factor[j] ?? own;
      let rest = row[j] ?? 0;
      for (let k = 0; k < j; k += 1) rest -= (own[k] ?? 0) * (before[k] ?? 0);
      own.push(j === i ? Math.sqrt(rest) : rest / (before[j] ?? 1));
    }
    factor.push(own);
    const done = solved.reduce((sum, value, k) => sum + (own[k] ?? 0) * value, 0);
    solved.push(((b[i] ?? 0) - done) / (own[i] ?? 1));
  }
  return solved.reduce((sum, value) => sum + value * value, 0);
}
