/**
 * Check values of bench readings. Pressures in hundredths of a bar. Limits and figures are those of
 * the case, never of a maker; where no gauge is named the bench's 0 to 16 bar of class 0.6 is used.
 */
import type { BenchLimit } from "./bench-limits.ts";
import type { Balance, BenchReading, Judgement } from "./bench-readings.ts";
import { day } from "./calendar.ts";
import type { TestGauge } from "./test-gauges.ts";

const band: BenchLimit = { name: "intermediate-pressure", low: 900, high: 1000 };
const creep: BenchLimit = { name: "creep", low: null, high: 30 };
const change: BenchLimit = { name: "supply-change", low: null, high: 50 };
const pass: Judgement = { verdict: "pass" };

export const READING_CASES: readonly {
  readonly what: string;
  readonly limits: readonly BenchLimit[];
  /** What differs from 9.5 bar on a well-filled cylinder. */
  readonly reading: Partial<BenchReading>;
  readonly gauge?: Partial<TestGauge>;
  readonly is: Judgement;
  readonly source: string;
}[] = [
  { what: "lock-up 9.5, 9.7 after five minutes, limit 0.3", limits: [creep], reading: { name: "creep", value: 20 }, is: pass, source: "common practice" },
  {
    what: "lock-up 9.5, 9.9 after five minutes: within 9 to 10, and still creeping",
    limits: [band, creep],
    reading: { name: "creep", value: 40 },
    is: { verdict: "fail", edge: "high", by: 10 },
    source: "common practice",
  },
  { what: "no limit entered", limits: [], reading: {}, is: { verdict: "not-judged", why: ["no-limit"] }, source: "choice" },
  {
    what: "9.5 on a gauge of 0 to 25 bar, class 2.5: it cannot tell it from 10.0",
    limits: [band],
    reading: {},
    gauge: { spanHigh: 2500, classTenths: 25 },
    is: { verdict: "not-judged", why: ["gauge-cannot-tell"] },
    source: "EN 837-1",
  },
  {
    what: "the same gauge shows a creep of 0.1 bar",
    limits: [creep],
    reading: { name: "creep", value: 10 },
    gauge: { spanHigh: 2500, classTenths: 25 },
    is: pass,
    source: "EN 837-1",
  },
  { what: "upper stop 11.0 on a model of 9 to 10", limits: [band], reading: { value: 1100 }, is: { verdict: "fail", edge: "high", by: 100 }, source: "common practice" },
  {
    what: "a gauge showing 500 psi with 200 psi in the cylinder, limit 5 bar",
    limits: [{ name: "gauge-error-low", low: null, high: 500 }],
    reading: { component: "gauge", name: "gauge-error", supplyCbar: null, at: 1379, value: 2068 },
    gauge: { spanHigh: 40_000, classTenths: 2 },
    is: { verdict: "fail", edge: "high", by: 1568 },
    source: "NIST SP 811",
  },
  {
    what: "a gauge showing 10 bar without pressure",
    limits: [],
    reading: { component: "gauge", name: "gauge-zero", supplyCbar: 0, value: 1000, gauge: null },
    is: { verdict: "fail", edge: "high", by: 1000 },
    source: "common practice",
  },
  {
    what: "a gauge out of calibration",
    limits: [band],
    reading: {},
    gauge: { calibratedUntil: day("2026-06-30") },
    is: { verdict: "not-judged", why: ["out-of-calibration"] },
    source: "common practice",
  },
];

export const CHANGE_CASES: readonly {
  readonly what: string;
  readonly balance: Balance;
  readonly limits: readonly BenchLimit[];
  /** Pairs of supply and reading. */
  readonly readings: readonly (readonly [supply: number, value: number])[];
  readonly value: number | null;
  readonly is: Judgement;
  readonly source: string;
}[] = [
  { what: "balanced, 9.4 at 200, 9.2 at 50, limit 0.5", balance: "balanced", limits: [change], readings: [[20_000, 940], [5000, 920]], value: -20, is: pass, source: "common practice" },
  {
    what: "unbalanced piston, 10.0 at 207, 8.6 at 34: the way of the design",
    balance: "unbalanced-piston",
    limits: [],
    readings: [[20_700, 1000], [3400, 860]],
    value: -140,
    is: pass,
    source: "common practice; direction by its mechanics",
  },
  {
    what: "the same figures on a balanced one",
    balance: "balanced", limits: [change],
    readings: [[20_700, 1000], [3400, 860]],
    value: -140,
    is: { verdict: "fail", edge: "low", by: 90 },
    source: "arithmetic",
  },
  {
    what: "the same figures on an unbalanced diaphragm, which goes up",
    balance: "unbalanced-diaphragm",
    limits: [],
    readings: [[20_700, 1000], [3400, 860]],
    value: -140,
    is: { verdict: "fail", edge: "direction", by: 140 },
    source: "direction by its mechanics",
  },
  {
    what: "9.6 at one supply only",
    balance: "balanced",
    limits: [change],
    readings: [[20_000, 960]],
    value: null,
    is: { verdict: "not-judged", why: ["one-supply-only"] },
    source: "EN 250:2014, 6.7.1",
  },
];
