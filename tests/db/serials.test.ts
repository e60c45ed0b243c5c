/** What a notice is about is decided twice, in packages/rules and in SQL: the two must say the same of every serial. */
import { randomUUID } from "node:crypto";
import { openNotice } from "@hangrail/db/bench-acts";
import { day } from "@hangrail/rules/calendar";
import { serialMatchReason, type MatchReason, type SerialRange } from "@hangrail/rules/notices";
import fc from "fast-check";
import type pg from "pg";
import { expect, test } from "vitest";
import { mutate } from "../races/rig.ts";
import { freshDatabase } from "../support/database.ts";
import { done, makeKitRoom } from "../support/kit-room.ts";

/** A range, every serial of the model, and what the notice's own columns hold of it. */
const ranges: fc.Arbitrary<SerialRange | null> = fc.oneof(
  { weight: 1, arbitrary: fc.constant(null) },
  {
    weight: 15,
    arbitrary: fc.integer({ min: 1, max: 17 }).chain((digits) =>
      fc.record({ prefix: fc.constantFrom("", "A", "AB", "S"), ends: fc.tuple(near(digits), near(digits)) }).map(({ prefix, ends }) => {
        const [low, high] = ends[0] < ends[1] ? ends : [ends[1], ends[0]];
        return { prefix, digits, low: String(low), high: String(high) };
      }),
    ),
  },
);

/** Numbers of at most so many digits, most of them close to nought, to the highest there is, or to a digit's carry. */
function near(digits: number): fc.Arbitrary<bigint> {
  const top = 10n ** BigInt(digits) - 1n;
  return fc.tuple(fc.constantFrom(0n, top, top / 2n, top / 10n, top - top / 10n), fc.bigInt(-12n, 12n)).map(([from, off]) => (from + off < 0n ? 0n : from + off > top ? top : from + off));
}

const SLIPS = ["none", "none", "out", "double", "in", "swap"] as const;

/** A serial at an end of the range or beside it, perhaps with a slip of the hand, other letters, or written in some odd way. */
const serialNear = (range: SerialRange | null) =>
  fc
    .record({
      end: fc.constantFrom("low", "high"), off: fc.bigInt(-3n, 3n), prefix: fc.constantFrom("same", "same", "same", "", "A", "B", "ab"), at: fc.nat(17), digit: fc.nat(9),
      slip: fc.constantFrom(...SLIPS), dress: fc.constantFrom("", "", "", " ", "-", ".", "/", "X", "\u00a0", "\u2011", "\t", "\n"), dressAt: fc.nat(20), small: fc.boolean(), noughts: fc.constantFrom("full", "full", "cut"),
    })
    .map(({ end, off, prefix, at, digit, slip, dress, dressAt, small, noughts }) => {
      const { digits, low, high, ...of } = range ?? { prefix: "A", digits: 4, low: "1", high: "9" };
      const number = BigInt(end === "low" ? low : high) + off;
      const whole = (number < 0n ? 0n : number).toString().padStart(noughts === "full" ? digits : 1, "0");
      const one = at % whole.length;
      const slipped = { none: whole, out: whole.slice(0, one) + whole.slice(one + 1), double: whole.slice(0, one) + whole[one]! + whole.slice(one), in: whole.slice(0, one) + digit + whole.slice(one), swap: whole.slice(0, one) + digit + whole.slice(one + 1) }[slip];
      const text = (prefix === "same" ? of.prefix : prefix) + slipped;
      const dressed = text.slice(0, dressAt) + dress + text.slice(dressAt);
      return small ? dressed.toLowerCase() : dressed;
    });
const odd = fc.oneof(
  fc.constantFrom(null, "", " ", "-.-", "?", "12A34", "A1B", "\u0131B12", "\u017f1", "\u00df1", "\uff21\uff11", "\u0661\u0662", "A\u00b2", "1.2.3", "0", "00000000000000000000", "A".repeat(40), "1e3", "-5", "+5", "0x10"),
  fc.string({ unit: "binary", maxLength: 12 }).map((text) => text.replaceAll("\0", "")),
  fc.string({ unit: fc.constantFrom(..."AaBbSs\u0131\u017f\u212a\u00df0129 .-"), maxLength: 8 }),
);
const pair: fc.Arbitrary<Pair> = ranges.chain((range) => fc.record({ range: fc.constant(range), serial: fc.oneof({ weight: 9, arbitrary: serialNear(range) }, { weight: 2, arbitrary: odd }) }));

interface Pair {
  readonly range: SerialRange | null;
  readonly serial: string | null;
}
type Difference = Pair & { readonly rules: MatchReason; readonly database: MatchReason };

