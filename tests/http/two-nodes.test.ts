/** Two web servers on one database behind a plain proxy that sends each request to the other one: nothing that matters is kept in a process. */
import { createServer, request as ask, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { afterAll, beforeAll, expect, test } from "vitest";
import { DeskClient } from "../support/desk-client.ts";
import { serveApp, type Served } from "../support/served.ts";
import { sessionToken } from "../support/sign-in.ts";
import { order, serveRoom, type ServedRoom } from "./rig.ts";

let served: ServedRoom;
let second: Served;
let proxy: Server;
let through: string;
const hitsOf = [0, 0];

beforeAll(async () => {
  served = await serveRoom({ sets: 12 });
  proxy = createServer((incoming, outgoing) => {
    const node = (hitsOf[0]! + hitsOf[1]!) % 2;
    hitsOf[node]! += 1;
    const onward = ask(new URL(incoming.url ?? "/", [served.app.origin, second.origin][node]), { method: incoming.method, headers: incoming.headers }, (answer) => {
      outgoing.writeHead(answer.statusCode ?? 502, answer.headers);
      answer.pipe(outgoing);
    });
    onward.on("error", () => outgoing.destroy());
    outgoing.on("close", () => onward.destroy());
    incoming.pipe(onward);
  });
  await new Promise<void>((listening) => proxy.listen(0, "127.0.0.1", listening));
  through = `http://127.0.0.1:${(proxy.address() as AddressInfo).port}`;
  second = await serveApp(served.room.database.url);
}, 120_000);
afterAll(async () => {
  proxy.closeAllConnections();
  proxy.close();
  await second.stop();
  await served.stop();
});

const deskThrough = async (origin: string) => new DeskClient(origin, await sessionToken(served.room.db, served.room.people.desk, served.room.site));

test("what one node does, a screen at the other hears", async () => {
  const [set] = served.sets;
  const [acts, hears] = await Promise.all([deskThrough(served.app.origin), deskThrough(second.origin)]);
  const stream = await hears.listen();
  try {
    expect((await acts.handOut(await order(served.room, await served.room.seen([set!])))).data?.answer).toBe("done");
    expect(await stream.next()).toEqual({ act: "hand-out" });
  } finally {
    await stream.close();
  }
});

test("one set asked for at both nodes at once is one hire, and a repeat at the other node gets the first answer", async () => {
  const [, set] = served.sets;
  const [one, other] = await Promise.all([deskThrough(served.app.origin), deskThrough(second.origin)]);
  const wanted = await order(served.room, await served.room.seen([set!]));
  const answers = await Promise.all([one.handOut(wanted), other.handOut(wanted)]);
  expect(answers.map(({ data }) => data?.answer)).toEqual(["done", "done"]);
  expect(new Set(answers.map(({ data }) => (data?.answer === "done" ? data.hire : null))).size).toBe(1);
  const { rows } = await served.room.database.ownerPool.query<{ n: number }>("SELECT count(*)::int AS n FROM hire_line WHERE set_id = $1", [set!.id]);
  expect(rows).toEqual([{ n: 1 }]);
});

test("wrong passwords are counted together, whichever node they reach", async () => {
  const client = new DeskClient(second.origin, "nobody");
  const guesses = Array.from({ length: 30 }, (_, at) => new DeskClient(at % 2 === 0 ? served.app.origin : second.origin, "nobody").act("session.signIn", { login: "mira", password: `guess number ${at}` }));
  const statuses = (await Promise.all(guesses)).map(({ status }) => status);
  expect(statuses).toContain(429);
  expect(statuses.filter((status) => status === 401).length).toBeLessThanOrEqual(10);
  expect((await client.act("session.signIn", { login: "mira", password: "one guess more" })).status).toBe(429);
});

test("a session opened at one node is good at the other, and ended at one is ended at both", async () => {
  const token = await sessionToken(served.room.db, served.room.people.desk, served.room.site);
  const nodes = [new DeskClient(served.app.origin, token), new DeskClient(second.origin, token)];
  for (const node of nodes) expect((await node.ask("desk.outNow")).status).toBe(200);
  expect((await nodes[0]!.act("session.signOut")).status).toBe(200);
  for (const node of nodes) expect((await node.ask("desk.outNow")).status).toBe(401);
});

test("behind the proxy a page and its calls come from both nodes alike", async () => {
  const before = [...hitsOf];
  for (let round = 0; round < 4; round += 1) expect((await fetch(`${through}/api/health`)).status).toBe(200);
  const page = await (await fetch(`${through}/sign-in`)).text();
  const scripts = [...new Set([...page.matchAll(/\/_next\/static\/[^"'\\?]+?\.js/g)].map(([file]) => file))];
  expect(scripts.length).toBeGreaterThan(3);
  for (const file of scripts) expect((await fetch(`${through}${file}`)).status).toBe(200);
  expect(hitsOf.every((hits, node) => hits > before[node]!)).toBe(true);
});
