/** Whoever changes the record or a fact behind the acts' back, as only a superuser can, is found out and told where. */
import { generateKeyPairSync } from "node:crypto";
import { acceptLimits, handOut, refit, takeBack, transferSet } from "@hangrail/db/acts";
import { addPhoto, clearFault, clearNotice, confirmFault, noteCustody, openNotice, openWorkOrder, recordWork, reportFault, takeWorkOrder, closeWorkOrder } from "@hangrail/db/bench-acts";
import { asFile, checkpointKey, fingerprintOf, makeCheckpoint, makeDailyCheckpoint, readCheckpointFile, type CheckpointKey } from "@hangrail/api/checkpoints";
import { verifyRecord, type RecordReport } from "@hangrail/api/verify-record";
import { readCheckpoints, readNewestCheckpoints } from "@hangrail/db/checkpoints";
import { openDatabase, type Database } from "@hangrail/db/database";
import { setPolicy } from "@hangrail/db/people-acts";
import { day } from "@hangrail/rules/calendar";
import type { SignedCheckpoint } from "@hangrail/rules/checkpoint";
import pg from "pg";
import { afterAll, beforeAll, describe, expect, inject, test } from "vitest";
import { databaseFrom, freshDatabase, type TestDatabase } from "../support/database.ts";
import { areWaiting, until } from "../races/rig.ts";
import { aHire, AMPLE, backDry, done, makeKitRoom, type RoomSet } from "../support/kit-room.ts";

const newKey = (): CheckpointKey => checkpointKey(generateKeyPairSync("ed25519").privateKey.export({ type: "pkcs8", format: "pem" }).toString());
const KEY = newKey();

let template: string;
let site: string;
let first: RoomSet, worked: RoomSet, noticed: RoomSet, sealed: RoomSet;
let outside: SignedCheckpoint;

/** A centre that has seen something of everything, with two checkpoints, and a day's work after the second. */
beforeAll(async () => {
  const database = await freshDatabase();
  template = database.name;
  const room = await makeKitRoom(database, { sets: 6 });
  site = room.site;
  [first, worked, noticed, sealed] = room.sets as [RoomSet, RoomSet, RoomSet, RoomSet];
  const travelled = room.sets[4]!;
  const elsewhere = await room.openSite("Lagoon Dive Centre");
  const [desk, technician, manager] = (["desk", "technician", "manager"] as const).map((role) => () => room.by(role)) as [() => ReturnType<typeof room.by>, () => ReturnType<typeof room.by>, () => ReturnType<typeof room.by>];
  const hire = async (set: RoomSet) => done(await handOut(room.db, desk(), aHire(await room.today()), await room.seen([set])));
  await hire(first);
  done(await takeBack(room.db, desk(), [backDry(first.id, { dives: 3, minutes: 150, waterKind: "sea", problem: true, words: "Wet", fault: { code: "SS-02", severity: "out", component: first.parts.primary } })]));
  const { rows } = await database.ownerPool.query<{ id: string }>("SELECT id FROM fault");
  const fault = rows[0]!.id;
  done(await confirmFault(room.db, technician(), fault, { code: "SS-03", component: first.parts.primary, words: "Seat" }));
  done(await addPhoto(room.db, technician(), fault, "image/png", Buffer.from("a photograph")));
  done(await clearFault(room.db, technician(), fault, "mended", "Seat renewed", true));
  await room.test([first]);
  await room.release([first]);
  await room.wash([first]);
  const { order } = done(await openWorkOrder(room.db, technician(), worked.id, { kind: "service", fault: null, notice: null, weekOn: null, words: "" }));
  done(await takeWorkOrder(room.db, technician(), order));
  await service(order);
  done(await makeCheckpoint(room.db, KEY, manager()));
  const { notice } = done(await openNotice(room.db, technician(), { title: "Seats", reference: "N-1", hazard: "h", remedy: "r", publishedOn: day("2026-01-01"), ranges: [room.firstStageRange(noticed)] }));
  done(await clearNotice(room.db, technician(), notice, noticed.parts["first-stage"], "New seat"));
  done(await refit(room.db, technician(), { id: noticed.id, seq: null }, noticed.parts.gauge, null, "gauge", "Fogged"));
  const [now] = await room.seen([noticed]);
  done(await refit(room.db, technician(), now!, null, noticed.parts.gauge, "gauge", "Dried"));
  done(await acceptLimits(room.db, technician(), room.models.gauge, { ...AMPLE, serviceMonths: 36 }));
  done(await setPolicy(room.db, manager(), { shelfMonths: 9 }));
  done(await transferSet(room.db, manager(), travelled.id, elsewhere));
  done(await reportFault(room.db, desk(), sealed.id, { code: "GN-03", severity: "out", component: null, where: "boat", words: "" }));
  done(await noteCustody(room.db, technician(), sealed.id, { from: "Boat", to: "Shop", place: "Safe", words: "" }));
  done(await makeCheckpoint(room.db, KEY, null));
  outside = readCheckpointFile(asFile((await readNewestCheckpoints(room.db, 1))[0]!));
  await hire(first);
  await room.db.close();
  // A template is copied only while nobody is in it.
  await Promise.all([database.appPool.end(), database.ownerPool.end()]);

  async function service(order: string): Promise<void> {
    done(await recordWork(room.db, technician(), worked.id, { kind: "service", components: Object.values(worked.parts), oxygenClean: false, words: "Kit", order, kits: room.kitsFor(Object.values(worked.parts)) }));
    done(await closeWorkOrder(room.db, technician(), order, { outcome: "done", minutes: 80, words: "" }));
  }
}, 120_000);

