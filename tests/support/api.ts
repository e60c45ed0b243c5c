/**
 * The procedures as screens call them, without HTTP: each call is a request of its own, with the
 * cookies of the browser that makes it, and what the answer sets is kept for the next.
 */
import { randomBytes, randomUUID, scryptSync } from "node:crypto";
import type { HireTermsInput } from "@hangrail/api/inputs";
import { contextFor } from "@hangrail/api/context";
import { openKitRoom, type KitRoom as Served } from "@hangrail/api/kit-room";
import { appRouter } from "@hangrail/api/router";
import type { Access } from "@hangrail/api/trpc";
import { newToken, tokenHash } from "@hangrail/api/secrets";
import type { StaffRole } from "@hangrail/db/people-acts";
import { openSession } from "@hangrail/db/people-acts";
import type { Day } from "@hangrail/rules/calendar";
import { TRPCError } from "@trpc/server";
import type pg from "pg";
import { freshDatabase } from "./database.ts";
import { done, makeKitRoom, type KitRoom, type KitRoomOptions, type RoomSet } from "./kit-room.ts";

export type Caller = ReturnType<typeof appRouter.createCaller>;

/** One browser: it keeps its cookies as browsers do. */
export class Browser {
  readonly #cookies = new Map<string, string>();
  readonly #served: Served;
  /** Every Set-Cookie header it was sent, the newest last. */
  readonly sent: string[] = [];

  constructor(served: Served) {
    this.#served = served;
  }

  /** Every procedure by its name, each call with a context of its own. */
  get api(): Caller {
    return callsOf((path, input) => this.#ask(path, input)) as Caller;
  }

  /** A procedure by its path, with any input at all. */
  call(path: string, input: unknown): Promise<unknown> {
    return this.#ask(path.split("."), input);
  }

  /** The Cookie header of the next request. */
  get cookies(): string | null {
    return this.#cookies.size === 0 ? null : [...this.#cookies].map(([name, value]) => `${name}=${value}`).join("; ");
  }

  /** What it keeps under a cookie's name. */
  cookie(name: string): string | undefined {
    return this.#cookies.get(name);
  }

  setCookie(name: string, value: string | undefined): void {
    if (value === undefined) this.#cookies.delete(name);
    else this.#cookies.set(name, value);
  }

  async #ask(path: readonly string[], input: unknown): Promise<unknown> {
    const headers = new Headers();
    const ctx = await contextFor(this.#served, this.cookies, headers);
    try {
      return await procedureAt(appRouter.createCaller(ctx), path)(input);
    } finally {
      for (const line of headers.getSetCookie()) this.#keep(line);
    }
  }

  #keep(line: string): void {
    this.sent.push(line);
    const [pair = "", ...attributes] = line.split("; ");
    const at = pair.indexOf("=");
    this.setCookie(pair.slice(0, at), attributes.includes("Max-Age=0") ? undefined : pair.slice(at + 1));
  }
}

/** What a procedure declares of itself. */
export interface Declared {
  readonly path: string;
  readonly type: "query" | "mutation" | "subscription";
  /** Who may call it; undefined when it does not say. */
  readonly access: Access | undefined;
  /** The shape of its input as JSON schema; null when it takes none. */
  readonly input: JsonSchema | null;
}

/** As much of JSON schema as the inputs use. */
export interface JsonSchema {
  readonly type?: string | readonly string[];
  readonly format?: string;
  readonly pattern?: string;
  readonly enum?: readonly unknown[];
  readonly const?: unknown;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly minLength?: number;
  readonly maxLength?: number;
  readonly minItems?: number;
  readonly maxItems?: number;
  readonly items?: JsonSchema;
  readonly properties?: Readonly<Record<string, JsonSchema>>;
  readonly required?: readonly string[];
  readonly anyOf?: readonly JsonSchema[];
}

/** Every procedure there is. */
export function procedures(): readonly Declared[] {
  type Inner = { readonly type: Declared["type"]; readonly meta?: { readonly access?: Access }; readonly inputs: readonly { toJSONSchema(how: object): JsonSchema }[] };
  return Object.entries(appRouter._def.procedures as unknown as Record<string, { readonly _def: Inner }>).map(([path, { _def }]) => ({
    path,
    type: _def.type,
    access: _def.meta?.access,
    input: _def.inputs[0]?.toJSONSchema({ io: "input", unrepresentable: "any" }) ?? null,
  }));
}

type Call = (input: unknown) => Promise<unknown>;

/** The procedure of a caller at a path such as ["desk", "handOut"]. */
export function procedureAt(caller: Caller, path: readonly string[]): Call {
  return path.reduce<unknown>((at, name) => (at as Record<string, unknown>)[name], caller) as Call;
}

function callsOf(ask: (path: readonly string[], input: unknown) => Promise<unknown>, path: readonly string[] = []): unknown {
  return new Proxy(() => undefined, {
    // A promise is asked for its `then`; this is none.
    get: (_, name) => (typeof name === "symbol" || name === "then" ? undefined : callsOf(ask, [...path, name])),
    apply: (_, __, [input]: [unknown]) => ask(path, input),
  });
}

/** A kit room with the procedures on top. */
export interface ApiRoom {
  readonly room: KitRoom & { readonly sets: readonly RoomSet[] };
  readonly served: Served;
  readonly owner: pg.Pool;
  /** A browser without any cookie. */
  browser(): Browser;
  /** A browser at which a person is signed in, at their site unless another is named. */
  signedIn(staff: string, site?: string): Promise<Browser>;
  /** A browser at which the person of that role is signed in. */
  as(role: StaffRole): Promise<Browser>;
  /** So many sets that no test of the file has been given before, ready to go out. */
  fresh(count: number): RoomSet[];
  close(): Promise<void>;
}

