/**
 * The acts, one SQL function each, one statement each: the database locks, checks, writes and appends
 * to the record by itself. No transaction is held open here, so nothing can commit half of an act.
 */
import type { Day } from "@hangrail/rules/calendar";
import type { Severity } from "@hangrail/rules/hand-out";
import type { Connection, ColdRating, ModelKind, Role } from "@hangrail/rules/models";
import type pg from "pg";
import type { Database } from "./database.ts";

/** Who acts, where, on which enrolled device, under which request id (for safe repeats). */
export interface Who {
  readonly staff: string;
  readonly site: string;
  readonly device: string | null;
  readonly request: string;
}

/** A refusal: a code for the screen's words, and the facts behind it. */
export interface Refused {
  readonly answer: "refused";
  readonly code: RefusalCode;
  readonly facts: Readonly<Record<string, unknown>>;
}

/** Every code with which an act may be refused. */
export const REFUSAL_CODES = [
  "request-reused", "same-set-twice", "no-such-set", "evidence-lock", "retired", "out", "not-out", "back-before-today",
  "problem-without-fault", "not-fitted", "no-such-fault", "already-cleared", "no-such-product", "bath-strength", "no-such-bath",
  "bath-emptied", "bath-expired", "already-clean", "already-washing", "product-not-approved", "no-such-run", "already-ended",
  "too-short", "still-in-bath", "still-drying", "not-washing", "name-taken", "no-such-model", "first-stage-needs-connection",
  "tag-taken", "no-such-component", "fitted-elsewhere", "part-has-fault", "position-taken", "set-changed", "no-such-site", "not-authorised", "already-released",
  "already-set-up", "login-taken", "no-such-person", "last-manager", "not-yourself", "works-elsewhere", "not-a-technician", "no-such-device",
  "attempts-used-up", "attempts-wait", "clock-behind", "clock-leap",
  "already-confirmed", "enough-photos", "no-such-kit", "no-such-kit-order", "no-such-gauge", "after-today", "order-exists", "no-such-order", "order-closed",
  "order-taken", "other-order-taken", "order-not-taken", "order-parked", "order-not-parked", "order-work-missing", "kits-not-recorded", "kits-missing",
  "kit-not-in-stock", "test-not-passed", "gauge-out-of-date", "test-incomplete", "not-tested", "on-the-bench", "second-person", "not-sealed", "no-such-notice",
  "no-such-booking", "no-such-feed", "checkpoint-made", "no-such-entry", "count-differs", "already-seen",
  "changed-since-scan", "scan-before-missing",
] as const;
export type RefusalCode = (typeof REFUSAL_CODES)[number];

export type Done<More extends object = object> = { readonly answer: "done"; readonly repeat?: true } & More;
export type Answer<More extends object = object> = Done<More> | Refused;

/** The actor lacks the role the act asks for; the database found out by itself. */
export class NotEntitled extends Error {
  override readonly name = "NotEntitled";
}
/**
 * No answer came: the act could not be begun in time, or the database is away. Mostly nothing was written; where
 * the connection broke on the way back it was. The same request id asked again settles which.
 */
export class DatabaseBusy extends Error {
  override readonly name: string = "DatabaseBusy";
}
/** The database's disk is full. Nothing was written. */
export class DiskFull extends DatabaseBusy {
  override readonly name = "DiskFull";
}
/** The input names something that cannot be (a component twice, a part that is not there). Nothing was written. */
export class BadAct extends Error {
  override readonly name = "BadAct";
}

const BUSY = new Set(["55P03", "57014", "25P03", "25P04", "53300", "57P01", "57P02", "57P03", "08006", "08003", "08001", "40P01", "40001"]);

/** Calls one act, and tells the screens when it was done. Throws NotEntitled, DatabaseBusy, BadAct, or the database's own error. */
export async function act<A>(db: Pick<Database, "acts">, name: string, values: readonly unknown[]): Promise<A> {
  try {
    const { rows } = await db.acts.query<{ answer: A }>({
      name,
      text: `SELECT ${name}(${values.map((_, at) => `$${at + 1}`).join(", ")}) AS answer`,
      values: values.map((value) => (isPlain(value) ? JSON.stringify(value) : value)),
    });
    const { answer } = rows[0]!;
    if (isNews(answer)) tellScreens(db, name, values);
    return answer;
  } catch (error) {
    throw namedError(error);
  }
}

