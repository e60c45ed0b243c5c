import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { GARWOOD_CASES, RATIO_CASES } from "./fault-rates.cases.ts";
import { rateInterval, rateLimit, rateRatio, twoRateP } from "./fault-rates.ts";
import type { Observed } from "./fault-rates.ts";
import { binomialMass, poissonMass } from "./distributions.ts";

const seen = (events: number, exposure: number): Observed => ({ events, exposure });
const pair = ([events, exposure]: readonly [number, number]): Observed => ({ events, exposure });
const plain = { per: 1, confidence: 0.95 };
const per100 = { per: 100, confidence: 0.95 };

function known<T extends { readonly answer: string }>(told: T): Exclude<T, { readonly answer: "refused" }> {
  if (told.answer === "refused") throw new Error(`refused: ${JSON.stringify(told)}`);
  return told as Exclude<T, { readonly answer: "refused" }>;
}

test.each(GARWOOD_CASES)("$events events: $lower to $upper (Garwood 1936)", ({ events, lower, upper }) => {
  const told = known(rateInterval(seen(events, 1), plain));
  expect([told.lower.toFixed(3), told.upper.toFixed(3)]).toEqual([lower, upper]);
});

test("two failures in 1600 hours: between failures lie 254 to 4502 hours (NIST e-Handbook 8.4.5.1, 90 %)", () => {
  const { lower, upper } = known(rateInterval(seen(2, 1600), { per: 1, confidence: 0.9 }));
  expect([Math.round(1 / upper), Math.floor(1 / lower)]).toEqual([254, 4502]);
});

test("no events: three per exposure at most, one-sided (the rule of three), and 3.689 two-sided", () => {
  expect(known(rateLimit(seen(0, 1), plain, "upper")).limit).toBeCloseTo(-Math.log(0.05), 10);
  expect(known(rateLimit(seen(4, 1), plain, "lower")).limit).toBeCloseTo(known(rateInterval(seen(4, 1), { per: 1, confidence: 0.9 })).lower, 12);
});

describe("where there is no rate it says why", () => {
  test("no dives is not no faults", () => {
    expect(rateInterval(seen(0, 0), per100)).toEqual({ answer: "refused", why: "no-exposure" });
    expect(rateRatio(seen(1, 0), seen(1, 10), 0.95)).toEqual({ answer: "refused", why: "no-exposure" });
  });

  test("none against none has no ratio, and nothing against it", () => {
    expect(rateRatio(seen(0, 90), seen(0, 1000), 0.95)).toEqual({
      answer: "refused",
      why: "no-events",
      p: { pCentral: 1, pMinlike: 1, pGreater: 1, pLess: 1 },
    });
  });

  test("a confidence next to certainty", () => {
    expect(rateInterval(seen(3, 10), { per: 1, confidence: 1 - 2 ** -53 })).toEqual({ answer: "refused", why: "confidence-too-high" });
  });

  test.each([
    [() => rateInterval(seen(-1, 10), per100), "the events"],
    [() => rateInterval(seen(1.5, 10), per100), "the events"],
    [() => rateInterval(seen(1, Number.NaN), per100), "the exposure"],
    [() => rateInterval(seen(1, -2), per100), "the exposure"],
    [() => rateInterval(seen(1, 10), { per: 100, confidence: 95 }), "the confidence"],
    [() => rateInterval(seen(1, 10), { per: 0, confidence: 0.95 }), "told per"],
    [() => rateRatio(seen(1, 10), seen(Number.POSITIVE_INFINITY, 10), 0.95), "the events of the second"],
  ])("and what cannot be is named: %s %s", (call, words) => {
    expect(call).toThrow(RangeError);
    expect(call).toThrow(words);
  });
});

test.each(RATIO_CASES)("$what ($source)", ({ first, second, ratio, lower, upper, pCentral, pMinlike }) => {
  const told = known(rateRatio(pair(first), pair(second), 0.95));
  if (told.answer !== "ratio") throw new Error("no ratio");
  const near = (got: number | null, want: number) => expect(Math.abs((got ?? Number.NaN) / want - 1)).toBeLessThan(1e-6);
  near(told.ratio, ratio);
  near(told.lower, lower);
  near(told.upper, upper);
  near(told.p.pCentral, pCentral);
  near(told.p.pMinlike, pMinlike);
});

const count = fc.integer({ min: 0, max: 60 });
const dives = fc.integer({ min: 1, max: 5000 });

test("the interval holds the rate, and more dives at the same rate draw it together", () => {
  fc.assert(
    fc.property(count, dives, fc.integer({ min: 2, max: 9 }), (events, exposure, times) => {
      const [short, long] = [known(rateInterval(seen(events, exposure), per100)), known(rateInterval(seen(events * times, exposure * times), per100))];
      expect(short.lower).toBeLessThanOrEqual(short.rate);
      expect(short.upper).toBeGreaterThan(short.rate);
      expect(long.lower).toBeGreaterThanOrEqual(short.lower);
      expect(long.upper).toBeLessThan(short.upper);
    }),
  );
});

