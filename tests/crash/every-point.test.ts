/**
 * Each act is disturbed at every point: at each message between the application and the database, and before
 * each row it writes. Whatever happens, all of it is there or nothing; the same request asked again gives one
 * act and the first answer; and no set that was held goes out in between.
 */
import { handOut } from "@hangrail/db/acts";
import { afterAll, describe, expect, inject, test } from "vitest";
import { mutate } from "../races/rig.ts";
import { freshDatabase } from "../support/database.ts";
import { aHire, done, makeKitRoom } from "../support/kit-room.ts";
import { addDays } from "@hangrail/rules/calendar";
import { whatIsWrong } from "./claims.ts";
import { DISTURBED, type DisturbedAct } from "./disturbed-acts.ts";
import { LONG } from "./rounds.ts";
import { ALL, atEveryMessage, atEveryWrite, BLOWS, countWrites, strikable, type Struck } from "./strikes.ts";

const named = (name: string): DisturbedAct => DISTURBED.find((act) => act.name === name)!;
const opened: Struck[] = [];
afterAll(async () => {
  for (const at of opened) {
    await at.close();
    await at.room.db.close();
  }
});

async function openStruck(): Promise<Struck> {
  const at = await strikable(await makeKitRoom(await freshDatabase(), { sets: 2 }), inject("databaseServer"));
  opened.push(at);
  return at;
}

// The short form strikes each point once, by one blow or another, and of the acts those that the desk lives by.
const short = ["a party of two is handed out", "two sets are taken back, one with a fault", "a wash is finished", "two sets are released"];
const acts = LONG ? DISTURBED : short.map(named);

describe.each(acts)("$name", (act) => {
  test("is done or not done, wherever its connection is cut, its session ended, its answer lost", async () => {
    const at = await openStruck();
    const met = { points: 0, nothing: 0, all: 0 };
    for (const [from, blow] of BLOWS.entries()) {
      const toll = await atEveryMessage(at, act, blow, LONG ? ALL : { from: from + 1, step: BLOWS.length });
      expect(toll.wrong, blow).toEqual([]);
      // What is swallowed has been done by then.
      if (blow === "swallow") expect(toll.all).toBe(toll.points);
      for (const count of ["points", "nothing", "all"] as const) met[count] += toll[count];
    }
    // A statement takes some ten messages, and can be cut off before it is done and after.
    expect(met.points).toBeGreaterThanOrEqual(LONG ? 30 : 9);
    expect(met.nothing).toBeGreaterThan(0);
    expect(met.all).toBeGreaterThan(met.points / 4);
    expect(await whatIsWrong(at.room)).toEqual([]);
  });

  test("leaves nothing when it dies before any of its writes or before its commit", async () => {
    const at = await openStruck();
    await countWrites(at);
    for (const [from, death] of (["ended", "failed"] as const).entries()) {
      const toll = await atEveryWrite(at, act, death, LONG ? ALL : { from: from + 1, step: 2 });
      expect(toll.wrong, death).toEqual([]);
      expect(toll.points, death).toBeGreaterThanOrEqual(LONG ? 4 : 2);
      expect(toll.nothing, death).toBe(toll.points);
    }
    expect(await whatIsWrong(at.room)).toEqual([]);
  });
});

describe("a fault that was planted is found", () => {
  test("an act that is two statements", async () => {
    const at = await openStruck();
    const halves: DisturbedAct = {
      ...named("a party of two is handed out"),
      begin: async (room, sets) => {
        const [hire, seen] = [aHire(addDays(await room.today(), 1)), await room.seen(sets)];
        return async (db, who) => {
          // The second half goes under a request id of its own, made from the first.
          done(await handOut(db, who, hire, [seen[0]!]));
          return handOut(db, { ...who, request: who.request.replace(/^./, (digit) => (digit === "0" ? "1" : "0")) }, hire, [seen[1]!]);
        };
      },
    };
    const toll = await atEveryMessage(at, halves, "cut", { from: 2, step: 4 });
    expect(toll.wrong.filter((line) => line.includes("half an act is left"))).not.toEqual([]);
  });

  test("an answer that is not kept", async () => {
    const at = await openStruck();
    const act = named("a party of two is handed out");
    await mutate(at.room.database.ownerPool, { of: "first_answer", was: "IF NOT FOUND THEN RETURN NULL; END IF;", is: "RETURN NULL;" });
    expect((await atEveryMessage(at, act, "swallow", { from: 3, step: 6 })).wrong.filter((line) => line.includes("the repeat answers"))).not.toEqual([]);
  });

  test("an answer that is kept before the act is", async () => {
    const at = await openStruck();
    await countWrites(at);
    await keepAnswersApart(at);
    const toll = await atEveryWrite(at, named("a fault is reported"), "ended");
    expect(toll.wrong.filter((line) => line.includes("half an act is left"))).not.toEqual([]);
  });
});

/** Answers are kept by a second session, which commits by itself. */
async function keepAnswersApart({ admin, room }: Struck): Promise<void> {
  const { searchParams, hostname, port, username, password } = new URL(room.database.ownerUrl);
  const where = `host=${searchParams.get("host") ?? hostname} port=${port} user=${username} password=${password} dbname=${room.database.name}`;
  await admin.query("CREATE EXTENSION dblink");
  await mutate(room.database.ownerPool, {
    of: "keep_answer",
    was: "INSERT INTO command (request_id, act, body_hash, answer, at)\n  VALUES ((p_who->>'request')::uuid, p_act, sha256(convert_to(((p_who - 'request') || p_body)::text, 'UTF8')), p_answer, kitroom_clock());",
    is: `PERFORM dblink_exec('${where}', format('INSERT INTO command (request_id, act, body_hash, answer, at) VALUES (%L, %L, %L, %L, %L)',
         (p_who->>'request')::uuid, p_act, sha256(convert_to(((p_who - 'request') || p_body)::text, 'UTF8')), p_answer, kitroom_clock()));`,
  });
}