interface Tampered {
  readonly database: TestDatabase;
  readonly db: Database;
  verify(more?: Partial<Parameters<typeof verifyRecord>[1]>): Promise<RecordReport>;
}

const opened: Database[] = [];
afterAll(() => Promise.all(opened.map((db) => db.close())));

/** A copy of the centre in which a superuser has had a hand: no trigger, no reference and no right in the way. */
async function tampered(...statements: (string | readonly [string, ...unknown[]])[]): Promise<Tampered> {
  const server = inject("databaseServer");
  const database = await databaseFrom({ ...server, template });
  const admin = new pg.Client({ connectionString: Object.assign(new URL(server.adminUrl), { pathname: `/${database.name}` }).href });
  await admin.connect();
  try {
    await admin.query("SET session_replication_role = 'replica'");
    for (const one of statements) {
      const [text, ...values] = typeof one === "string" ? [one] : one;
      const { rowCount, command } = await admin.query(text, values);
      if (["UPDATE", "DELETE", "INSERT"].includes(command)) expect([text, rowCount]).not.toEqual([text, 0]);
    }
  } finally {
    await admin.end();
  }
  const db = openDatabase({ appUrl: database.url, actConnections: 2, readConnections: 2 });
  opened.push(db);
  return { database, db, verify: (more = {}) => verifyRecord(db, { site: null, key: KEY, ...more }) };
}

/** Hashes a chain anew from an entry on, as somebody would who knows how. */
const REHASH = `DO $$ DECLARE e record_entry; h bytea; BEGIN
  FOR e IN SELECT * FROM record_entry WHERE set_id = (SELECT id FROM regulator_set WHERE tag = 'R-001') ORDER BY seq LOOP
    e.prev_hash := coalesce(h, decode(repeat('00', 32), 'hex')); h := entry_hash(e);
    UPDATE record_entry SET prev_hash = e.prev_hash, hash = h WHERE id = e.id;
  END LOOP; END $$`;

test("a centre that nobody tampered with is sound, and everything in it was looked at", async () => {
  const { database, verify } = await tampered();
  const report = await verify({ outside });
  expect(report).toMatchObject({ breaks: [], facts: [], checkpoints: { count: 2, problems: [], newest: { number: 2, fingerprint: fingerprintOf(outside) } }, sound: true });
  const { rows } = await database.ownerPool.query<{ entries: number; chains: number }>("SELECT count(*)::int AS entries, count(DISTINCT coalesce(set_id, site_id))::int AS chains FROM record_entry");
  expect(report).toMatchObject(rows[0]!);
  // Every kind of fact there is stands in this centre, so that each comparison below bites on something.
  const tables = ["hire_line", "fault", "component_work", "release", "fitting", "bench_reading", "cleaning_run_set", "component_use", "bath", "model_limits", "bench_limit", "authorisation", "notice_match", "fault_photo", "work_order", "custody_note"];
  for (const table of tables) expect([table, (await database.ownerPool.query(`SELECT FROM ${table}`)).rowCount]).not.toEqual([table, 0]);
});

test("one site's record holds its own chains alone", async () => {
  const { verify } = await tampered();
  const [all, own] = [await verify(), await verify({ site })];
  expect(own.sound).toBe(true);
  expect(own.chains).toBe(all.chains - 2);
});

