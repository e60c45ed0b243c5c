/** What goes wrong is told in words, without a word of its cause; what cannot be meant is refused and writes nothing. */
import { contextFor } from "@hangrail/api/context";
import { appRouter } from "@hangrail/api/router";
import { DatabaseBusy, handOut, mixBath, startWash } from "@hangrail/db/acts";
import { reportFault } from "@hangrail/db/bench-acts";
import { enrolDevice } from "@hangrail/db/people-acts";
import { addDays } from "@hangrail/rules/calendar";
import { fetchRequestHandler } from "@trpc/server/adapters/fetch";
import { TRPCError } from "@trpc/server";
import fc from "fast-check";
import { afterAll, afterEach, beforeAll, describe, expect, test, vi } from "vitest";
import { digestOf, makeApiRoom, PASSWORD, PIN, procedures, secrets, aRequest, type ApiRoom, type Browser, type Declared, type JsonSchema } from "../support/api.ts";
import { aHire, done } from "../support/kit-room.ts";

let at: ApiRoom;
/** Ids and words that mean something here, so that malformed input also stands beside good. */
let known: { readonly ids: readonly string[]; readonly words: readonly string[] };
beforeAll(async () => {
  at = await makeApiRoom({ sets: 5, secrets: secrets() });
  const { room } = at;
  const [out, faulty, washing] = room.sets.slice(1);
  const backOn = addDays(await room.today(), 3);
  const { hire } = done(await handOut(room.db, room.by("desk"), aHire(backOn), await room.seen([out!])));
  const { fault } = done(await reportFault(room.db, room.by("desk"), faulty!.id, { code: "SS-02", severity: "out", component: null, where: "desk", words: "" }));
  const { bath } = done(await mixBath(room.db, room.by("wash-room"), { product: room.product, label: "Tub", lot: null, productMl: 100, waterMl: 9_900 }));
  await (await at.as("desk")).api.washRoom.breathTested({ requestId: aRequest(), setId: washing!.id, words: "" });
  const { run } = done(await startWash(room.db, room.by("wash-room"), bath, [washing!.id]));
  const { device } = done(await enrolDevice(room.db, room.by("manager"), "Tablet", Buffer.from("a token of the tablet")));
  const ids = [room.site, hire, fault, bath, run, device, room.product, ...Object.values(room.models), ...Object.values(room.people), ...room.sets.map(({ id }) => id), ...Object.values(room.sets[0]!.parts), ...Object.values(out!.parts)];
  known = { ids, words: [...room.sets.map(({ tag }) => tag), "mira", PASSWORD, PIN, backOn, "Europe/Malta", "Tarnfell", "Beck 10"] };
});
afterAll(() => at.close());
afterEach(() => vi.unstubAllEnvs());

