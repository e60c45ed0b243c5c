import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { trendTest } from "./trend-test.ts";
import type { Trend, Watched } from "./trend-test.ts";

function trend(systems: readonly Watched[]): Trend {
  const told = trendTest(systems, 0.95);
  if (told.answer === "refused") throw new Error(told.why);
  return told;
}

const watched = (until: number | null, ...events: number[]): Watched => ({ events, until });

/** NIST/SEMATECH e-Handbook 8.2.3.4: ten failures of a test for improvement, in hours. */
const NIST = [5, 40, 43, 175, 389, 712, 747, 795, 1299, 1478];

test("improvement over 1500 hours (NIST e-Handbook 8.4.5.2 prints the modified beta 0.4835)", () => {
  const told = trend([watched(1500, ...NIST)]);
  expect(told.betaUnbiased).toBeCloseTo(0.4835, 4);
  expect(told.milDf).toBe(20);
  // From R.
  expect(told.milStat).toBeCloseTo(37.2280814834832, 10);
  expect(told.laplaceU).toBeCloseTo(-1.32694918264918, 12);
});

test("27 failures to 300 hours: beta 0.716, lambda 0.454 (MIL-HDBK-189, appendix C)", () => {
  const times = [2.6, 16.5, 16.5, 17, 21.4, 29.1, 33.3, 56.5, 63.1, 70.6, 73, 77.7, 93.9, 95.5, 98.1, 101.1, 132, 142.2, 147.7, 149, 167.2, 190.7, 193, 198.7, 251.9, 282.5, 286.1];
  const told = trend([watched(300, ...times)]);
  expect([told.beta.toFixed(3), told.lambda?.toFixed(3)]).toEqual(["0.716", "0.454"]);
});

test("three systems to 200 hours: beta 0.615, lambda 0.461 (Crow 1974)", () => {
  const told = trend([
    watched(200, 4.3, 4.4, 10.2, 23.5, 23.8, 26.4, 74, 77.1, 92.1, 197.2),
    watched(200, 0.1, 5.6, 18.6, 19.5, 24.2, 26.7, 45.1, 45.8, 75.7, 79.7, 98.6, 120.1, 161.8, 180.6, 190.8),
    watched(200, 8.4, 32.5, 44.7, 48.4, 50.6, 73.6, 98.7, 112.2, 129.8, 136, 195.8),
  ]);
  expect([told.beta.toFixed(3), told.lambda?.toFixed(3)]).toEqual(["0.615", "0.461"]);
});

test("watched up to the last fault, the tests leave that fault out and beta is corrected by n - 2", () => {
  const told = trend([watched(null, ...NIST)]);
  const logs = NIST.reduce((sum, time) => sum + Math.log(1478 / time), 0);
  expect(told.milDf).toBe(18);
  expect(told.milStat).toBeCloseTo(2 * logs, 12);
  expect(told.beta).toBeCloseTo(10 / logs, 12);
  expect(told.betaUnbiased).toBeCloseTo((10 / logs) * (8 / 10), 12);
});

test("systems watched for different times: from R, by the root of the likelihood", () => {
  const told = trend([watched(200, 50, 80, 81, 190), watched(320, 10, 300)]);
  expect(told.beta).toBeCloseTo(0.797939205143405, 9);
  expect(told.lambda).toBeCloseTo(0.0356459663346559, 9);
  expect([told.betaUnbiased, told.betaLower, told.betaUpper]).toEqual([null, null, null]);
});

describe("refuses", () => {
  test.each([
    ["no-events", [watched(120)]],
    ["no-events", []],
    ["event-at-start", [watched(120, 0, 5)]],
    ["too-few-events", [watched(null, 5), watched(null, 9)]],
    ["all-at-end", [watched(120, 120, 120)]],
  ] as const)("%s", (why, systems) => {
    expect(trendTest(systems, 0.95)).toEqual({ answer: "refused", why });
  });

  test.each([
    [[watched(100, 101)], "the time of a fault of system 1"],
    [[watched(100, -1)], "the time of a fault"],
    [[watched(Number.NaN, 1)], "how long system 1"],
    [[watched(100, 1), watched(null, 1, 5)], "test them apart"],
  ])("%j: %s", (systems, words) => {
    expect(() => trendTest(systems, 0.95)).toThrow(words);
  });
});

test("one fault has a trend and no unbiased beta", () => {
  const told = trend([watched(100, 50)]);
  expect(told.beta).toBeCloseTo(1 / Math.log(2), 12);
  expect(told.betaUnbiased).toBeNull();
});

test("a power too steep to write lambda leaves it out and keeps the rest", () => {
  const told = trend([watched(1e12, 9.9e11, 9.95e11, 9.99e11)]);
  expect(told.lambda).toBeNull();
  expect(told.beta).toBeGreaterThan(100);
});

const system = fc.integer({ min: 50, max: 400 }).chain((until) =>
  fc.record({ until: fc.constant(until), events: fc.array(fc.integer({ min: 1, max: until }), { maxLength: 10 }) }),
);
const systems = fc.array(system, { minLength: 1, maxLength: 4 });

test("the power law is where the likelihood is largest, whatever the ends", () => {
  const likelihood = (all: readonly Watched[], beta: number, lambda: number) =>
    all.reduce(
      (sum, { events, until }) => sum + events.reduce((part, time) => part + Math.log(lambda * beta) + (beta - 1) * Math.log(time), 0) - lambda * (until ?? 0) ** beta,
      0,
    );
  fc.assert(
    fc.property(systems, (all) => {
      const told = trendTest(all, 0.95);
      if (told.answer === "refused" || told.lambda === null || told.beta > 20) return;
      const best = likelihood(all, told.beta, told.lambda);
      for (const [b, l] of [[1.01, 1], [0.99, 1], [1, 1.01], [1, 0.99]] as const) {
        expect(likelihood(all, told.beta * b, told.lambda * l)).toBeLessThan(best + 1e-9 * Math.abs(best));
      }
    }),
    { numRuns: 300 },
  );
});

test("another unit of time, another order of faults or systems: the same trend", () => {
  fc.assert(
    fc.property(systems, fc.constantFrom(0.1, 60), (all, unit) => {
      const other = [...all].reverse().map(({ events, until }) => ({ until: until * unit, events: [...events].reverse().map((time) => time * unit) }));
      const [one, two] = [trendTest(all, 0.95), trendTest(other, 0.95)];
      if (one.answer === "refused" || two.answer === "refused") {
        expect(two).toEqual(one);
        return;
      }
      for (const key of ["laplaceU", "milStat", "milP", "beta"] as const) expect(Math.abs(two[key] - one[key])).toBeLessThan(1e-8 * Math.max(1, Math.abs(one[key])));
    }),
    { numRuns: 200 },
  );
});

test("faults that come later look more like wear", () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 1, max: 300 }), { minLength: 1, maxLength: 10 }), fc.integer({ min: 1, max: 90 }), (events, later) => {
      const [early, late] = [trend([watched(400, ...events)]), trend([watched(400, ...events.map((time) => time + later))])];
      expect(late.laplaceU).toBeGreaterThan(early.laplaceU);
      expect(late.milStat).toBeLessThan(early.milStat);
      expect(late.beta).toBeGreaterThan(early.beta);
    }),
  );
});
