import { expect, test } from "vitest";
import { aBenchPart, aBenchReading, aTestGauge, BENCH_GAUGES, TODAY, wholeBench, wholeTest } from "../testing/index.ts";
import { judgeReading, judgeSupplyChange, masterZone, supplyZone } from "./bench-readings.ts";
import type { BenchReading } from "./bench-readings.ts";
import { CHANGE_CASES, READING_CASES } from "./bench-test.cases.ts";
import { judgeTest } from "./bench-test.ts";
import type { JudgedTest } from "./bench-test.ts";
import { ROLES } from "./models.ts";

const judge = (readings: readonly BenchReading[], parts = wholeBench()): JudgedTest => judgeTest(parts, readings, BENCH_GAUGES, TODAY);
const unjudged = ({ items }: JudgedTest) =>
  items.flatMap(({ component, name, zone, needed, judgement }) => (judgement.verdict === "not-judged" ? [{ component, name, zone, needed, why: judgement.why }] : []));

test.each(READING_CASES)("$what ($source)", ({ limits, reading, gauge, is }) => {
  const role = ROLES.find((one) => one === reading.component) ?? "first-stage";
  expect(judgeReading(aBenchReading(reading), aBenchPart({ role, limits }), [aTestGauge(gauge)], TODAY).judgement).toEqual(is);
});

test.each(CHANGE_CASES)("$what ($source)", ({ balance, limits, readings, value, is }) => {
  const read = readings.map(([supplyCbar, value]) => aBenchReading({ supplyCbar, value }));
  expect(judgeSupplyChange(aBenchPart({ balance, limits }), read, BENCH_GAUGES, TODAY)).toMatchObject({ value, judgement: is });
});

test("a whole test with every reading good passes", () => {
  const judged = judge(wholeTest());
  expect(unjudged(judged)).toEqual([]);
  expect(judged).toMatchObject({ verdict: "pass", complete: true });
});

test("without limits nothing is judged, and the test is not passed", () => {
  const judged = judge(wholeTest(), wholeBench({ "first-stage": { limits: [] } }));
  expect(judged).toMatchObject({ verdict: "not-judged", complete: true });
  expect(unjudged(judged).map(({ name, why }) => [name, ...why])).toEqual([
    ["intermediate-pressure", "no-limit"],
    ["intermediate-pressure", "no-limit"],
    ["creep", "no-limit"],
    ["supply-change", "no-limit"],
  ]);
});

test("each needed reading left out leaves the test incomplete, and says which", () => {
  wholeTest().forEach((left, at) => {
    const judged = judge(wholeTest().toSpliced(at, 1));
    expect(judged, left.name).toMatchObject({ verdict: "not-judged", complete: false });
    const missing = judged.items.filter(({ judgement }) => judgement.verdict === "not-judged" && judgement.why.includes("missing"));
    expect(missing.map(({ component, name, needed }) => ({ component, name, needed }))).toEqual([{ component: left.component, name: left.name, needed: true }]);
  });
});

test("an empty form names everything it needs, and a test of nothing is not passed", () => {
  expect(judge([])).toMatchObject({ verdict: "not-judged", complete: false });
  expect(unjudged(judge([]))).toHaveLength(14);
  expect(judge([], [])).toEqual({ verdict: "not-judged", complete: false, items: [] });
  expect(judge([], [aBenchPart({ role: "hose" })])).toMatchObject({ verdict: "not-judged", complete: false });
});

test("what need not be read is judged where it was, and a failure fails the test", () => {
  const leak = aBenchReading({ component: "inflator-hose", name: "immersion-leak", value: 1, gauge: null });
  expect(judge([...wholeTest(), leak]).verdict).toBe("fail");
  const breath = (value: number) => aBenchReading({ component: "primary", name: "exhalation-effort", value, gauge: "e20" });
  expect(judge([...wholeTest(), breath(100)]).verdict).toBe("pass");
  expect(judge([...wholeTest(), breath(130)]).verdict).toBe("pass");
  expect(judge([...wholeTest(), breath(146)]).verdict).toBe("fail");
});

test("a drop at purge is written down, and nothing depends on it", () => {
  const judged = judge([...wholeTest(), aBenchReading({ name: "drop-at-purge", value: 120 })]);
  expect(judged.verdict).toBe("pass");
  expect(unjudged(judged)).toEqual([{ component: "first-stage", name: "drop-at-purge", zone: null, needed: false, why: ["no-limit"] }]);
});

