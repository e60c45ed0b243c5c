/** Acts that would weaken the gate by a side door, each tried once through the acts themselves. */
import { randomUUID } from "node:crypto";
import { act, handOut, mixBath, registerSet, startWash, takeBack } from "@hangrail/db/acts";
import { recordWork, releaseSets } from "@hangrail/db/bench-acts";
import { authorise } from "@hangrail/db/people-acts";
import { addDays } from "@hangrail/rules/calendar";
import { beforeEach, expect, test } from "vitest";
import { freshDatabase } from "../support/database.ts";
import { aHire, backDry, done, MAKER, makeKitRoom, type KitRoom, type RoomSet } from "../support/kit-room.ts";

let room: KitRoom;
let set: RoomSet;
beforeEach(async () => {
  const made = await makeKitRoom(await freshDatabase(), { sets: 1, stoppedAt: "2026-06-01T08:00:00Z" });
  room = made;
  set = made.sets[0]!;
});

const give = async (one: RoomSet, nights = 0) => handOut(room.db, room.by("desk"), aHire(addDays(await room.today(), nights)), await room.seen([one]));
const importHistory = (row: object) => act<{ answer: string }>(room.db, "import_history", [room.by("manager"), JSON.stringify([{ row: 2, maker: MAKER, words: "From the old book", ...row }])]);
const serial = async (component: string) => (await room.database.ownerPool.query<{ serial: string }>("SELECT serial FROM component WHERE id = $1", [component])).rows[0]!.serial;

test("a manager's sheet with a service in it releases nothing", async () => {
  expect(await importHistory({ serial: await serial(set.parts.primary), doneOn: "2026-05-31", work: "service", divesAt: 0 })).toMatchObject({ answer: "done" });
  expect(await give(set)).toMatchObject({ answer: "hold", holds: expect.arrayContaining([expect.objectContaining({ code: "not-released" })]) });
});

test("a past service brought in by a sheet does not wipe out teaching since", async () => {
  done(await handOut(room.db, room.by("desk"), aHire(await room.today(), { teaching: true }), await room.seen([set])));
  done(await takeBack(room.db, room.by("desk"), [backDry(set.id, { dives: 1, minutes: 40, waterKind: "sea" })]));
  await room.clock.advance(60);
  await importHistory({ serial: await serial(set.parts.primary), doneOn: "2026-06-01", work: "service", divesAt: 0 });
  const { rows } = await room.database.ownerPool.query<{ taught: boolean }>("SELECT taught_total > serviced_taught AS taught FROM component WHERE id = $1", [set.parts.primary]);
  expect(rows).toEqual([{ taught: true }]);
});

test("a problem at a return is recorded with its fault or not at all", async () => {
  done(await give(set));
  const { fault: _, ...line } = backDry(set.id, { problem: true });
  expect(await act(room.db, "take_back", [room.by("desk"), JSON.stringify([line])])).toMatchObject({ answer: "refused", code: "problem-without-fault" });
  expect(await takeBack(room.db, room.by("desk"), [backDry(set.id, { problem: true })])).toMatchObject({ code: "problem-without-fault" });
});

test("a bath is judged by what is in it, not by a rounded figure", async () => {
  // A product of 50 000 ppm: 120 ml in 10 000 ml make 600 ppm, in one millilitre less 600.06.
  const mix = (productMl: number, waterMl: number) => mixBath(room.db, room.by("wash-room"), { product: room.product, label: "Tub", lot: null, productMl, waterMl });
  expect(await mix(120, 9_880)).toMatchObject({ answer: "done", ppm: 600 });
  expect(await mix(120, 9_879)).toMatchObject({ answer: "refused", code: "bath-strength" });
  expect(await mix(80, 9_920)).toMatchObject({ answer: "done", ppm: 400 });
  expect(await mix(80, 9_921)).toMatchObject({ answer: "refused", code: "bath-strength" });
});

