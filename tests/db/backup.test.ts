/** A backup shows one moment whatever goes on around it, and comes back whole or not at all. */
import { randomBytes, randomUUID } from "node:crypto";
import { copyFileSync, cpSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, statSync, truncateSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { verifyRecord } from "@hangrail/api/verify-record";
import { act, handOut, registerSet, takeBack } from "@hangrail/db/acts";
import { reportFault } from "@hangrail/db/bench-acts";
import { restoreBackup, checkBackup, type Restored } from "@hangrail/db/backup/restore-backup";
import { takeBackup, type BackupTaken } from "@hangrail/db/backup/take-backup";
import { openDatabase, type Database } from "@hangrail/db/database";
import { migrate } from "@hangrail/db/migrate";
import { confirmSeen, enrolDevice, firstRun, openSession } from "@hangrail/db/people-acts";
import { loadSetsById } from "@hangrail/db/set-facts";
import { addDays } from "@hangrail/rules/calendar";
import { standingHolds } from "@hangrail/rules/hand-out";
import type pg from "pg";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { bareDatabase, freshDatabase, type TestDatabase } from "../support/database.ts";
import { aHire, backDry, done, makeKitRoom, type KitRoom, type RoomSet } from "../support/kit-room.ts";

const migrations = fileURLToPath(new URL("../../prisma/migrations", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "hangrail-backup-"));

let room: KitRoom & { readonly sets: readonly RoomSet[] };
let taken: BackupTaken;
/** The centre brought back. */
let back: { readonly database: TestDatabase; readonly db: Database; readonly restored: Restored };

beforeAll(async () => {
  room = await makeKitRoom(await freshDatabase(), { sets: 12 });
  await liveADay();
  await takeClockAway(room.database);
  taken = await takeBackup(room.database.ownerUrl, folder);
  back = await bringBack(taken.path);
}, 120_000);
afterAll(() => Promise.all([back.db.close(), room.db.close()]));

/** Something in many tables: a hire out, one come back, a fault with a photo, a session, a device, a calendar address, words that COPY must escape. */
async function liveADay(): Promise<void> {
  const [gone, returned, broken] = room.sets as [RoomSet, RoomSet, RoomSet, ...RoomSet[]];
  const backOn = addDays(await room.today(), 3);
  done(await handOut(room.db, room.by("desk"), { ...aHire(backOn), hirer: "Zoë\tBack\\slash\nNewline \\. “quoted” 海" }, await room.seen([gone])));
  done(await handOut(room.db, room.by("desk"), aHire(backOn), await room.seen([returned])));
  done(await takeBack(room.db, room.by("desk"), [backDry(returned.id)]));
  const { fault } = done(await reportFault(room.db, room.by("desk"), broken.id, { code: "SS-07", severity: "hold", component: null, where: "desk", words: "\\N" }));
  done(await act(room.db, "add_photo", [room.by("desk"), fault, "image/png", randomBytes(200_000)]));
  done(await enrolDevice(room.db, room.by("manager"), "Desk tablet", Buffer.from("device")));
  done(await openSession(room.db, { tokenHash: Buffer.from("session"), staff: room.people.manager, site: room.site, device: null, openedWith: "password", hours: 12, replaces: null }));
  done(await act(room.db, "open_calendar", [room.by("technician"), Buffer.from("calendar"), "On the wall"]));
}

/** The database gets its own clock back: what a test put there is none of Hangrail's tables. */
async function takeClockAway({ ownerPool }: TestDatabase): Promise<void> {
  await ownerPool.query(`
    CREATE OR REPLACE FUNCTION kitroom_clock() RETURNS timestamptz LANGUAGE sql VOLATILE AS $$ SELECT pg_catalog.clock_timestamp() $$;
    DROP TABLE test_clock`);
}

async function bringBack(path: string): Promise<typeof back> {
  const database = await bareDatabase();
  const restored = await restoreBackup(await checkBackup(path), database.ownerUrl);
  return { database, restored, db: openDatabase({ appUrl: database.url, actConnections: 4, readConnections: 2 }) };
}

/** How much a database holds; null when it has no tables at all. */
async function leftBehind({ ownerPool }: TestDatabase): Promise<number> {
  const { rows } = await ownerPool.query<{ n: number }>("SELECT count(*)::int AS n FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind IN ('r', 'S', 'v')");
  return rows[0]!.n;
}

describe("the file", () => {
  test("is for its owner alone, under its own name, with nothing half done beside it", () => {
    expect(readdirSync(folder)).toEqual([taken.fileName]);
    expect(taken.fileName).toMatch(/^hangrail-[0-9a-f]{8}-\d{8}T\d{6}Z\.backup$/);
    expect(statSync(taken.path).mode & 0o777).toBe(0o600);
    expect(statSync(taken.path).size).toBe(taken.bytes);
  });
});

describe("a restored centre", () => {
  /** What a restore changes by intent, left out of the comparison. */
  const changed: Readonly<Record<string, readonly string[]>> = {
    regulator_set: ["seq", "last_at"], session: ["ended_at"], device: ["revoked_at"], calendar_feed: ["revoked_at"], clock_mark: ["beat_at"],
  };
  const added: Readonly<Record<string, string>> = { record_entry: "act = 'restored'", restore: "true", restored_set: "true" };

  const rowsOf = async (pool: pg.Pool, table: string, except = "false"): Promise<string[]> => {
    const { rows } = await pool.query<{ row: string }>(`SELECT (to_jsonb(t) - $1::text[])::text AS row FROM ${table} t WHERE NOT (${except}) ORDER BY 1`, [changed[table] ?? []]);
    return rows.map(({ row }) => row);
  };

  test("has every row of every table as it was", async () => {
    const { rows: tables } = await room.database.ownerPool.query<{ name: string }>("SELECT relname AS name FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind = 'r' AND relname <> '_prisma_migrations' ORDER BY 1");
    expect(tables.length).toBe(back.restored.tables);
    let rows = 0;
    for (const { name } of tables) {
      const were = await rowsOf(room.database.ownerPool, name);
      expect([name, await rowsOf(back.database.ownerPool, name, added[name])]).toEqual([name, were]);
      rows += were.length;
    }
    expect(rows).toBe(taken.rows);
    expect(rows).toBeGreaterThan(300);
  });

  test("numbers on where it stopped", async () => {
    const counters = async (pool: pg.Pool) => {
      const { rows } = await pool.query<{ name: string; last: string | null }>("SELECT sequencename AS name, last_value::text AS last FROM pg_sequences WHERE schemaname = 'public' ORDER BY 1");
      return Object.fromEntries(rows.map(({ name, last }) => [name, last]));
    };
    const [were, are] = [await counters(room.database.ownerPool), await counters(back.database.ownerPool)];
    const sets = room.sets.length;
    expect(Object.keys(were).length).toBeGreaterThan(15);
    expect(are).toEqual({ ...were, record_entry_id_seq: String(Number(were["record_entry_id_seq"]) + sets + 1), restore_id_seq: "1" });
  });

  test("has the same schema, with every trigger awake and every reference tried", async () => {
    const schema = async ({ ownerPool }: TestDatabase) =>
      (
        await ownerPool.query(`
          SELECT 'constraint' AS what, conrelid::regclass || ' ' || conname AS name, pg_get_constraintdef(oid) || convalidated AS definition FROM pg_constraint WHERE connamespace = 'public'::regnamespace
          UNION ALL SELECT 'trigger', tgrelid::regclass || ' ' || tgname, tgenabled::text FROM pg_trigger WHERE NOT tgisinternal
          UNION ALL SELECT 'migration', migration_name, checksum FROM _prisma_migrations
          UNION ALL SELECT 'right', relname, relacl::text FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind IN ('r', 'v', 'S')
          UNION ALL SELECT 'function', p.oid::regprocedure::text, p.prosecdef || ' ' || coalesce(p.proacl::text, '') || p.prosrc FROM pg_proc p WHERE p.pronamespace = 'public'::regnamespace
          ORDER BY 1, 2`)
      ).rows;
    expect(await schema(back.database)).toEqual(await schema(room.database));
  });

  test("lets nobody in by what the backup knew", async () => {
    const { rows } = await back.database.ownerPool.query("SELECT (SELECT count(*) FROM session WHERE ended_at IS NULL)::int + (SELECT count(*) FROM device WHERE revoked_at IS NULL)::int + (SELECT count(*) FROM calendar_feed WHERE revoked_at IS NULL)::int AS open, (SELECT count(*) FROM session)::int + (SELECT count(*) FROM device)::int + (SELECT count(*) FROM calendar_feed)::int AS all");
    expect(rows).toEqual([{ open: 0, all: 3 }]);
  });
});

describe("the sets of a restored centre", () => {
  const seen = async (sets: readonly RoomSet[]) => {
    const { rows } = await back.db.reads.query<{ id: string; seq: number }>("SELECT id, seq FROM regulator_set WHERE id = ANY ($1)", [sets.map(({ id }) => id)]);
    return rows;
  };
  const give = async (set: RoomSet) => handOut(back.db, room.by("desk"), aHire(await room.today()), await seen([set]));
  const stateOf = async (set: RoomSet) => (await back.db.reads.query<{ state: string }>("SELECT state FROM set_board WHERE id = $1", [set.id])).rows[0]!.state;
  const confirm = (sets: readonly RoomSet[] | null, counted: number | null, role: "manager" | "desk" = "manager") => confirmSeen(back.db, room.by(role), sets && sets.map(({ id }) => id), counted, "Seen on the rail");

  beforeAll(() => {
    room.today = async () => (await back.db.reads.query<{ today: never }>("SELECT (kitroom_clock() AT TIME ZONE $1)::date::text AS today", [room.zone])).rows[0]!.today;
  });

  test("are held, every one, and say why", async () => {
    expect(back.restored.held).toBe(room.sets.length);
    const ready = room.sets[5]!;
    expect(await give(ready)).toMatchObject({ answer: "hold", holds: [{ code: "restored", component: null }] });
    const [facts] = await loadSetsById(back.db, room.site, [ready.id]);
    expect(standingHolds(facts!.facts, facts!.components, facts!.policy, facts!.today).map(({ code }) => code)).toEqual(["restored"]);
    expect(await stateOf(ready)).toBe("held");
    expect(await stateOf(room.sets[0]!)).toBe("out");
  });

  test("come back from a hire, and are held on", async () => {
    const gone = room.sets[0]!;
    expect(await confirm([gone], null)).toMatchObject({ answer: "refused", code: "out", facts: { tags: [gone.tag] } });
    done(await takeBack(back.db, room.by("desk"), [backDry(gone.id)]));
    expect(await give(gone)).toMatchObject({ answer: "hold", holds: expect.arrayContaining([{ set: gone.id, code: "restored", component: null }]) as unknown });
  });

  test("go out again one by one as a manager confirms them, and once only", async () => {
    const one = room.sets[6]!;
    await expect(confirm([one], null, "desk")).rejects.toThrow(/does not hold manager/);
    expect(done(await confirm([one], null)).sets).toBe(1);
    expect(await confirm([one], null)).toMatchObject({ answer: "refused", code: "already-seen", facts: { tags: [one.tag] } });
    expect(await stateOf(one)).toBe("ready");
    done(await give(one));
  });

  test("go out again all at once when the count is right", async () => {
    const waiting = room.sets.length - 1;
    expect(await confirm(null, waiting + 1)).toMatchObject({ answer: "refused", code: "count-differs", facts: { counted: waiting + 1, recorded: waiting } });
    expect(await stateOf(room.sets[7]!)).toBe("held");
    const request = room.by("manager");
    const press = () => confirmSeen(back.db, request, null, waiting, "Counted on the rail");
    const answers = await Promise.all([press(), press()]);
    expect(answers.map((answer) => done(answer).sets)).toEqual([waiting, waiting]);
    expect(answers.filter((answer) => "repeat" in answer)).toHaveLength(1);
    done(await give(room.sets[7]!));
    // What else held them holds them still.
    expect(await stateOf(room.sets[2]!)).toBe("tagged-out");
    const { rows } = await back.db.reads.query("SELECT count(*)::int AS seen, count(DISTINCT set_id)::int AS sets FROM record_entry WHERE act = 'restored-seen'");
    expect(rows).toEqual([{ seen: room.sets.length, sets: room.sets.length }]);
  });

  test("have a record that holds, from before the backup to the last word after it", async () => {
    const { sound, breaks, facts, entries } = await verifyRecord(back.db, { site: null, key: null });
    expect({ breaks, facts, sound }).toEqual({ breaks: [], facts: [], sound: true });
    const { rows } = await back.db.reads.query("SELECT count(*)::int AS entries FROM record_entry");
    expect(rows).toEqual([{ entries }]);
  });

  test("keep what was said of them", async () => {
    const refusal = async (sql: string) => back.database.ownerPool.query(sql).then(() => "let in", (error: unknown) => (error as Error).message);
    expect(await refusal("UPDATE restored_set SET seen_by = gen_random_uuid()")).toMatch(/already filled in/);
    expect(await refusal("UPDATE restored_set SET restored_seq = 0")).toMatch(/stays as written/);
    for (const table of ["restore", "restored_set"]) expect(await refusal(`DELETE FROM ${table}`)).toMatch(/history is only ever added to/);
    expect(await refusal("UPDATE restore SET digest = repeat('0', 64)")).toMatch(/history is only ever added to/);
  });
});

describe("a backup taken while the centre works", () => {
  test("shows one moment: every hire line with its entries, every count with its uses", async () => {
    const crowd = await makeKitRoom(await freshDatabase(), { sets: 8, actConnections: 8 });
    await takeClockAway(crowd.database);
    crowd.today = async () => (await crowd.db.reads.query<{ today: never }>("SELECT (kitroom_clock() AT TIME ZONE $1)::date::text AS today", [crowd.zone])).rows[0]!.today;
    const backOn = addDays(await crowd.today(), 1);
    let over = false;
    let acts = 0;
    const busy = crowd.sets.map(async (set) => {
      for (let n = 0; !over; n += 1) {
        done(await reportFault(crowd.db, crowd.by("desk"), set.id, { code: "SS-07", severity: "watch", component: null, where: "desk", words: `${n}` }));
        if (n === 3) done(await handOut(crowd.db, crowd.by("desk"), aHire(backOn), await crowd.seen([set])));
        if (n === 9) done(await takeBack(crowd.db, crowd.by("desk"), [{ ...backDry(set.id), dives: 2, minutes: 90, waterKind: "sea" }]));
        acts += 1;
      }
    });
    const during: BackupTaken[] = [];
    try {
      while (during.length < 2) {
        const before = acts;
        during.push(await takeBackup(crowd.database.ownerUrl, join(folder, `busy-${during.length}`)));
        expect(acts).toBeGreaterThan(before);
      }
    } finally {
      over = true;
      await Promise.all(busy);
      await crowd.db.close();
    }
    for (const { path } of during) {
      const { database, db } = await bringBack(path);
      const { rows } = await database.ownerPool.query<{ odd: string }>(`
        SELECT 'entries of ' || s.tag AS odd FROM regulator_set s WHERE s.seq <> (SELECT count(*) FROM record_entry e WHERE e.set_id = s.id)
        UNION ALL SELECT 'hire line ' || l.id FROM hire_line l WHERE NOT EXISTS (SELECT FROM record_entry e WHERE e.set_id = l.set_id AND e.seq = l.out_seq AND e.act = 'handed-out')
              OR (l.back_seq IS NOT NULL AND NOT EXISTS (SELECT FROM record_entry e WHERE e.set_id = l.set_id AND e.seq = l.back_seq AND e.act = 'taken-back'))
        UNION ALL SELECT 'entry ' || e.id FROM record_entry e WHERE (e.act = 'handed-out' AND NOT EXISTS (SELECT FROM hire_line l WHERE l.set_id = e.set_id AND l.out_seq = e.seq))
              OR (e.act = 'taken-back' AND NOT EXISTS (SELECT FROM hire_line l WHERE l.set_id = e.set_id AND l.back_seq = e.seq))
              OR (e.act = 'fault-reported' AND NOT EXISTS (SELECT FROM fault f WHERE f.set_id = e.set_id AND f.report_seq = e.seq))
        UNION ALL SELECT 'fault ' || f.id FROM fault f WHERE NOT EXISTS (SELECT FROM record_entry e WHERE e.set_id = f.set_id AND e.seq = f.report_seq)
        UNION ALL SELECT 'count of ' || c.id FROM component c WHERE c.dives_total <> (SELECT coalesce(sum(u.dives), 0) FROM component_use u WHERE u.component_id = c.id)
        UNION ALL SELECT 'answer ' || r.request_id FROM record_entry r WHERE r.act IN ('handed-out', 'taken-back', 'fault-reported') AND NOT EXISTS (SELECT FROM command c WHERE c.request_id = r.request_id)`);
      expect(rows).toEqual([]);
      await Promise.all([db.close(), database.drop()]);
    }
  }, 60_000);
});

describe("a file that is not whole", () => {
  const damaged = (name: string): string => {
    const path = join(folder, `${name}.backup`);
    copyFileSync(taken.path, path);
    return path;
  };

  test("is refused with any one byte changed", async () => {
    const path = damaged("flipped");
    const whole = readFileSync(taken.path);
    const places = [...Array.from({ length: 40 }, (_, n) => Math.floor((n * whole.length) / 40)), 600, whole.length - 2_049, whole.length - 2_048, whole.length - 1_600, whole.length - 1_500, whole.length - 1_024, whole.length - 1];
    for (const place of places) {
      const bytes = Buffer.from(whole);
      bytes[place]! ^= 1;
      writeFileSync(path, bytes);
      await expect(checkBackup(path), `byte ${place}`).rejects.toThrow(/was changed or damaged|is no backup of Hangrail|newer Hangrail|cut short or damaged/);
    }
  });

  test("is refused when it was cut short, or something hangs on to it", async () => {
    const path = damaged("cut");
    for (const bytes of [taken.bytes - 1, taken.bytes - 512, taken.bytes - 2_048, Math.floor(taken.bytes / 2), 512, 0]) {
      copyFileSync(taken.path, path);
      truncateSync(path, bytes);
      await expect(checkBackup(path), `${bytes} bytes`).rejects.toThrow(/cut short|is no backup of Hangrail/);
    }
    writeFileSync(path, Buffer.concat([readFileSync(taken.path), Buffer.alloc(512)]));
    await expect(checkBackup(path)).rejects.toThrow(/cut short or damaged at its end/);
    await expect(checkBackup(join(folder, "nowhere.backup"))).rejects.toThrow("cannot be read (ENOENT)");
  });
});

describe("the schema", () => {
  const laterFolder = (): string => {
    const later = mkdtempSync(join(tmpdir(), "hangrail-later-"));
    cpSync(migrations, later, { recursive: true });
    mkdirSync(join(later, "99991231000000_later"));
    writeFileSync(join(later, "99991231000000_later", "migration.sql"), "CREATE TABLE later (id int PRIMARY KEY);\n");
    return later;
  };

  test("of a newer Hangrail is refused before anything is touched", async () => {
    const newer = await freshDatabase();
    await migrate(newer.ownerUrl, { folder: laterFolder() });
    const { path } = await takeBackup(newer.ownerUrl, join(folder, "newer"));
    await expect(checkBackup(path)).rejects.toThrow(/This backup was made by a newer Hangrail: it holds the migration 99991231000000_later/);
  });

  test("of the first release is brought up to date, and its sets are held", async () => {
    const first = mkdtempSync(join(tmpdir(), "hangrail-first-"));
    for (const name of readdirSync(migrations).filter((one) => /^\d/.test(one) && one <= "20261125100600_rights")) cpSync(join(migrations, name), join(first, name), { recursive: true });
    const old = await bareDatabase();
    await migrate(old.ownerUrl, { folder: first });
    const db = openDatabase({ appUrl: old.url, actConnections: 2, readConnections: 2 });
    const { site, staff } = done(await firstRun(db, { name: "Old Harbour", timeZone: "Europe/Malta", units: "metric" }, { name: "Mira", login: "mira", passwordHash: "x", pinHash: null }));
    const who = () => ({ site, staff, device: null, request: randomUUID() });
    done(await registerSet(db, who(), "R-001", []));
    await db.close();
    const { path } = await takeBackup(old.ownerUrl, join(folder, "old"));
    const { database, db: now, restored } = await bringBack(path);
    expect(restored.migrated.at(0)).toBe("20261125200000_bench_facts");
    expect(restored.migrated.at(-1)).toBe(readdirSync(migrations).filter((one) => /^\d/.test(one)).sort().at(-1));
    expect(restored.held).toBe(1);
    expect(await migrate(database.ownerUrl)).toEqual([]);
    expect((await now.reads.query("SELECT act FROM record_entry WHERE set_id IS NOT NULL ORDER BY seq")).rows).toEqual([{ act: "registered" }, { act: "restored" }]);
    await now.close();
  });
});

describe("the place it comes back to", () => {
  test("must be empty, and stays as it was when it is not", async () => {
    const backup = await checkBackup(taken.path);
    const filled = await freshDatabase();
    const before = await leftBehind(filled);
    await expect(restoreBackup(backup, filled.ownerUrl)).rejects.toThrow(/The database is not empty, and a restore writes over nothing/);
    expect(await leftBehind(filled)).toBe(before);
    const oneTable = await bareDatabase();
    await oneTable.ownerPool.query("CREATE TABLE theirs (id int)");
    await expect(restoreBackup(backup, oneTable.ownerUrl)).rejects.toThrow(/not empty/);
  });

  test("is left empty when the rows do not fit the schema", async () => {
    const target = await bareDatabase();
    const checked = await checkBackup(taken.path);
    const wrong = { ...checked.manifest, tables: checked.manifest.tables.map((one) => (one.table === "hire_line" ? { ...one, rows: one.rows + 1 } : one)) };
    await expect(restoreBackup({ ...checked, manifest: wrong }, target.ownerUrl)).rejects.toThrow(/hire_line came back with 2 rows instead of 3/);
    const swapped = { ...checked.manifest, tables: checked.manifest.tables.map((one) => (one.table === "hire" ? { ...one, part: "tables/hirer.copy.gz" } : one)) };
    await expect(restoreBackup({ ...checked, manifest: swapped }, target.ownerUrl)).rejects.toThrow(/could not be filled, and nothing was changed/);
    expect(await leftBehind(target)).toBe(0);
    expect((await restoreBackup(checked, target.ownerUrl)).held).toBe(room.sets.length);
  });
});
