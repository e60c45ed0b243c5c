import fc from "fast-check";
import { expect, test } from "vitest";
import { aBenchPart, aBenchReading, aTestGauge, BENCH_GAUGES, TODAY, wholeBench, wholeTest } from "../testing/index.ts";
import { judgeReading } from "./bench-readings.ts";
import type { BenchReading, Judgement } from "./bench-readings.ts";
import { judgeTest } from "./bench-test.ts";

const RUNS = { numRuns: 1000 };
const BADNESS: Readonly<Record<Judgement["verdict"], number>> = { pass: 0, "not-judged": 1, fail: 2 };
/** Gauges whose error is some hundredths of a bar, so that readings near the limit lie within it or not. */
const gauge = fc.record({ spanHigh: fc.integer({ min: 1100, max: 2500 }), classTenths: fc.integer({ min: 1, max: 25 }) }).map(aTestGauge);
const nearTheBand = fc.oneof(fc.integer({ min: 850, max: 950 }), fc.integer({ min: 950, max: 1050 }));

test("what passes is inside and what fails is outside wherever the gauge's error may have put it", () => {
  fc.assert(
    fc.property(gauge, nearTheBand, fc.integer({ min: -1000, max: 1000 }), (gauge, value, off) => {
      const { verdict } = judgeReading(aBenchReading({ value }), aBenchPart(), [gauge], TODAY).judgement;
      // The true pressure, anywhere the class allows, in thousandths of a hundredth.
      const truth = value * 1000 + (off * (gauge.spanHigh - gauge.spanLow) * gauge.classTenths) / 1000;
      const inside = truth >= 900_000 && truth <= 1_000_000;
      if (verdict === "pass") expect(inside).toBe(true);
      if (verdict === "fail") expect(inside).toBe(false);
    }),
    RUNS,
  );
});

test("a coarser gauge never turns what could not be told into a pass or a failure", () => {
  fc.assert(
    fc.property(gauge, nearTheBand, fc.nat(25), (gauge, value, coarser) => {
      const judged = (classTenths: number) => judgeReading(aBenchReading({ value }), aBenchPart(), [{ ...gauge, classTenths }], TODAY).judgement.verdict;
      const fine = judged(gauge.classTenths);
      expect([fine, "not-judged"]).toContain(judged(gauge.classTenths + coarser));
    }),
    RUNS,
  );
});

test("taking one reading, one limit or one gauge away never makes a test better", () => {
  const loss = fc.record({ reading: fc.option(fc.nat(13)), limit: fc.option(fc.nat(7)), gauge: fc.option(fc.nat(2)) });
  fc.assert(
    fc.property(loss, fc.integer({ min: 890, max: 1010 }), fc.integer({ min: 20, max: 40 }), (loss, lockUp, creep) => {
      const readings = wholeTest().with(0, aBenchReading({ value: lockUp })).with(2, aBenchReading({ name: "creep", value: creep }));
      const before = judgeTest(wholeBench(), readings, BENCH_GAUGES, TODAY);
      const without = <T>(list: readonly T[], at: number | null): readonly T[] => list.filter((_, place) => place !== at);
      const parts = wholeBench().map((part) => ({ ...part, limits: without(part.limits, loss.limit) }));
      const after = judgeTest(parts, without(readings, loss.reading), without(BENCH_GAUGES, loss.gauge), TODAY);
      if (after.verdict === "pass") expect(before.verdict).toBe("pass");
    }),
    RUNS,
  );
});

test("one more failing reading fails any test, and one more reading never mends a failed one", () => {
  const readings = wholeTest();
  const some = fc.subarray([...readings]);
  const extra: fc.Arbitrary<BenchReading> = fc.constantFrom(
    ...readings,
    aBenchReading({ value: 1100 }),
    aBenchReading({ component: "alternate", name: "immersion-leak", value: 1, gauge: null }),
    aBenchReading({ component: "gauge", name: "gauge-zero", value: 300, gauge: null }),
  );
  fc.assert(
    fc.property(some, extra, extra, (some, one, other) => {
      const verdict = (list: readonly BenchReading[]) => judgeTest(wholeBench(), list, BENCH_GAUGES, TODAY).verdict;
      const alone = judgeReading(one, wholeBench().find(({ component }) => component === one.component) ?? null, BENCH_GAUGES, TODAY).judgement.verdict;
      if (alone === "fail") expect(verdict([...some, one])).toBe("fail");
      if (verdict([...some, one]) === "fail") expect(verdict([...some, one, other])).toBe("fail");
    }),
    RUNS,
  );
});

test("the order of the readings decides nothing", () => {
  fc.assert(
    fc.property(fc.shuffledSubarray([...wholeTest(), aBenchReading({ value: 1100 }), aBenchReading({ value: 995 })]), (readings) => {
      const verdict = (list: readonly BenchReading[]) => judgeTest(wholeBench(), list, BENCH_GAUGES, TODAY).verdict;
      expect(verdict(readings.toReversed())).toBe(verdict(readings));
      expect(BADNESS[verdict(readings)]).toBeGreaterThanOrEqual(0);
    }),
  );
});
