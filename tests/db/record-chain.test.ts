/** The record's hashes as the database reckons them and as the rules do, and that nothing is recorded without. */
import { NUMBERS, TEXTS } from "@hangrail/rules/canonical-json.cases";
import { canonicalJson } from "@hangrail/rules/canonical-json";
import { ChainWalker, entryText, NO_HASH, type LinkedEntry } from "@hangrail/rules/record-chain";
import { handOut, mixBath, takeBack, type Who } from "@hangrail/db/acts";
import { reportFault } from "@hangrail/db/bench-acts";
import { makeBookings } from "@hangrail/db/plan-acts";
import { day } from "@hangrail/rules/calendar";
import { readChain, readChains, readHeads } from "@hangrail/db/record-chain";
import { sha256 } from "@hangrail/db/sha256";
import fc from "fast-check";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { freshDatabase, type TestDatabase } from "../support/database.ts";
import { aHire, backDry, done, makeKitRoom, type KitRoom, type RoomSet } from "../support/kit-room.ts";

let database: TestDatabase;
let room: KitRoom;
let sets: readonly RoomSet[];
beforeAll(async () => {
  database = await freshDatabase();
  const made = await makeKitRoom(database, { sets: 4 });
  [room, sets] = [made, made.sets];
});
afterAll(() => room.db.close());

async function inSql(json: string): Promise<string> {
  return (await database.appPool.query<{ text: string }>("SELECT canonical_json($1::jsonb) AS text", [json])).rows[0]!.text;
}

describe("canonical JSON in the database", () => {
  test.each(TEXTS)("%s has one form", async (from, to) => {
    expect(await inSql(from)).toBe(to);
  });

  test.each(NUMBERS)("the double %s is written %s", async (_, text) => {
    expect(await inSql(text)).toBe(text);
  });

  test("is what the rules write, whatever the content", async () => {
    const name = fc.oneof(fc.string({ unit: "binary" }), fc.string({ unit: "binary-ascii" }), fc.constantFrom("a", "B", "é", "\ue000", "\ufb33", "😀", "\u{10ffff}", "10", "1"));
    const number = fc.oneof(fc.integer(), fc.maxSafeInteger(), fc.double({ noNaN: true, noDefaultInfinity: true }), fc.double({ min: 1e-8, max: 1e-5, noNaN: true }), fc.double({ min: 1e19, max: 1e22, noNaN: true }), fc.constantFrom(0.1, 1e21, 1e-7, 123456789.5, 5e-324, 1.7976931348623157e308));
    // The database holds no NUL character.
    const content = fc.object({ key: name, values: [name, number, fc.boolean(), fc.constant(null)], maxDepth: 3 }).filter((value) => !JSON.stringify(value).includes("\\u0000"));
    await fc.assert(
      fc.asyncProperty(fc.array(content, { minLength: 1, maxLength: 20 }), async (contents) => {
        const { rows } = await database.appPool.query<{ text: string }>("SELECT canonical_json(c::jsonb) AS text FROM unnest($1::text[]) WITH ORDINALITY AS x (c, n) ORDER BY n", [contents.map((one) => JSON.stringify(one))]);
        expect(rows.map(({ text }) => text)).toEqual(contents.map(canonicalJson));
      }),
      { numRuns: 60 },
    );
  });

  test.each(["9007199254740993", "333333333.33333329", "0.1000000000000000000001", "123456789012345678901234567890", "-12345678901234567.5"])("%s, which no double holds, is refused", async (number) => {
    await expect(inSql(number)).rejects.toMatchObject({ code: "HR400" });
    await expect(inSql(`{"a": [${number}]}`)).rejects.toMatchObject({ code: "HR400" });
  });
});