describe("a record tampered with breaks", () => {
  const entry = (act: string) => `(SELECT min(seq) FROM record_entry WHERE set_id = (SELECT id FROM regulator_set WHERE tag = 'R-001') AND act = '${act}')`;
  const ofFirst = "set_id = (SELECT id FROM regulator_set WHERE tag = 'R-001')";
  test.each([
    ["a content", `UPDATE record_entry SET content = content || '{"dives": 1}' WHERE ${ofFirst} AND act = 'taken-back'`, "taken-back", "content"],
    ["an instant", `UPDATE record_entry SET at = at + interval '1 microsecond' WHERE ${ofFirst} AND seq = ${entry("released")}`, "released", "content"],
    ["a person", `UPDATE record_entry SET by = (SELECT id FROM staff WHERE login = 'dina') WHERE ${ofFirst} AND seq = ${entry("serviced")}`, "serviced", "content"],
    ["an act", `UPDATE record_entry SET act = 'inspected' WHERE ${ofFirst} AND act = 'opened'`, "opened", "content"],
    ["a site", `UPDATE record_entry SET site_id = (SELECT id FROM site WHERE name LIKE 'Lagoon%') WHERE ${ofFirst} AND act = 'opened'`, "opened", "content"],
    ["a request", `UPDATE record_entry SET request_id = gen_random_uuid() WHERE ${ofFirst} AND act = 'opened'`, "opened", "content"],
    ["a digit no double holds", `UPDATE record_entry SET content = jsonb_set(content, '{dives}', '3.0000000000000000001') WHERE ${ofFirst} AND act = 'taken-back'`, "taken-back", "content"],
    ["a hash", `UPDATE record_entry SET hash = sha256('x') WHERE ${ofFirst} AND act = 'opened'`, "opened", "content"],
    ["an unknown way of hashing", `UPDATE record_entry SET hash_version = 2 WHERE ${ofFirst} AND act = 'opened'`, "opened", "version"],
  ])("%s", async (_, sql, act, why) => {
    const clean = await tampered();
    const { rows } = await clean.database.ownerPool.query<{ seq: number }>(`SELECT ${entry(act)} AS seq`);
    const report = await (await tampered(sql)).verify();
    expect(report.breaks).toEqual([{ chain: first.id, seq: rows[0]!.seq, why, of: first.tag }]);
    expect(report.sound).toBe(false);
  });

  test("where an entry was taken out", async () => {
    const report = await (await tampered(`DELETE FROM record_entry WHERE ${ofFirst} AND seq = 5`)).verify();
    expect(report.breaks).toEqual([{ chain: first.id, seq: 5, why: "gap", of: first.tag }]);
  });

  test("where an entry was taken out and those after it moved up", async () => {
    const report = await (await tampered(`DELETE FROM record_entry WHERE ${ofFirst} AND seq = 5`, `UPDATE record_entry SET seq = -seq WHERE ${ofFirst} AND seq > 5`, `UPDATE record_entry SET seq = -seq - 1 WHERE ${ofFirst} AND seq < 0`)).verify();
    expect(report.breaks).toMatchObject([{ chain: first.id, seq: 5, why: "content" }]);
  });

  test("where two entries changed places", async () => {
    const swap = `UPDATE record_entry SET seq = -seq WHERE ${ofFirst} AND seq IN (3, 4)`;
    const report = await (await tampered(swap, `UPDATE record_entry SET seq = 7 + seq WHERE ${ofFirst} AND seq < 0`)).verify();
    expect(report.breaks).toMatchObject([{ chain: first.id, seq: 3, why: "content" }]);
  });

  test("where two sets' records were exchanged", async () => {
    const to = (tag: string) => `(SELECT id FROM regulator_set WHERE tag = '${tag}')`;
    const report = await (await tampered(`UPDATE record_entry SET set_id = CASE set_id WHEN ${to("R-001")} THEN ${to("R-006")} ELSE ${to("R-001")} END, seq = -seq WHERE set_id IN (${to("R-001")}, ${to("R-006")})`, "UPDATE record_entry SET seq = -seq WHERE seq < 0")).verify();
    expect(report.breaks.map(({ of, seq }) => [of, seq]).sort()).toEqual([["R-001", 1], ["R-006", 1]]);
  });

  test("where an entry was hashed again but not those after it", async () => {
    const report = await (await tampered(`UPDATE record_entry SET content = '{}' WHERE ${ofFirst} AND seq = 5`, `UPDATE record_entry e SET hash = entry_hash(e) WHERE ${ofFirst} AND seq = 5`)).verify();
    expect(report.breaks).toEqual([{ chain: first.id, seq: 6, why: "link", of: first.tag }]);
  });

  test("in a site's own chain too", async () => {
    const report = await (await tampered("UPDATE record_entry SET content = content || '{\"ppm\": 600}' WHERE set_id IS NULL AND act = 'bath-mixed'")).verify();
    expect(report.breaks).toMatchObject([{ chain: site, why: "content", of: "Harbour Dive Centre" }]);
  });
});

