/** Sets that a restore holds until they were seen. */
import type { Day } from "@hangrail/rules/calendar";
import type { Database } from "./database.ts";

export interface WaitingSet {
  readonly setId: string;
  readonly tag: string;
  /** The day a set that is out is due back. */
  readonly backOn: Day | null;
}

/** The last restore of this centre; null when there was none. */
export async function lastRestore(db: Pick<Database, "reads">): Promise<{ readonly takenAt: Date; readonly restoredAt: Date } | null> {
  const { rows } = await db.reads.query<{ takenAt: Date; restoredAt: Date }>('SELECT taken_at AS "takenAt", restored_at AS "restoredAt" FROM restore ORDER BY id DESC LIMIT 1');
  return rows[0] ?? null;
}

/** How many sets of a site still wait: those that should be here, and those that are out. */
export async function countWaiting(db: Pick<Database, "reads">, site: string): Promise<{ readonly here: number; readonly out: number }> {
  const { rows } = await db.reads.query<{ here: number; out: number }>(
    `SELECT count(*) FILTER (WHERE h.id IS NULL)::int AS here, count(h.id)::int AS out
       FROM restored_set r JOIN regulator_set s ON s.id = r.set_id LEFT JOIN hire_line h ON h.set_id = s.id AND h.back_at IS NULL WHERE r.seen_seq IS NULL AND s.site_id = $1`,
    [site],
  );
  return rows[0]!;
}

/** The first of them by tag, those that are out last. */
export async function listWaiting(db: Pick<Database, "reads">, site: string, most: number): Promise<WaitingSet[]> {
  const { rows } = await db.reads.query<WaitingSet>(
    `SELECT s.id AS "setId", s.tag, h.back_on::text AS "backOn" FROM restored_set r JOIN regulator_set s ON s.id = r.set_id
       LEFT JOIN hire_line h ON h.set_id = s.id AND h.back_at IS NULL WHERE r.seen_seq IS NULL AND s.site_id = $1 ORDER BY h.id IS NOT NULL, s.tag LIMIT $2`,
    [site, most],
  );
  return rows;
}

/** The id of a set by its tag, wherever it is; null when nobody knows it. */
export async function idOfTag(db: Pick<Database, "reads">, tag: string): Promise<string | null> {
  const { rows } = await db.reads.query<{ id: string }>("SELECT id FROM regulator_set WHERE tag = $1", [tag]);
  return rows[0]?.id ?? null;
}