describe("an unknown failure", () => {
  const SECRET = "column secret_sauce of relation kettle";

  /** Asks through the same adapter that the HTTP door uses, and answers what a browser would be sent. */
  async function sent(path: string, browser: Browser, spoil: (served: ApiRoom["served"]) => ApiRoom["served"]): Promise<{ status: number; text: string; logged: string }> {
    const logged: string[] = [];
    const spy = vi.spyOn(process.stderr, "write").mockImplementation((line) => logged.push(String(line)) > 0);
    try {
      const response = await fetchRequestHandler({
        endpoint: "/api/trpc",
        req: new Request(`http://kitroom.example/api/trpc/${path}`, { headers: { cookie: browser.cookies ?? "" } }),
        router: appRouter,
        createContext: async ({ resHeaders }) => {
          const ctx = await contextFor(at.served, browser.cookies, resHeaders);
          return { ...ctx, room: spoil(ctx.room) };
        },
      });
      return { status: response.status, text: await response.text(), logged: logged.join("") };
    } finally {
      spy.mockRestore();
    }
  }
  const failing = (error: Error) => (served: ApiRoom["served"]) => ({ ...served, db: { ...served.db, reads: Object.assign(Object.create(served.db.reads) as typeof served.db.reads, { query: () => Promise.reject(error) }) } });

  test("shows no text of its cause, only a number that stands in the log beside it", async () => {
    const { status, text, logged } = await sent("desk.outNow", await at.as("desk"), failing(Object.assign(new Error(SECRET), { code: "42703" })));
    expect(status).toBe(500);
    const { error } = JSON.parse(text) as { error: { message: string; data: Record<string, unknown> } };
    expect(error.message).toMatch(/^Something went wrong here \([0-9a-f]{8}\)\. Nothing was done\.$/);
    expect(text).not.toMatch(/secret_sauce|kettle|42703|\.ts|stack|at /);
    expect(error.data).toEqual({ code: "INTERNAL_SERVER_ERROR", httpStatus: 500, path: "desk.outNow", fields: null });
    const line = JSON.parse(logged) as { reference: string; error: string; path: string };
    expect(error.message).toContain(line.reference);
    expect(line).toMatchObject({ level: "error", path: "desk.outNow" });
    expect(line.error).toContain(SECRET);
  });

  test("of a database that is busy or away says so and what to do", async () => {
    const { status, text } = await sent("desk.outNow", await at.as("desk"), failing(new DatabaseBusy(SECRET)));
    expect(status).toBe(503);
    expect(text).toContain("The database did not answer in time. Please try again.");
    expect(text).not.toContain("secret_sauce");
  });

  test("of a session that could not be looked up says the same, though no procedure has begun", async () => {
    const away = failing(Object.assign(new Error(SECRET), { code: "EPIPE" }))(at.served);
    await expect(contextFor(away, (await at.as("desk")).cookies, new Headers())).rejects.toMatchObject({ code: "SERVICE_UNAVAILABLE", message: "The database did not answer in time. Please try again." });
  });

  test("of a full disk says whom it takes", async () => {
    const { status, text } = await sent("desk.outNow", await at.as("desk"), failing(Object.assign(new Error(SECRET), { code: "53100" })));
    expect(status).toBe(503);
    expect(text).toContain("The server's disk is full. Nothing was done, and nothing can be recorded until somebody frees some space there.");
    expect(text).not.toContain("secret_sauce");
  });

  test.each(["EPIPE", "ECONNRESET", "57P03"])("of a connection that ends with %s is no failure of ours", async (code) => {
    expect((await sent("desk.outNow", await at.as("desk"), failing(Object.assign(new Error(SECRET), { code })))).status).toBe(503);
  });

  test("of a read by a lost connection says the same", async () => {
    const { status, text } = await sent("today.summary", await at.as("desk"), failing(Object.assign(new Error(SECRET), { code: "57P01" })));
    expect(status).toBe(503);
    expect(text).toContain("The database did not answer in time.");
    expect(text).not.toContain("secret_sauce");
  });

  test("of input names each field, for the screen to put the words beside it", async () => {
    const input = encodeURIComponent(JSON.stringify({ tag: "no tag!", more: 1 }));
    const { status, text } = await sent(`sets.one?input=${input}`, await at.as("desk"), (served) => served);
    expect(status).toBe(400);
    const { error } = JSON.parse(text) as { error: { message: string; data: { fields: Record<string, string> } } };
    expect(error.data.fields).toMatchObject({ tag: "A tag is 1 to 20 letters, digits and hyphens." });
    expect(error.message).toContain("tag: A tag is 1 to 20 letters, digits and hyphens.");
  });
});

// ── Malformed input ──

const LONG = "x".repeat(20_000);
/** Things that a string, a number or a list never is, and things that pass for one and are not. */
const ODD = fc.constantFrom<unknown>(
  null, undefined, true, -1, 0, 1.5, 2 ** 31, 2 ** 53, Number.NaN, Number.POSITIVE_INFINITY, -0, "", " ", "\u0000", "a\u0000b", "\ud800", "a\udfff", "\u202e", "’; DROP TABLE site; --", "' OR 1=1", "%", "\\", LONG,
  "9999-12-31", "1900-01-01", "0000-00-00", "00000000-0000-0000-0000-000000000000", "ffffffff-ffff-ffff-ffff-ffffffffffff", "+05:30", "UTC", [], [[]], {}, new Date(0), 10n, Symbol.iterator, () => 1,
  JSON.parse('{"__proto__": {"roles": ["manager"]}}'), JSON.parse('{"constructor": {"prototype": {"x": 1}}}'), { toString: 1 }, { length: 3 }, "__proto__", "constructor",
);

