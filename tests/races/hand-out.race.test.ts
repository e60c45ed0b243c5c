/** Sixteen desks at once: a set goes to one hirer, a party goes out whole or not at all, a repeated request counts once. */
import { randomUUID } from "node:crypto";
import { DatabaseBusy, handOut, takeBack, type HandOutAnswer, type HireInput } from "@hangrail/db/acts";
import { openDatabase, type Database } from "@hangrail/db/database";
import { addDays } from "@hangrail/rules/calendar";
import { afterAll, beforeAll, expect, test } from "vitest";
import { freshDatabase } from "../support/database.ts";
import { aHire, backDry, done, makeKitRoom, type KitRoom, type RoomSet } from "../support/kit-room.ts";
import { expectWholeRecord, makeReadyAgain, mutate, WITHOUT_LOCK } from "./rig.ts";

const DESKS = 16;
const SETS = 40;

interface Harbour {
  readonly room: KitRoom;
  readonly sets: readonly RoomSet[];
  /** Two processes with eight connections each. */
  readonly desks: readonly Database[];
  readonly hire: HireInput;
}

const opened: Database[] = [];
afterAll(() => Promise.all(opened.map((database) => database.close())));

async function openHarbour(sets: number): Promise<Harbour> {
  const room = await makeKitRoom(await freshDatabase(), { sets, stoppedAt: "2026-06-01T08:00:00Z" });
  const processes = [0, 1].map(() => openDatabase({ appUrl: room.database.url, actConnections: DESKS / 2, readConnections: 1 }));
  opened.push(room.db, ...processes);
  return { room, sets: room.sets, desks: Array.from({ length: DESKS }, (_, at) => processes[at % 2]!), hire: aHire(addDays(await room.today(), 60)) };
}

let harbour: Harbour;
beforeAll(async () => {
  harbour = await openHarbour(SETS);
});

/** Asks every desk at once for its sets. */
async function ask({ room, desks, hire }: Harbour, wanted: (desk: number) => readonly { id: string; seq: number }[]): Promise<HandOutAnswer[]> {
  return Promise.all(desks.map((desk, at) => handOut(desk, room.by("desk"), hire, wanted(at))));
}

async function openLines({ room }: Harbour): Promise<Map<string, string[]>> {
  const { rows } = await room.database.ownerPool.query<{ hire_id: string; sets: string[] }>("SELECT hire_id, array_agg(set_id::text) AS sets FROM hire_line WHERE back_at IS NULL GROUP BY hire_id");
  return new Map(rows.map((row) => [row.hire_id, row.sets]));
}

/** One set, sixteen desks: one hire, the others are told that it moved on or is out. */
async function oneSetTrial(at: Harbour, set: RoomSet): Promise<void> {
  const seen = await at.room.seen([set]);
  const answers = await ask(at, () => seen);
  expect(answers.filter(({ answer }) => answer === "done")).toHaveLength(1);
  expect(answers.filter(({ answer }) => answer === "stale" || answer === "hold")).toHaveLength(DESKS - 1);
  const lines = [...(await openLines(at)).values()].flat().filter((id) => id === set.id);
  expect(lines).toHaveLength(1);
}

/** Three sets, parties of two that overlap, named in either order: every hire is whole, no set is in two, and one party at least got away. */
async function partyTrial(at: Harbour, three: readonly RoomSet[], turn: number): Promise<void> {
  const seen = await at.room.seen(three);
  const answers = await ask(at, (desk) => {
    const pair = [seen[(desk + turn) % 3]!, seen[(desk + turn + 1) % 3]!];
    return desk % 2 === 0 ? pair : pair.reverse();
  });
  const given = answers.flatMap((one) => (one.answer === "done" ? [one.hire] : []));
  expect(answers.every(({ answer }) => ["done", "stale", "hold"].includes(answer))).toBe(true);
  // Any two of the pairs share a set.
  expect(given).toHaveLength(1);
  expect((await openLines(at)).get(given[0]!)).toHaveLength(2);
}

test("one set and sixteen desks: exactly one hire, 1,200 times", async () => {
  for (let round = 0; round < 1_200 / SETS; round += 1) {
    for (const set of harbour.sets) await oneSetTrial(harbour, set);
    await makeReadyAgain(harbour.room, harbour.sets);
  }
  await expectWholeRecord(harbour.room.database.ownerPool);
}, 120_000);

test("parties that share a set: all or none and no deadlock, 806 times", async () => {
  for (let round = 0; round < 62; round += 1) {
    for (let at = 0; at + 3 <= SETS; at += 3) await partyTrial(harbour, harbour.sets.slice(at, at + 3), round);
    await makeReadyAgain(harbour.room, harbour.sets);
  }
  await expectWholeRecord(harbour.room.database.ownerPool);
}, 120_000);

async function sameRequestTrial(at: Harbour, set: RoomSet): Promise<void> {
  const seen = await at.room.seen([set]);
  const request = randomUUID();
  const answers = await Promise.all(Array.from({ length: 50 }, (_, n) => handOut(at.desks[n % DESKS]!, at.room.by("desk", request), at.hire, seen)));
  const given = answers.map((answer) => done(answer));
  expect(given.filter((answer) => answer.repeat === undefined)).toHaveLength(1);
  expect(given.filter((answer) => answer.repeat === true)).toHaveLength(49);
  expect(new Set(given.map(({ hire, at: when }) => `${hire} ${when}`)).size).toBe(1);
}

