import fc from "fast-check";
import { expect, test } from "vitest";
import { NUMBERS, TEXTS } from "./canonical-json.cases.ts";
import { canonicalJson, mayLoseDigits, NotCanonical } from "./canonical-json.ts";

function doubleOf(bits: string): number {
  const view = new DataView(new ArrayBuffer(8));
  view.setBigUint64(0, BigInt(`0x${bits}`));
  return view.getFloat64(0);
}

test.each(NUMBERS)("the double %s is written %s", (bits, text) => {
  expect(canonicalJson(doubleOf(bits))).toBe(text);
});

test.each(TEXTS)("%s has one form", (from, to) => {
  expect(canonicalJson(JSON.parse(from))).toBe(to);
});

test.each([
  ["no number", doubleOf("7fffffffffffffff")], ["infinity", Infinity], ["half a pair", "a\ud800"], ["half a pair as a name", { "\udc00": 1 }],
  ["undefined", { a: undefined }], ["a hole in a list", [undefined]], ["a big integer", 1n], ["a date", new Date(0)], ["a map", new Map()], ["a function", () => 1],
])("%s is refused, never guessed or left out", (_, value) => {
  expect(() => canonicalJson(value)).toThrow(NotCanonical);
});

test("reading a canonical text and writing it again changes nothing, whatever order the names were in", () => {
  fc.assert(
    fc.property(fc.jsonValue({ stringUnit: "grapheme" }), (value) => {
      const text = canonicalJson(value);
      expect(canonicalJson(JSON.parse(text))).toBe(text);
      const turned = JSON.parse(JSON.stringify(value), (_, one: unknown) => (typeof one === "object" && one !== null && !Array.isArray(one) ? Object.fromEntries(Object.entries(one).reverse()) : one)) as unknown;
      expect(canonicalJson(turned)).toBe(text);
    }),
    { numRuns: 500 },
  );
});

test("a number with more digits than a double holds is suspected, an ordinary content is not", () => {
  expect(mayLoseDigits('{"n": 9007199254740993}')).toBe(true);
  expect(mayLoseDigits('{"n": 333333333.33333329}')).toBe(true);
  expect(mayLoseDigits('{"hire": "018f2f64-5a60-7aab-8000-012345678901", "backOn": "2026-06-01", "cost": 123456789012345}')).toBe(false);
});
