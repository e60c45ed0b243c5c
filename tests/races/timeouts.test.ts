/** Who freezes or dies in the middle of an act keeps nobody waiting, and leaves nothing behind. */
import { randomUUID } from "node:crypto";
import { DatabaseBusy, handOut, soilSet, takeBack, type HandOutAnswer } from "@hangrail/db/acts";
import { reportFault } from "@hangrail/db/bench-acts";
import { addDays } from "@hangrail/rules/calendar";
import pg from "pg";
import { afterAll, beforeEach, expect, inject, test } from "vitest";
import { freshDatabase } from "../support/database.ts";
import { aHire, backDry, done, makeKitRoom, type KitRoom, type RoomSet } from "../support/kit-room.ts";
import { areWaiting, expectWholeRecord, until } from "./rig.ts";

let room: KitRoom;
let set: RoomSet;
let second: RoomSet;
const rooms: KitRoom[] = [];
beforeEach(async () => {
  const made = await makeKitRoom(await freshDatabase(), { sets: 2 });
  room = made;
  [set, second] = made.sets as [RoomSet, RoomSet];
  rooms.push(room);
});
afterAll(() => Promise.all(rooms.map((one) => one.db.close())));

async function give(sets: readonly RoomSet[], request: string = randomUUID()): Promise<HandOutAnswer> {
  return handOut(room.db, room.by("desk", request), aHire(addDays(await room.today(), 1)), await room.seen(sets));
}

/** All that the acts write, counted. */
async function everything(): Promise<unknown> {
  const { rows } = await room.database.ownerPool.query(
    "SELECT (SELECT count(*) FROM record_entry) AS entries, (SELECT count(*) FROM hire) AS hires, (SELECT count(*) FROM hirer) AS hirers, (SELECT count(*) FROM hire_line) AS lines, (SELECT count(*) FROM command) AS commands, (SELECT count(*) FROM fault) AS faults, (SELECT sum(seq) FROM regulator_set) AS seqs",
  );
  return rows[0];
}

/** Runs the work while somebody holds what the SQL locks, and lets go afterwards. */
async function whileHeld<T>(sql: string, values: unknown[], work: () => Promise<T>): Promise<T> {
  const holder = await room.database.ownerPool.connect();
  try {
    await holder.query("BEGIN");
    await holder.query(sql, values);
    return await work();
  } finally {
    await holder.query("ROLLBACK");
    holder.release();
  }
}

const lockSet = "SELECT FROM regulator_set WHERE id = $1 FOR UPDATE";

async function asAdmin<Row extends pg.QueryResultRow>(sql: string, values: unknown[] = []): Promise<Row[]> {
  const admin = new pg.Client({ connectionString: inject("databaseServer").adminUrl });
  await admin.connect();
  try {
    return (await admin.query<Row>(sql, values)).rows;
  } finally {
    await admin.end();
  }
}

/** Kills every session of this database that waits for a lock, and says how many. */
async function killWaiting(): Promise<number> {
  const killed = await asAdmin("SELECT pg_terminate_backend(l.pid) FROM (SELECT DISTINCT l.pid FROM pg_locks l JOIN pg_stat_activity a ON a.pid = l.pid WHERE NOT l.granted AND a.datname = $1) l", [room.database.name]);
  return killed.length;
}

test("a set held by a frozen session: every other act on it is told within about two seconds, and nothing is written", async () => {
  const before = await everything();
  await whileHeld(lockSet, [set.id], async () => {
    const began = performance.now();
    const acts = [
      give([set]),
      give([set, second]),
      takeBack(room.db, room.by("desk"), [backDry(set.id)]),
      reportFault(room.db, room.by("desk"), set.id, { code: "SS-02", severity: "out", component: null, where: "desk", words: "" }),
      soilSet(room.db, room.by("desk"), set.id, "breath-tested", ""),
    ];
    for (const one of await Promise.allSettled(acts)) {
      expect(one).toMatchObject({ status: "rejected" });
      expect((one as PromiseRejectedResult).reason).toBeInstanceOf(DatabaseBusy);
    }
    const took = performance.now() - began;
    expect(took).toBeGreaterThan(1_900);
    expect(took).toBeLessThan(4_500);
    expect(await everything()).toEqual(before);
    // Another set goes out meanwhile.
    done(await give([second]));
  });
  done(await give([set]));
}, 20_000);

test("a desk that freezes in the middle of its own act is cut off, and what it did is gone", async () => {
  const before = await everything();
  const seen = await room.seen([set]);
  const hire = aHire(addDays(await room.today(), 1));
  const frozen = new pg.Client({ connectionString: room.database.url });
  const lost: string[] = [];
  frozen.on("error", (error: Error & { code?: string }) => lost.push(error.code ?? error.message));
  await frozen.connect();
  await frozen.query("BEGIN");
  const { rows } = await frozen.query<{ pid: number; answer: HandOutAnswer }>("SELECT pg_backend_pid() AS pid, hand_out($1, $2, $3) AS answer", [room.by("desk"), hire, JSON.stringify(seen)]);
  expect(rows[0]!.answer.answer).toBe("done");
  await until("the server cuts the frozen session off", async () => (await asAdmin("SELECT FROM pg_stat_activity WHERE pid = $1", [rows[0]!.pid])).length === 0, 8_000);
  await until("the desk hears of it", async () => lost.length > 0);
  expect(lost[0]).toBe("25P03");
  expect(await everything()).toEqual(before);
  done(await give([set]));
}, 20_000);

test("a session killed while it waits for its set leaves nothing, and its request can be made again", async () => {
  const before = await everything();
  const request = randomUUID();
  await whileHeld(lockSet, [set.id], async () => {
    const asked = give([set], request).catch((error: unknown) => error);
    await until("the desk waits for the set", () => areWaiting(room.database.ownerPool, 1));
    expect(await killWaiting()).toBe(1);
    expect(await asked).toBeInstanceOf(DatabaseBusy);
  });
  expect(await everything()).toEqual(before);
  expect(done(await give([set], request)).repeat).toBeUndefined();
}, 20_000);

test("a session killed after it has written all but its answer leaves nothing", async () => {
  const before = await everything();
  const request = randomUUID();
  // The answer is kept last: with that table held, everything else is written by then.
  await whileHeld("LOCK TABLE command IN SHARE MODE", [], async () => {
    const asked = give([set, second], request).catch((error: unknown) => error);
    await until("the desk waits to keep its answer", () => areWaiting(room.database.ownerPool, 1));
    expect(await killWaiting()).toBe(1);
    expect(await asked).toBeInstanceOf(DatabaseBusy);
  });
  expect(await everything()).toEqual(before);
  const given = done(await give([set, second], request));
  expect(given.repeat).toBeUndefined();
  expect(done(await give([set, second], request)).hire).toBe(given.hire);
  await expectWholeRecord(room.database.ownerPool);
}, 20_000);

test("with every connection taken an act gives up in time, and works again afterwards", async () => {
  const taken = await Promise.all(Array.from({ length: 16 }, () => room.db.acts.connect()));
  const began = performance.now();
  await expect(give([set])).rejects.toBeInstanceOf(DatabaseBusy);
  expect(performance.now() - began).toBeLessThan(4_500);
  for (const one of taken) one.release();
  done(await give([set]));
}, 20_000);
