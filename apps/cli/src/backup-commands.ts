import { join, resolve } from "node:path";
import { runBackup } from "@hangrail/db/backup/runs";
import { checkBackup, restoreBackup, type Restored } from "@hangrail/db/backup/restore-backup";
import { restoreFolder } from "@hangrail/db/backup/restore-folder";
import { readDatabaseSettings } from "@hangrail/db/connect";
import { openDatabase } from "@hangrail/db/database";
import { OperatorError } from "@hangrail/db/operator-error";
import { verifyRecord } from "@hangrail/api/verify-record";
import { besideDatabase, chooseFolder } from "./database.ts";
import { say } from "./messages.ts";
import { cloneFolder } from "./places.ts";

export interface BackupOptions {
  data?: string;
  /** The folder the backup is written into. */
  out?: string;
  /** The folder a backup is brought back into. */
  to?: string;
}

/** Backs the centre up, beside a Hangrail that serves it or alone. */
export async function backup(options: BackupOptions): Promise<void> {
  const folder = resolve(options.out ?? process.env["HANGRAIL_BACKUP_FOLDER"] ?? join(cloneFolder, ".hangrail", "backups"));
  const database = await besideDatabase(options.data);
  try {
    if (database.ownerUrl === null) throw new OperatorError("Set DATABASE_OWNER_URL to the connection string of the role that owns the tables: only it may read the counters.");
    const began = performance.now();
    const taken = await runBackup(database.ownerUrl, folder, false);
    say(`Backed up ${taken.rows} rows of ${taken.tables} tables in ${((performance.now() - began) / 1000).toFixed(1)} s: ${taken.path} (${sizeText(taken.bytes)}).`);
    say("It holds names of hirers and staff. Keep a copy on another machine.");
  } finally {
    await database.close();
  }
}

/** Brings a backup back: into --to, else the database that DATABASE_URL names, else the usual folder; each must be empty. */
export async function restore(file: string, options: BackupOptions): Promise<void> {
  const checked = await checkBackup(resolve(file));
  say(`The backup of ${checked.manifest.takenAt} is whole. Bringing it back …`);
  const restored = options.to === undefined && process.env["DATABASE_URL"] ? await intoServer(checked) : await intoFolder(checked, options.to);
  const steps = restored.migrated.length === 0 ? "" : ` Its schema was brought up to date (${restored.migrated.length} ${restored.migrated.length === 1 ? "step" : "steps"}).`;
  say(`${restored.rows} rows of ${restored.tables} tables are back, counted and compared.${steps}`);
  say(
    `What happened after the backup is not in the record, so ${restored.held} ${restored.held === 1 ? "set is" : "sets are"} held: a manager confirms them under Centre, After a restore. ` +
      "Everybody signs in again with the password of that day; tablets are enrolled anew, calendar addresses made anew.",
  );
  if (checked.manifest.tables.some(({ table, rows }) => table === "checkpoint" && rows > 0)) {
    say("Checkpoints of the record were signed with a key that no backup holds: put the old checkpoint-key.pem into the new data folder, or they read as signed by somebody else.");
  }
}

async function intoFolder(checked: Awaited<ReturnType<typeof checkBackup>>, asked: string | undefined): Promise<Restored> {
  const folder = asked ?? chooseFolder(process.env["HANGRAIL_DATA"], "centre");
  const restored = await restoreFolder(checked, folder, { say, look: ({ appUrl }) => lookAtRecord(appUrl) });
  say(`The centre lies in ${resolve(folder)}.`);
  return restored;
}

async function intoServer(checked: Awaited<ReturnType<typeof checkBackup>>): Promise<Restored> {
  const { appUrl, ownerUrl } = readDatabaseSettings(process.env);
  if (ownerUrl === null) throw new OperatorError("Set DATABASE_OWNER_URL to the connection string of the role that owns the empty database.");
  const restored = await restoreBackup(checked, ownerUrl);
  await lookAtRecord(appUrl);
  return restored;
}

/** A backup of a record that somebody had changed is no better than the record. */
async function lookAtRecord(appUrl: string): Promise<void> {
  const db = openDatabase({ appUrl, actConnections: 1, readConnections: 2 });
  try {
    const { sound, entries, breaks, facts, checkpoints } = await verifyRecord(db, { site: null, key: null });
    if (sound) return say(`The record of the backup holds; ${entries} ${entries === 1 ? "entry was" : "entries were"} looked at.`);
    say(`Take care: the record of this backup does not hold (${breaks.length} broken chains, ${facts.length} facts that differ, ${checkpoints.problems.length} checkpoints). Run: npm run hangrail -- verify`);
  } finally {
    await db.close();
  }
}

function sizeText(bytes: number): string {
  return bytes < 1_000_000 ? `${Math.ceil(bytes / 1000)} kB` : `${(bytes / 1_000_000).toFixed(1)} MB`;
}
