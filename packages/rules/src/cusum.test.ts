import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { cusumRunLength, outlasts } from "./cusum-run-length.ts";
import type { CusumStep, RunLength } from "./cusum-run-length.ts";
import { cusumLimit, poissonCusum, referenceValue } from "./cusum.ts";
import type { CusumPath } from "./cusum.ts";
import { poissonMass } from "./distributions.ts";
import type { Observed } from "./fault-rates.ts";

const doubling = { from: 1, to: 2 };
const series = (counts: readonly number[], exposures: readonly number[]): Observed[] => counts.map((events, index) => ({ events, exposure: exposures[index] ?? 0 }));

function path(observed: readonly Observed[], h: number): CusumPath {
  const told = poissonCusum(observed, { shift: doubling, per: 100, h });
  if (told.answer === "refused") throw new Error(told.why);
  return told;
}

function runLength(cycle: readonly CusumStep[], h: number): RunLength {
  const told = cusumRunLength(cycle, h);
  if (told.answer === "refused") throw new Error(told.why);
  return told;
}

test("the reference between 1.88 and 3.2 a month is 2.48 (Lucas 1985)", () => {
  const told = referenceValue({ from: 1.88, to: 3.2 });
  expect(told.answer === "k" && told.k.toFixed(2)).toBe("2.48");
});

test("between a rate and its double it is the rate over ln 2", () => {
  const told = referenceValue(doubling);
  expect(told.answer === "k" && told.k).toBeCloseTo(1 / Math.LN2, 14);
});

test("a lasting rise signals, and a month that holds nothing changes nothing", () => {
  const counts = [1, 0, 2, 3, 2, 4, 9, 8, 6, 4, 2, 1];
  const dives = [60, 75, 140, 260, 390, 520, 410, 300, 240, 180, 90, 55];
  expect(path(series(counts, dives), 5)).toMatchObject({ firstSignal: 7, signals: [7, 8, 9, 10, 11] });
  expect(path(series([9, 0, 3], [300, 0, 100]), 5).path[1]).toBe(path(series([9, 0, 3], [300, 0, 100]), 5).path[0]);
});

test("the limit itself signals, for all that the sum is made of fractions", () => {
  const shift = { from: 0.1 * Math.LN2, to: 0.2 * Math.LN2 };
  // 0.9 taken off three times from 10 leaves 7.3, in floating point a little more or less.
  const told = poissonCusum(series([4, 4, 2], [9, 9, 9]), { shift, per: 1, h: 7.3 });
  expect(told).toMatchObject({ firstSignal: 2 });
});

/** Printed by arl() of the R package IAcsSPCR for the CUSUM of Lucas 1985: h 6, k 2. */
test.each([
  { mean: 1.88, arl: "37.20", headStart: "29.19" },
  { mean: 3.2, arl: "5.49", headStart: "3.33" },
])("h 6, k 2, mean $mean: a signal after $arl months, $headStart with a head start", ({ mean, arl, headStart }) => {
  const told = runLength([{ mean, allowance: 2 }], 6);
  expect([told.arl.toFixed(2), told.headStartArl.toFixed(2)]).toEqual([arl, headStart]);
});

describe("refuses", () => {
  test.each([
    [() => referenceValue({ from: 0, to: 2 }), "no-base-rate"],
    [() => referenceValue({ from: 2, to: 2 }), "no-rise"],
    [() => referenceValue({ from: 2, to: 1 }), "no-rise"],
    [() => poissonCusum([], { shift: { from: 0, to: 0 }, per: 100, h: 4 }), "no-base-rate"],
    [() => cusumRunLength([{ mean: 0, allowance: 1 }], 4), "never-signals"],
    [() => cusumRunLength([{ mean: 2, allowance: 900 }], 900), "never-signals"],
    [() => cusumRunLength([{ mean: 2, allowance: 0.001 }], 900), "too-many-states"],
    [() => cusumRunLength([{ mean: 1e-6, allowance: 1e-6 }], 4), "not-settled"],
    [() => cusumLimit([0, 0], { shift: doubling, per: 100, apart: 60 }), "no-exposure"],
    [() => cusumLimit([300], { shift: { from: 1, to: 1.001 }, per: 100, apart: 12_000 }), "no-such-limit"],
    [() => cusumLimit([1e12], { shift: doubling, per: 100, apart: 120 }), "no-such-limit"],
  ] as const)("%s: %s", (call, why) => {
    expect(call()).toEqual({ answer: "refused", why });
  });

  test.each([
    [() => poissonCusum(series([1], [-1]), { shift: doubling, per: 100, h: 4 }), "the exposure of point 1"],
    [() => poissonCusum(series([0.5], [1]), { shift: doubling, per: 100, h: 4 }), "the events of point 1"],
    [() => poissonCusum([], { shift: doubling, per: 100, h: 0 }), "the limit of the sum"],
    [() => cusumRunLength([], 4), "at least one month"],
    [() => cusumRunLength([{ mean: Number.NaN, allowance: 1 }], 4), "the expected events of month 1"],
    [() => cusumLimit([300], { shift: doubling, per: 100, apart: 0 }), "between false signals"],
  ])("%s: %s", (call, words) => {
    expect(call).toThrow(RangeError);
    expect(call).toThrow(words);
  });
});

