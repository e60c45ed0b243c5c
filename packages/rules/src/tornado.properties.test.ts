import fc from "fast-check";
import { expect, test } from "vitest";
import { TERN } from "./model-costs.cases.ts";
import { COST_INPUTS } from "./model-figures.ts";
import type { ModelFigures } from "./model-figures.ts";
import { tornado } from "./tornado.ts";
import type { TornadoInput } from "./tornado.ts";

const figures: fc.Arbitrary<ModelFigures> = fc
  .record({ priceCents: fc.nat(100_000), resaleCents: fc.nat(40_000), lifeYears: fc.integer({ min: 1, max: 12 }), kitCents: fc.nat(6000), divesPerYear: fc.integer({ min: 1, max: 300 }) })
  .map((differing) => ({ ...TERN, ...differing }));
const settings = fc.record({ interestPermille: fc.constantFrom(0, 50, 250), netOfIncome: fc.boolean() });

test("a tornado's bars go from wide to narrow, and one without a range or with an empty one has no width", () => {
  const inputs: readonly TornadoInput[] = ["priceCents", "resaleCents", "kitCents", "benchHourCents", "divesPerYear", "interestPermille"];
  fc.assert(
    fc.property(figures, settings, fc.subarray([...inputs]), fc.nat(30), fc.constantFrom("year", "dive"), (given, how, ranged, more, of) => {
      const value = (input: TornadoInput): number => {
        const one = input === "interestPermille" ? how.interestPermille : given[input];
        return typeof one === "number" ? one : 0;
      };
      const told = tornado(given, Object.fromEntries(ranged.map((input) => [input, { low: value(input), high: value(input) + more }])), { ...how, of });
      if (told.answer === "refused") throw new Error(told.why);
      expect(told.bars).toHaveLength(COST_INPUTS.length + 1);
      for (const [index, { input, lowCents, widthCents }] of told.bars.entries()) {
        expect(lowCents).toBe(told.baseCents);
        expect(widthCents).toBeLessThanOrEqual(told.bars[index - 1]?.widthCents ?? Infinity);
        if (!ranged.includes(input) || more === 0) expect(widthCents).toBe(0);
      }
      const flat = told.bars.filter(({ widthCents }) => widthCents === 0).map(({ input }) => input);
      expect(flat).toEqual([...COST_INPUTS, "interestPermille"].filter((input) => flat.includes(input as TornadoInput)));
    }),
    { numRuns: 500 },
  );
});
