import fc from "fast-check";
import { expect, test } from "vitest";
import { poissonQuantile } from "./distributions.ts";
import { callModels, COMPARISON, compareModels, monthlyChart, paretoOfCodes } from "./fault-verdict.ts";
import type { ModelCount, Verdict } from "./fault-verdict.ts";
import { powerAgainst } from "./sample-size.ts";

/** A model from hardly dived to much, near one fault per 100 dives, so that verdicts of every kind come up. */
const counts = fc.record({ dives: fc.oneof(fc.integer({ min: 0, max: 60 }), fc.integer({ min: 200, max: 4000 })), times: fc.constantFrom(0, 0.5, 1, 1, 1, 2, 4) });
const fleets = fc
  .array(counts, { minLength: 1, maxLength: 8 })
  .map((all): ModelCount[] => all.map(({ dives, times }, index) => ({ key: `model ${index}`, faults: Math.round((dives * times) / 100), dives })));

test("the order of the rows changes nothing", () => {
  fc.assert(
    fc.property(
      fleets.chain((rows) => fc.tuple(fc.constant(rows), fc.shuffledSubarray(rows, { minLength: rows.length }))),
      ([rows, shuffled]) => {
        expect(compareModels(shuffled)).toEqual(compareModels(rows));
      },
    ),
    { numRuns: 15 },
  );
});

function numbersIn(value: unknown): number[] {
  if (typeof value === "number") return [value];
  return typeof value === "object" && value !== null ? Object.values(value).flatMap(numbersIn) : [];
}

test("a verdict follows the adjusted p and the side the rate lies on, and no number is NaN or infinite", () => {
  fc.assert(
    fc.property(fleets, (rows) => {
      const told = compareModels(rows);
      for (const number of numbersIn(told)) expect(Number.isFinite(number)).toBe(true);
      for (const { verdict, p, adjustedP, toOthers, interval, shrunken } of told.models) {
        const called = verdict.verdict === "worse" || verdict.verdict === "better";
        expect(called).toBe(adjustedP !== null && adjustedP <= COMPARISON.falseDiscoveryRate);
        if (p !== null) expect(adjustedP).toBeGreaterThanOrEqual(p);
        if (verdict.verdict === "worse") expect(toOthers?.ratio ?? 9).toBeGreaterThan(1);
        if (verdict.verdict === "better") expect(toOthers?.ratio).toBeLessThan(1);
        if (interval.answer === "interval" && shrunken !== null) {
          expect(interval.lower <= interval.rate && interval.rate < interval.upper).toBe(true);
          expect(shrunken.lower <= shrunken.rate && shrunken.rate < shrunken.upper).toBe(true);
        }
      }
    }),
    { numRuns: 30 },
  );
});

const rank = { worse: 0, "too-little-to-tell": 1, "no-different": 1, better: 2 } as const;
const of = (verdict: Verdict) => rank[verdict.verdict];

test("of two models, one fault more never makes a verdict better", () => {
  const near = fc.record({ dives: fc.integer({ min: 50, max: 3000 }), faults: fc.integer({ min: 0, max: 40 }) });
  fc.assert(
    fc.property(near, near, fc.integer({ min: 1, max: 3 }), (one, other, more) => {
      const verdict = (faults: number) => {
        const [told] = compareModels([{ key: "one", ...one, faults }, { key: "other", ...other }]).models.filter(({ key }) => key === "one");
        if (told === undefined) throw new Error("lost");
        return of(told.verdict);
      };
      expect(verdict(one.faults + more)).toBeLessThanOrEqual(verdict(one.faults));
    }),
    { numRuns: 60 },
  );
});

