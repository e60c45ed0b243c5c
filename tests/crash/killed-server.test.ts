/**
 * The database is killed under load and started again by its supervisor. Every act that was acknowledged is
 * there, none is there by half, and what nobody was told of is there whole or not at all, as its repeat says.
 */
import pg from "pg";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { mutate } from "../races/rig.ts";
import { makeKitRoom, type KitRoom, type RoomSet } from "../support/kit-room.ts";
import { settle, whatIsWrong, whatWasLost } from "./claims.ts";
import { work } from "./load.ts";
import { ownServer, type OwnServer } from "./own-server.ts";
import { chance, ROUNDS, SEED } from "./rounds.ts";

// Processes are killed by their numbers here, which only systems like Unix do in this way.
const skip = process.platform === "win32";
const DESKS = 6;
const SETS = 10;
/** A room's record grows with every round; after so many another one is taken. */
const ROUNDS_A_ROOM = 20;

type Room = KitRoom & { readonly sets: readonly RoomSet[] };
type Blow = "the server alone" | "one session" | "a process of its own" | "all at once" | "an immediate end";
const BLOWS: readonly Blow[] = ["the server alone", "all at once", "one session", "an immediate end", "a process of its own"];

describe.skipIf(skip)("killed in the middle", () => {
  let server: OwnServer;
  const rooms: Room[] = [];
  beforeAll(async () => {
    server = await ownServer();
  });
  afterAll(async () => {
    for (const { db, database } of rooms) {
      await db.close();
      await Promise.all([database.appPool.end(), database.ownerPool.end()]);
    }
    await server.stop();
  });

  async function openRoom(): Promise<Room> {
    const room = await makeKitRoom(await server.freshDatabase(), { sets: SETS, actConnections: DESKS });
    rooms.push(room);
    return room;
  }

  async function strike(room: Room, blow: Blow, random: (below: number) => number): Promise<void> {
    const sessions = (await server.asAdmin(`SELECT pid FROM pg_stat_activity WHERE datname = '${room.database.name}' AND application_name = 'hangrail acts'`)).map(({ pid }) => pid as number);
    const before = server.pid();
    const children = server.children();
    const others = children.filter((pid) => !sessions.includes(pid));
    const victims = blow === "the server alone" ? [before] : blow === "all at once" ? [before, ...children] : [blow === "one session" ? sessions[random(sessions.length)]! : others[random(others.length)]!];
    // Whoever is signed in is cut off: the one sign that the blow was felt.
    const witness = new pg.Client({ connectionString: server.adminUrl });
    await witness.connect();
    const felt = new Promise<void>((gone) => witness.on("error", () => undefined).once("end", () => gone()));
    if (blow === "an immediate end") process.kill(before, "SIGQUIT");
    else for (const pid of victims) killAtOnce(pid);
    await felt;
  }

  /** One round: load, a blow, the server back, and what is wrong. */
  async function round(room: Room, blow: Blow, random: (below: number) => number): Promise<{ wrong: string[]; done: number; open: number; hadBeenDone: number; unnamed: readonly string[] }> {
    const load = work(room, DESKS, random);
    await load.done(5 + random(60));
    await strike(room, blow, random);
    await load.stop();
    await server.runsAgain();
    const { attempts, unnamed } = load;
    const wrong = [...(await whatWasLost(room, attempts)), ...(await whatIsWrong(room))];
    const settled = await settle(room, attempts);
    wrong.push(...settled.wrong, ...(await whatWasLost(room, attempts)), ...(await recordedTwice(room)));
    return { wrong, done: attempts.filter(({ answer }) => answer?.answer === "done").length, open: settled.open, hadBeenDone: settled.hadBeenDone, unnamed };
  }

  /** Acts of which the record tells more than once for one set. */
  async function recordedTwice(room: Room): Promise<string[]> {
    const { rows } = await room.database.ownerPool.query<{ act: string }>("SELECT act FROM record_entry WHERE request_id IS NOT NULL AND set_id IS NOT NULL AND act IN ('handed-out', 'taken-back', 'released', 'cleaned') GROUP BY request_id, set_id, act HAVING count(*) > 1");
    return rows.map(({ act }) => `one request is recorded twice: ${act}`);
  }

  test(`${ROUNDS} times, at a point picked by chance, and nothing acknowledged is lost`, async () => {
    const random = chance(SEED);
    const met = { done: 0, open: 0, hadBeenDone: 0 };
    let room = await openRoom();
    for (let turn = 0; turn < ROUNDS; turn += 1) {
      if (turn > 0 && turn % ROUNDS_A_ROOM === 0) room = await openRoom();
      const blow = BLOWS[turn % BLOWS.length]!;
      const where = `HANGRAIL_CRASH_SEED=${SEED}, round ${turn + 1}: ${blow}`;
      const { wrong, done, open, hadBeenDone, unnamed } = await round(room, blow, random);
      expect(wrong, where).toEqual([]);
      expect(unnamed, where).toEqual([]);
      met.done += done;
      met.open += open;
      met.hadBeenDone += hadBeenDone;
    }
    // It bites only where acts were done, and where some were cut off.
    expect(met.done).toBeGreaterThan(ROUNDS * 5);
    expect(met.open).toBeGreaterThan(0);
    console.log(`${ROUNDS} rounds (seed ${SEED}): ${met.done} acts acknowledged, ${met.open} unanswered, of which ${met.hadBeenDone} had been done.`);
  });

  test("restarted again and again while desks work: each is answered in time, asks again, and is told the first answer", async () => {
    const random = chance(SEED + 1);
    const room = await openRoom();
    const load = work(room, DESKS, random, { stubborn: true });
    for (let turn = 0; turn < Math.min(ROUNDS, 40); turn += 1) {
      await load.done(10 + random(30));
      await strike(room, "an immediate end", random);
      await server.runsAgain();
    }
    await load.done(20);
    await load.stop();
    const where = `HANGRAIL_CRASH_SEED=${SEED}`;
    expect(load.unnamed, where).toEqual([]);
    expect(load.attempts.filter(({ answer }) => answer === null), where).toEqual([]);
    expect([...(await whatWasLost(room, load.attempts)), ...(await whatIsWrong(room)), ...(await recordedTwice(room))], where).toEqual([]);
    // The client gives a connection three seconds and an answer ten.
    expect(load.slowest()).toBeLessThan(14_000);
  });

  describe("what must be found", () => {
    test("a server that acknowledges before it has written", async () => {
      const room = await openRoom();
      await server.asAdmin(`ALTER DATABASE "${room.database.name}" SET synchronous_commit = off`);
      await server.asAdmin("SELECT pg_terminate_backend(pid, 5000) FROM pg_stat_activity WHERE pid <> pg_backend_pid() AND datname IS NOT NULL");
      const random = chance(SEED + 2);
      const lost: string[] = [];
      for (let turn = 0; turn < 10 && lost.length === 0; turn += 1) lost.push(...(await round(room, "all at once", random)).wrong.filter((line) => line.includes("and is lost")));
      expect(lost).not.toEqual([]);
    });

    test("an answer that is kept before its act", async () => {
      const room = await openRoom();
      const { searchParams, port, username, password } = new URL(room.database.ownerUrl);
      await server.asAdmin("CREATE EXTENSION dblink", room.database.name);
      const body = "(p_who->>'request')::uuid, p_act, sha256(convert_to(((p_who - 'request') || p_body)::text, 'UTF8')), p_answer, kitroom_clock()";
      await mutate(room.database.ownerPool, {
        of: "keep_answer",
        was: `INSERT INTO command (request_id, act, body_hash, answer, at)\n  VALUES (${body});`,
        is: `PERFORM dblink_exec('host=${searchParams.get("host")} port=${port} user=${username} password=${password} dbname=${room.database.name}', format('INSERT INTO command (request_id, act, body_hash, answer, at) VALUES (%L, %L, %L, %L, %L)', ${body}));`,
      });
      const random = chance(SEED + 3);
      const halves: string[] = [];
      for (let turn = 0; turn < 15 && halves.length === 0; turn += 1) halves.push(...(await round(room, "all at once", random)).wrong.filter((line) => line.includes("by half")));
      expect(halves).not.toEqual([]);
    });
  });
});

function killAtOnce(pid: number): void {
  try {
    process.kill(pid, "SIGKILL");
  } catch (error) {
    // It ended by itself this very moment.
    if ((error as NodeJS.ErrnoException).code !== "ESRCH") throw error;
  }
}
