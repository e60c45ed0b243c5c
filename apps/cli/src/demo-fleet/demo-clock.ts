/**
 * Lets the acts of a demo fleet happen in the past. While seeding, the database's one clock reads a
 * setting of the seeder's own session; every other session then fails on it, so nobody can work
 * in a database that is half seeded. The clock's own words are kept in its comment until it is put back.
 */
import type { Database } from "@hangrail/db/database";
import { OperatorError } from "@hangrail/db/operator-error";
import type { Instant } from "@hangrail/rules/calendar";

/** A connection of the owner of the tables. */
export interface Owner {
  query<Row extends object>(text: string, values?: unknown[]): Promise<{ rows: Row[] }>;
}

const SETTING = "hangrail.demo_clock";
const SEEDING_LOCK = "hangrail demo fleet";

/** Refuses when another process is seeding this database; the lock goes with the connection. */
export async function takeSeedingLock(owner: Owner): Promise<void> {
  const { rows } = await owner.query<{ taken: boolean }>("SELECT pg_try_advisory_lock(hashtextextended($1, 0)) AS taken", [SEEDING_LOCK]);
  if (rows[0]?.taken !== true) throw new OperatorError("Another process is filling this database with the demo fleet. Wait until it is done.");
}

/** Puts the demo's clock in the place of the real one. */
export async function replaceClock(owner: Owner): Promise<void> {
  const real = await clockDefinition(owner);
  const { rows } = await owner.query<{ quoted: string }>("SELECT quote_literal($1::text) AS quoted", [real]);
  // One message, so one transaction: the clock is never replaced without the real one being kept.
  await owner.query(`
    COMMENT ON FUNCTION kitroom_clock() IS ${rows[0]?.quoted};
    CREATE OR REPLACE FUNCTION kitroom_clock() RETURNS timestamptz LANGUAGE sql VOLATILE
      AS $$ SELECT pg_catalog.current_setting('${SETTING}')::timestamptz $$`);
}

/** Puts the real clock back, if it was replaced, and makes sure of it. */
export async function restoreClock(owner: Owner): Promise<void> {
  if (!(await clockDefinition(owner)).includes(SETTING)) return;
  const { rows } = await owner.query<{ kept: string | null }>("SELECT obj_description('kitroom_clock()'::regprocedure, 'pg_proc') AS kept");
  const real = rows[0]?.kept;
  if (!real) throw new Error("The database's clock was replaced and its own words were not kept.");
  await owner.query(`${real}; COMMENT ON FUNCTION kitroom_clock() IS NULL`);
  if ((await clockDefinition(owner)) !== real) throw new Error("The database's clock is not what it was before the demo fleet was made.");
}

/** The demo's clock as the session of the acts has it. */
export interface DemoClock {
  setTo(at: Instant): Promise<void>;
}

/** Gives the acts' one connection the demo's clock, and gives it again when an idle connection was renewed. */
export function demoClockOf(db: Pick<Database, "acts">): DemoClock {
  let shown = "";
  db.acts.on("connect", (client) => {
    // Nothing of a demo is worth a wait for the disk at every act; putting the real clock back waits for all of it.
    // A failure here shows in the act that follows.
    client.query("SELECT set_config('synchronous_commit', 'off', false), set_config($1, $2, false)", [SETTING, shown]).catch(() => undefined);
  });
  return {
    async setTo(at) {
      shown = new Date(at).toISOString();
      await db.acts.query({ name: "demo clock", text: "SELECT set_config($1, $2, false)", values: [SETTING, shown] });
    },
  };
}

async function clockDefinition(owner: Owner): Promise<string> {
  const { rows } = await owner.query<{ definition: string }>("SELECT pg_get_functiondef('kitroom_clock()'::regprocedure) AS definition");
  return (rows[0] as { definition: string }).definition;
}