export interface ApiRoomOptions extends KitRoomOptions {
  /** Milliseconds between two looks at whether the session of an open stream still stands. */
  readonly recheckMs?: number;
}

/** Sets a kit room up in a database of its own and opens the procedures on it. */
export async function makeApiRoom({ recheckMs, ...options }: ApiRoomOptions = {}): Promise<ApiRoom> {
  const room = await makeKitRoom(await freshDatabase(), options);
  const served = serve(room.database.url, recheckMs);
  const signedIn = async (staff: string, site = room.site): Promise<Browser> => {
    const browser = new Browser(served);
    const token = newToken();
    done(await openSession(served.db, { tokenHash: tokenHash(token), staff, site, device: null, openedWith: "password", hours: 12, replaces: null }));
    browser.setCookie("hangrail_session", token);
    return browser;
  };
  let given = 0;
  return {
    room,
    served,
    fresh(count) {
      given += count;
      const sets = room.sets.slice(given - count, given);
      if (sets.length < count) throw new Error("The room has too few sets for these tests.");
      return sets;
    },
    owner: room.database.ownerPool,
    browser: () => new Browser(served),
    signedIn,
    as: (role) => signedIn(room.people[role]),
    async close() {
      await Promise.all([served.close(), room.db.close()]);
    },
  };
}

/** What the procedures stand on, opened on a database by its address. */
export function serve(url: string, recheckMs?: number): Served {
  const settings = { appUrl: url, ownerUrl: null, actConnections: 10, readConnections: 10 };
  return openKitRoom(settings, recheckMs === undefined ? {} : { recheckMs });
}

/** The password and the PIN of everybody in the room. */
export const PASSWORD = "brass kettle on the quay";
export const PIN = "274918";

/** Their hashes, cheap to check: what a hash costs stands in it, and the true cost would take half a second a sign-in. */
export function secrets(): { readonly passwordHash: string; readonly pinHash: string } {
  return { passwordHash: cheaplyHashed(PASSWORD), pinHash: cheaplyHashed(PIN) };
}

function cheaplyHashed(secret: string): string {
  const [n, r, p] = [16, 8, 1];
  const salt = randomBytes(16);
  const key = scryptSync(secret, salt, 32, { N: n, r, p });
  return ["scrypt", n, r, p, salt.toString("base64url"), key.toString("base64url")].join("$");
}

/** A hire as the desk enters it, which suits every ready set of the room. */
export function terms(backOn: Day, over: Partial<HireTermsInput> = {}): HireTermsInput {
  return { backOn, dives: 2, minutes: null, teaching: false, cylinder: { connection: "din-232", bar: 232 }, o2Tenths: 210, waterTenthsC: 180, depthM: 18, ...over };
}

export const aRequest = (): string => randomUUID();

/** The code a call failed with, or "answered". Anything but an error of the API is thrown on. */
export async function codeOf(call: Promise<unknown>): Promise<TRPCError["code"] | "answered"> {
  try {
    await call;
    return "answered";
  } catch (error) {
    if (error instanceof TRPCError) return error.code;
    throw error;
  }
}

/** The error of a call that has to fail. */
export async function failure(call: Promise<unknown>): Promise<TRPCError> {
  try {
    await call;
  } catch (error) {
    if (error instanceof TRPCError) return error;
    throw error;
  }
  throw new Error("The call was answered.");
}

/** Notes of refusals, counts of wrong tries, signs of life and what the beat of the clock brings up to date are no facts of the kit room. */
const NO_FACTS = ["security_log", "attempt_limit", "session", "clock_mark", "test_clock", "exposure_month", "exposure_mark"];

/** A digest of every row of every table of facts: two alike mean that nothing was written between them. */
export async function digestOf(owner: pg.Pool, except: readonly string[] = NO_FACTS): Promise<string> {
  const tables = await tablesOf(owner, except);
  const { rows } = await owner.query<{ digest: string }>(
    `SELECT md5(string_agg(part, ' ' ORDER BY part)) AS digest FROM (${tables
      .map((table) => `SELECT '${table} ' || coalesce(md5(string_agg(x::text, ' ' ORDER BY x::text)), 'empty') AS part FROM ${table} x`)
      .join(" UNION ALL ")}) parts`,
  );
  return rows[0]!.digest;
}

/** How many rows every table of facts has. */
export async function rowCounts(owner: pg.Pool, except: readonly string[] = NO_FACTS): Promise<Record<string, number>> {
  const tables = await tablesOf(owner, except);
  const { rows } = await owner.query<{ name: string; rows: number }>(tables.map((table) => `SELECT '${table}' AS name, count(*)::int AS rows FROM ${table}`).join(" UNION ALL "));
  return Object.fromEntries(rows.map(({ name, rows: count }) => [name, count]));
}

async function tablesOf(owner: pg.Pool, except: readonly string[]): Promise<string[]> {
  const { rows } = await owner.query<{ name: string }>("SELECT table_name AS name FROM information_schema.tables WHERE table_schema = 'public' AND table_type = 'BASE TABLE' ORDER BY 1");
  return rows.map(({ name }) => name).filter((name) => !except.includes(name));
}
