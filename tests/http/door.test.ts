/** The one HTTP door and what stands around it: other sites' pages, large and many calls, headers, pages without a session, and what a stream tells whom. */
import { randomUUID } from "node:crypto";
import { endSession } from "@hangrail/db/people-acts";
import { findSession } from "@hangrail/db/sessions";
import { tokenHash } from "@hangrail/api/secrets";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { SESSION_COOKIE, sessionToken } from "../support/sign-in.ts";
import { DeskClient, type Stream } from "../support/desk-client.ts";
import { order, serveRoom, type ServedRoom } from "./rig.ts";

let served: ServedRoom;
let origin: string;
/** The cookie of a signed-in desk hand. */
let cookie: string;
/** A screen whose session ended while its stream was open. */
let ended: { screen: DeskClient; stream: Stream };

beforeAll(async () => {
  served = await serveRoom({ sets: 4 });
  origin = served.app.origin;
  const { room } = served;
  cookie = (await served.signedIn(room.people.desk)).cookie;
  const token = await sessionToken(room.db, room.people.technician, room.site);
  const screen = new DeskClient(origin, token);
  ended = { screen, stream: await screen.listen() };
  await endSession(room.db, (await findSession(room.db, tokenHash(token), { pin: 10, password: 60 }))!.id);
}, 120_000);
afterAll(() => served.stop());

const json = { "content-type": "application/json" };
const hits = (path: string, init: RequestInit = {}): Promise<Response> => fetch(`${origin}${path}`, { redirect: "manual", ...init });
const call = (path: string, headers: Record<string, string>, body: BodyInit = "{}"): Promise<Response> =>
  hits(`/api/trpc/${path}`, { method: "POST", headers: { cookie, ...headers }, body });

