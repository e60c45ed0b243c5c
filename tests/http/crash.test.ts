/**
 * The web server is killed while desks work, and the database beneath it. Desks ask again under the same request
 * id: what was done is done once and answered as the first time, and nothing that was acknowledged is lost.
 */
import { randomUUID } from "node:crypto";
import { setTimeout as wait } from "node:timers/promises";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { settle, whatIsWrong, whatWasLost, type Answered, type Attempt } from "../crash/claims.ts";
import { ownServer, type OwnServer } from "../crash/own-server.ts";
import { chance, ROUNDS, SEED } from "../crash/rounds.ts";
import { makeReadyAgain } from "../races/rig.ts";
import { DeskClient } from "../support/desk-client.ts";
import { makeKitRoom, type KitRoom, type RoomSet } from "../support/kit-room.ts";
import { serveApp, type Served } from "../support/served.ts";
import { secrets, sessionToken } from "../support/sign-in.ts";
import { order } from "./rig.ts";

const DESKS = 6;
const SETS = 12;

describe.skipIf(process.platform === "win32")("killed under the desks", () => {
  let database: OwnServer;
  let room: KitRoom & { readonly sets: readonly RoomSet[] };
  let token: string;
  let app: Served;
  beforeAll(async () => {
    database = await ownServer();
    room = await makeKitRoom(await database.freshDatabase(), { sets: SETS, secrets: await secrets() });
    token = await sessionToken(room.db, room.people.desk, room.site);
    app = await serveApp(room.database.url);
  });
  afterAll(async () => {
    await app.stop();
    await room.db.close();
    await Promise.all([room.database.appPool.end(), room.database.ownerPool.end()]);
    await database.stop();
  });

  /** What came back and was no answer: its status and its words. */
  const words: string[] = [];

  async function asked(path: string, input: unknown): Promise<Answered | null> {
    try {
      const { status, data, body } = await new DeskClient(app.origin, token).act<Answered>(path, input);
      if (data === null) words.push(`${status} ${body}`);
      return data;
    } catch {
      // Nobody listens, or the connection broke before the answer was whole.
      return null;
    }
  }

  /** Throws while the database is away. */
  async function whatNext(set: RoomSet): Promise<{ readonly path: string; readonly input: { readonly requestId: string } & object }> {
    const out = await room.db.reads.query("SELECT FROM hire_line WHERE set_id = $1 AND back_at IS NULL", [set.id]);
    if (out.rowCount === 0) return { path: "desk.handOut", input: await order(room, await room.seen([set])) };
    const line = { setId: set.id, dives: 0, minutes: 0, waterKind: "none", problem: false, words: null, faultCode: null, component: null, missing: [] };
    const input = { requestId: randomUUID(), sets: [line] };
    return { path: "desk.takeBack", input };
  }

  /** A desk hands sets out and takes them back, as they come. `stubborn`: it asks until it is answered. */
  async function desk(attempts: Attempt[], random: (below: number) => number, isOver: () => boolean, stubborn: boolean): Promise<void> {
    while (!isOver()) {
      const set = room.sets[random(SETS)]!;
      const next = await whatNext(set).catch(() => null);
      if (next === null) {
        await wait(20);
        continue;
      }
      const { path, input } = next;
      const call = async () => (await asked(path, input)) ?? Promise.reject(new Error("Nobody answered."));
      const attempt: Attempt = { request: input.requestId, act: path, entries: 1, call, answer: null };
      attempts.push(attempt);
      do {
        attempt.answer = await asked(path, input);
        if (attempt.answer === null && stubborn) await wait(20);
      } while (attempt.answer === null && stubborn);
      if (attempt.answer === null) return;
    }
  }

  function work(random: (below: number) => number, stubborn = false): { readonly attempts: Attempt[]; answered(more: number): Promise<void>; stop(): Promise<void> } {
    const attempts: Attempt[] = [];
    let over = false;
    const all = Promise.all(Array.from({ length: DESKS }, () => desk(attempts, random, () => over, stubborn)));
    const count = () => attempts.filter(({ answer }) => answer !== null).length;
    return {
      attempts,
      async answered(more) {
        const [from, deadline] = [count(), performance.now() + 60_000];
        while (count() < from + more) {
          if (performance.now() > deadline) throw new Error(`Within a minute ${count() - from} acts were answered: ${words.slice(-3).join("; ")}`);
          await wait(10);
        }
      },
      async stop() {
        over = true;
        await all;
      },
    };
  }

  async function readyAgain(): Promise<void> {
    await makeReadyAgain(room, room.sets);
    // Washes took the kit room's time; the people at the desks were there all the while.
    await room.database.ownerPool.query("UPDATE session SET last_seen_at = kitroom_clock(), expires_at = kitroom_clock() + interval '12 hours'");
  }

  test(`the web server, ${ROUNDS} times: what was acknowledged is there, and a repeat to the next server settles the rest`, async () => {
    const random = chance(SEED);
    const met = { done: 0, open: 0, hadBeenDone: 0 };
    for (let turn = 0; turn < ROUNDS; turn += 1) {
      const where = `HANGRAIL_CRASH_SEED=${SEED}, round ${turn + 1}`;
      await readyAgain();
      const { attempts, answered, stop } = work(random);
      await answered(5 + random(15));
      await app.kill();
      await stop();
      const lost = [...(await whatWasLost(room, attempts)), ...(await whatIsWrong(room))];
      app = await serveApp(room.database.url);
      const settled = await settle(room, attempts);
      expect([...lost, ...settled.wrong, ...(await whatWasLost(room, attempts)), ...(await whatIsWrong(room))], where).toEqual([]);
      met.done += attempts.filter(({ answer }) => answer?.answer === "done").length;
      met.open += settled.open;
      met.hadBeenDone += settled.hadBeenDone;
    }
    expect(met.done).toBeGreaterThan(ROUNDS);
    expect(met.open).toBeGreaterThan(0);
    console.log(`${ROUNDS} rounds (seed ${SEED}): ${met.done} acts acknowledged, ${met.open} unanswered, of which ${met.hadBeenDone} had been done.`);
  });

  test("the database: each desk is told in words that no answer came, asks again, and work goes on by itself", async () => {
    await readyAgain();
    words.length = 0;
    const { attempts, answered, stop } = work(chance(SEED + 1), true);
    for (let turn = 0; turn < 2; turn += 1) {
      await answered(10);
      process.kill(database.pid(), "SIGKILL");
      // Until somebody has met it.
      const met = words.length;
      while (words.length === met) await wait(10);
      await database.runsAgain();
    }
    await answered(20);
    await stop();
    expect(words.filter((said) => !/^503 .*The database did not answer in time\.( It is not known whether this was recorded\.)? Please try again\./.test(said))).toEqual([]);
    expect(attempts.filter(({ answer }) => answer === null)).toEqual([]);
    expect([...(await whatWasLost(room, attempts)), ...(await whatIsWrong(room))]).toEqual([]);
  });
});