describe("the chain", () => {
  async function everything(): Promise<LinkedEntry[]> {
    const all: LinkedEntry[] = [];
    for await (const batch of readChains(room.db)) all.push(...batch);
    return all;
  }

  test("holds from end to end after a day's work, and each hash is over what the rules hash", async () => {
    const [one, two] = sets as [RoomSet, RoomSet];
    done(await handOut(room.db, room.by("desk"), aHire(await room.today()), await room.seen([one, two])));
    done(await takeBack(room.db, room.by("desk"), [backDry(one.id), backDry(two.id, { problem: true, fault: { code: "SS-02", severity: "out", component: two.parts.primary }, missing: [two.parts.gauge] })]));
    const entries = await everything();
    const { rows } = await database.ownerPool.query<{ entries: number; texts: string[] }>("SELECT count(*)::int AS entries, array_agg(entry_text(e) ORDER BY entry_text(e) COLLATE \"C\") AS texts FROM record_entry e");
    expect(entries).toHaveLength(rows[0]!.entries);
    expect(entries.map(entryText).sort()).toEqual(rows[0]!.texts);
    const walker = new ChainWalker(sha256);
    for (const entry of entries) walker.take(entry);
    expect(walker.breaks).toEqual([]);
    expect(walker.entries).toBeGreaterThan(50);
    expect(entries.filter(({ prevHash }) => prevHash === NO_HASH)).toHaveLength(sets.length + 1);
  });

  test("an entry written in a transaction with others of its set follows them", async () => {
    const chain = await readChain(room.db, sets[1]!.id);
    expect(chain.map(({ seq }) => seq)).toEqual(chain.map((_, at) => at + 1));
    expect(chain.slice(-3).map(({ act }) => act)).toEqual(["taken-back", "fault-reported", "removed"]);
    for (const [at, entry] of chain.entries()) expect(entry.prevHash).toBe(at === 0 ? NO_HASH : chain[at - 1]!.hash);
  });

  test("entries of a site made at once stand in one order, without a gap", async () => {
    const bath = (n: number) => mixBath(room.db, room.by("wash-room"), { product: room.product, label: `Tub ${n}`, lot: null, productMl: 100, waterMl: 9_900 });
    await Promise.all(Array.from({ length: 30 }, (_, n) => bath(n).then(done)));
    const chain = await readChain(room.db, room.site);
    const walker = new ChainWalker(sha256);
    for (const entry of chain) walker.take(entry);
    expect(walker.breaks).toEqual([]);
    expect(chain.filter(({ act }) => act === "bath-mixed").length).toBeGreaterThanOrEqual(30);
  });

  test("a hand-out waits for nobody who holds the site's own chain", async () => {
    const holder = await database.ownerPool.connect();
    try {
      await holder.query("BEGIN");
      await holder.query("INSERT INTO record_entry (site_id, act, at, content) VALUES ($1, 'bath-mixed', now(), '{}')", [room.site]);
      const spare = sets[2]!;
      done(await handOut(room.db, room.by("desk"), aHire(await room.today()), await room.seen([spare])));
      done(await takeBack(room.db, room.by("desk"), [backDry(spare.id)]));
      done(await reportFault(room.db, room.by("desk"), spare.id, { code: "SS-07", severity: "watch", component: null, where: "desk", words: "" }));
      // The test bites: another entry of the site does wait.
      await expect(mixBath(room.db, room.by("wash-room"), { product: room.product, label: "Late", lot: null, productMl: 100, waterMl: 9_900 })).rejects.toMatchObject({ name: "DatabaseBusy" });
    } finally {
      await holder.query("ROLLBACK");
      holder.release();
    }
  });

  test("whoever adds a row by hand gets the hash of the row, not one of their own", async () => {
    const owner = await database.ownerPool.connect();
    try {
      await owner.query("BEGIN");
      await owner.query("INSERT INTO record_entry (site_id, act, at, content, prev_hash, hash, site_seq) VALUES ($1, 'bath-mixed', now(), '{}', sha256('mine'), sha256('mine'), 7)", [room.site]);
      const { rows } = await owner.query<{ true_hash: boolean }>("SELECT hash = entry_hash(e) AS true_hash FROM record_entry e WHERE site_id = $1 AND set_id IS NULL ORDER BY site_seq DESC LIMIT 1", [room.site]);
      expect(rows).toEqual([{ true_hash: true }]);
    } finally {
      await owner.query("ROLLBACK");
      owner.release();
    }
  });

  test("the heads are the newest of every chain", async () => {
    const { heads } = await readHeads(room.db);
    const newest = new Map<string, LinkedEntry>();
    for (const entry of await everything()) newest.set(entry.chain, entry);
    expect(heads.map(({ chain, seq, hash }) => [chain, seq, hash]).sort()).toEqual([...newest.values()].map(({ chain, seq, hash }) => [chain, seq, hash]).sort());
  });

  test("a hirer's name is in no entry, nor whom a booking is for, only a commitment that the name and its salt open", async () => {
    const [, , , last] = sets as [RoomSet, RoomSet, RoomSet, RoomSet];
    const who: Who = room.by("desk");
    done(await handOut(room.db, who, aHire(await room.today(), { hirer: "Aurelia Quill", contact: "cabin 44, aurelia@example.org" }), await room.seen([last])));
    done(await makeBookings(room.db, room.by("desk"), [{ fromOn: day("2026-07-01"), untilOn: day("2026-07-02"), connection: null, cold: false, o2Tenths: 210, teaching: false, sets: 2, words: "For the Quill family", source: "typed" }]));
    const { rows } = await database.ownerPool.query("SELECT FROM record_entry e WHERE e::text ~* 'aurelia|quill|cabin 44|example'");
    expect(rows).toEqual([]);
    const opened = await database.ownerPool.query<{ opened: boolean }>(
      `SELECT e.content->>'hirerCommitment' = hirer_commitment(n.salt, n.name, n.contact) AS opened FROM hire h JOIN hirer n ON n.id = h.hirer_id JOIN record_entry e ON e.request_id = h.request_id WHERE h.request_id = $1`,
      [who.request],
    );
    expect(opened.rows).toEqual([{ opened: true }]);
    // Nor can the name be guessed and tried by the hash that is kept of the request.
    const body = await database.ownerPool.query<{ same: boolean }>(
      `SELECT c.body_hash = sha256(convert_to(($2::jsonb || jsonb_build_object('hire', $3::jsonb, 'sets', jsonb_build_array($4::text)))::text, 'UTF8')) AS same FROM command c WHERE c.request_id = $1`,
      [who.request, JSON.stringify({ staff: who.staff, site: who.site, device: who.device }), JSON.stringify(aHire(await room.today(), { hirer: "Aurelia Quill", contact: "cabin 44, aurelia@example.org" })), last.id],
    );
    expect(body.rows).toEqual([{ same: false }]);
  });
});
