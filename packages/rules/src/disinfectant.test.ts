import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { MIXTURE_CASES, NEEDED_CASES } from "./disinfectant.cases.ts";
import { againstLabel, ppmTenths, productNeeded } from "./disinfectant.ts";

test.each(MIXTURE_CASES)("$mix = $ppm ppm ($source)", ({ strength, product, water, ppm }) => {
  expect(Math.round(ppmTenths({ strengthHundredths: strength, productMl: product, waterMl: water }) / 10)).toBe(ppm);
});

test.each(NEEDED_CASES)("$want takes $product ml ($source)", ({ strength, ppm, total, product, water }) => {
  expect(productNeeded(strength, ppm * 10, total)).toEqual({ productMl: product, waterMl: water });
});

test("the label's limits are still within the label, and a drop more or less is not", () => {
  const mixture = { strengthHundredths: 500, productMl: 100, waterMl: 9900 };
  expect(ppmTenths(mixture)).toBe(5000);
  expect([againstLabel(mixture, 5000, 5000), againstLabel(mixture, 5001, 9000), againstLabel(mixture, 1000, 4999)]).toEqual(["within", "below", "above"]);
  // 499.95 ppm is shown as 500 ppm, and is under it all the same.
  const under = { ...mixture, waterMl: 9901 };
  expect([ppmTenths(under), againstLabel(under, 5000, 9000)]).toEqual([5000, "below"]);
});

describe("a mixture that cannot be", () => {
  test.each([
    [{ strengthHundredths: 525, productMl: 0, waterMl: 100 }, "the volume of product"],
    [{ strengthHundredths: 525, productMl: 10, waterMl: -1 }, "the volume of water"],
    [{ strengthHundredths: 52.5, productMl: 10, waterMl: 1 }, "the product's strength"],
    [{ strengthHundredths: 525, productMl: Number.NaN, waterMl: 1 }, "the volume of product"],
    [{ strengthHundredths: 10_001, productMl: 1, waterMl: 1 }, "stronger than pure"],
  ])("%o is refused: %s", (mixture, words) => {
    expect(() => ppmTenths(mixture)).toThrow(RangeError);
    expect(() => ppmTenths(mixture)).toThrow(words);
  });

  test("is one stronger than its product", () => {
    expect(() => productNeeded(1, 20_000, 100)).toThrow("A product of 100 ppm cannot make a bath of 2000 ppm.");
  });
});

const mixture = fc.record({
  strengthHundredths: fc.integer({ min: 1, max: 1500 }),
  productMl: fc.integer({ min: 1, max: 2000 }),
  waterMl: fc.integer({ min: 0, max: 40_000 }),
});

test("no disinfectant appears or is lost: strength times volume is what was poured in", () => {
  fc.assert(
    fc.property(mixture, (mix) => {
      const total = mix.productMl + mix.waterMl;
      const poured = mix.strengthHundredths * 1000 * mix.productMl;
      expect(Math.abs(ppmTenths(mix) * total - poured)).toBeLessThanOrEqual(total / 2);
    }),
    { numRuns: 1000 },
  );
});

test("the product reckoned for a target reaches it, and a millilitre less does not", () => {
  fc.assert(
    fc.property(fc.integer({ min: 100, max: 1500 }), fc.integer({ min: 100, max: 90_000 }), fc.integer({ min: 1000, max: 50_000 }), (strength, target, total) => {
      const { productMl, waterMl } = productNeeded(strength, target, total);
      expect(productMl + waterMl).toBe(total);
      expect(againstLabel({ strengthHundredths: strength, productMl, waterMl }, target, 1_000_000)).toBe("within");
      if (productMl > 1) {
        expect(againstLabel({ strengthHundredths: strength, productMl: productMl - 1, waterMl: waterMl + 1 }, target, 1_000_000)).toBe("below");
      }
    }),
    { numRuns: 1000 },
  );
});

test("more water never makes it stronger", () => {
  fc.assert(
    fc.property(mixture, fc.integer({ min: 1, max: 1000 }), (mix, more) => {
      expect(ppmTenths({ ...mix, waterMl: mix.waterMl + more })).toBeLessThanOrEqual(ppmTenths(mix));
    }),
  );
});