test("the same request fifty times at once is one hire and forty-nine repeats of its answer", async () => {
  for (const set of harbour.sets) await sameRequestTrial(harbour, set);
  await makeReadyAgain(harbour.room, harbour.sets);
}, 60_000);

test("a request id with another body is refused, and so is another person's use of it", async () => {
  const [one, two] = harbour.sets as [RoomSet, RoomSet];
  const { room, hire } = harbour;
  const request = randomUUID();
  done(await handOut(room.db, room.by("desk", request), hire, await room.seen([one])));
  const reused = { answer: "refused", code: "request-reused", facts: {} };
  expect(await handOut(room.db, room.by("desk", request), hire, await room.seen([two]))).toEqual(reused);
  expect(await handOut(room.db, room.by("desk", request), { ...hire, dives: 3 }, await room.seen([one]))).toEqual(reused);
  expect(await handOut(room.db, { ...room.by("manager", request) }, hire, await room.seen([one]))).toEqual(reused);
  expect(await takeBack(room.db, room.by("desk", request), [backDry(one.id)])).toEqual(reused);
  await makeReadyAgain(room, [one]);
});

test("a request tried again after its success gives the first answer, also when the set is back long since", async () => {
  const [set] = harbour.sets as [RoomSet];
  const { room, hire } = harbour;
  const request = randomUUID();
  const seen = await room.seen([set]);
  const first = done(await handOut(room.db, room.by("desk", request), hire, seen));
  await makeReadyAgain(room, [set]);
  const again = done(await handOut(room.db, room.by("desk", request), hire, seen));
  expect(again).toEqual({ ...first, repeat: true });
  expect((await openLines(harbour)).size).toBe(0);
});

test("a request that was refused is decided anew when it is tried again", async () => {
  const [set] = harbour.sets as [RoomSet];
  const { room, hire } = harbour;
  const request = randomUUID();
  const [seen] = await room.seen([set]);
  expect(await handOut(room.db, room.by("desk", request), hire, [{ ...seen!, seq: seen!.seq - 1 }])).toMatchObject({ answer: "stale" });
  done(await handOut(room.db, room.by("desk", request), hire, [seen!]));
  await makeReadyAgain(room, [set]);
});

/** Runs the same trial until it fails; a guard that nothing misses when it is gone was no guard. */
async function firstFailure(trials: number, trial: (turn: number) => Promise<void>): Promise<unknown> {
  for (let turn = 0; turn < trials; turn += 1) {
    try {
      await trial(turn);
    } catch (error) {
      return error;
    }
  }
  return null;
}

test("without the lock on the set the same trial fails", async () => {
  const broken = await openHarbour(20);
  await mutate(broken.room.database.ownerPool, WITHOUT_LOCK);
  expect(await firstFailure(20, (turn) => oneSetTrial(broken, broken.sets[turn]!))).not.toBeNull();
}, 60_000);

test("without the lock and the index two hirers get one set", async () => {
  const broken = await openHarbour(20);
  await mutate(broken.room.database.ownerPool, WITHOUT_LOCK);
  await broken.room.database.ownerPool.query("DROP INDEX hire_line_one_open");
  expect(String(await firstFailure(20, (turn) => oneSetTrial(broken, broken.sets[turn]!)))).toMatch(/to have a length of 1 but got \d+/);
}, 60_000);

test("without the check of the sequence and of the open hire two hirers get one set", async () => {
  const broken = await openHarbour(20);
  await broken.room.database.ownerPool.query("DROP INDEX hire_line_one_open");
  await mutate(
    broken.room.database.ownerPool,
    { of: "hand_out", was: "WHERE s.seq IS DISTINCT FROM (x->>'seq')::int", is: "WHERE false" },
    { of: "heart_holds", was: "WHERE set_id = p_set AND back_at IS NULL", is: "WHERE false" },
    { of: "heart_holds", was: "cleaned_seq <= soiled_seq", is: "false" },
  );
  expect(String(await firstFailure(20, (turn) => oneSetTrial(broken, broken.sets[turn]!)))).toMatch(/to have a length of 1 but got \d+/);
}, 60_000);

test("with the locks taken in the order named, parties wait for each other in a ring", async () => {
  const broken = await openHarbour(21);
  await mutate(broken.room.database.ownerPool, { of: "lock_sets", was: "ORDER BY id FOR UPDATE", is: "ORDER BY array_position(p_sets, id) FOR UPDATE" });
  expect(await firstFailure(21, (turn) => partyTrial(broken, broken.sets.slice((turn * 3) % 21, ((turn * 3) % 21) + 3), turn))).toBeInstanceOf(DatabaseBusy);
}, 60_000);

test("without the lock on the request a twin fails instead of hearing the first answer", async () => {
  const broken = await openHarbour(20);
  const lock = { was: "PERFORM pg_advisory_xact_lock(hashtextextended(p_who->>'request', 1));", is: "" };
  // A hand-out holds its request by itself as well, before it looks for the salt of the first time.
  await mutate(broken.room.database.ownerPool, { of: "first_answer", ...lock }, { of: "hand_out", ...lock });
  expect(await firstFailure(20, (turn) => sameRequestTrial(broken, broken.sets[turn]!))).not.toBeNull();
}, 60_000);
