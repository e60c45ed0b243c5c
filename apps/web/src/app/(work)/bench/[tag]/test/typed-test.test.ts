import { judgeTest } from "@hangrail/rules/bench-test";
import { day } from "@hangrail/rules/calendar";
import { expect, test } from "vitest";
import { firstGauge, pasteCurve, readTest, type Pasted, type TestGaugeRow, type TestPart, type Typed } from "./typed-test.ts";

const part = (component: string, role: TestPart["role"], limits: TestPart["limits"] = []): TestPart => ({ component, role, limits, balance: role === "first-stage" ? "balanced" : null, serial: component, modelId: "M", maker: "Tarnfell", model: "Beck" });
const parts = [
  part("F", "first-stage", [{ name: "intermediate-pressure", low: 900, high: 1_000 }, { name: "creep", low: null, high: 30 }, { name: "supply-change", low: null, high: 50 }]),
  part("P", "primary", [{ name: "cracking-effort-primary", low: 200, high: 320 }]),
  part("G", "gauge", [{ name: "gauge-error-low", low: null, high: 500 }, { name: "gauge-error", low: null, high: 1_000 }]),
];
const gauge = (id: string, over: Partial<TestGaugeRow> = {}): TestGaugeRow => ({
  id, name: id, serial: id, measures: "pressure", spanLow: 0, spanHigh: 1_600, classTenths: 10, calibratedOn: day("2026-01-01"), calibratedUntil: day("2027-01-01"),
  calibration: "in-calibration", errorThousandths: 16_000, resolutionThousandths: 3_200, ...over,
});
const gauges = [gauge("IP"), gauge("WATER", { measures: "effort", spanHigh: 1_000, errorThousandths: 10_000 }), gauge("MASTER", { spanHigh: 30_000, classTenths: 6, errorThousandths: 180_000 })];
const chosen = { pressure: "IP", effort: "WATER", master: "MASTER" };

const metric: Typed = {
  "F high-supply": "200", "F high-intermediate-pressure": "9.5", "F high-creep": "0,1", "F low-supply": "50", "F low-intermediate-pressure": "9.4",
  "P cracking-effort": "2.6", "P adjuster": "out", "P venturi": "none", "P vacuum-held": "yes", "P immersion-leak": "no",
  "G gauge-zero": "0", "G low-master": "50", "G low-shown": "51", "G middle-master": "100", "G middle-shown": "101", "G high-master": "200", "G high-shown": "199",
};
const read = (typed: Typed, pasted: Pasted = {}, units: "metric" | "us" = "metric") => readTest(parts, typed, pasted, chosen, units);
const verdict = (readings: ReturnType<typeof read>["readings"]) => judgeTest(parts, readings, gauges, day("2026-03-20")).verdict;

test("a whole form is read into small units, and passes as the record will judge it", () => {
  const found = read(metric);
  expect(found.problems).toEqual(new Map());
  expect(found.readings.map(({ name, value }) => [name, value])).toEqual([
    ["intermediate-pressure", 950], ["creep", 10], ["intermediate-pressure", 940], ["cracking-effort", 260], ["vacuum-held", 1], ["immersion-leak", 0],
    ["gauge-zero", 0], ["gauge-error", 100], ["gauge-error", 100], ["gauge-error", -100],
  ]);
  expect(found.readings.find(({ name }) => name === "gauge-error")).toMatchObject({ at: 5_000, gauge: "MASTER" });
  expect(verdict(found.readings)).toBe("pass");
});

test("in US units the same figures come to the same readings", () => {
  const us: Typed = { ...metric, "F high-supply": "2901", "F high-intermediate-pressure": "137.8", "F high-creep": "1.5", "F low-supply": "725", "F low-intermediate-pressure": "136.3", "P cracking-effort": "1.04",
    "G low-master": "725", "G low-shown": "740", "G middle-master": "1450", "G middle-shown": "1465", "G high-master": "2901", "G high-shown": "2886" };
  const found = read(us, {}, "us");
  expect(found.problems).toEqual(new Map());
  expect(found.readings.slice(0, 4).map(({ value }) => value)).toEqual([950, 10, 940, 259]);
  expect(verdict(found.readings)).toBe("pass");
});

test("an empty form is no problem and no reading", () => {
  expect(read({})).toEqual({ readings: [], keys: [], typedCount: 0, curves: [], problems: new Map() });
});

test("what cannot be read says what and where", () => {
  const { problems, readings } = read({ ...metric, "F high-intermediate-pressure": "9.5.1", "P cracking-effort": "3 bar", "G zero": "", "G low-shown": "", "F low-supply": "-5" });
  expect(Object.fromEntries(problems)).toEqual({
    "F high-intermediate-pressure": "“9.5.1” is not a figure in bar. Write it like 9.5.",
    "P cracking-effort": "“3 bar” names a unit of something else. This is entered in mbar.",
    "G low-shown": "enter what the gauge shows.",
    "F low-supply": "a pressure in a cylinder is not below nought.",
  });
  expect(verdict(readings)).toBe("not-judged");
});

test("an effort without the positions of adjuster and lever is no reading", () => {
  const { "P adjuster": _, "P venturi": __, ...without } = metric;
  const { problems, readings } = read(without);
  expect([...problems.keys()]).toEqual(["P adjuster", "P venturi"]);
  expect(readings.some(({ name }) => name === "cracking-effort")).toBe(false);
});

const logged = ["time (s)\tpressure (bar)", ...Array.from({ length: 321 }, (_, s) => `${s}\t${(s < 5 ? 0 : s < 8 ? 2.5 * (s - 4) : 9.5 + Math.min(s - 8, 300) * 0.0004).toFixed(2)}`)].join("\n");

test("a pasted curve takes the place of what was typed beside it", () => {
  const found = read({ ...metric, "F high-intermediate-pressure": "5", "F high-creep": "5" }, { "F high-curve": pasteCurve(logged, {}) });
  expect(found.problems).toEqual(new Map());
  expect(found.readings.slice(found.typedCount).map(({ name, value }) => [name, value])).toEqual([["intermediate-pressure", 950], ["creep", 12]]);
  expect(found.readings.some(({ value }) => value === 500)).toBe(false);
  expect(found.curves).toMatchObject([{ component: "F", supplyCbar: 20_000, gauge: "IP" }]);
  expect(found.curves[0]!.points).toHaveLength(321);
  expect(verdict(found.readings)).toBe("pass");
});

test("a curve without its supply, or one that cannot be read, is a problem", () => {
  const pasted = { "F high-curve": pasteCurve(logged, {}) };
  expect([...read({}, pasted).problems.keys()]).toEqual(["F high-supply"]);
  expect([...read(metric, { "F high-curve": pasteCurve("1\t9.5\n2\tx", { unit: "bar" }) }).problems.keys()]).toEqual(["F high-curve"]);
});

test("the gauge taken at first has the right scale and is in calibration, where there is one", () => {
  const late = gauge("FINE BUT LATE", { errorThousandths: 4_000, calibration: "out-of-date" });
  expect(firstGauge("pressure", [...gauges, late])).toBe("IP");
  expect(firstGauge("pressure", [late])).toBe("FINE BUT LATE");
  expect(firstGauge("master", gauges)).toBe("MASTER");
  expect(firstGauge("effort", gauges)).toBe("WATER");
  expect(firstGauge("effort", [])).toBeNull();
});
