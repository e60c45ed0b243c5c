/** The database's clock decides what day it is; a clock that may be wrong hands nothing out. */
import { DatabaseBusy, handOut, mixBath, startWash, type HandOutAnswer } from "@hangrail/db/acts";
import { recordWork, releaseSets } from "@hangrail/db/bench-acts";
import { beatClock, confirmClock } from "@hangrail/db/people-acts";
import { addDays, type Day } from "@hangrail/rules/calendar";
import { afterAll, beforeEach, describe, expect, test } from "vitest";
import { freshDatabase } from "../support/database.ts";
import { aHire, done, makeKitRoom, type KitRoom, type RoomSet } from "../support/kit-room.ts";
import { areWaiting, makeReadyAgain, mutate, until } from "./rig.ts";

const DAY = 24 * 60;
/** Service falls due two years after this, on the 1st of June 2028. */
const OPENED = "2026-06-01T08:00:00Z";
const LAST_DAY = "2028-06-01" as Day;

let room: KitRoom;
let set: RoomSet;
let spare: RoomSet;
const rooms: KitRoom[] = [];
beforeEach(async () => {
  const made = await makeKitRoom(await freshDatabase(), { sets: 2, stoppedAt: OPENED });
  room = made;
  [set, spare] = made.sets as [RoomSet, RoomSet];
  rooms.push(room);
});
afterAll(() => Promise.all(rooms.map((one) => one.db.close())));

async function handOutFor(nights: number, one = set): Promise<HandOutAnswer> {
  return handOut(room.db, room.by("desk"), aHire(addDays(await room.today(), nights)), await room.seen([one]));
}

const confirm = (role: "manager" | "desk" = "manager") => confirmClock(room.db, room.by(role), "Compared with the radio");

/** Two years on, inspected in between; the clock is trusted. */
async function goTo(instant: string): Promise<void> {
  await room.clock.stopAt("2027-05-20T08:00:00Z");
  done(await confirm());
  for (const { id, parts } of [set, spare]) done(await recordWork(room.db, room.by("technician"), id, { kind: "inspection", components: Object.values(parts), oxygenClean: false, words: "Looked over" }));
  await room.clock.stopAt(instant);
  done(await confirm());
  for (const { id, parts } of [set, spare]) done(await recordWork(room.db, room.by("technician"), id, { kind: "inspection", components: Object.values(parts), oxygenClean: false, words: "Looked over" }));
  await room.wash([set, spare]);
}

async function entries(): Promise<number> {
  const { rows } = await room.database.ownerPool.query<{ entries: number }>("SELECT count(*)::int AS entries FROM record_entry");
  return rows[0]!.entries;
}

describe("a clock set back", () => {
  test("makes an overdue set look in date, and hands nothing out", async () => {
    await goTo("2028-06-02T08:00:00Z");
    expect(await handOutFor(0)).toMatchObject({ answer: "hold", holds: expect.arrayContaining([expect.objectContaining({ code: "service-overdue" })]) });
    await room.clock.advance(-60 * DAY);
    const before = await entries();
    expect(await handOutFor(0)).toMatchObject({ answer: "refused", code: "clock-behind" });
    expect(await entries()).toBe(before);

    // Without the check the wrong clock is believed.
    await mutate(room.database.ownerPool, { of: "clock_doubt", was: "p_now < highest - interval '5 seconds'", is: "false" });
    expect(await handOutFor(0)).toMatchObject({ answer: "done" });
  });

  test("is forgiven five seconds, and the act then carries the instant already recorded", async () => {
    const latest = await room.clock.read();
    await room.clock.advance(-4 / 60);
    expect(new Date(done(await handOutFor(1)).at)).toEqual(latest);
    await room.clock.advance(-2 / 60);
    expect(await handOutFor(1, spare)).toMatchObject({ answer: "refused", code: "clock-behind" });
  });

  test("is believed again when a manager has confirmed it, and by nobody else's word", async () => {
    await room.clock.advance(-3 * DAY);
    expect(await handOutFor(1)).toMatchObject({ code: "clock-behind" });
    await expect(confirm("desk")).rejects.toMatchObject({ name: "NotEntitled" });
    expect(await handOutFor(1)).toMatchObject({ code: "clock-behind" });
    done(await confirm());
    done(await handOutFor(1));
    // From there on it is watched as before.
    await room.clock.advance(-1);
    expect(await handOutFor(1, spare)).toMatchObject({ code: "clock-behind" });
  });
});