test("in any fleet, more faults of a model never turn worse into better nor make its own chance kinder", () => {
  fc.assert(
    fc.property(fleets.filter((rows) => rows.filter(({ dives }) => dives > 0).length > 1), fc.nat(), fc.integer({ min: 1, max: 5 }), (rows, at, more) => {
      const dived = rows.filter(({ dives }) => dives > 0);
      const changed = at % dived.length;
      const few = callModels(dived, 0.05)[changed];
      const many = callModels(dived.map((row, index) => (index === changed ? { ...row, faults: row.faults + more } : row)), 0.05)[changed];
      if (few?.called === "worse") {
        expect(many?.called).not.toBe("better");
        expect(many?.p).toBeLessThanOrEqual(few.p);
      }
      if (many?.called === "better") expect(few?.p).toBeLessThanOrEqual(many.p);
    }),
    { numRuns: 500 },
  );
});

test("the dives it asks for would tell", () => {
  fc.assert(
    fc.property(fleets, (rows) => {
      const { fleet, models } = compareModels(rows);
      const tests = models.filter(({ p }) => p !== null).length;
      for (const { verdict, dives } of models) {
        const question = {
          baseRate: (fleet.faults / fleet.dives) * 100, per: 100, ratio: COMPARISON.ratio, power: COMPARISON.power,
          alpha: COMPARISON.falseDiscoveryRate / Math.max(1, tests), others: fleet.dives - dives,
        };
        if (verdict.verdict === "no-different") expect(powerAgainst(question, dives)).toBeGreaterThanOrEqual(COMPARISON.power);
        if (verdict.verdict !== "too-little-to-tell" || verdict.why !== "too-few-dives" || verdict.more === null) continue;
        expect(powerAgainst(question, dives)).toBeLessThan(COMPARISON.power);
        const { dives: more, of: whose } = verdict.more;
        const times = whose === "fleet" ? (fleet.dives + more) / fleet.dives : 1;
        const then = whose === "fleet" ? dives * times : dives + more;
        expect(powerAgainst({ ...question, others: question.others * times }, then)).toBeGreaterThanOrEqual(COMPARISON.power - 0.005);
      }
    }),
    { numRuns: 20 },
  );
});

/** Repeatable chance: a 32-bit mixer over a counter. */
function chanceFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x9e3779b9) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 16), 0x85ebca6b);
    mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35);
    return ((mixed ^ (mixed >>> 16)) >>> 0) / 2 ** 32;
  };
}

/** A fleet of ten whose rates per 100 dives are given. */
function drawn(chance: () => number, ratesPer100: readonly number[]): ModelCount[] {
  return ratesPer100.map((rate, index) => {
    const dives = Math.floor(20 + 3000 * chance() ** 2);
    return { key: String(index), dives, faults: poissonQuantile(Math.min(chance(), 1 - 2 ** -40), (dives * rate) / 100) };
  });
}

test("of a thousand innocent fleets, no more than one in twenty sees anybody called", () => {
  const chance = chanceFrom(20_270_801);
  const fleetsWithCalls = Array.from({ length: 1000 }, () => callModels(drawn(chance, Array(10).fill(1)), 0.05)).filter((tests) => tests.some(({ called }) => called !== null));
  // 50 allowed; three deviations of chance above are 71. The exact test keeps well under.
  expect(fleetsWithCalls.length).toBeLessThan(71);
});

test("with two guilty among ten, at most one in twenty of the called is innocent, and the guilty are mostly found", () => {
  const chance = chanceFrom(4711);
  const rates = [1, 1, 1, 1, 1, 1, 1, 1, 4, 4];
  let [falseShare, found] = [0, 0];
  const fleetCount = 500;
  for (let n = 0; n < fleetCount; n += 1) {
    const tests = callModels(drawn(chance, rates), 0.05);
    // To stand beside a guilty one makes an innocent look better than the others, which it is: only "worse" accuses.
    const accused = tests.flatMap(({ called }, index) => (called === "worse" ? [index] : []));
    const innocent = accused.filter((index) => index < 8).length;
    falseShare += accused.length === 0 ? 0 : innocent / accused.length;
    found += accused.length - innocent;
  }
  expect(falseShare / fleetCount).toBeLessThan(0.05);
  expect(found / (2 * fleetCount)).toBeGreaterThan(0.5);
});

