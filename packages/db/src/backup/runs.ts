/** Backups as they are run: what became of each is recorded, and the daily one is taken when it is due. */
import { readdir, rm } from "node:fs/promises";
import { join } from "node:path";
import pg from "pg";
import { connectionConfig, connectionProblem } from "../connect.ts";
import { OperatorError } from "../operator-error.ts";
import { backupNamed, takeBackup, type BackupTaken } from "./take-backup.ts";

/** Takes a backup and records what became of it, also when it fails. */
export async function runBackup(ownerUrl: string, folder: string, scheduled: boolean): Promise<BackupTaken> {
  const began = performance.now();
  try {
    const taken = await takeBackup(ownerUrl, folder);
    await record(ownerUrl, { began, scheduled, fileName: taken.fileName, bytes: taken.bytes, words: "" });
    return taken;
  } catch (error) {
    const words = error instanceof OperatorError ? error.message : `It broke off: ${error instanceof Error ? error.message : String(error)}`;
    // A database that is away cannot be told; the last good backup grows old, and that is told.
    await record(ownerUrl, { began, scheduled, fileName: null, bytes: null, words }).catch(() => undefined);
    throw error;
  }
}

async function record(ownerUrl: string, run: { began: number; scheduled: boolean; fileName: string | null; bytes: number | null; words: string }): Promise<void> {
  await asOwner(ownerUrl, (client) =>
    client.query("INSERT INTO backup_run (started_at, ended_at, scheduled, file_name, bytes, words) SELECT now - make_interval(secs => $1), now, $2, $3, $4, $5 FROM kitroom_clock() now", [
      (performance.now() - run.began) / 1000, run.scheduled, run.fileName, run.bytes, run.words.slice(0, 500),
    ]),
  );
}

/** One scheduled backup at a time, whatever the number of servers on one database. */
const backupLock = 72_707_370;

/**
 * The daily backup: taken when the last good one is a day old, tried again an hour after it failed. Afterwards only the newest
 * `keep` of this centre stay in the folder. Answers null when none was due, or another server is at it.
 */
export async function backupIfDue(ownerUrl: string, folder: string, keep: number): Promise<BackupTaken | null> {
  return asOwner(ownerUrl, async (client) => {
    const { rows: turn } = await client.query<{ mine: boolean }>("SELECT pg_try_advisory_lock($1) AS mine", [backupLock]);
    if (!turn[0]!.mine) return null;
    const { rows } = await client.query<{ due: boolean }>(
      `SELECT NOT EXISTS (SELECT FROM backup_run WHERE started_at > kitroom_clock() - CASE WHEN file_name IS NULL THEN interval '1 hour' ELSE interval '24 hours' END) AS due`,
    );
    if (!rows[0]!.due) return null;
    const taken = await runBackup(ownerUrl, folder, true);
    await keepNewest(folder, taken.fileName, keep);
    return taken;
  });
}

async function keepNewest(folder: string, newest: string, keep: number): Promise<void> {
  const centre = backupNamed(newest)?.centre;
  const ours = (await readdir(folder)).filter((name) => backupNamed(name)?.centre === centre).sort();
  for (const name of ours.slice(0, -keep)) await rm(join(folder, name), { force: true });
}

async function asOwner<T>(ownerUrl: string, work: (client: pg.Client) => Promise<T>): Promise<T> {
  const client = new pg.Client(connectionConfig(ownerUrl, "hangrail backup"));
  client.on("error", () => undefined);
  await client.connect().catch((error: unknown) => {
    throw connectionProblem(error, ownerUrl);
  });
  try {
    return await work(client);
  } finally {
    await client.end();
  }
}
