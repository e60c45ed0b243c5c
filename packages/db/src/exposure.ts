/** Keeps the sums that fault figures are divided by. They are added up beside the acts, never inside them. */
import { longQuery, type Database } from "./database.ts";

const USES_AT_A_TIME = 500_000;

/**
 * Adds what was used since the last time to the sums. Safe to call at any time and from several processes;
 * figures are right without it, only slower.
 */
export async function rollExposure(db: Database): Promise<void> {
  let left = Number((await longQuery<{ left: string }>(db, "SELECT mark_exposure() AS left", []))[0]?.left ?? 0);
  while (left > 0) left = Number((await longQuery<{ left: string }>(db, "SELECT roll_exposure($1) AS left", [USES_AT_A_TIME]))[0]?.left ?? 0);
}