describe("a checkpoint shows", () => {
  const ofFirst = "set_id = (SELECT id FROM regulator_set WHERE tag = 'R-001')";
  /** Everything after an entry is gone, and the set's own numbers say nothing of it. */
  const CUT = [
    "DELETE FROM hire_line WHERE back_at IS NULL",
    `DELETE FROM record_entry WHERE ${ofFirst} AND seq > (SELECT h.seq - 2 FROM checkpoint_head h JOIN regulator_set s ON s.id = h.chain WHERE s.tag = 'R-001' ORDER BY h.number DESC LIMIT 1)`,
  ] as const;

  test("a tail that was cut off, and at which entry", async () => {
    const report = await (await tampered(...CUT)).verify();
    const lost = report.checkpoints.problems.filter(({ why }) => why === "lost-head");
    expect(lost).toMatchObject([{ number: 2, chain: first.id, of: first.tag }]);
    expect(lost[0]!.seq).toBeGreaterThan(20);
    // The chain that is left holds by itself: that is why there are checkpoints.
    expect(report.breaks).toEqual([]);
  });

  test("a chain hashed anew after it, though each link holds", async () => {
    const report = await (await tampered(`UPDATE record_entry SET content = content || '{"dives": 1}' WHERE ${ofFirst} AND act = 'taken-back'`, REHASH)).verify();
    expect(report.breaks).toEqual([]);
    expect(report.checkpoints.problems.map(({ number, why, of }) => [number, why, of])).toEqual([[1, "lost-head", "R-001"], [2, "lost-head", "R-001"]]);
  });

  test("a whole set taken away", async () => {
    const report = await (await tampered(`DELETE FROM record_entry WHERE ${ofFirst}`, "UPDATE regulator_set SET (seq, soiled_seq, cleaned_seq, unreleased_seq, released_seq, retest_seq, tested_seq) = (0, 0, 0, 0, 0, 0, 0) WHERE tag = 'R-001'")).verify();
    expect(report.checkpoints.problems).toMatchObject([{ number: 1, why: "lost-head" }, { number: 2, why: "lost-head" }]);
  });

  test("heads that were put right to suit a changed record: the root is signed", async () => {
    const heads = "UPDATE checkpoint_head h SET hash = e.hash FROM record_entry e WHERE e.set_id = h.chain AND e.seq = h.seq";
    const report = await (await tampered(`UPDATE record_entry SET content = content || '{"dives": 1}' WHERE ${ofFirst} AND act = 'taken-back'`, REHASH, heads)).verify();
    expect(report.checkpoints.problems).toMatchObject([{ number: 1, why: "root" }, { number: 2, why: "root" }]);
  });

  test("a root put right as well: the signature is not", async () => {
    const report = await (await tampered("UPDATE checkpoint SET root = sha256('x') WHERE number = 2")).verify();
    expect(report.checkpoints.problems).toEqual([{ number: 2, why: "signature", of: null }, { number: 2, why: "root", of: null }]);
  });

  test("that somebody signed with a key of their own", async () => {
    const { db, verify } = await tampered("DELETE FROM checkpoint_head", "DELETE FROM checkpoint");
    done(await makeCheckpoint(db, newKey(), null));
    expect((await verify()).checkpoints.problems).toEqual([{ number: 1, why: "other-key", of: null }]);
    // One kept elsewhere tells it without the key.
    expect((await verify({ key: null, outside })).checkpoints.problems).toEqual([{ number: 2, why: "not-here", of: null }]);
  });

  test("that one in between was taken out, or the newest", async () => {
    const without = (number: number) => [`DELETE FROM checkpoint_head WHERE number = ${number}`, `DELETE FROM checkpoint WHERE number = ${number}`];
    expect((await (await tampered(...without(1))).verify()).checkpoints.problems).toMatchObject([{ number: 2, why: "number" }, { number: 2, why: "root" }]);
    const newest = await tampered(...without(2));
    expect((await newest.verify()).checkpoints.problems).toEqual([]);
    expect((await newest.verify({ outside })).checkpoints.problems).toEqual([{ number: 2, why: "not-here", of: null }]);
  });

  test("that the one kept elsewhere was itself changed", async () => {
    const { verify } = await tampered();
    const entries = { ...outside, entries: outside.entries + 1 };
    expect((await verify({ outside: entries })).checkpoints.problems).toEqual([{ number: 2, why: "signature", of: null }, { number: 2, why: "differs", of: null }]);
  });

  test("the next day's when something was recorded, and none when nothing was", async () => {
    const { database, db } = await tampered();
    const count = async () => (await readCheckpoints(db)).length;
    await makeDailyCheckpoint(db, KEY);
    expect(await count()).toBe(2);
    await database.ownerPool.query("UPDATE test_clock SET shift = interval '25 hours'");
    await makeDailyCheckpoint(db, KEY);
    expect(await count()).toBe(3);
    await database.ownerPool.query("UPDATE test_clock SET shift = interval '50 hours'");
    await makeDailyCheckpoint(db, KEY);
    expect(await count()).toBe(3);
  });

  test("one of two made in the same moment, and it moves only the heads that moved", async () => {
    const { database, db, verify } = await tampered();
    // Both have read what there is before either may write.
    const holder = await database.ownerPool.connect();
    await holder.query("BEGIN; SELECT pg_advisory_xact_lock(hashtextextended('checkpoint', 5))");
    const both = [makeCheckpoint(db, KEY, null), makeCheckpoint(db, KEY, null)];
    await until("both wait", () => areWaiting(database.ownerPool, 2));
    await holder.query("COMMIT");
    holder.release();
    const answers = await Promise.all(both);
    expect(answers.map((one) => one.answer === "refused" ? one.code : one.answer).sort()).toEqual(["checkpoint-made", "done"]);
    const { rows } = await database.ownerPool.query("SELECT chain FROM checkpoint_head WHERE number = 3");
    expect(rows).toEqual([{ chain: first.id }]);
    expect((await verify()).sound).toBe(true);
  });

  test("nothing in place of a head that is no entry", async () => {
    const { database } = await tampered();
    const checkpoint = { number: 3, at: outside.at, chains: 1, entries: 1, root: outside.root, previous: outside.root, publicKey: outside.publicKey, signature: outside.signature };
    await expect(database.appPool.query("SELECT keep_checkpoint(NULL, $1, $2)", [checkpoint, JSON.stringify([{ chain: first.id, seq: 1, hash: "00".repeat(32) }])])).rejects.toMatchObject({ code: "HR400" });
  });
});

