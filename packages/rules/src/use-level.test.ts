import gammaln from "@stdlib/math-base-special-gammaln";
import fc from "fast-check";
import { expect, test } from "vitest";
import { BLOCK_DAYS } from "./use-rate.ts";
import { presentLevel } from "./use-level.ts";

const prior = { shape: 7, exposure: 20, dispersion: 1.9 };
const mean = (levels: ReturnType<typeof presentLevel>) => levels.reduce((total, one) => total + (one.weight * one.shape) / one.exposure, 0);

test("without a past the level is the kind's", () => {
  expect(presentLevel([], [], prior, 1000)).toEqual([{ weight: 1, shape: 7, exposure: 20 }]);
});

test("weighs every way of cutting the past up, as the sum over all of them does", () => {
  const block = fc.tuple(fc.nat(30), fc.double({ min: 1, max: 60, noNaN: true }));
  fc.assert(
    fc.property(fc.array(block, { minLength: 1, maxLength: 7 }), (blocks) => {
      const counts = blocks.map(([count]) => count);
      const exposures = blocks.map(([, exposure]) => exposure);
      const expected = bySummation(counts, exposures);
      const got = new Map(presentLevel(counts, exposures, prior, 200).map((one) => [one.exposure, one]));
      let missing = 1;
      for (const one of expected) {
        const same = got.get(one.exposure);
        if (same === undefined) continue;
        missing -= one.weight;
        expect(same.shape).toBe(one.shape);
        expect(Math.abs(same.weight - one.weight)).toBeLessThan(0.006);
      }
      expect(missing).toBeLessThan(0.0051);
    }),
    { numRuns: 100 },
  );
});

/** Every one of the 2^(n-1) ways, written out. */
function bySummation(counts: readonly number[], exposures: readonly number[]) {
  const n = counts.length;
  const stay = Math.exp(-BLOCK_DAYS / 200);
  const { dispersion: phi } = prior;
  const [a, b] = [prior.shape / phi, prior.exposure / phi];
  const evidence = (from: number, to: number) => {
    const count = sum(counts.slice(from, to)) / phi;
    return Math.exp(a * Math.log(b) - (a + count) * Math.log(b + sum(exposures.slice(from, to)) / phi) + gammaln(a + count) - gammaln(a));
  };
  const weights = counts.map(() => 0);
  for (let cuts = 0; cuts < 2 ** (n - 1); cuts += 1) {
    let weight = 1;
    let from = 0;
    let present = n;
    for (let edge = 1; edge <= n; edge += 1) {
      const cut = edge === n || (cuts & (1 << (edge - 1))) !== 0;
      if (edge < n) weight *= cut ? 1 - stay : stay;
      if (!cut) continue;
      weight *= evidence(from, edge);
      if (from === 0) present = edge;
      from = edge;
    }
    weights[present - 1]! += weight;
  }
  const whole = sum(weights);
  return weights.map((weight, i) => ({ weight: weight / whole, shape: prior.shape + sum(counts.slice(0, i + 1)), exposure: prior.exposure + exposures.slice(0, i + 1).reduce((t, x) => t + x, 0) }));
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}

test("a set moved to the boats is seen to have moved, and a steady one keeps its whole past", () => {
  const month = 28;
  const years = Array.from({ length: 26 }, () => month);
  const moved = years.map((_, block) => (block < 3 ? 40 : 5));
  const steady = years.map((_, block) => 10 + (block % 3) - 1);
  expect(mean(presentLevel(moved, years, prior, 1000)) * month).toBeGreaterThan(30);
  const kept = presentLevel(steady, years, prior, 1000);
  expect(kept.find((one) => one.exposure === prior.exposure + 26 * month)?.weight).toBeGreaterThan(0.5);
});

test("more use in the latest four weeks never lowers the level", () => {
  const history = fc.array(fc.nat(40), { minLength: 1, maxLength: 20 });
  fc.assert(
    fc.property(history, fc.integer({ min: 1, max: 20 }), (counts, more) => {
      const exposures = counts.map(() => 28);
      const before = mean(presentLevel(counts, exposures, prior, 1000));
      const after = mean(presentLevel(counts.with(0, counts[0]! + more), exposures, prior, 1000));
      // Answers left out as negligible may move the mean by a hair.
      expect(after).toBeGreaterThanOrEqual(before * 0.99);
    }),
    { numRuns: 500 },
  );
});

test("an absurd setting is named", () => {
  expect(() => presentLevel([1], [28], prior, 0)).toThrow(/days between changes/);
});
