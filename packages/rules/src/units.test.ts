import fc from "fast-check";
import { expect, test } from "vitest";
import { UNIT_CASES } from "./units.cases.ts";
import * as units from "./units.ts";

test.each(UNIT_CASES)("$what = $is $unit ($source)", ({ got, is, digits }) => {
  expect(got).toBeCloseTo(is, digits);
});

test("there and back again changes nothing that a gauge could show", () => {
  const pairs = [
    [units.barFromPsi, units.psiFromBar],
    [units.millibarFromInchesOfWater, units.inchesOfWaterFromMillibar],
    [units.millibarFromCmOfWater, units.cmOfWaterFromMillibar],
    [units.metresFromFeet, units.feetFromMetres],
    [units.celsiusFromFahrenheit, units.fahrenheitFromCelsius],
  ] as const;
  fc.assert(
    fc.property(fc.constantFrom(...pairs), fc.integer({ min: -100_000, max: 100_000 }), ([there, back], n) => {
      expect(back(there(n / 100))).toBeCloseTo(n / 100, 9);
    }),
  );
});