function isNews(answer: unknown): boolean {
  return typeof answer === "object" && answer !== null && "answer" in answer && answer.answer === "done" && !("repeat" in answer);
}

/**
 * Tells every open screen of the site that something changed. After the act and beside it: a notification
 * inside it would make all commits of the database wait for each other. Screens that miss one ask again
 * by themselves within a minute.
 */
export function tellScreens(db: Pick<Database, "acts">, name: string, values: readonly unknown[]): void {
  const [who, , to] = values;
  const sites = [(who as Partial<Who> | null)?.site, name === "transfer_set" ? to : undefined].filter((site) => typeof site === "string");
  for (const site of sites) {
    db.acts.query("SELECT pg_notify('hangrail', $1)", [JSON.stringify({ site, act: name.replaceAll("_", "-") })]).catch(() => undefined);
  }
}

function isPlain(value: unknown): boolean {
  return typeof value === "object" && value !== null && !Buffer.isBuffer(value) && !(Array.isArray(value) && value.every((x) => typeof x === "string"));
}

/** How a connection ends that the database cut while nobody was looking. */
const CUT = new Set(["ENOENT", "EPIPE", "ECONNREFUSED", "ECONNRESET", "ECONNABORTED"]);
const DISK_FULL = "53100";

/** The error of a statement → NotEntitled, DatabaseBusy, DiskFull or BadAct where it is one of these, else as it is. */
export function namedError(error: unknown): unknown {
  if (!(error instanceof Error)) return error;
  const { code, message } = error as Partial<pg.DatabaseError> & Error;
  if (code === "HR403") return new NotEntitled(message);
  if (code === "HR400") return new BadAct(message);
  // A connection that never came, or an answer that never came: the client's own timeouts carry no code.
  if (code === DISK_FULL) return new DiskFull(message, { cause: error });
  if (code === undefined ? /timeout|terminated|not queryable|ECONN/i.test(message) : BUSY.has(code) || CUT.has(code)) {
    return new DatabaseBusy(message, { cause: error });
  }
  return error;
}

// ── The desk ──

export interface HireInput {
  readonly hirer: string;
  readonly contact: string | null;
  readonly backOn: Day;
  readonly dives: number;
  readonly minutes: number;
  readonly teaching: boolean;
  readonly cylinderConnection: Connection;
  readonly cylinderBar: number;
  readonly o2Tenths: number;
  readonly waterTenthsC: number;
  readonly depthM: number;
}

export type HandOutAnswer =
  | Answer<{ readonly hire: string; readonly at: string }>
  /** Somebody touched a set since it was decided on; decide again on what is true now. */
  | { readonly answer: "stale"; readonly sets: readonly { readonly id: string; readonly seq: number }[] }
  /** The database's own check holds. */
  | { readonly answer: "hold"; readonly holds: readonly { readonly set: string; readonly code: string; readonly component: string | null }[] };

export const handOut = (db: Database, who: Who, hire: HireInput, sets: readonly { readonly id: string; readonly seq: number }[]) =>
  act<HandOutAnswer>(db, "hand_out", [who, hire, JSON.stringify(sets)]);

export interface ReturnLine {
  readonly set: string;
  readonly dives: number;
  readonly minutes: number;
  readonly estimated: boolean;
  readonly waterKind: "sea" | "fresh" | "pool" | "none";
  readonly problem: boolean;
  readonly words: string | null;
  readonly fault: { readonly code: string; readonly severity: Severity; readonly component: string | null } | null;
  readonly missing: readonly string[];
}

export const takeBack = (db: Database, who: Who, lines: readonly ReturnLine[]) => act<Answer<{ at: string }>>(db, "take_back", [who, JSON.stringify(lines)]);

// ── The wash room ──

export interface BathInput {
  readonly product: string;
  readonly label: string;
  readonly lot: string | null;
  readonly productMl: number;
  readonly waterMl: number;
}