test("a list that names a set twice, or none, is refused", async () => {
  const { bath } = done(await mixBath(room.db, room.by("wash-room"), { product: room.product, label: "Tub", lot: null, productMl: 100, waterMl: 9_900 }));
  for (const sets of [[set.id, set.id], []]) {
    expect(await startWash(room.db, room.by("wash-room"), bath, sets)).toMatchObject({ code: "same-set-twice" });
    expect(await releaseSets(room.db, room.by("technician"), sets, "Tested")).toMatchObject({ code: "same-set-twice" });
    expect(await takeBack(room.db, room.by("desk"), sets.map((id) => backDry(id)))).toMatchObject({ answer: "refused" });
    expect(await handOut(room.db, room.by("desk"), aHire(await room.today()), sets.map((id) => ({ id, seq: 1 })))).toMatchObject({ code: "same-set-twice" });
  }
});

test("a party with a set nobody knows does not go out in part", async () => {
  const [seen] = await room.seen([set]);
  const before = await room.database.ownerPool.query("SELECT count(*) FROM record_entry");
  for (const seq of [0, 1]) expect(await handOut(room.db, room.by("desk"), aHire(await room.today()), [seen!, { id: randomUUID(), seq }])).toMatchObject({ answer: "stale" });
  await expect(act(room.db, "hand_out", [room.by("desk"), aHire(await room.today()), JSON.stringify([seen, { id: randomUUID(), seq: null }])])).rejects.toThrow("hand_out wrote 1 of 2 sets");
  expect((await room.database.ownerPool.query("SELECT count(*) FROM record_entry")).rows).toEqual(before.rows);
});

test("a transmitter is registered as no gauge", async () => {
  const model = done(await act<{ answer: "done"; model: string }>(room.db, "add_model", [room.by("technician"), "transmitter", MAKER, "Beck T"])).model;
  await expect(registerSet(room.db, room.by("technician"), "T-1", [{ model, serial: "1", position: "gauge", boughtOn: null, inUseOn: null }])).rejects.toMatchObject({ name: "BadAct" });
});

test("service and release are a technician's whose authorisation for the maker covers that day", async () => {
  await room.database.ownerPool.query("ALTER TABLE authorisation DISABLE TRIGGER authorisation_no_delete");
  await room.database.ownerPool.query("DELETE FROM authorisation");
  const today = await room.today();
  const service = () => recordWork(room.db, room.by("technician"), set.id, { kind: "service", components: [set.parts.primary], oxygenClean: false, words: "Kit", kits: room.kitsFor([set.parts.primary]) });
  const notAuthorised = { answer: "refused", code: "not-authorised", facts: { makers: [MAKER], on: today } };
  const give = (maker: string, from: number, until: number) => authorise(room.db, room.by("manager"), room.people.technician, maker, false, addDays(today, from), addDays(today, until), "Certificate");
  expect(await service()).toEqual(notAuthorised);
  done(await give("Another maker", -10, 10));
  done(await give(MAKER, -30, -1));
  done(await give(MAKER, 1, 30));
  expect(await service()).toEqual(notAuthorised);
  done(await give(MAKER, 0, 0));
  expect(await recordWork(room.db, room.by("technician"), set.id, { kind: "service", components: [set.parts.primary], oxygenClean: true, words: "Kit" })).toEqual(notAuthorised);
  done(await service());
  await room.test([set]);
  expect(await releaseSets(room.db, room.by("technician"), [set.id], "Tested")).toMatchObject({ answer: "done" });
  // That authorisation ends with the day, at the site; the next one has begun by then.
  const stranger = await room.registerSet();
  await room.clock.advance(31 * 24 * 60);
  done(await act(room.db, "confirm_clock", [room.by("manager"), "Right"]));
  expect(await releaseSets(room.db, room.by("technician"), [stranger.id], "Tested")).toMatchObject({ code: "not-authorised" });
});
