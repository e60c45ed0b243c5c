import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { negativeBinomialMass } from "./distributions.ts";
import type { Observed } from "./fault-rates.ts";
import { shrinkRates } from "./shrinkage.ts";
import type { Shrunken } from "./shrinkage.ts";

const per100 = { per: 100, confidence: 0.95 };
const groups = (...pairs: readonly (readonly [number, number])[]): Observed[] => pairs.map(([events, exposure]) => ({ events, exposure }));

/** Failures of ten pumps and their hours in thousands: Gaver and O'Muircheartaigh 1987. */
const PUMPS = groups([5, 94.32], [1, 15.72], [5, 62.88], [14, 125.76], [3, 5.24], [19, 31.44], [1, 1.048], [1, 1.048], [4, 2.096], [22, 10.48]);

function shrunken(observed: readonly Observed[], settings = per100): Shrunken {
  const told = shrinkRates(observed, settings);
  if (told.answer !== "shrunken") throw new Error(`not shrunken: ${JSON.stringify(told)}`);
  return told;
}

test("finds the published spread of the ten pumps: alpha 0.822, beta 1.26 (NIMBLE manual, ch. 2, to rounding)", () => {
  const { alpha, beta } = shrunken(PUMPS, { per: 1, confidence: 0.95 });
  expect(alpha).toBeCloseTo(0.822, 3);
  expect(beta).toBeCloseTo(1.259, 3);
});

test("one fault in 20 dives does not rank worst", () => {
  const fleet = groups([1, 20], [14, 1850], [22, 2400], [9, 310], [3, 700], [31, 2900], [6, 1500], [11, 640], [2, 820]);
  const { groups: told, rankWorstFirst } = shrunken(fleet);
  expect(told[0]?.rawRate).toBe(5);
  // From R: optim on the negative binomial likelihood.
  expect(told[0]?.rate).toBeCloseTo(1.2215, 3);
  expect(rankWorstFirst).toEqual([3, 7, 0, 5, 2, 1, 4, 6, 8]);
});

describe("where models differ no more than chance makes them, all get the fleet's rate", () => {
  test("all alike", () => {
    const told = shrinkRates(groups([4, 400], [8, 800], [12, 1200]), per100);
    expect(told).toMatchObject({ answer: "pooled", why: "no-spread", pooledRate: 1 });
    if (told.answer === "pooled") expect(new Set(told.groups.map(({ rate }) => rate))).toEqual(new Set([1]));
  });

  test("no faults: the upper limit is three and two thirds per exposure (Garwood)", () => {
    const told = shrinkRates(groups([0, 70], [0, 30]), per100);
    expect(told).toMatchObject({ answer: "pooled", why: "no-events", pooledRate: 0 });
    if (told.answer === "pooled") expect(told.upper).toBeCloseTo(3.689, 3);
  });

  test("one model, or one with dives", () => {
    expect(shrinkRates(groups([3, 50]), per100)).toMatchObject({ answer: "pooled", why: "one-group", pooledRate: 6 });
    expect(shrinkRates(groups([3, 50], [0, 0]), per100)).toMatchObject({ answer: "pooled", why: "one-group" });
  });
});

test("refuses what no rate explains", () => {
  expect(shrinkRates([], per100)).toEqual({ answer: "refused", why: "no-exposure" });
  expect(shrinkRates(groups([0, 0]), per100)).toEqual({ answer: "refused", why: "no-exposure" });
  expect(shrinkRates(groups([1, 0], [2, 50]), per100)).toEqual({ answer: "refused", why: "events-without-exposure" });
  expect(() => shrinkRates(groups([1, 10], [-1, 10]), per100)).toThrow("the events of group 2");
});

const group = fc.record({ events: fc.integer({ min: 0, max: 80 }), exposure: fc.integer({ min: 1, max: 4000 }) });
const fleet = fc.array(group, { minLength: 2, maxLength: 12 });

test("every estimate lies between the model's own rate and the fleet's, inside its interval, and nothing is NaN", () => {
  fc.assert(
    fc.property(fleet, (observed) => {
      const told = shrinkRates(observed, per100);
      if (told.answer !== "shrunken") {
        expect(told.answer).toBe("pooled");
        return;
      }
      for (const { rawRate, rate, lower, upper } of told.groups) {
        const raw = rawRate ?? Number.NaN;
        expect(rate).toBeGreaterThanOrEqual(Math.min(raw, told.priorMean) * (1 - 1e-12));
        expect(rate).toBeLessThanOrEqual(Math.max(raw, told.priorMean) * (1 + 1e-12));
        expect(lower).toBeLessThan(upper);
        expect(rate).toBeGreaterThan(lower);
      }
      expect([told.alpha, told.beta, told.logLik].every((x) => Number.isFinite(x))).toBe(true);
      expect(told.logLik).toBeGreaterThanOrEqual(told.pooledLogLik);
    }),
    { numRuns: 300 },
  );
});

test("the likelihood found is the counts' own, and nothing near it is likelier", () => {
  const likelihood = (observed: readonly Observed[], alpha: number, beta: number) =>
    observed.reduce((sum, { events, exposure }) => sum + Math.log(negativeBinomialMass(events, alpha, beta / (beta + exposure))), 0);
  fc.assert(
    fc.property(fleet, (observed) => {
      const told = shrinkRates(observed, per100);
      if (told.answer !== "shrunken" || told.alpha > 1e4) return;
      expect(told.logLik).toBeCloseTo(likelihood(observed, told.alpha, told.beta), 6);
      for (const [a, b] of [[1.02, 1], [0.98, 1], [1, 1.02], [1, 0.98], [1.02, 1.02], [0.98, 0.98], [3, 3], [0.3, 0.3]] as const) {
        expect(likelihood(observed, told.alpha * a, told.beta * b)).toBeLessThan(told.logLik + 1e-9);
      }
    }),
    { numRuns: 300 },
  );
});

test("a model dived more at the same rate is drawn less", () => {
  fc.assert(
    fc.property(fleet, fc.integer({ min: 1, max: 20 }), fc.integer({ min: 100, max: 1000 }), (others, events, exposure) => {
      const told = shrinkRates([...others, { events, exposure }, { events: events * 5, exposure: exposure * 5 }], per100);
      if (told.answer !== "shrunken") return;
      const [little, much] = told.groups.slice(-2);
      const raw = (events / exposure) * 100;
      expect(Math.abs((much?.rate ?? Number.NaN) - raw)).toBeLessThanOrEqual(Math.abs((little?.rate ?? Number.NaN) - raw) + 1e-12);
    }),
  );
});

test("a spread too small to be told from none is none", () => {
  // A two-thousandth apart: more than chance, by an α beyond the largest looked at.
  expect(shrinkRates(groups([100_000_000, 1e10], [100_049_000, 1e10]), per100)).toMatchObject({ answer: "pooled", why: "no-spread" });
});

test("huge counts keep their digits", () => {
  const told = shrunken(groups([100_000_000, 1e10], [200_000_000, 1e10], [3, 1000]));
  expect(told.groups[0]?.rate).toBeCloseTo(1, 6);
  expect(told.groups[1]?.rate).toBeCloseTo(2, 6);
});