/** Values that keep to a schema, or nearly: the edges of ranges, ids that exist and ids that do not. */
function near(schema: JsonSchema): fc.Arbitrary<unknown> {
  if (schema.anyOf) return fc.oneof(...schema.anyOf.map(near));
  if (schema.const !== undefined) return fc.constant(schema.const);
  if (schema.enum) return fc.constantFrom(...schema.enum);
  if (Array.isArray(schema.type)) return fc.oneof(...(schema.type as string[]).map((type) => near({ ...schema, type })));
  switch (schema.type) {
    case "object":
      return fc.record(Object.fromEntries(Object.entries(schema.properties ?? {}).map(([name, value]) => [name, near(value)])), { requiredKeys: [...(schema.required ?? [])] });
    case "array":
      return fc.array(near(schema.items ?? {}), { minLength: schema.minItems ?? 0, maxLength: Math.min(schema.maxItems ?? 3, 3) });
    case "integer":
    case "number":
      return fc.constantFrom(schema.minimum ?? 0, schema.maximum ?? 9, Math.min(schema.maximum ?? 7, (schema.minimum ?? 0) + 1));
    case "boolean":
      return fc.boolean();
    case "null":
      return fc.constant(null);
    default:
      return words(schema);
  }
}

function words({ format, maxLength = 60, minLength = 0 }: JsonSchema): fc.Arbitrary<string> {
  if (format === "uuid") return fc.oneof({ weight: 5, arbitrary: fc.constantFrom(...known.ids) }, { weight: 1, arbitrary: fc.uuid({ version: 4 }) });
  if (format === "base64") return fc.constantFrom("", Buffer.from("Set tag,Position,Maker,Model,Serial\r\nA-1,primary,M,N,1\r\n").toString("base64"), Buffer.from([0, 255, 254]).toString("base64"), Buffer.from("PK\u0003\u0004").toString("base64"));
  return fc.oneof(fc.constantFrom(...known.words), fc.string({ minLength, maxLength: Math.min(maxLength, 60), unit: "binary" }), fc.constant("y".repeat(Math.min(maxLength, 20_000))));
}

/** The same value with one place in it spoilt: another value, a key too many, a key too few. */
function spoilt(value: unknown): fc.Arbitrary<unknown> {
  if (typeof value !== "object" || value === null) return ODD;
  const entries = Object.entries(value);
  const replace = entries.length === 0 ? ODD : fc.constantFrom(...entries).chain(([key, inner]) => spoilt(inner).map((odd) => withKey(value, key, odd)));
  const extra = fc.tuple(fc.constantFrom("__proto__", "constructor", "siteId", "staff", "role", "access", "seq2"), ODD).map(([key, odd]) => withKey(value, key, odd));
  const fewer = entries.length === 0 ? ODD : fc.constantFrom(...entries).map(([key]) => withoutKey(value, key));
  return fc.oneof({ weight: 4, arbitrary: replace }, { weight: 1, arbitrary: extra }, { weight: 1, arbitrary: fewer }, { weight: 1, arbitrary: ODD });
}

function withKey(value: object, key: string, to: unknown): unknown {
  const copy: object = Array.isArray(value) ? [...(value as unknown[])] : { ...value };
  // As JSON.parse makes it: a key of the object's own, whatever its name.
  Object.defineProperty(copy, key, { value: to, enumerable: true, configurable: true, writable: true });
  return copy;
}
function withoutKey(value: object, key: string): unknown {
  return Array.isArray(value) ? (value as unknown[]).filter((_, index) => String(index) !== key) : Object.fromEntries(Object.entries(value).filter(([name]) => name !== key));
}

const TYPED = new Set<string>(["BAD_REQUEST", "UNAUTHORIZED", "NOT_FOUND", "FORBIDDEN", "CONFLICT", "PRECONDITION_FAILED", "TOO_MANY_REQUESTS"]);

/** Calls and says what came of it: a typed error, or the word of the answer. Anything else fails. */
async function outcome(browser: Browser, path: string, input: unknown): Promise<string> {
  try {
    const answer = await browser.call(path, input);
    return typeof answer === "object" && answer !== null && "answer" in answer ? String(answer.answer) : "read";
  } catch (error) {
    if (error instanceof TRPCError && TYPED.has(error.code)) return error.code;
    throw new Error(`${path} broke`, { cause: error });
  }
}