export const mixBath = (db: Database, who: Who, bath: BathInput) => act<Answer<{ bath: string; ppm: number }>>(db, "mix_bath", [who, bath]);
export const emptyBath = (db: Database, who: Who, bath: string) => act<Answer>(db, "empty_bath", [who, bath]);
export const startWash = (db: Database, who: Who, bath: string, sets: readonly string[]) =>
  act<Answer<{ run: string; wetUntil: string }>>(db, "start_wash", [who, bath, [...sets]]);
export const endWet = (db: Database, who: Who, run: string) => act<Answer>(db, "end_wet", [who, run]);
export const finishWash = (db: Database, who: Who, run: string, sets: readonly string[]) => act<Answer>(db, "finish_wash", [who, run, [...sets]]);

/** What a scan made without the network follows: the set as the tablet last saw it, or the tablet's own scan before. */
export type ScannedAfter = { readonly seq: number } | { readonly request: string };

/** A scan of the wash room entered afterwards; `bath` goes with "in" alone, and `scannedAt`, the tablet's own time, is kept and not judged. */
export const enterWashLate = (db: Database, who: Who, scan: { readonly step: "in" | "out" | "dry"; readonly set: string; readonly bath: string | null; readonly after: ScannedAfter; readonly scannedAt: string }) =>
  act<Answer>(db, "enter_wash_late", [who, scan.step, scan.set, scan.bath, scan.after, scan.scannedAt]);
export const soilSet = (db: Database, who: Who, set: string, what: "breath-tested" | "wash-abandoned", words: string) =>
  act<Answer>(db, "soil_set", [who, set, what, words]);

export interface ProductInput {
  readonly name: string;
  readonly strengthHundredths: number;
  readonly minPpm: number;
  readonly maxPpm: number;
  readonly wetMinutes: number;
  readonly bathHours: number;
  readonly labelPage: string;
}

export const acceptProduct = (db: Database, who: Who, product: ProductInput) => act<Answer<{ product: string }>>(db, "accept_product", [who, product]);
export const approveProduct = (db: Database, who: Who, product: string, models: readonly string[], page: string) =>
  act<Answer>(db, "approve_product", [who, product, [...models], page]);

// ── Models and sets ──

export interface LimitsInput {
  readonly serviceMonths: number | null;
  readonly serviceDives: number | null;
  readonly serviceMinutes: number | null;
  readonly hasInspection: boolean;
  readonly inspectionMonths: number | null;
  readonly inspectionDives: number | null;
  readonly inspectionMinutes: number | null;
  readonly maxO2Tenths: number | null;
  readonly coldRating: ColdRating;
  readonly connection: Connection | null;
  readonly maxSupplyBar: number | null;
  readonly manualPage: string;
}

export const addModel = (db: Database, who: Who, kind: ModelKind, maker: string, name: string) => act<Answer<{ model: string }>>(db, "add_model", [who, kind, maker, name]);
export const acceptLimits = (db: Database, who: Who, model: string, limits: LimitsInput) => act<Answer<{ sets: number }>>(db, "accept_limits", [who, model, limits]);
export const setPairing = (db: Database, who: Who, first: string, second: string, approved: boolean, page: string) =>
  act<Answer<{ sets: number }>>(db, "set_pairing", [who, first, second, approved, page]);

export interface PartInput {
  readonly model: string;
  readonly serial: string;
  readonly position: Role;
  readonly boughtOn: Day | null;
  readonly inUseOn: Day | null;
}

export const registerSet = (db: Database, who: Who, tag: string, parts: readonly PartInput[]) => act<Answer<{ set: string }>>(db, "register_set", [who, tag, JSON.stringify(parts)]);
/** `seq`: the set's sequence number that the swap was decided on; null will do where nothing goes on. */
export const refit = (db: Database, who: Who, set: { readonly id: string; readonly seq: number | null }, off: string | null, on: string | null, position: Role, why: string) =>
  act<Answer>(db, "refit", [who, set.id, set.seq, off, on, position, why]);
export const retireSet = (db: Database, who: Who, set: string, words: string) => act<Answer>(db, "retire_set", [who, set, words]);
export const transferSet = (db: Database, who: Who, set: string, to: string) => act<Answer>(db, "transfer_set", [who, set, to]);