test("every reason why a reading cannot be judged is named at once", () => {
  const gauges = [aTestGauge({ spanHigh: 900, calibratedOn: null })];
  expect(judgeReading(aBenchReading({ supplyCbar: null }), aBenchPart({ limits: [] }), gauges, TODAY).judgement).toEqual({
    verdict: "not-judged",
    why: ["no-limit", "supply-unknown", "outside-span", "out-of-calibration"],
  });
  const tight = aBenchReading({ component: "primary", name: "cracking-effort", value: 230, adjuster: "in", venturi: "pre-dive" });
  expect(judgeReading(tight, aBenchPart({ role: "primary" }), BENCH_GAUGES, TODAY).judgement).toEqual({
    verdict: "not-judged",
    why: ["adjuster-position", "venturi-position", "wrong-gauge"],
  });
});

test("a reading of nothing on the bench, or of what the part has not, leaves the test not judged", () => {
  const stranger = aBenchReading({ component: "c99" });
  const odd = aBenchReading({ component: "gauge", name: "creep", value: 1 });
  for (const extra of [stranger, odd]) {
    expect(judge([...wholeTest(), extra])).toMatchObject({ verdict: "not-judged", complete: true });
  }
});

test("a number that is none is never judged", () => {
  for (const value of [Number.NaN, Number.POSITIVE_INFINITY, 9.5, 1e15]) {
    expect(judge(wholeTest().with(0, aBenchReading({ value }))).verdict).toBe("not-judged");
  }
  expect(judge(wholeTest().with(4, aBenchReading({ component: "primary", name: "vacuum-held", value: 2 }))).verdict).toBe("not-judged");
});

test("a second reading on a better gauge settles what the first could not tell", () => {
  const doubtful = aBenchReading({ value: 995 });
  const readings = wholeTest().with(1, aBenchReading({ supplyCbar: 5000, value: 960 }));
  expect(judge(readings.with(0, doubtful)).verdict).toBe("not-judged");
  const settled = judge([...readings, doubtful]);
  expect(settled.verdict).toBe("pass");
  expect(unjudged(settled)[0]).toMatchObject({ needed: false, why: ["gauge-cannot-tell"] });
  expect(judge([...wholeTest(), aBenchReading({ value: 1020 })]).verdict).toBe("fail");
});

test("an unbalanced piston may lie below the band at the low supply, never above it", () => {
  const parts = wholeBench({ "first-stage": { balance: "unbalanced-piston", limits: [{ name: "intermediate-pressure", low: 900, high: 1000 }, { name: "creep", low: null, high: 30 }] } });
  const low = (value: number) => judge(wholeTest().with(1, aBenchReading({ supplyCbar: 5000, value })), parts);
  expect(low(860).verdict).toBe("pass");
  expect(low(1020).verdict).toBe("fail");
});

test("without a word on the design the change is not judged", () => {
  expect(unjudged(judge(wholeTest(), wholeBench({ "first-stage": { balance: null } })))).toEqual([
    { component: "first-stage", name: "supply-change", zone: null, needed: true, why: ["design-unknown"] },
  ]);
});

test("on two gauges a change is as uncertain as both", () => {
  const two = [...BENCH_GAUGES, aTestGauge({ id: "other" })];
  const part = aBenchPart();
  const pair = (gauge: string) => [aBenchReading({ value: 950 }), aBenchReading({ supplyCbar: 5000, value: 910, gauge })];
  expect(judgeSupplyChange(part, pair("p16"), two, TODAY).judgement).toEqual({ verdict: "pass" });
  expect(judgeSupplyChange(part, pair("other"), two, TODAY).judgement).toEqual({ verdict: "not-judged", why: ["gauge-cannot-tell"] });
});

test("a pressure that fell after lock-up is no creep", () => {
  expect(judgeReading(aBenchReading({ name: "creep", value: -10 }), aBenchPart(), BENCH_GAUGES, TODAY).judgement).toEqual({ verdict: "not-judged", why: ["fell"] });
});

test("supplies and points of comparison fall into their zones", () => {
  expect([2999, 3000, 7000, 7001, 14_999, 15_000, null].map(supplyZone)).toEqual([null, "low", "low", null, null, "high", null]);
  expect([0, 1, 7000, 7001, 14_999, 15_000, null].map(masterZone)).toEqual([null, "low", "low", "middle", "middle", "high", null]);
});