/** Average run length by solving the equations of Brook and Evans for each whole state, where k and h are whole. */
function byElimination(mean: number, k: number, h: number): number {
  const rows = Array.from({ length: h }, (_, s) => {
    const row = Array.from({ length: h + 1 }, (__, to) => {
      const chance = to === 0 ? Array.from({ length: Math.max(0, k - s + 1) }, (___, x) => poissonMass(x, mean)).reduce((a, b) => a + b, 0) : to < h && to - s + k >= 0 ? poissonMass(to - s + k, mean) : 0;
      return to === h ? 1 : (to === s ? 1 : 0) - chance;
    });
    return row;
  });
  for (let i = 0; i < h; i += 1) {
    for (let j = 0; j < h; j += 1) {
      if (i === j) continue;
      const factor = rows[j]![i]! / rows[i]![i]!;
      for (let c = i; c <= h; c += 1) rows[j]![c]! -= factor * rows[i]![c]!;
    }
  }
  return rows[0]![h]! / rows[0]![0]!;
}

const mean = fc.double({ min: 0.2, max: 6, noNaN: true });

test("carried forward or solved as equations, the run length is one", () => {
  fc.assert(
    // Means not far below the allowance: elimination loses its digits where a signal hardly ever comes.
    fc.property(fc.double({ min: 0.6, max: 1.5, noNaN: true }), fc.integer({ min: 1, max: 5 }), fc.integer({ min: 1, max: 8 }), (part, k, h) => {
      const m = part * k;
      const solved = byElimination(m, k, h);
      expect(Math.abs(runLength([{ mean: m, allowance: k }], h).arl / solved - 1)).toBeLessThan(1e-7);
    }),
    { numRuns: 200 },
  );
});

test("a cycle of alike months is one month, and halves of a month are told apart from wholes", () => {
  const month = { mean: 1.2, allowance: 1.5 };
  expect(runLength([month, month, month], 5.25).arl).toBeCloseTo(runLength([month], 5.25).arl, 6);
});

test("a higher limit or a larger allowance signals later, more faults sooner", () => {
  const quarter = fc.integer({ min: 4, max: 24 }).map((n) => n / 4);
  fc.assert(
    fc.property(mean, quarter, quarter, (m, allowance, h) => {
      const told = cusumRunLength([{ mean: m, allowance }], h);
      if (told.answer === "refused" || told.arl > 1e9) return;
      expect([outlasts([{ mean: m, allowance }], h, told.arl * 0.999), outlasts([{ mean: m, allowance }], h, told.arl * 1.001)]).toEqual([true, false]);
      const later = (cycle: CusumStep, limit: number) => {
        const other = cusumRunLength([cycle], limit);
        if (other.answer !== "refused") expect(other.arl).toBeGreaterThanOrEqual(told.arl * (1 - 1e-9));
      };
      later({ mean: m, allowance }, h + 0.25);
      later({ mean: m, allowance: allowance + 0.25 }, h);
      later({ mean: m * 0.9, allowance }, h);
      expect(told.headStartArl).toBeLessThanOrEqual(told.arl * (1 + 1e-9));
      expect(told.arl).toBeGreaterThanOrEqual(1);
    }),
    { numRuns: 150 },
  );
});

test("an allowance that is no fraction lies between its neighbours that are", () => {
  const at = (allowance: number) => runLength([{ mean: 1, allowance }], 4).arl;
  expect(at(Math.SQRT2)).toBeGreaterThan(at(1.41));
  expect(at(Math.SQRT2)).toBeLessThan(at(1.42));
});

test("the limit chosen keeps false signals as far apart as asked, and no lower one does", () => {
  const months = fc.array(fc.integer({ min: 0, max: 900 }), { minLength: 1, maxLength: 12 }).filter((all) => all.some((dives) => dives > 50));
  fc.assert(
    fc.property(months, fc.constantFrom(12, 60, 120), (dives, apart) => {
      const told = cusumLimit(dives, { shift: doubling, per: 100, apart });
      if (told.answer === "refused") throw new Error(told.why);
      expect(told.falseAfter).toBeGreaterThanOrEqual(apart);
      expect(told.foundAfter).toBeLessThan(told.falseAfter);
      // No more frequent than told: with the true allowances, taken to the next higher thousandth, they are rarer still.
      const exact = dives.filter((one) => one > 0).map((one) => ({ mean: one / 100, allowance: Math.ceil(told.k * one * 10) / 1000 }));
      expect(outlasts(exact, told.h, told.falseAfter * (1 - 1e-9))).toBe(true);
      if (told.h === 1) return;
      // In twentieths, as the limit takes them or more coarsely, so a run is no longer than its own.
      const cycle = dives.filter((one) => one > 0).map((one) => ({ mean: one / 100, allowance: Math.floor((told.k * one) / 5) / 20 }));
      expect(runLength(cycle, told.h - 0.25).arl).toBeLessThan(apart);
    }),
    { numRuns: 30 },
  );
});
