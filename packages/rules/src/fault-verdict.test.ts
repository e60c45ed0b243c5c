import { describe, expect, test } from "vitest";
import { COMPARISON, compareModels, MONTHLY, monthlyChart, paretoOfCodes } from "./fault-verdict.ts";
import type { ModelCount, MonthCount, MonthlyChart } from "./fault-verdict.ts";

const row = (key: string, faults: number, dives: number): ModelCount => ({ key, faults, dives });

/** Nine models, one with a single fault in 20 dives. */
const FLEET = [row("A", 1, 20), row("B", 14, 1850), row("C", 22, 2400), row("D", 9, 310), row("E", 3, 700), row("F", 31, 2900), row("G", 6, 1500), row("H", 11, 640), row("I", 2, 820)];

describe("comparing models", () => {
  test("calls the one that fails three times as often, and not the one that was unlucky once", () => {
    const { fleet, models } = compareModels(FLEET);
    expect(fleet).toMatchObject({ faults: 99, dives: 11_140, faultsWithoutDives: 0, spread: "differ" });
    expect(models.map(({ key }) => key)).toEqual(["D", "H", "A", "F", "C", "B", "E", "G", "I"]);
    expect(models.filter(({ verdict }) => verdict.verdict === "worse").map(({ key }) => key)).toEqual(["D"]);
    const unlucky = models.find(({ key }) => key === "A");
    // 5 faults per 100 dives, the worst rate of all.
    expect(unlucky?.interval).toMatchObject({ rate: 5 });
    expect(unlucky?.verdict).toMatchObject({ verdict: "too-little-to-tell", why: "too-few-dives", more: { of: "model" } });
  });

  test("a model is not called by its own p, only by that among so many", () => {
    const { models } = compareModels(FLEET);
    const g = models.find(({ key }) => key === "G");
    expect(g?.p).toBeLessThan(0.05);
    expect(g?.adjustedP).toBeGreaterThan(0.05);
    expect(g?.verdict.verdict).toBe("too-little-to-tell");
  });

  test("says better as it says worse, and no different where the dives would have told", () => {
    const { models } = compareModels([row("A", 60, 5000), row("B", 61, 5000), row("C", 10, 5000), row("D", 130, 5000)]);
    expect(models.map(({ key, verdict }) => `${key} ${verdict.verdict}`)).toEqual(["D worse", "B no-different", "A no-different", "C better"]);
  });

  test("three small models alike: it would take all of them to dive more", () => {
    const { fleet, models } = compareModels([row("A", 5, 500), row("B", 5, 500), row("C", 5, 500)]);
    expect(fleet.spread).toBe("no-spread");
    expect(new Set(models.map(({ shrunken }) => shrunken?.rate))).toEqual(new Set([1]));
    for (const { verdict } of models) expect(verdict).toMatchObject({ why: "too-few-dives", more: { of: "fleet" } });
  });

  test("one model, no faults, no dives, nothing at all: each has its own reason", () => {
    const why = (rows: readonly ModelCount[]) => compareModels(rows).models.map(({ verdict }) => ("why" in verdict ? verdict.why : verdict.verdict));
    expect(why([row("A", 3, 1000)])).toEqual(["nothing-to-compare-with"]);
    expect(why([row("A", 0, 1000), row("B", 0, 500)])).toEqual(["no-faults-in-fleet", "no-faults-in-fleet"]);
    expect(why([row("A", 0, 0)])).toEqual(["no-dives"]);
    expect(compareModels([])).toEqual({
      fleet: { faults: 0, dives: 0, interval: { answer: "refused", why: "no-exposure" }, faultsWithoutDives: 0, spread: "no-exposure" },
      models: [],
    });
  });

  test("faults of a model nobody dived are told apart, and move no other's rate", () => {
    const [without, with_] = [compareModels(FLEET), compareModels([...FLEET, row("J", 40, 0)])];
    expect(with_.fleet).toEqual({ ...without.fleet, faultsWithoutDives: 40 });
    expect(with_.models.slice(0, -1)).toEqual(without.models);
    expect(with_.models.at(-1)).toEqual({
      key: "J", faults: 40, dives: 0, interval: { answer: "refused", why: "no-exposure" }, shrunken: null, toOthers: null, p: null, adjustedP: null,
      verdict: { verdict: "too-little-to-tell", why: "no-dives" },
    });
  });

  test("a fleet too large or settings too strict still get an answer", () => {
    const { models } = compareModels([row("A", 500_000_000, 1e11), row("B", 400_000_000, 1e11)]);
    expect(models.map(({ verdict }) => verdict.verdict)).toEqual(["worse", "better"]);
    const strict = { ...COMPARISON, falseDiscoveryRate: 1e-300, confidence: 1 - 1e-12 };
    expect(compareModels(FLEET, strict).models.every(({ verdict }) => verdict.verdict === "too-little-to-tell")).toBe(true);
  });

  test.each([
    [[row("A", 1, 10), row("A", 2, 20)], COMPARISON, "The model A is given twice"],
    [[row("A", -1, 10), row("B", 2, 20)], COMPARISON, "the events"],
    [[row("A", 1, Number.NaN), row("B", 2, 20)], COMPARISON, "the exposure"],
    [FLEET, { ...COMPARISON, falseDiscoveryRate: 5 }, "false-discovery rate"],
    [FLEET, { ...COMPARISON, power: 1 }, "the power"],
  ])("%j with %j cannot be: %s", (rows, settings, words) => {
    expect(() => compareModels(rows, settings)).toThrow(words);
  });
});

