import fc from "fast-check";
import { expect, test } from "vitest";
import * as plain from "./plain-units.ts";
import { ENTRY_CASES, UNIT_CASES } from "./units.cases.ts";
import * as units from "./units.ts";

test.each(UNIT_CASES)("$what = $is $unit ($source)", ({ got, is, digits }) => {
  expect(got).toBeCloseTo(is, digits);
});

test("there and back again changes nothing that a gauge could show", () => {
  const pairs = [
    [plain.barFromPsi, plain.psiFromBar],
    [plain.millibarFromInchesOfWater, plain.inchesOfWaterFromMillibar],
    [plain.millibarFromCmOfWater, plain.cmOfWaterFromMillibar],
    [plain.metresFromFeet, plain.feetFromMetres],
    [plain.celsiusFromFahrenheit, plain.fahrenheitFromCelsius],
  ] as const;
  fc.assert(
    fc.property(fc.constantFrom(...pairs), fc.integer({ min: -100_000, max: 100_000 }), ([there, back], n) => {
      expect(back(there(n / 100))).toBeCloseTo(n / 100, 9);
    }),
  );
});

type Quantity = readonly [read: (text: string) => units.Entry, show: (kept: number) => string, most: number];
const pressureIn = (unit: units.PressureUnit): Quantity => [(text) => units.readPressure(text, unit), (kept) => units.shownPressure(kept, unit), 100_000];
const effortIn = (unit: units.EffortUnit): Quantity => [(text) => units.readEffort(text, unit), (kept) => units.shownEffort(kept, unit), 50_000];
const quantities = [...units.PRESSURE_UNITS.map(pressureIn), ...units.EFFORT_UNITS.map(effortIn)];

test.each(ENTRY_CASES)("“$text” in $unit is kept as $kept and shown as $shown ($source)", ({ text, unit, kept, shown }) => {
  const [read, show] = unit === "bar" || unit === "psi" ? pressureIn(unit) : effortIn(unit);
  expect(read(text)).toEqual({ entry: "value", value: kept });
  expect(show(kept)).toBe(shown);
});

test("what is shown reads back as exactly what is kept", () => {
  fc.assert(
    fc.property(fc.constantFrom(...quantities), fc.integer({ min: -50_000, max: 50_000 }), ([read, show], kept) => {
      expect(read(show(kept))).toEqual({ entry: "value", value: kept });
    }),
    { numRuns: 2000 },
  );
});

test("a whole psi, a hundredth of an inch and a tenth of a centimetre come back as they were typed", () => {
  const typed = [[...pressureIn("psi"), 1], [...effortIn("inH2O"), 100], [...effortIn("cmH2O"), 10]] as const;
  fc.assert(
    fc.property(fc.constantFrom(...typed), fc.nat(5000), ([read, show, , parts], n) => {
      const entry = read(String(n / parts));
      expect(entry.entry === "value" && Number(show(entry.value))).toBe(n / parts);
    }),
    { numRuns: 2000 },
  );
});

test("a figure above another is never kept below it, so a reading on the limit stays on the limit", () => {
  fc.assert(
    fc.property(fc.constantFrom(...quantities), fc.nat(200_000), fc.nat(300), ([read], limit, more) => {
      const kept = (n: number) => {
        const entry = read((n / 1000).toFixed(3));
        return entry.entry === "value" ? entry.value : Number.NaN;
      };
      expect(kept(limit + more)).toBeGreaterThanOrEqual(kept(limit));
    }),
  );
});

test.each([
  ["", "empty"],
  ["nine", "not-a-number"],
  ["9.5.1", "not-a-number"],
  [".", "not-a-number"],
  ["1e3", "not-a-number"],
  ["3,000", "decimal-mark-open"],
  ["3 mbar", "other-unit"],
  ["1001", "out-of-range"],
])("“%s” as a pressure in bar is refused: %s", (text, why) => {
  expect(units.readPressure(text, "bar")).toEqual({ entry: "refused", why });
});

test("a unit behind the figure, or a word about the decimal mark, settles it", () => {
  expect(units.readPressure("9.5 bar", "psi")).toEqual({ entry: "value", value: 950 });
  expect(units.readPressure("3,000", "psi", "point")).toEqual({ entry: "value", value: 20_684 });
  expect(units.readPressure("9,500", "bar", "comma")).toEqual({ entry: "value", value: 950 });
  expect(units.readPressure("0,125", "bar")).toEqual({ entry: "value", value: 13 });
  expect(units.readPressure("9,50", "bar", "point")).toEqual({ entry: "refused", why: "not-a-number" });
  expect(() => units.shownPressure(Number.NaN, "psi")).toThrow("NaN is not a whole number of small units.");
});
