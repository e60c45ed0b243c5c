/** The whole way through HTTP: mixed acts at a steady rate against the function alone, and how soon other screens hear. */
import { randomUUID } from "node:crypto";
import * as acts from "@hangrail/db/acts";
import type { Database } from "@hangrail/db/database";
import type pg from "pg";
import { DeskClient } from "../support/desk-client.ts";
import { serveApp } from "../support/served.ts";
import { sessionToken } from "../support/sign-in.ts";
import type { MeasuredSite } from "./fleet-writer.ts";
import { makeReady, plainHire } from "./hand-out.ts";
import { ratioLine, sampleOf } from "./measure.ts";

const PER_SECOND = 67;
const SECONDS = 15;
const STREAMS = 200;
/** A person may hold so many streams; two hundred screens are several people. */
const STREAMS_A_PERSON = 10;

export async function measureHttp(owner: pg.Pool, db: Database, databaseUrl: string, where: MeasuredSite): Promise<void> {
  const app = await serveApp(databaseUrl);
  try {
    const desk = new DeskClient(app.origin, await sessionToken(db, where.staff, where.site));
    const { rows: sets } = await owner.query<{ id: string; tag: string }>("SELECT id, tag FROM regulator_set WHERE site_id = $1 ORDER BY id LIMIT 60", [where.site]);
    await desk.act("desk.lookUp");
    const alone: number[] = [];
    for (let turn = 0; turn < 200; turn += 1) {
      const { id } = sets[turn % sets.length]!;
      const seq = (await makeReady(owner, [id])).get(id)!;
      const began = performance.now();
      await acts.handOut(db, { ...where, device: null, request: randomUUID() }, plainHire(), [{ id, seq }]);
      alone.push(performance.now() - began);
    }
    const through = await steadily(owner, desk, sets);
    const [fn, http] = [sampleOf(alone), sampleOf(through)];
    console.log(ratioLine(`hand-out over HTTP at ${PER_SECOND} mixed acts/s / function alone, p50`, http.p50 / fn.p50, 5, `${http.p50.toFixed(1)} ms against ${fn.p50.toFixed(1)} ms, ${through.length} hand-outs`));
    console.log(ratioLine(`hand-out over HTTP at ${PER_SECOND} mixed acts/s / function alone, p99`, http.p99 / fn.p99, 8, `${http.p99.toFixed(1)} ms against ${fn.p99.toFixed(1)} ms`));
    await measureStreams(owner, db, app.origin, where, desk, sets[0]!);
  } finally {
    await app.stop();
  }
}

/** An open loop: calls leave on time whether or not earlier ones have come back. A quarter hand out, a quarter take back, half look. */
async function steadily(owner: pg.Pool, desk: DeskClient, sets: readonly { readonly id: string; readonly tag: string }[]): Promise<number[]> {
  const taken: number[] = [];
  const running: Promise<void>[] = [];
  const total = PER_SECOND * SECONDS;
  const began = performance.now();
  for (let call = 0; call < total; call += 1) {
    const due = began + (call * 1000) / PER_SECOND;
    const early = due - performance.now();
    if (early > 0) await new Promise((resolve) => setTimeout(resolve, early));
    running.push(call % 4 === 0 ? handOutAndBack(owner, desk, sets[(call / 4) % sets.length]!, due, taken) : look(desk, sets[call % sets.length]!));
  }
  await Promise.all(running);
  return taken;
}

async function handOutAndBack(owner: pg.Pool, desk: DeskClient, set: { readonly id: string }, due: number, taken: number[]): Promise<void> {
  const seq = (await makeReady(owner, [set.id])).get(set.id)!;
  const { minutes, backOn, dives, teaching, cylinderConnection, cylinderBar, o2Tenths, waterTenthsC, depthM, hirer, contact } = plainHire();
  // Making the set ready is no part of the act; what the call itself waited for is.
  const sent = Math.max(due, performance.now());
  const answer = await desk.handOut({
    requestId: randomUUID(),
    hirer,
    contact,
    hire: { backOn, dives, minutes, teaching, cylinder: { connection: cylinderConnection, bar: cylinderBar }, o2Tenths, waterTenthsC, depthM },
    sets: [{ setId: set.id, seq }],
  });
  taken.push(performance.now() - sent);
  if (answer.data?.answer !== "done") throw new Error(`A hand-out measured was not one: ${answer.status} ${answer.body.slice(0, 300)}`);
  await desk.act("desk.takeBack", {
    requestId: randomUUID(),
    sets: [{ setId: set.id, dives: 1, minutes: 60, waterKind: "sea", problem: false, words: null, faultCode: null, component: null, missing: [] }],
  });
}

async function look(desk: DeskClient, set: { readonly tag: string }): Promise<void> {
  const answer = await desk.ask("desk.lookUp", { tags: [set.tag], hire: null });
  if (answer.status !== 200) throw new Error(`A look measured failed: ${answer.status} ${answer.body.slice(0, 200)}`);
}

async function measureStreams(owner: pg.Pool, db: Database, origin: string, where: MeasuredSite, desk: DeskClient, set: { readonly id: string }): Promise<void> {
  const people = await Promise.all(Array.from({ length: STREAMS / STREAMS_A_PERSON }, (_, n) => person(owner, where.site, n)));
  const tokens = await Promise.all(people.map((staff) => sessionToken(db, staff, where.site)));
  const streams = await Promise.all(Array.from({ length: STREAMS }, (_, n) => new DeskClient(origin, tokens[n % tokens.length]!).listen()));
  const heard: number[] = [];
  for (let turn = 0; turn < 10; turn += 1) {
    const began = performance.now();
    const all = streams.map(async (stream) => {
      if ((await stream.next()) === null) throw new Error("A stream ended while it was measured.");
      heard.push(performance.now() - began);
    });
    await desk.act("bench.reportFault", { requestId: randomUUID(), setId: set.id, code: "SS-01", component: null, where: "desk", words: `turn ${turn}` });
    await Promise.all(all);
  }
  await Promise.all(streams.map((stream) => stream.close()));
  const { p50, p99 } = sampleOf(heard);
  console.log(`${`an act heard on ${STREAMS} screens, p99`.padEnd(58)} ${p99.toFixed(0).padStart(7)} ms  (within 1000: ${p99 <= 1000 ? "kept" : "NOT kept"})   p50 ${p50.toFixed(0)} ms`);
}

async function person(owner: pg.Pool, site: string, n: number): Promise<string> {
  const { rows } = await owner.query<{ id: string }>("INSERT INTO staff (name, login, password_hash) VALUES ($1, $1, 'none') RETURNING id", [`screen${n}`]);
  await owner.query("INSERT INTO staff_role (staff_id, site_id, role) VALUES ($1, $2, 'desk')", [rows[0]!.id, site]);
  return rows[0]!.id;
}