/** Everybody who may call it is the manager of the room, who holds every role. */
async function everything(): Promise<Browser> {
  // An earlier procedure's good input may have taken a role, the account or the tries away.
  const { people, site, database } = at.room;
  await database.ownerPool.query("UPDATE staff SET closed_at = NULL WHERE id = $1", [people.manager]);
  await database.ownerPool.query("INSERT INTO staff_role (staff_id, site_id, role) SELECT $1, $2, r FROM unnest(ARRAY['desk', 'wash-room', 'technician', 'manager']) r ON CONFLICT DO NOTHING", [people.manager, site]);
  await database.ownerPool.query("DELETE FROM attempt_limit");
  const browser = await at.as("manager");
  browser.setCookie("hangrail_device", undefined);
  return browser;
}

/** The fullest value of a schema, and every place in it where a text stands. */
function filled(schema: JsonSchema): unknown {
  if (schema.anyOf) return filled(schema.anyOf.find(({ type }) => type !== "null")!);
  if (schema.const !== undefined || schema.enum) return schema.const ?? schema.enum![0];
  const type = Array.isArray(schema.type) ? (schema.type as string[]).find((one) => one !== "null") : schema.type;
  if (type === "object") return Object.fromEntries(Object.entries(schema.properties ?? {}).map(([name, value]) => [name, filled(value)]));
  if (type === "array") return [filled(schema.items ?? {})];
  if (type === "integer" || type === "number") return schema.minimum ?? 0;
  if (type === "boolean") return true;
  if (schema.format === "uuid") return known.ids[0];
  return schema.format === "base64" ? "" : "A1";
}
function* textPlaces(value: unknown, put: (text: string) => unknown = (text) => text): Generator<(text: string) => unknown> {
  if (typeof value === "string") yield put;
  else if (typeof value === "object" && value !== null) {
    for (const [key, inner] of Object.entries(value)) yield* textPlaces(inner, (text) => put(withKey(value, key, text) as string));
  }
}
const NASTY = ["\u0000", "A1\u0000", "\ud800", "A1\udfff", LONG, "__proto__", "’; DROP TABLE site; --"];

const withInput = procedures().filter((one) => one.input !== null);
// Each hashes passwords at their full cost when the input happens to be good: a few runs do.
const SLOW = new Set(["session.firstRun", "session.signIn", "session.switchPerson", "session.changeSecret", "people.add", "people.resetSecret"]);
const runsOf = ({ path }: Declared) => (SLOW.has(path) ? 25 : 50);

describe.each(withInput)("$path", { timeout: 120_000 }, (procedure) => {
  test("takes no nasty text in any place", async () => {
    vi.stubEnv("HANGRAIL_SETUP_CODE", "a code nobody guesses");
    const browser = await everything();
    let tried = 0;
    for (const put of textPlaces(filled(procedure.input!))) {
      for (const text of NASTY) {
        await outcome(browser, procedure.path, put(text));
        tried += 1;
      }
    }
    const hasText = JSON.stringify(procedure.input).includes('"string"');
    expect(tried > 0).toBe(hasText);
  });

  test("answers malformed input with a typed error or a refusal, and then writes nothing", async () => {
    vi.stubEnv("HANGRAIL_SETUP_CODE", "a code nobody guesses");
    const seen = new Map<string, number>();
    await everything();
    let digest: string | undefined = await digestOf(at.owner);
    await fc.assert(
      fc.asyncProperty(near(procedure.input!).chain((value) => fc.oneof({ weight: 3, arbitrary: spoilt(value) }, { weight: 1, arbitrary: fc.constant(value) })), async (input) => {
        const browser = await everything();
        // A digest over every table costs more than a call: for questions, which never write, one at the end does.
        const before = procedure.type === "query" ? null : (digest ?? (await digestOf(at.owner)));
        const word = await outcome(browser, procedure.path, input);
        seen.set(word, (seen.get(word) ?? 0) + 1);
        if (before === null) return;
        const after = await digestOf(at.owner);
        // What was written may be undone before the next run, as a role withdrawn is.
        digest = after === before ? after : undefined;
        // Some values are good after all; only what is answered "done" may have left a trace. A sheet leaves one of its import in any case.
        if (after !== before && procedure.path !== "fleet.record") expect(word).toBe("done");
      }),
      { numRuns: runsOf(procedure) },
    );
    if (procedure.type === "query") expect(await digestOf(at.owner)).toBe(digest);
    expect(seen.get("BAD_REQUEST") ?? 0).toBeGreaterThan(runsOf(procedure) / 10);
    expect(({} as Record<string, unknown>)["roles"]).toBeUndefined();
    expect(({} as Record<string, unknown>)["x"]).toBeUndefined();
  });
});