describe("a clock set forward", () => {
  test("hands nothing out until a manager confirms it, and then works", async () => {
    await room.clock.advance(90 * DAY);
    const before = await entries();
    expect(await handOutFor(1)).toMatchObject({ answer: "refused", code: "clock-leap" });
    expect(await entries()).toBe(before);
    done(await confirm());
    done(await handOutFor(1));
  });

  test("is not vouched for by a server that started after it had run away", async () => {
    await room.clock.advance(90 * DAY);
    await beatClock(room.db, false);
    await room.clock.advance(1);
    await beatClock(room.db, false);
    expect(await handOutFor(1)).toMatchObject({ code: "clock-leap" });
    done(await confirm());
    done(await handOutFor(1));
  });

  test("by a few days is seen by the server's steady clock", async () => {
    await room.clock.advance(3 * DAY);
    await beatClock(room.db, true);
    expect(await handOutFor(1)).toMatchObject({ code: "clock-leap" });
    // A quiet beat afterwards settles nothing.
    await beatClock(room.db, false);
    expect(await handOutFor(1)).toMatchObject({ code: "clock-leap" });
    done(await confirm());
    done(await handOutFor(1));
  });

  test("and back again leaves no instant that the right clock could never reach", async () => {
    await room.clock.advance(300 * DAY);
    done(await confirm());
    done(await handOutFor(1));
    await room.clock.advance(-300 * DAY);
    expect(await handOutFor(1, spare)).toMatchObject({ code: "clock-behind" });
    done(await confirm());
    done(await handOutFor(1, spare));
  });

  test("dates no work, no release and no bath", async () => {
    const { bath } = done(await mixBath(room.db, room.by("wash-room"), { product: room.product, label: "Tub", lot: null, productMl: 100, waterMl: 9_900 }));
    for (const [wrongBy, code] of [[90 * DAY, "clock-leap"], [-91 * DAY, "clock-behind"]] as const) {
      await room.clock.advance(wrongBy);
      const before = await entries();
      const answers = [
        await recordWork(room.db, room.by("technician"), set.id, { kind: "service", components: [set.parts.primary], oxygenClean: false, words: "Kit" }),
        await releaseSets(room.db, room.by("technician"), [set.id], "Tested"),
        await mixBath(room.db, room.by("wash-room"), { product: room.product, label: "Tub", lot: null, productMl: 100, waterMl: 9_900 }),
        await startWash(room.db, room.by("wash-room"), bath, [set.id]),
      ];
      expect(answers.map((answer) => answer.answer === "refused" && answer.code)).toEqual([code, code, code, code]);
      expect(await entries()).toBe(before);
    }
  });
});

test("a shop that was quiet for weeks hands out as ever while its server ran", async () => {
  for (let week = 0; week < 6; week += 1) {
    await room.clock.advance(7 * DAY);
    await beatClock(room.db, false);
  }
  done(await handOutFor(1));
});

describe("the day an act is judged by", () => {
  /** The desk asks at ten to midnight at the site, waits for the set, and gets it after midnight. */
  async function overMidnight(): Promise<HandOutAnswer> {
    await goTo("2028-06-01T20:00:00Z");
    await room.clock.stopAt("2028-06-01T21:59:50Z");
    expect(await room.today()).toBe(LAST_DAY);
    const [seen] = await room.seen([set]);
    const holder = await room.database.ownerPool.connect();
    try {
      await holder.query("BEGIN");
      await holder.query("SELECT FROM regulator_set WHERE id = $1 FOR UPDATE", [set.id]);
      const asked = handOut(room.db, room.by("desk"), aHire(LAST_DAY), [seen!]);
      await until("the desk waits for the set", () => areWaiting(room.database.ownerPool, 1));
      await room.clock.stopAt("2028-06-01T22:00:10Z");
      await holder.query("COMMIT");
      return await asked;
    } finally {
      holder.release();
    }
  }

  test("is the one when it got the set, not the one when it asked", async () => {
    expect(await overMidnight()).toEqual({ answer: "refused", code: "back-before-today", facts: { today: "2028-06-02" } });
    expect(await handOutFor(0)).toMatchObject({ answer: "hold", holds: expect.arrayContaining([expect.objectContaining({ code: "service-overdue" })]) });
  });

  test("would be yesterday's with the clock read before the lock", async () => {
    await mutate(
      room.database.ownerPool,
      { of: "lock_sets", was: "  clock := kitroom_clock();\n", is: "" },
      { of: "lock_sets", was: "  SELECT max(l.last_at)", is: "  clock := kitroom_clock();\n  SELECT max(l.last_at)" },
    );
    expect(await overMidnight()).toMatchObject({ answer: "done" });
  });

  test("lasts to the last moment of the due day", async () => {
    await goTo("2028-06-01T20:00:00Z");
    await room.clock.stopAt("2028-06-01T21:59:59.999Z");
    done(await handOutFor(0));
    await room.clock.stopAt("2028-06-01T22:00:00Z");
    expect(await handOutFor(0, spare)).toMatchObject({ answer: "hold" });
    await makeReadyAgain(room, [spare]);
  });

  test("is the site's, wherever the desk's and the server's clocks think they are", async () => {
    await goTo("2028-06-01T20:00:00Z");
    await room.clock.stopAt("2028-06-01T21:59:00Z");
    const seen = await room.seen([set, spare]);
    for (const zone of ["Pacific/Kiritimati", "Pacific/Pago_Pago"]) {
      const client = await room.db.acts.connect();
      try {
        await client.query(`SET TIME ZONE '${zone}'; SET DateStyle = 'German, DMY'; SET IntervalStyle = 'sql_standard'`);
        const { rows } = await client.query<{ answer: HandOutAnswer }>("SELECT hand_out($1, $2, $3) AS answer", [room.by("desk"), aHire(LAST_DAY), JSON.stringify([seen.shift()])]);
        expect(rows[0]?.answer.answer).toBe("done");
      } finally {
        client.release(true);
      }
    }
  });
});

test("no clock, no hand-out", async () => {
  const { rows } = await room.database.ownerPool.query<{ text: string }>("SELECT pg_get_functiondef('kitroom_clock'::regproc) AS text");
  await room.database.ownerPool.query("CREATE OR REPLACE FUNCTION kitroom_clock() RETURNS timestamptz LANGUAGE sql VOLATILE AS 'SELECT NULL::timestamptz'");
  const hire = aHire("2026-07-01" as Day);
  const answer = await handOut(room.db, room.by("desk"), hire, await room.seen([set])).catch((error: unknown) => error);
  expect(answer).not.toMatchObject({ answer: "done" });
  expect(answer).not.toBeInstanceOf(DatabaseBusy);
  await room.database.ownerPool.query(rows[0]!.text);
  expect((await room.database.ownerPool.query("SELECT FROM hire")).rowCount).toBe(0);
});