test("the limits hold the true rate at least as often as they say", () => {
  for (const mean of [0.05, 0.4, 1, 3.3, 11, 40]) {
    let held = 0;
    for (let events = 0; events < 200; events += 1) {
      const { lower, upper } = known(rateInterval(seen(events, 1), plain));
      if (lower <= mean && mean <= upper) held += poissonMass(events, mean);
    }
    expect(held).toBeGreaterThanOrEqual(0.95);
  }
});

test("the p value and the interval never contradict one another", () => {
  fc.assert(
    fc.property(count, dives, count, dives, fc.constantFrom(0.8, 0.95, 0.99), (c1, t1, c2, t2, confidence) => {
      const told = rateRatio(seen(c1, t1), seen(c2, t2), confidence);
      if (told.answer === "refused") {
        expect(c1 + c2).toBe(0);
        return;
      }
      const outside = told.lower > 1 || (told.upper !== null && told.upper < 1);
      const edge = Math.abs(told.p.pCentral - (1 - confidence)) < 1e-9;
      if (!edge) expect(outside).toBe(told.p.pCentral < 1 - confidence);
    }),
    { numRuns: 500 },
  );
});

test("it is all one which of two is named first", () => {
  fc.assert(
    fc.property(count, dives, count, dives, (c1, t1, c2, t2) => {
      const [one, other] = [rateRatio(seen(c1, t1), seen(c2, t2), 0.95), rateRatio(seen(c2, t2), seen(c1, t1), 0.95)];
      if (one.answer === "refused" || other.answer === "refused") return;
      expect(one.p.pCentral).toBeCloseTo(other.p.pCentral, 12);
      expect(one.p.pMinlike).toBeCloseTo(other.p.pMinlike, 9);
      expect(one.p.pGreater).toBeCloseTo(other.p.pLess, 12);
      if (one.upper === null) expect(other.lower).toBe(0);
      else expect(other.lower * one.upper).toBeCloseTo(1, 9);
    }),
  );
});

test("splits as unlikely as this one are counted, near and far, and likelier ones are not", () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 25 }), fc.integer({ min: 0, max: 25 }), fc.integer({ min: 1, max: 9 }), fc.integer({ min: 1, max: 9 }), (c1, c2, t1, t2) => {
      const told = twoRateP(seen(c1, t1), seen(c2, t2));
      if ("answer" in told) throw new Error(told.why);
      const n = c1 + c2;
      const chance = (k: number) => binomialMass(k, n, t1 / (t1 + t2));
      const sum = Array.from({ length: n + 1 }, (_, k) => chance(k)).filter((one) => one <= chance(c1) * (1 + 1e-7)).reduce((a, b) => a + b, 0);
      expect(told.pMinlike).toBeCloseTo(Math.min(1, sum), 10);
    }),
    { numRuns: 500 },
  );
});

test("a ratio of hundreds of millions keeps its digits, from either side", () => {
  const [one, other] = [rateRatio(seen(300_000_000, 50), seen(2, 50), 0.95), rateRatio(seen(2, 50), seen(300_000_000, 50), 0.95)];
  if (one.answer !== "ratio" || other.answer !== "ratio") throw new Error("no ratio");
  expect(one.lower * (other.upper ?? Number.NaN)).toBeCloseTo(1, 9);
  expect((one.upper ?? Number.NaN) * other.lower).toBeCloseTo(1, 9);
});

test("one fault more never makes a model look better", () => {
  fc.assert(
    fc.property(count, dives, count, dives, (c1, t1, c2, t2) => {
      const [few, more] = [twoRateP(seen(c1, t1), seen(c2, t2)), twoRateP(seen(c1 + 1, t1), seen(c2, t2))];
      if ("answer" in few || "answer" in more) throw new Error("refused");
      expect(more.pGreater).toBeLessThanOrEqual(few.pGreater + 1e-12);
      expect(more.pLess).toBeGreaterThanOrEqual(few.pLess - 1e-12);
    }),
  );
});

test("counts beyond any fleet still have finite limits", () => {
  for (const [events, exposure] of [[0, 1e12], [1e9, 1e-6], [1e9, 1e12], [1, 1e-6]] as const) {
    const { lower, rate, upper } = known(rateInterval(seen(events, exposure), { per: 100, confidence: 1 - 1e-14 }));
    expect([lower, rate, upper].every(Number.isFinite)).toBe(true);
    expect(lower <= rate && rate < upper).toBe(true);
  }
});
