/** What is told of backups. Apart from what takes them, which no web server needs. */
import type { Database } from "./database.ts";

export interface BackupNews {
  readonly now: Date;
  readonly openedAt: Date | null;
  readonly good: { readonly at: Date; readonly fileName: string } | null;
  /** Why the newest one failed; null when it did not. */
  readonly failure: { readonly at: Date; readonly words: string } | null;
}

/** How the centre's backups stand. */
export async function readBackupNews(db: Pick<Database, "reads">): Promise<BackupNews> {
  const { rows } = await db.reads.query<{ now: Date; openedAt: Date | null; goodAt: Date | null; fileName: string | null; failedAt: Date | null; words: string | null }>(
    `SELECT kitroom_clock() AS now, (SELECT min(created_at) FROM site) AS "openedAt", g.started_at AS "goodAt", g.file_name AS "fileName", n.started_at AS "failedAt", n.words
       FROM (SELECT) one LEFT JOIN LATERAL (SELECT started_at, file_name FROM backup_run WHERE file_name IS NOT NULL ORDER BY id DESC LIMIT 1) g ON true
       LEFT JOIN LATERAL (SELECT * FROM (SELECT started_at, file_name, words FROM backup_run ORDER BY id DESC LIMIT 1) newest WHERE file_name IS NULL) n ON true`,
  );
  const { now, openedAt, goodAt, fileName, failedAt, words } = rows[0]!;
  return { now, openedAt, good: goodAt && fileName !== null ? { at: goodAt, fileName } : null, failure: failedAt && words !== null ? { at: failedAt, words } : null };
}
