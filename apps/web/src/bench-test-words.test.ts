import { expect, test } from "vitest";
import { calibrationWords, entryWords, figureText, gaugeErrorWords, judgementWords, keptWords, limitText, provesWords, testWords, valueText, wantedWords, type GaugeOnBench } from "./bench-test-words.ts";

const gauge = (over: Partial<GaugeOnBench> = {}): GaugeOnBench => ({
  name: "T-2", measures: "pressure", spanLow: 0, spanHigh: 2_500, classTenths: 25, errorThousandths: 62_500, resolutionThousandths: 12_500, calibration: "in-calibration", calibratedUntil: "2027-01-01", ...over,
});
const fine = gauge({ spanHigh: 1_600, classTenths: 10, errorThousandths: 16_000, resolutionThousandths: 3_200 });
const pressure = { name: "intermediate-pressure", low: 900, high: 1_000 } as const;

test("a gauge says what it can prove and what it cannot", () => {
  expect(gaugeErrorWords(gauge(), "metric")).toBe("Class 2.5, 0.00 bar to 25.00 bar: it may be 0.63 bar off.");
  expect(provesWords(gauge(), [pressure], "metric")).toEqual(["It can show a change; it cannot prove 9.50 bar from 10.00 bar."]);
  expect(provesWords(fine, [pressure], "metric")).toEqual(["Of 9.00 bar to 10.00 bar it proves 9.16 bar to 9.84 bar.", "What lies nearer to a limit is not judged."]);
  expect(provesWords(fine, [{ name: "creep", low: null, high: 30 }, { name: "supply-change", low: null, high: 50 }], "metric")).toEqual(["It shows a change of 0.04 bar and more."]);
  expect(provesWords(fine, [{ name: "cracking-effort-primary", low: 200, high: 300 }], "metric")).toEqual([]);
  const master = gauge({ spanHigh: 30_000, classTenths: 6, errorThousandths: 180_000 });
  expect(provesWords(master, [{ name: "gauge-error-low", low: null, high: 500 }], "metric")).toEqual(["It proves an error within 3.20 bar either way, where within 5.00 bar either way is allowed.", "What lies nearer to a limit is not judged."]);
  expect(provesWords(gauge({ spanHigh: 40_000, errorThousandths: 1_000_000 }), [{ name: "gauge-error-low", low: null, high: 500 }], "metric")).toEqual(["It cannot prove an error within 5.00 bar either way."]);
});

test("a calibration that does not count is said", () => {
  expect(calibrationWords(gauge())).toBeNull();
  expect(calibrationWords(gauge({ calibration: "out-of-date", calibratedUntil: "2026-03-19" }))).toBe("T-2 is out of calibration (until 19 Mar 2026). What is read on it is recorded, but not judged: the test cannot pass.");
});

test("figures have their judged value in sight in both units", () => {
  expect(figureText(950, "pressure", "us")).toBe("137.8 psi (9.50 bar)");
  expect(valueText("creep", 12, "metric")).toBe("+0.12 bar");
  expect(valueText("vacuum-held", 1, "metric")).toBe("yes");
  expect(limitText({ low: -500, high: 500 }, "pressure", "metric")).toBe("within 5.00 bar either way");
  expect(limitText({ low: null, high: 320 }, "effort", "metric")).toBe("at most 3.20 mbar");
});

test("each verdict says why", () => {
  const limit = { low: 900, high: 1_000 };
  expect(judgementWords({ name: "intermediate-pressure", judgement: { verdict: "pass" }, limit }, "metric")).toBe("Pass (9.00 bar to 10.00 bar).");
  expect(judgementWords({ name: "intermediate-pressure", judgement: { verdict: "fail", edge: "high", by: 32 }, limit }, "metric")).toBe("Fail: 0.32 bar too high (9.00 bar to 10.00 bar).");
  expect(judgementWords({ name: "vacuum-held", judgement: { verdict: "fail", edge: "answer", by: null }, limit: null }, "metric")).toBe("Fail: it does not hold a vacuum.");
  expect(judgementWords({ name: "cracking-effort", judgement: { verdict: "not-judged", why: ["adjuster-position", "no-gauge"] }, limit: null }, "metric")).toBe("Not judged: the limit is for the adjuster turned out; choose the test gauge it was read on.");
  expect(keptWords({ name: "creep", verdict: "fail", why: "high", value: 90, low: null, high: 30 }, "metric")).toBe("Fail: 0.60 bar too high");
  expect(keptWords({ name: "cracking-effort", verdict: "not-judged", why: "no-limit something-new", value: 260, low: null, high: null }, "metric")).toBe("Not judged: no limit from the maker's manual is recorded for this model; something-new");
});

test("what is still wanted is listed in sentences", () => {
  const item = { component: "P", name: "vacuum-held", zone: null, reading: null, value: null, limit: null, needed: true, judgement: { verdict: "not-judged", why: ["missing"] } } as const;
  expect(wantedWords([item], () => "Primary second stage P1")).toEqual(["Primary second stage P1, vacuum held: not read yet."]);
  expect(testWords("not-judged", [item])).toBe("1 reading is still wanted for a verdict.");
});

test("a wrong figure is quoted with what is wrong", () => {
  expect(entryWords("decimal-mark-open", "9,500", "pressure", "metric")).toBe("“9,500” could be thousands or a fraction. Write it with a point, or without the mark.");
  expect(entryWords("out-of-range", "99999", "effort", "us")).toBe("“99999” inH2O is more than anything on a bench shows.");
});