describe("a fact changed behind the acts' back is told", () => {
  test.each<[fact: string, differs: string, sql: string]>([
    ["set", "cleaned", "UPDATE regulator_set SET cleaned_seq = seq WHERE tag = 'R-002'"],
    ["set", "released", "UPDATE regulator_set SET released_seq = seq WHERE tag = 'R-002'"],
    ["set", "evidence", "UPDATE regulator_set SET evidence_seq = NULL WHERE tag = 'R-004'"],
    ["set", "tested", "UPDATE regulator_set SET tested_seq = seq WHERE tag = 'R-002'"],
    ["set", "entries", "UPDATE regulator_set SET seq = seq + 1 WHERE tag = 'R-002'"],
    ["set", "site", "UPDATE regulator_set SET site_id = (SELECT id FROM site WHERE name LIKE 'Lagoon%') WHERE tag = 'R-002'"],
    ["hire", "backOn", "UPDATE hire_line SET back_on = back_on + 1 WHERE back_at IS NULL"],
    ["hire", "o2Tenths", "UPDATE hire SET o2_tenths = 320"],
    ["hire", "missing", "DELETE FROM hire_line WHERE back_at IS NULL"],
    ["return", "dives", "UPDATE hire_line SET dives = 1 WHERE back_at IS NOT NULL"],
    ["return", "missing", "DELETE FROM hire_line WHERE back_at IS NULL; UPDATE hire_line SET back_at = NULL, back_seq = NULL, back_by = NULL, dives = NULL, minutes = NULL, estimated = NULL, water_kind = NULL, problem = NULL WHERE back_at IS NOT NULL"],
    ["hirer", "hirer", "UPDATE hirer SET name = 'Somebody else'"],
    ["fault", "severity", "UPDATE fault SET severity = 'watch' WHERE code = 'SS-02'"],
    ["fault", "missing", "DELETE FROM fault WHERE code = 'GN-03'"],
    ["fault-cleared", "act", "UPDATE fault SET clear_seq = report_seq + 1, cleared_at = reported_at, cleared_by = reported_by, outcome = 'not-found', clear_words = '' WHERE code = 'GN-03'"],
    ["fault-confirmed", "code", "UPDATE fault SET found_code = 'SS-09' WHERE confirmed_at IS NOT NULL"],
    ["work", "doneOn", "UPDATE component_work SET done_on = done_on + 300"],
    ["work", "dives", "UPDATE component_work SET dives_at = 9"],
    ["work", "missing", "DELETE FROM component_work WHERE id = (SELECT max(id) FROM component_work)"],
    ["work", "component", "UPDATE component_work SET component_id = (SELECT component_id FROM fitting WHERE set_id = (SELECT id FROM regulator_set WHERE tag = 'R-006') LIMIT 1) WHERE id = (SELECT max(id) FROM component_work)"],
    ["release", "by", "UPDATE release SET released_by = (SELECT id FROM staff WHERE login = 'mira')"],
    ["release", "missing", "DELETE FROM release WHERE id = (SELECT max(id) FROM release)"],
    ["fitting", "component", "UPDATE fitting SET position = 'hose' WHERE position = 'gauge' AND set_id = (SELECT id FROM regulator_set WHERE tag = 'R-006')"],
    ["removal", "missing", "DELETE FROM fitting WHERE until_at IS NULL AND component_id IN (SELECT component_id FROM fitting WHERE until_at IS NOT NULL); UPDATE fitting SET until_at = NULL, until_seq = NULL WHERE until_at IS NOT NULL"],
    ["bench-test", "verdict", "UPDATE bench_test SET verdict = 'not-judged' WHERE seq = (SELECT max(seq) FROM bench_test)"],
    ["bench-test", "readings", "UPDATE bench_reading SET value = value - 1 WHERE id = (SELECT max(id) FROM bench_reading)"],
    ["wash", "act", "UPDATE cleaning_run_set SET clean_seq = clean_seq + 1 WHERE clean_seq IS NOT NULL"],
    ["wash", "missing", "UPDATE cleaning_run_set SET clean_seq = NULL WHERE set_id = (SELECT id FROM regulator_set WHERE tag = 'R-002')"],
    ["dives", "dives", "UPDATE component_use SET dives = 0"],
    ["component", "dives", "UPDATE component SET dives_total = 0 WHERE dives_total > 0"],
    ["component", "servicedOn", "UPDATE component SET serviced_on = serviced_on + 100"],
    ["bath", "ppm", "UPDATE bath SET ppm = 1"],
    ["limits", "serviceMonths", "UPDATE model_limits SET service_months = 60 WHERE nth = 2"],
    ["bench-limits", "high", "UPDATE bench_limit SET high = 2000 WHERE name = 'intermediate-pressure'"],
    ["authorisation", "act", "UPDATE authorisation SET until_on = '2199-01-01'"],
    ["policy", "setting", "UPDATE site SET shelf_months = 99"],
    ["notice", "at", "UPDATE notice_match SET cleared_at = cleared_at + interval '1 hour'"],
    ["photo", "act", "UPDATE fault_photo SET bytes = 'another'"],
    ["work-order", "outcome", "UPDATE work_order SET outcome = 'dropped' WHERE done_at IS NOT NULL"],
    ["custody", "to", "UPDATE custody_note SET to_hand = 'Nobody'"],
    ["act-kind", "soils", "UPDATE act_kind SET soils = false WHERE act = 'taken-back'"],
  ])("%s: %s", async (fact, differs, sql) => {
    const report = await (await tampered(sql)).verify();
    expect(report.breaks).toEqual([]);
    expect(report.facts.filter((one) => one.fact === fact).flatMap((one) => one.differs)).toContain(differs);
    expect(report.sound).toBe(false);
  });

  test("with the set and the entry it should follow from", async () => {
    const report = await (await tampered("UPDATE hire_line SET dives = 1 WHERE back_at IS NOT NULL")).verify();
    const told = report.facts.find(({ fact }) => fact === "return")!;
    expect(told).toMatchObject({ chain: first.id, of: first.tag, differs: ["dives"] });
    expect(told.seq).toBeGreaterThan(5);
  });
});