const DIVES = [60, 75, 140, 260, 390, 520, 610, 640, 420, 180, 90, 55];
const year = (faults: readonly number[], of = 2027): MonthCount[] => faults.map((count, index) => ({ month: `${of}-${String(index + 1).padStart(2, "0")}`, faults: count, dives: DIVES[index] ?? 0 }));

function chart(months: readonly MonthCount[], settings = MONTHLY): MonthlyChart {
  const told = monthlyChart(months, settings);
  if (told.answer === "refused") throw new Error(told.why);
  return told;
}

describe("months", () => {
  test("a single bad month signals on the chart, with its limits", () => {
    const told = chart(year([1, 0, 2, 3, 2, 4, 19, 5, 3, 1, 0, 1]));
    expect(told.signalMonths).toEqual(["2027-07"]);
    expect(told.months[6]?.point).toMatchObject({ mostExpected: 17, leastExpected: 1, signal: "above" });
    expect(told.months[6]?.point?.upperLimit).toBeCloseTo((17 / 610) * 100, 12);
  });

  test("a lasting rise that no single month shows signals on the CUSUM, dated", () => {
    const settings = { ...MONTHLY, usualRate: 1 };
    const quiet = year([1, 1, 1, 3, 4, 5, 6, 6, 4, 2, 1, 0]);
    expect(chart(quiet, settings).cusum).toMatchObject({ answer: "cusum", signalMonths: [] });
    const { cusum, signalMonths } = chart([...quiet, ...year([1, 2, 3, 5, 8, 11, 12, 13, 8, 4, 2, 1], 2028)], settings);
    expect(signalMonths).toEqual([]);
    expect(cusum.answer === "cusum" && cusum.signalMonths[0]).toBe("2028-05");
    expect(cusum).toMatchObject({ usualRate: 1 });
    if (cusum.answer === "cusum") {
      expect(cusum.k).toBeCloseTo(1 / Math.LN2, 12);
      expect(cusum.falseAfter).toBeGreaterThanOrEqual(MONTHLY.monthsApart);
      expect(cusum.foundAfter).toBeLessThan(12);
    }
  });

  test("months without dives and months not given are gaps: no rate, no limit, and the sum stays", () => {
    const told = chart([{ month: "2027-11", faults: 5, dives: 100 }, { month: "2027-12", faults: 3, dives: 0 }, { month: "2028-02", faults: 1, dives: 200 }], { ...MONTHLY, usualRate: 1 });
    expect(told.meanRate).toBe(2);
    expect(told.months.map(({ month, faults, dives, point }) => [month, faults, dives, point?.rate ?? null])).toEqual([
      ["2027-11", 5, 100, 5],
      ["2027-12", 3, 0, null],
      ["2028-01", 0, 0, null],
      ["2028-02", 1, 200, 0.5],
    ]);
    const sums = told.months.map(({ sum }) => sum);
    expect(sums[0]).toBeCloseTo(5 - 1 / Math.LN2, 12);
    expect([sums[1], sums[2]]).toEqual([sums[0], sums[0]]);
  });

  test("no dives have no chart; no faults have one without a CUSUM", () => {
    expect(monthlyChart([])).toEqual({ answer: "refused", why: "no-exposure" });
    expect(monthlyChart([{ month: "2027-05", faults: 2, dives: 0 }])).toEqual({ answer: "refused", why: "no-exposure" });
    const told = chart(year([0, 0, 0]));
    expect(told).toMatchObject({ meanRate: 0, signalMonths: [], cusum: { answer: "refused", why: "no-base-rate" } });
    expect(told.months.map(({ sum }) => sum)).toEqual([null, null, null]);
    expect(chart(year([1, 2, 1]), { ...MONTHLY, ratio: 1 }).cusum).toEqual({ answer: "refused", why: "no-rise" });
  });

  test.each([
    [[{ month: "2027-13", faults: 0, dives: 1 }], "2027-13"],
    [[{ month: "2027-1", faults: 0, dives: 1 }], "write it as 2027-08"],
    [[{ month: "2027-01", faults: 0, dives: 1 }, { month: "2027-01", faults: 1, dives: 1 }], "The month 2027-01 is given twice"],
    [[{ month: "1027-01", faults: 0, dives: 1 }, { month: "2027-01", faults: 1, dives: 1 }], "more than 1200 months"],
    [[{ month: "2027-01", faults: 0.5, dives: 1 }], "the events of point 1"],
  ])("%j cannot be: %s", (months, words) => {
    expect(() => monthlyChart(months)).toThrow(words);
  });
});

describe("codes", () => {
  test("most often first, equal ones by code, the last at exactly all", () => {
    const told = paretoOfCodes([{ code: "SS-04", count: 3 }, { code: "FS-01", count: 3 }, { code: "HO-01", count: 0 }, { code: "SS-02", count: 7 }]);
    if (told.answer === "refused") throw new Error(told.why);
    expect(told.codes.map(({ code, count }) => [code, count])).toEqual([["SS-02", 7], ["FS-01", 3], ["SS-04", 3], ["HO-01", 0]]);
    expect(told.codes.map(({ cumulativeShare }) => cumulativeShare)).toEqual([7 / 13, 10 / 13, 1, 1]);
  });

  test("no faults have no shares, and nothing is counted twice", () => {
    expect(paretoOfCodes([])).toEqual({ answer: "refused", why: "no-faults" });
    expect(paretoOfCodes([{ code: "FS-01", count: 0 }])).toEqual({ answer: "refused", why: "no-faults" });
    expect(() => paretoOfCodes([{ code: "FS-01", count: 1 }, { code: "FS-01", count: 2 }])).toThrow("The code FS-01 is given twice");
    expect(() => paretoOfCodes([{ code: "FS-01", count: -1 }])).toThrow("the faults with the code FS-01");
  });
});