test("of fleets that just have the dives named, four in five doublings are found", () => {
  const chance = chanceFrom(99);
  const others = 20_000;
  // One test against all others, so the level is the false-discovery rate itself, halved for the two rows.
  const rows = (dives: number, rate: number) => [
    { key: "one", dives, faults: poissonQuantile(chance() * (1 - 2 ** -40), dives * rate) },
    { key: "others", dives: others, faults: poissonQuantile(chance() * (1 - 2 ** -40), others * 0.01) },
  ];
  const [asked] = compareModels([{ key: "one", dives: 10, faults: 0 }, { key: "others", dives: others, faults: 200 }]).models.filter(({ key }) => key === "one");
  if (asked?.verdict.verdict !== "too-little-to-tell" || asked.verdict.why !== "too-few-dives" || asked.verdict.more === null) throw new Error("no dives named");
  const dives = 10 + asked.verdict.more.dives;
  const found = Array.from({ length: 600 }, () => callModels(rows(dives, 0.02), 0.025)[0]?.called).filter((called) => called === "worse").length;
  expect(found / 600).toBeGreaterThan(0.74);
  expect(found / 600).toBeLessThan(0.88);
});

const months = fc.uniqueArray(
  fc.record({ at: fc.integer({ min: 0, max: 40 }), faults: fc.integer({ min: 0, max: 12 }), dives: fc.oneof(fc.constant(0), fc.integer({ min: 1, max: 700 })) }),
  { selector: ({ at }) => at, minLength: 1, maxLength: 20 },
).map((all) => all.map(({ at, faults, dives }) => ({ month: `${2026 + Math.floor(at / 12)}-${String((at % 12) + 1).padStart(2, "0")}`, faults, dives })));

test("months in any order make one chart, every month between is there, and gaps signal nothing", () => {
  fc.assert(
    fc.property(months, (given) => {
      const told = monthlyChart(given);
      for (const number of numbersIn(told)) expect(Number.isFinite(number)).toBe(true);
      expect(monthlyChart([...given].reverse())).toEqual(told);
      if (told.answer === "refused") {
        expect(given.every(({ dives }) => dives === 0)).toBe(true);
        return;
      }
      const names = told.months.map(({ month }) => month);
      expect(names).toEqual([...names].sort());
      for (const month of given) expect(told.months.find((one) => one.month === month.month)).toMatchObject(month);
      const signals = [...told.signalMonths, ...(told.cusum.answer === "cusum" ? told.cusum.signalMonths : [])];
      for (const [index, { month, dives, point, sum }] of told.months.entries()) {
        expect(point === null).toBe(dives === 0);
        if (dives > 0) continue;
        expect(signals).not.toContain(month);
        if (sum !== null) expect(sum).toBe(index === 0 ? 0 : told.months[index - 1]?.sum);
      }
      if (told.cusum.answer === "cusum") {
        const { h, signalMonths } = told.cusum;
        expect(signalMonths).toEqual(told.months.filter(({ sum, dives }) => dives > 0 && (sum ?? 0) >= h - 1e-9).map(({ month }) => month));
      }
    }),
    { numRuns: 60 },
  );
});

test("shares of codes grow to exactly one, and none stands before one that comes more often", () => {
  const given = fc.uniqueArray(fc.record({ code: fc.string({ minLength: 1, maxLength: 4 }), count: fc.nat(9) }), { selector: ({ code }) => code, minLength: 1, maxLength: 12 });
  fc.assert(
    fc.property(given, (codes) => {
      const told = paretoOfCodes(codes);
      expect(paretoOfCodes([...codes].reverse())).toEqual(told);
      if (told.answer === "refused") {
        expect(codes.every(({ count }) => count === 0)).toBe(true);
        return;
      }
      expect(told.codes.at(-1)?.cumulativeShare).toBe(1);
      told.codes.forEach(({ count, code }, index) => {
        const next = told.codes[index + 1];
        if (next !== undefined) expect(count > next.count || (count === next.count && code < next.code)).toBe(true);
      });
    }),
  );
});
