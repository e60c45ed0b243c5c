import fc from "fast-check";
import { expect, test } from "vitest";
import { logRank } from "./log-rank.ts";
import type { GroupedSpell } from "./log-rank.ts";

const spell: fc.Arbitrary<GroupedSpell> = fc.record({
  group: fc.constantFrom("A", "B", "C", "D"),
  time: fc.integer({ min: 0, max: 12 }),
  fault: fc.boolean(),
});
const spells = fc.array(spell, { minLength: 1, maxLength: 40 });

test("is a chi-square and a chance, or says why not; expected faults add up to those seen", () => {
  fc.assert(
    fc.property(spells, (given) => {
      const told = logRank(given);
      if (told.answer === "refused") return;
      expect(told.chiSquare).toBeGreaterThanOrEqual(0);
      expect(told.p).toBeGreaterThanOrEqual(0);
      expect(told.p).toBeLessThanOrEqual(1);
      const sum = (key: "observed" | "expected") => told.groups.reduce((total, group) => total + group[key], 0);
      expect(sum("expected")).toBeCloseTo(sum("observed"), 9);
    }),
    { numRuns: 1000 },
  );
});

test("other names, another order of groups or of spells give the same chi-square", () => {
  fc.assert(
    fc.property(
      spells.chain((given) => fc.tuple(fc.constant(given), fc.shuffledSubarray(given, { minLength: given.length }))),
      fc.shuffledSubarray(["w", "x", "y", "z"], { minLength: 4 }),
      ([given, shuffled], names) => {
        const renamed = shuffled.map((one) => ({ ...one, group: names["ABCD".indexOf(one.group)]! }));
        const [first, second] = [logRank(given), logRank(renamed)];
        if (first.answer === "refused" || second.answer === "refused") {
          expect(second).toEqual(first);
          return;
        }
        expect(second.degrees).toBe(first.degrees);
        expect(second.chiSquare).toBeCloseTo(first.chiSquare, 8);
      },
    ),
    { numRuns: 1000 },
  );
});

test("only the order of the times counts, not how far apart they are", () => {
  fc.assert(
    fc.property(spells, (given) => {
      expect(logRank(given.map((one) => ({ ...one, time: one.time ** 3 })))).toEqual(logRank(given));
    }),
    { numRuns: 300 },
  );
});

test("groups that failed alike do not differ", () => {
  fc.assert(
    fc.property(fc.array(fc.record({ time: fc.integer({ min: 1, max: 12 }), fault: fc.boolean() }), { minLength: 2, maxLength: 20 }), (given) => {
      const told = logRank(["A", "B", "C"].flatMap((group) => given.map((one) => ({ ...one, group }))));
      if (told.answer === "log-rank") expect(told.chiSquare).toBeCloseTo(0, 12);
    }),
    { numRuns: 300 },
  );
});
