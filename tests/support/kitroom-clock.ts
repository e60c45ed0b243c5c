import type pg from "pg";

/** The clock of one test's own database, in the hands of the test. */
export interface KitroomClock {
  /** The database's true clock, moved by so many minutes; 0 puts it right. */
  shift(minutes: number): Promise<void>;
  /** Moves it further on (or back) from where it is. */
  advance(minutes: number): Promise<void>;
  /** Stands still at an instant until it is moved again. */
  stopAt(instant: string): Promise<void>;
  /** What it shows. */
  read(): Promise<Date>;
}

/**
 * Puts a clock that the test moves in the place of the database's own. Only the owner of the tables
 * can do this, and only in a database that is thrown away.
 */
export async function takeClock(owner: pg.Pool): Promise<KitroomClock> {
  await owner.query(`
    CREATE TABLE test_clock (stopped_at timestamptz, shift interval NOT NULL DEFAULT '0');
    INSERT INTO test_clock DEFAULT VALUES;
    GRANT SELECT ON test_clock TO hangrail_app;
    CREATE OR REPLACE FUNCTION kitroom_clock() RETURNS timestamptz LANGUAGE sql VOLATILE
      AS $$ SELECT coalesce(stopped_at, pg_catalog.clock_timestamp() + shift) FROM public.test_clock $$`);
  return {
    async shift(minutes) {
      await owner.query("UPDATE test_clock SET stopped_at = NULL, shift = make_interval(secs => $1::float8 * 60)", [minutes]);
    },
    async advance(minutes) {
      await owner.query("UPDATE test_clock SET stopped_at = stopped_at + make_interval(secs => $1::float8 * 60), shift = shift + make_interval(secs => $1::float8 * 60)", [minutes]);
    },
    async stopAt(instant) {
      await owner.query("UPDATE test_clock SET stopped_at = $1", [instant]);
    },
    async read() {
      const { rows } = await owner.query<{ now: Date }>("SELECT kitroom_clock() AS now");
      return rows[0]!.now;
    },
  };
}
