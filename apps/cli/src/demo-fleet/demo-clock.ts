/**
 * Lets the acts of a demo fleet happen in the past. While seeding, the database's one clock reads a
 * setting of the seeder's own session; every other session then fails on it, so nobody can work
 * in a database that is half seeded. The clock's own words are kept in its comment until it is put back.
 */
import { OperatorError } from "@hangrail/db/operator-error";
import type { Database } from "@hangrail/db/database";

type Query = <Row extends object>(text: string, values?: unknown[]) => Promise<{ rows: Row[] }>;
/** A connection of the owner of the tables. */
export interface Owner {
  readonly query: Query;
}

/** What has to be put back, kept in the comment of the replaced clock. */
interface KeptAside {
  /** The real clock, as PostgreSQL writes it. */
  readonly definition: string;
  /** The tables that held nothing before the seeding began. */
  readonly emptyTables: readonly string[];
}

const SETTING = "hangrail.demo_clock";
const SEEDING_LOCK = "hangrail demo fleet";

/** Refuses when another process is seeding this database; the lock goes with the connection. */
export async function takeSeedingLock(owner: Owner): Promise<void> {
  const { rows } = await owner.query<{ taken: boolean }>("SELECT pg_try_advisory_lock(hashtextextended($1, 0)) AS taken", [SEEDING_LOCK]);
  if (!rows[0]?.taken) throw new OperatorError("Another process is filling this database with the demo fleet. Wait until it is done.");
}

/** The definition of the clock as it stands. */
export async function clockDefinition(owner: Owner): Promise<string> {
  const { rows } = await owner.query<{ definition: string }>("SELECT pg_get_functiondef('kitroom_clock()'::regprocedure) AS definition");
  return (rows[0] as { definition: string }).definition;
}

/** Puts the demo's clock in the place of the real one. */
export async function replaceClock(owner: Owner): Promise<void> {
  const kept: KeptAside = { definition: await clockDefinition(owner), emptyTables: await emptyTables(owner) };
  await owner.query("BEGIN");
  await owner.query(`CREATE OR REPLACE FUNCTION kitroom_clock() RETURNS timestamptz LANGUAGE sql VOLATILE
    AS $$ SELECT pg_catalog.current_setting('${SETTING}')::timestamptz $$`);
  const { rows } = await owner.query<{ quoted: string }>("SELECT quote_literal($1) AS quoted", [JSON.stringify(kept)]);
  await owner.query(`COMMENT ON FUNCTION kitroom_clock() IS ${rows[0]?.quoted}`);
  await owner.query("COMMIT");
}

/** Puts the real clock back, if it was replaced, and makes sure of it. */
export async function restoreClock(owner: Owner): Promise<void> {
  const kept = await keptAside(owner);
  if (kept === null) return;
  await owner.query("BEGIN");
  await owner.query(kept.definition);
  await owner.query("COMMENT ON FUNCTION kitroom_clock() IS NULL");
  await owner.query("COMMIT");
  if ((await clockDefinition(owner)) !== kept.definition) throw new Error("The database's clock is not what it was before the demo fleet was made.");
}

/** Whether a seeding was broken off in this database: its clock still stands in for the real one. */
export async function isHalfSeeded(owner: Owner): Promise<boolean> {
  return (await keptAside(owner)) !== null;
}

/**
 * Takes away all of a seeding that did not come to its end, and puts the real clock back. Only ever
 * done under the demo's clock, so only to a database that held no fleet when the seeding began.
 */
export async function clearHalfSeeded(owner: Owner): Promise<void> {
  const kept = await keptAside(owner);
  if (kept === null) return;
  const tables = kept.emptyTables;
  await owner.query("BEGIN");
  for (const table of tables) await owner.query(`ALTER TABLE ${table} DISABLE TRIGGER USER`);
  if (tables.length > 0) await owner.query(`TRUNCATE ${tables.join(", ")} RESTART IDENTITY`);
  for (const table of tables) await owner.query(`ALTER TABLE ${table} ENABLE TRIGGER USER`);
  await owner.query("UPDATE clock_mark SET beat_at = NULL, leap_seen_at = NULL, confirmed_after = 0");
  await owner.query("COMMIT");
  await restoreClock(owner);
}

/** Moves the demo's clock in the session of the acts. */
export async function setDemoClock(db: Pick<Database, "acts">, at: number): Promise<void> {
  await db.acts.query({ name: "demo clock", text: "SELECT set_config($1, $2, false)", values: [SETTING, new Date(at).toISOString()] });
}

async function keptAside(owner: Owner): Promise<KeptAside | null> {
  const { rows } = await owner.query<{ kept: string | null }>("SELECT obj_description('kitroom_clock()'::regprocedure, 'pg_proc') AS kept");
  const kept = rows[0]?.kept;
  return kept?.startsWith("{") && (await clockDefinition(owner)).includes(SETTING) ? (JSON.parse(kept) as KeptAside) : null;
}

async function emptyTables(owner: Owner): Promise<string[]> {
  const { rows } = await owner.query<{ name: string }>(
    "SELECT oid::regclass::text AS name FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind = 'r' ORDER BY 1",
  );
  const empty: string[] = [];
  for (const { name } of rows) {
    const found = await owner.query<{ some: boolean }>(`SELECT EXISTS (SELECT FROM ${name}) AS some`);
    if (!found.rows[0]?.some) empty.push(name);
  }
  return empty;
}
