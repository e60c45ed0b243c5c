import fc from "fast-check";
import { expect, test } from "vitest";
import { matchSerial, readSerialRange } from "./notices.ts";
import type { SerialRange } from "./notices.ts";

const RUNS = { numRuns: 2000 };
/** Narrow ranges of few digits, so that serials nearby are common. */
const range: fc.Arbitrary<SerialRange> = fc
  .record({ prefix: fc.constantFrom("", "A", "AB"), digits: fc.integer({ min: 3, max: 5 }), low: fc.integer({ min: 0, max: 950 }), wide: fc.nat(40) })
  .map(({ prefix, digits, low, wide }) => ({ prefix, digits, low: String(low).padStart(digits, "0"), high: String(low + wide).padStart(digits, "0") }));
/** A serial of the range or a neighbour of it, with a digit put in or taken out, or as it is. */
const serialNear = (of: SerialRange) =>
  fc.record({ prefix: fc.constantFrom(of.prefix, "A", "AB"), off: fc.integer({ min: -12, max: 52 }), at: fc.nat(5), slip: fc.constantFrom("out", "none", ..."0123456789") })
    .map(({ prefix, off, at, slip }) => {
      const whole = String(Math.max(0, Number(of.low) + off)).padStart(of.digits, "0");
      const number = slip === "none" ? whole : slip === "out" ? whole.slice(0, at) + whole.slice(at + 1) : whole.slice(0, at) + slip + whole.slice(at);
      return { prefix, number };
    });
const rangeAndSerial = range.chain((of) => fc.tuple(fc.constant(of), serialNear(of)));

/** The definition said another way: by number, and by trying every serial of one digit more or less. */
function expected({ prefix, digits, low, high }: SerialRange, serial: { prefix: string; number: string }): string {
  const inside = (number: string) => number.length === digits && BigInt(number) >= BigInt(low) && BigInt(number) <= BigInt(high);
  if (inside(serial.number)) return serial.prefix === prefix ? "match" : "check";
  if (serial.prefix !== prefix) return "none";
  const shorter = (long: string, short: string) => Array.from(long).some((_, at) => long.slice(0, at) + long.slice(at + 1) === short);
  for (let n = BigInt(low); n <= BigInt(high); n += 1n) {
    const member = String(n).padStart(digits, "0");
    if (serial.number.length === digits + 1 && shorter(serial.number, member)) return "check";
    if (serial.number.length === digits - 1 && shorter(member, serial.number)) return "check";
  }
  return "none";
}

test("a serial stands to a range as trying every serial of the range says", () => {
  fc.assert(
    fc.property(rangeAndSerial, ([of, serial]) => {
      expect(matchSerial(serial.prefix + serial.number, [of])).toBe(expected(of, serial));
    }),
    RUNS,
  );
});

test("case, spaces, dots and hyphens decide nothing", () => {
  fc.assert(
    fc.property(rangeAndSerial, fc.array(fc.tuple(fc.nat(8), fc.constantFrom(" ", ".", "-")), { maxLength: 4 }), fc.boolean(), ([of, serial], marks, small) => {
      const plain = serial.prefix + serial.number;
      const dressed = marks.reduce((text, [at, mark]) => text.slice(0, at) + mark + text.slice(at), small ? plain.toLowerCase() : plain);
      expect(matchSerial(dressed, [of])).toBe(matchSerial(plain, [of]));
    }),
    RUNS,
  );
});

test("one more range never takes a match away", () => {
  const hardness = { none: 0, check: 1, match: 2 };
  fc.assert(
    fc.property(rangeAndSerial, range, ([of, { prefix, number }], other) => {
      const alone = matchSerial(prefix + number, [of]);
      expect(hardness[matchSerial(prefix + number, [of, other])]).toBeGreaterThanOrEqual(hardness[alone]);
    }),
    RUNS,
  );
});

test("a range written down is read back as it was", () => {
  fc.assert(
    fc.property(range, fc.constantFrom("-", " - ", "–", " to ", " .. "), (of, between) => {
      expect(readSerialRange(`${of.prefix}${of.low}${between}${of.prefix}${of.high}`)).toEqual({ answer: "range", range: of });
    }),
  );
});

test("both ends of any range of up to 17 digits match, and their neighbours outside do not", () => {
  const long = fc.bigInt({ min: 10n ** 16n + 1n, max: 10n ** 17n - 10_000n });
  fc.assert(
    fc.property(long, fc.nat(1000), (low, wide) => {
      const high = low + BigInt(wide);
      const of = { prefix: "", digits: 17, low: String(low), high: String(high) };
      expect([low, high, low - 1n, high + 1n].map((n) => matchSerial(String(n), [of]))).toEqual(["match", "match", "none", "none"]);
    }),
  );
});
