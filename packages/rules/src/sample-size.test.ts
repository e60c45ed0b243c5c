import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { poissonMass } from "./distributions.ts";
import { twoRateP } from "./fault-rates.ts";
import { exposureAgainst, exposureToTell, powerAgainst, unitsToTell } from "./sample-size.ts";

const certainty = { alpha: 0.05, power: 0.8 };
const doubling = { ...certainty, baseRate: 1, per: 100, ratio: 2 };

test("means of 30 and 36 take 15 units in each group (van Belle, Statistical Rules of Thumb)", () => {
  const told = unitsToTell(30, 36, certainty);
  if (told.answer === "refused") throw new Error(told.why);
  expect(told.rule4).toBeCloseTo(14.6, 1);
  expect(Math.ceil(told.rule4)).toBe(15);
  expect(told.exact).toBeCloseTo(14.3598, 4);
});

test("twice one fault per 100 dives: 2287 dives by the root, 2450 by the logarithm, 2492 by the test itself (R)", () => {
  const told = exposureToTell({ ...doubling, allocation: 1 });
  if (told.answer === "refused") throw new Error(told.why);
  expect(told.root).toBeCloseTo(2287.331, 2);
  expect(told.logarithm).toBeCloseTo(2450.462, 2);
  expect(told.powerAtRoot).toBeCloseTo(0.76398, 4);
  expect(Math.abs(told.exact - 2492)).toBeLessThan(25);
  expect(told.expectedEvents).toBeCloseTo(told.exact * 0.03, 9);
});

test("half a fault per 100 dives, doubled, against ten times the dives: 2516, 1960 and 2632 (R)", () => {
  const told = exposureToTell({ ...doubling, baseRate: 0.5, allocation: 10 });
  if (told.answer === "refused") throw new Error(told.why);
  expect(told.root).toBeCloseTo(2516.0643, 3);
  expect(told.logarithm).toBeCloseTo(1960.3698, 3);
  expect(Math.abs(told.exact - 2632)).toBeLessThan(40);
});

/** The power by adding up every pair of counts that the test calls. */
function powerByPairs(t1: number, t2: number, rate: number, ratio: number, alpha: number): number {
  let power = 0;
  for (let c1 = 0; c1 < 60; c1 += 1) {
    for (let c2 = 0; c2 < 60; c2 += 1) {
      const p = twoRateP({ events: c1, exposure: t1 }, { events: c2, exposure: t2 });
      if ("answer" in p) throw new Error(p.why);
      if (p.pCentral <= alpha) power += poissonMass(c1, rate * ratio * t1) * poissonMass(c2, rate * t2);
    }
  }
  return power;
}

test.each([
  [300, 900, 1, 3],
  [500, 500, 1, 2],
  [900, 400, 2, 0.25],
  [700, 700, 1, 1.2],
])("the power of %d dives against %d is that of the test itself", (t1, t2, baseRate, ratio) => {
  const got = powerAgainst({ ...certainty, baseRate, per: 100, ratio, others: t2 }, t1);
  expect(got).toBeCloseTo(powerByPairs(t1, t2, baseRate / 100, ratio, certainty.alpha), 6);
});

describe("refuses", () => {
  test("where there is no difference to find, no rate to double, or nothing would do", () => {
    expect(unitsToTell(3, 3, certainty)).toEqual({ answer: "refused", why: "no-difference" });
    expect(unitsToTell(0, 0, certainty)).toEqual({ answer: "refused", why: "no-difference" });
    expect(exposureToTell({ ...doubling, ratio: 1, allocation: 1 })).toEqual({ answer: "refused", why: "no-difference" });
    expect(exposureToTell({ ...doubling, baseRate: 0, allocation: 1 })).toEqual({ answer: "refused", why: "no-base-rate" });
    expect(exposureToTell({ ...doubling, ratio: 1.0005, allocation: 1 })).toEqual({ answer: "refused", why: "too-many-needed" });
    expect(exposureAgainst({ ...doubling, others: 40 })).toEqual({ answer: "refused", why: "others-too-few" });
  });

  test.each([
    [() => exposureToTell({ ...doubling, alpha: 5, allocation: 1 }), "the level of the test"],
    [() => exposureToTell({ ...doubling, power: 1, allocation: 1 }), "the power"],
    [() => exposureToTell({ ...doubling, power: 0.04, allocation: 1 }), "no more than the level"],
    [() => exposureToTell({ ...doubling, ratio: -2, allocation: 1 }), "the ratio"],
    [() => exposureToTell({ ...doubling, allocation: 0 }), "the exposure of the others"],
    [() => exposureToTell({ ...doubling, baseRate: Number.NaN, allocation: 1 }), "the usual rate"],
    [() => unitsToTell(-1, 3, certainty), "the first mean"],
  ])("%s: %s", (call, words) => {
    expect(call).toThrow(RangeError);
    expect(call).toThrow(words);
  });
});

test("a tiny level and a high power still have an answer", () => {
  const told = exposureToTell({ ...doubling, alpha: 1e-12, power: 0.999, allocation: 1 });
  expect(told).toMatchObject({ answer: "exposure" });
  if (told.answer === "exposure") expect(told.exact).toBeGreaterThan(30_000);
});

const question = fc.record({
  baseRate: fc.double({ min: 0.2, max: 20, noNaN: true }),
  per: fc.constant(100),
  ratio: fc.oneof(fc.double({ min: 1.5, max: 8, noNaN: true }), fc.double({ min: 0.1, max: 0.6, noNaN: true })),
  alpha: fc.constantFrom(0.001, 0.01, 0.05, 0.1),
  power: fc.constantFrom(0.5, 0.8, 0.9),
  allocation: fc.constantFrom(0.5, 1, 4, 30),
});

// The power of a test on counts climbs in teeth: with few faults, a tenth fewer dives may have it too.
test("the dives named have the power asked for, and half as many have it not", () => {
  fc.assert(
    fc.property(question, (asked) => {
      const told = exposureToTell(asked);
      if (told.answer === "refused") throw new Error(told.why);
      const power = (exposure: number) => powerAgainst({ ...asked, others: exposure * asked.allocation }, exposure);
      expect(power(told.exact)).toBeGreaterThanOrEqual(asked.power - 1e-9);
      expect(power(told.exact / 2)).toBeLessThan(asked.power);
    }),
    { numRuns: 40 },
  );
});

test("against others that stay as they are, too", () => {
  fc.assert(
    fc.property(question, fc.integer({ min: 200, max: 60_000 }), (asked, others) => {
      const told = exposureAgainst({ ...asked, others });
      if (told.answer === "refused") {
        expect(told.why).toBe("others-too-few");
        return;
      }
      expect(powerAgainst({ ...asked, others }, told.exposure)).toBeGreaterThanOrEqual(asked.power - 1e-9);
      expect(powerAgainst({ ...asked, others }, told.exposure / 2)).toBeLessThan(asked.power);
    }),
    { numRuns: 40 },
  );
});