/** A refusal is a sentence for people, and shows nothing of the inside. */
async function expectRefused(answer: Response, status: number): Promise<void> {
  const body = await answer.text();
  expect([answer.status, body]).toEqual([status, expect.stringMatching(/"message":"[A-Z]/)]);
  expectNothingInside(body);
}

function expectNothingInside(body: string): void {
  expect(body).not.toMatch(/"stack"|node_modules|\/apps\/web\/|at async |\bSELECT\b|postgres(ql)?:/);
}

const reportFault = async () => JSON.stringify({ requestId: randomUUID(), setId: served.sets[3]!.id, code: "SS-02", component: null, where: "desk", words: "From elsewhere" });
const faults = async (): Promise<number> => (await served.room.database.ownerPool.query<{ n: number }>("SELECT count(*)::int AS n FROM fault")).rows[0]!.n;

describe("a call that our own screens would not make", () => {
  test.each([
    ["another origin", { ...json, origin: "https://elsewhere.example" }],
    ["no origin at all to speak of", { ...json, origin: "null" }],
    ["the same name on another port", { ...json, origin: "http://127.0.0.1:1" }],
    ["another site by the browser's own word", { ...json, "sec-fetch-site": "cross-site" }],
    ["a neighbour of the same site", { ...json, "sec-fetch-site": "same-site" }],
  ])("from %s acts nothing", async (_, headers) => {
    await expectRefused(await call("bench.reportFault", headers, await reportFault()), 403);
    expect(await faults()).toBe(0);
  });

  test.each([["text/plain"], ["application/x-www-form-urlencoded"], ["application/octet-stream"], ["multipart/form-data; boundary=x"]])("as %s, which forms can send, acts nothing", async (type) => {
    await expectRefused(await call("bench.reportFault", { "content-type": type }, await reportFault()), 415);
    expect(await faults()).toBe(0);
  });

  test("as a real form with a file acts nothing", async () => {
    const form = new FormData();
    form.set("setId", served.sets[3]!.id);
    await expectRefused(await hits("/api/trpc/session.signOut", { method: "POST", headers: { cookie }, body: form }), 415);
    expect((await hits("/api/trpc/sets.outOfService", { headers: { cookie } })).status).toBe(200);
  });

  test("reads no act by GET", async () => {
    const input = encodeURIComponent(await reportFault());
    const answer = await hits(`/api/trpc/bench.reportFault?input=${input}`, { headers: { cookie } });
    expect(answer.status).toBe(405);
    expectNothingInside(await answer.text());
    expect(await faults()).toBe(0);
  });

  test.each(["PUT", "DELETE", "PATCH"])("by %s is not answered", async (method) => {
    expect((await hits("/api/trpc/session.signOut", { method, headers: { cookie, ...json } })).status).toBe(405);
  });

  test("from our own page it acts", async () => {
    const answer = await call("bench.reportFault", { ...json, origin, "sec-fetch-site": "same-origin" }, await reportFault());
    expect(answer.status).toBe(200);
    expect(await faults()).toBe(1);
  });
});

describe("many and large", () => {
  const batchOf = (count: number) => hits(`/api/trpc/${Array.from({ length: count }, () => "session.whoAmI").join(",")}?batch=1&input=%7B%7D`, { headers: { cookie } });

  test("ten calls in a request are answered, eleven are not", async () => {
    expect((await batchOf(10)).status).toBe(200);
    await expectRefused(await batchOf(11), 400);
  });

  test("a body of nine megabytes is not read", async () => {
    const large = JSON.stringify({ words: "x".repeat(9 * 1024 * 1024) });
    await expectRefused(await call("bench.reportFault", json, large), 413);
  });

  test("nor is one that does not say how long it is", async () => {
    const piece = new TextEncoder().encode("x".repeat(1024 * 1024));
    let sent = 0;
    const body = new ReadableStream<Uint8Array>({
      pull(controller) {
        if (sent === 12) controller.close();
        else controller.enqueue(piece);
        sent += 1;
      },
    });
    const answer = await fetch(`${origin}/api/trpc/bench.reportFault`, { method: "POST", headers: { cookie, ...json }, body, duplex: "half" } as RequestInit).catch(() => null);
    // The server may close on a sender that goes on sending; what it may not do is take it.
    if (answer !== null) await expectRefused(answer, 413);
    expect((await hits("/api/trpc/session.whoAmI")).status).toBe(200);
  });

  test("two hand-outs of one set in one batch are one hire", async () => {
    const seen = await served.room.seen([served.sets[0]!]);
    const both = { 0: await order(served.room, seen), 1: await order(served.room, seen, { hirer: "Guest of cabin 8" }) };
    const answer = await call("desk.handOut,desk.handOut?batch=1", json, JSON.stringify(both));
    const said = ((await answer.json()) as { result: { data: { answer: string } } }[]).map((one) => one.result.data.answer);
    expect(said.filter((one) => one === "done")).toHaveLength(1);
    expect(said.filter((one) => one === "stale" || one === "hold")).toHaveLength(1);
    const { rows } = await served.room.database.ownerPool.query("SELECT FROM hire_line WHERE set_id = $1", [served.sets[0]!.id]);
    expect(rows).toHaveLength(1);
  });
});

describe("what an error tells", () => {
  test.each([
    ["no such procedure", "desk.overrideHold", "{}", 404],
    ["no JSON", "bench.reportFault", "{", 400],
    ["a key too many", "washRoom.emptyBath", JSON.stringify({ bathId: randomUUID(), force: true }), 400],
    ["a key of the language itself", "washRoom.emptyBath", `{"bathId":"${randomUUID()}","__proto__":{"x":1}}`, 400],
    ["an id that is none", "bench.clearFault", JSON.stringify({ requestId: randomUUID(), faultId: "1; DROP TABLE fault", outcome: "mended", words: "x", opened: false }), 400],
  ])("%s: a status and nothing of the inside", async (_, path, body, status) => {
    const wash = (await served.signedIn(served.room.people["wash-room"])).cookie;
    const answer = await call(path, { ...json, ...(path.startsWith("washRoom") ? { cookie: wash } : {}) }, body);
    expect(answer.status).toBe(status);
    expectNothingInside(await answer.text());
  });

  test("something that breaks inside has a number to quote, and no more", async () => {
    const { ownerPool } = served.room.database;
    await ownerPool.query("ALTER FUNCTION heart_holds RENAME TO heart_gone");
    const answer = await call("desk.handOut", json, JSON.stringify(await order(served.room, await served.room.seen([served.sets[1]!]))));
    await ownerPool.query("ALTER FUNCTION heart_gone RENAME TO heart_holds");
    const body = await answer.text();
    expect(answer.status).toBe(500);
    const reference = /Something went wrong here \(([0-9a-f]{8})\)\. Nothing was done\./.exec(body)?.[1];
    expect(reference).toBeDefined();
    expectNothingInside(body);
    expect(body).not.toContain("heart");
    // Whoever keeps the log finds it there.
    await expect.poll(() => served.app.output()).toContain(reference!);
  });
});

const pages = ["/", "/today", "/desk", "/desk/back", "/wash-room", "/bench", "/sets", "/sets/R-001", "/models", "/centre", "/sign-in", "/first-run"];

async function scriptsOf(path: string): Promise<string[]> {
  const html = await (await fetch(`${origin}${path}`, { headers: { cookie } })).text();
  return [...new Set([...html.matchAll(/(?:src|href)="(\/_next\/static\/[^"]+?\.(?:js|css))(?:\?[^"]*)?"/g)].map((match) => match[1]!))];
}

describe("headers", () => {
  const nonceOf = (answer: Response): string | undefined => /'nonce-([^']+)'/.exec(answer.headers.get("content-security-policy") ?? "")?.[1];

  function expectGuarded(answer: Response): void {
    expect(answer.headers.get("x-content-type-options")).toBe("nosniff");
    expect(answer.headers.get("referrer-policy")).toBe("same-origin");
    expect(answer.headers.get("x-frame-options")).toBe("DENY");
    expect(answer.headers.has("x-powered-by")).toBe(false);
    expect(answer.headers.get("permissions-policy")).toContain("geolocation=()");
  }

  test.each([...pages, "/no-such-page", "/sets/NO-SUCH-SET"])("%s: its own nonce, no frame, not kept", async (path) => {
    const [one, two] = await Promise.all([hits(path, { headers: { cookie } }), hits(path, { headers: { cookie } })]);
    for (const answer of [one, two]) {
      expectGuarded(answer);
      const policy = answer.headers.get("content-security-policy") ?? "";
      for (const part of ["default-src 'self'", "'strict-dynamic'", "object-src 'none'", "base-uri 'none'", "frame-ancestors 'none'", "form-action 'self'"]) expect(policy).toContain(part);
      expect(policy).not.toMatch(/script-src[^;]*unsafe/);
      expect(answer.headers.get("cache-control")).toContain("no-store");
    }
    expect(nonceOf(one)).toBeDefined();
    expect(nonceOf(one)).not.toBe(nonceOf(two));
    const html = await one.text();
    const bare = [...html.matchAll(/<script(?![^>]*\bnonce=)[^>]*>/g)].map(([tag]) => tag);
    expect(bare).toEqual([]);
  });

  test("/no-such-page is a 404 page in words", async () => {
    const answer = await hits("/no-such-page");
    expect(answer.status).toBe(404);
    expect(await answer.text()).toMatch(/<h1/);
  });

  test("data is guarded and not kept", async () => {
    const answer = await hits("/api/trpc/session.whoAmI");
    expectGuarded(answer);
    expect(answer.headers.get("content-security-policy")).toContain("default-src 'none'");
    expect(answer.headers.get("cache-control")).toContain("no-store");
    expect(answer.headers.get("access-control-allow-origin")).toBeNull();
  });

  test("health says ready to anybody, and nothing more", async () => {
    const answer = await hits("/api/health");
    expectGuarded(answer);
    expect([answer.status, await answer.json()]).toEqual([200, { health: "ready" }]);
    expect(answer.headers.get("cache-control")).toContain("no-store");
  });

  test("built files are guarded", async () => {
    const files = await scriptsOf("/desk");
    expect(files.length).toBeGreaterThan(3);
    for (const file of files) expectGuarded(await hits(file));
    expectGuarded(await hits("/_next/static/no-such-file.js"));
  });

  test("transport security is asked for where people come by https, and only there", async () => {
    expect((await hits("/sign-in")).headers.has("strict-transport-security")).toBe(false);
    expect((await hits("/sign-in", { headers: { "x-forwarded-proto": "https" } })).headers.get("strict-transport-security")).toContain("max-age=31536000");
  });
});

describe("without a session", () => {
  // The tag in the address comes back with the page; everything else would have to come from the database.
  const secret = () => [...served.sets.slice(1).map(({ tag }) => tag), "FI0000", "Beck 10", "Dina Marsh", "Harbour Dive Centre", "Guest of cabin"];
  const ways: readonly [string, string, Record<string, string>][] = [
    ["plainly", "", {}],
    ["as the router's data", "", { rsc: "1" }],
    ["as the router's data, prefetched", "", { rsc: "1", "next-router-prefetch": "1", "next-router-segment-prefetch": "/_tree" }],
    ["with the router's query", "?_rsc=x", { rsc: "1" }],
    ["as one who says the middleware has run", "", { "x-middleware-subrequest": "proxy:proxy:proxy:proxy:proxy" }],
    ["as one who says so in the old way", "", { "x-middleware-subrequest": "src/proxy:src/proxy:src/proxy:src/proxy:src/proxy" }],
    ["by the data's own address", ".rsc", {}],
    ["by a segment's address", ".segments/_tree.segment.rsc", {}],
    ["with a session that is none", "", { cookie: `${SESSION_COOKIE}=nobody` }],
  ];

  test.each(ways)("asked %s, no page gives anything away", async (_, suffix, headers) => {
    for (const page of pages.filter((path) => !["/", "/sign-in", "/first-run"].includes(path))) {
      const answer = await hits(`${page}${suffix}`, { headers });
      const body = await answer.text();
      expect(secret().filter((word) => body.includes(word))).toEqual([]);
      expect(answer.status).toBeLessThan(500);
    }
  });

  test("nor does a read or a stream", async () => {
    for (const path of ["today.summary", "sets.outOfService", "models.list", "site.get", "desk.outNow", "fleet.export"]) {
      await expectRefused(await hits(`/api/trpc/${path}`), 401);
    }
    const stream = await new DeskClient(origin, "nobody").listen();
    await expect(stream.next()).rejects.toThrow("UNAUTHORIZED");
    await stream.close();
  });

  test("the image optimiser fetches nothing for anybody", async () => {
    for (const url of ["http://127.0.0.1:1/x.png", "/sets", "https://elsewhere.example/x.png"]) {
      expect((await hits(`/_next/image?url=${encodeURIComponent(url)}&w=64&q=75`)).status).toBeGreaterThanOrEqual(400);
    }
  });
});

describe("what is sent to browsers", () => {
  test("no source map is served and no server code or secret is in the scripts", async () => {
    const files = new Set<string>();
    for (const page of pages) for (const file of await scriptsOf(page)) files.add(file);
    expect(files.size).toBeGreaterThan(5);
    for (const file of files) {
      const text = await (await hits(file)).text();
      expect(text).not.toMatch(/sourceMappingURL/);
      for (const word of ["DATABASE_URL", "HANGRAIL_SETUP_CODE", "pg-pool", "node-postgres", "hangrail_app", "hand_out(", "scrypt", "PrismaClient"]) expect(`${file} ${text.includes(word) ? word : ""}`).toBe(`${file} `);
      expect((await hits(`${file}.map`)).status).toBe(404);
    }
  });
});

describe("the search for a plan", () => {
  const search = { weeks: 26, dueBy: "low", locks: [], whatIf: { away: [], lateKits: [], demand: [] }, seconds: 5, relativeGap: 0.005 };
  const ask = (who: string, body: unknown, headers: Record<string, string> = {}) =>
    hits("/api/plan/solve", { method: "POST", headers: { ...json, cookie: who, ...headers }, body: typeof body === "string" ? body : JSON.stringify(body) });

  test("is told a line at a time, and ends with its answer", async () => {
    const manager = await served.signedIn(served.room.people.manager);
    const answer = await ask(manager.cookie, search);
    expect([answer.status, answer.headers.get("cache-control")]).toEqual([200, "no-store"]);
    const events = (await answer.text()).trimEnd().split("\n").map((line) => JSON.parse(line) as { event: string; answer?: string });
    expect(events.at(-1)).toMatchObject({ event: "answer", answer: "plan" });
    expect(events.slice(0, -1).every(({ event }) => event === "progress")).toBe(true);
  });

  test("is refused like any call: nobody, the desk, another origin, a form, what is no search, what is no JSON", async () => {
    const manager = await served.signedIn(served.room.people.manager);
    await expectRefused(await ask("", search), 401);
    await expectRefused(await ask(cookie, search), 403);
    await expectRefused(await ask(manager.cookie, search, { origin: "https://elsewhere.example" }), 403);
    await expectRefused(await ask(manager.cookie, search, { "content-type": "text/plain" }), 415);
    const tooFar = await ask(manager.cookie, { ...search, weeks: 4_000 });
    expect([tooFar.status, await tooFar.json()]).toEqual([400, { error: { message: "weeks: Weeks: at most 52." } }]);
    await expectRefused(await ask(manager.cookie, "{"), 400);
    expect((await hits("/api/plan/solve", { headers: { cookie: manager.cookie } })).status).toBe(405);
  });
});

describe("the live stream", () => {
  test("tells one desk what another did, and nothing of another site", async () => {
    const { room, sets } = served;
    const elsewhere = await room.openSite("Lake Dive Centre");
    const [hears, acts, far] = await Promise.all([served.signedIn(room.people.desk), served.signedIn(room.people.desk), served.signedIn(room.people.manager, elsewhere)]);
    const [here, there] = await Promise.all([hears.listen(), far.listen()]);
    try {
      expect((await acts.handOut(await order(room, await room.seen([sets[2]!])))).data?.answer).toBe("done");
      expect(await here.next()).toEqual({ act: "hand-out" });
      // An act at the far site itself is the first thing heard there: nothing from here came before it.
      await far.act("site.setPolicy", { beddingDays: 77 });
      expect((await there.next())?.act).toBe("set-policy");
    } finally {
      await Promise.all([here.close(), there.close()]);
    }
  });

  test("of a session that ended says nothing more, and is not opened again", async () => {
    const { screen, stream } = ended;
    // It stood open since the beginning of this file; its session ended then. It is looked at twice a minute.
    while ((await stream.next()) !== null);
    const again = await screen.listen();
    await expect(again.next()).rejects.toThrow("UNAUTHORIZED");
    await again.close();
  }, 60_000);
});