async function differences(owner: pg.Pool, pairs: readonly Pair[], each: (reason: MatchReason) => void = () => undefined): Promise<Difference[]> {
  const { rows } = await owner.query<{ reason: MatchReason }>(
    `SELECT serial_match(p->>'serial', coalesce(p#>>'{range,prefix}', ''), (p#>>'{range,digits}')::int, (p#>>'{range,low}')::bigint, (p#>>'{range,high}')::bigint) AS reason
       FROM jsonb_array_elements($1) WITH ORDINALITY x(p, at) ORDER BY at`,
    [JSON.stringify(pairs)],
  );
  return pairs.flatMap(({ serial, range }, at) => {
    const [rules, database] = [serialMatchReason(serial, range === null ? [] : [range]), rows[at]!.reason];
    each(rules);
    return rules === database ? [] : [{ serial, range, rules, database }];
  });
}

const agreed = (owner: pg.Pool, each?: (reason: MatchReason) => void) =>
  fc.asyncProperty(many, async (pairs) => {
    expect(await differences(owner, pairs, each)).toEqual([]);
  });
const many = fc.array(pair, { minLength: 400, maxLength: 400, size: "max" });

test("the rules and the database match the same serials for the same reason", async () => {
  const { ownerPool } = await freshDatabase();
  const seen = new Map<string | null, number>();
  const count = (reason: MatchReason) => void seen.set(reason, (seen.get(reason) ?? 0) + 1);
  await fc.assert(agreed(ownerPool, count), { numRuns: 50, seed: 20_261_125, endOnFailure: true });
  // Twenty thousand, and of every kind many.
  for (const reason of ["in-range", "every-serial", "near-miss", null]) expect(seen.get(reason) ?? 0, `${reason}`).toBeGreaterThan(800);
  expect(seen.get("serial-unknown") ?? 0).toBeGreaterThan(40);
}, 60_000);

test.each([
  ["a digit put in after the last", "generate_series(1, length(v_number) + 1)", "generate_series(1, length(v_number))"],
  ["the last digit left out", "generate_series(1, length(v_number)) i WHERE", "generate_series(1, length(v_number) - 1) i WHERE"],
  ["a nine put in", "generate_series(0, 9)", "generate_series(0, 8)"],
  ["noughts in front", "length(v_number) = p_digits AND", "length(v_number) <= p_digits AND"],
  ["the low end", "v_number::numeric BETWEEN p_low AND p_high", "v_number::numeric > p_low AND v_number::numeric <= p_high"],
  ["another way of writing", "IF v_number IS NULL THEN RETURN 'near-miss'; END IF;", "IF v_number IS NULL THEN RETURN NULL; END IF;"],
  ["dots", "[ .\\-]", "[ \\-]"],
  ["other alphabets", 'COLLATE "C"', 'COLLATE "und-x-icu"'],
])("a difference in %s would be noticed", async (_, was, is) => {
  const { ownerPool } = await freshDatabase();
  await mutate(ownerPool, { of: "serial_match", was, is });
  const found = await fc.check(agreed(ownerPool), { numRuns: 50, seed: 20_261_125, endOnFailure: true });
  expect(found.failed).toBe(true);
  expect(String(found.errorInstance)).toMatch(/AssertionError/);
});

test("of several ranges the hardest answer counts in both", async () => {
  const room = await makeKitRoom(await freshDatabase());
  const owner = room.database.ownerPool;
  const several = ranges.chain((range) => fc.record({ ranges: fc.array(ranges, { maxLength: 3 }).map((others) => [...others, range]), serials: fc.array(serialNear(range), { minLength: 20, maxLength: 20 }) }));
  await fc.assert(
    fc.asyncProperty(several, async ({ ranges: of, serials }) => {
      const written = of.map((range) => ({ model: room.models.first, prefix: range?.prefix ?? "", digits: range?.digits ?? null, low: range?.low ?? null, high: range?.high ?? null }));
      const { notice } = done(await openNotice(room.db, room.by("technician"), { title: "Seats", reference: randomUUID(), hazard: "h", remedy: "r", publishedOn: day("2026-01-01"), ranges: written }));
      const { rows } = await owner.query<{ why: MatchReason }>("SELECT (SELECT why FROM notice_matches($1, NULL, $2, serial)) AS why FROM unnest($3::text[]) WITH ORDINALITY x(serial, at) ORDER BY at", [notice, room.models.first, serials]);
      const known = of.filter((range) => range !== null);
      // One line without numbers is about the whole model, whatever the others say, unless a serial lies in one of them.
      const rules = serials.map((serial) => {
        const reason = serialMatchReason(serial, known);
        return known.length < of.length && reason !== "in-range" ? "every-serial" : reason;
      });
      expect(rows.map(({ why }) => why)).toEqual(rules);
    }),
    { numRuns: 60, seed: 20_261_125 },
  );
}, 60_000);
