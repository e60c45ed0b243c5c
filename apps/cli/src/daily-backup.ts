import { statfsSync } from "node:fs";
import { resolve } from "node:path";
import { backupIfDue } from "@hangrail/db/backup/runs";
import { OperatorError } from "@hangrail/db/operator-error";
import { nearestExisting } from "@hangrail/db/server/shared-folder";
import { say } from "./messages.ts";

const LOOK_MS = 10 * 60_000;
const USUAL_KEEP = 14;

export interface DailyBackup {
  readonly folder: string;
  readonly keep: number;
}

/** Reads HANGRAIL_BACKUP_FOLDER and HANGRAIL_BACKUP_KEEP; null when no daily backup is wanted. Throws OperatorError. */
export function readDailyBackup(env: NodeJS.ProcessEnv): DailyBackup | null {
  const folder = env["HANGRAIL_BACKUP_FOLDER"];
  if (!folder) return null;
  const text = env["HANGRAIL_BACKUP_KEEP"] ?? String(USUAL_KEEP);
  const keep = Number(text);
  if (!Number.isInteger(keep) || keep < 1 || keep > 1000) throw new OperatorError(`HANGRAIL_BACKUP_KEEP is "${text}"; it must be a whole number from 1 to 1000.`);
  return { folder: resolve(folder), keep };
}

/**
 * Takes the daily backup for as long as the centre is served. It lives with the process that looks after the database
 * rather than with a web server, of which there may be several; on a shared database a lock lets one of them do it.
 */
export function keepBackedUp(ownerUrl: string, { folder, keep }: DailyBackup): { stop(): Promise<void> } {
  let working = Promise.resolve();
  let told = "";
  const look = async (): Promise<void> => {
    try {
      const taken = await backupIfDue(ownerUrl, folder, keep);
      if (taken) {
        say(`The daily backup was made: ${taken.path}.`);
        const { bavail, bsize } = statfsSync(nearestExisting(folder));
        if (bavail * bsize < 3 * taken.bytes) say(`The disk that holds ${folder} has room for fewer than three more backups.`);
        told = "";
      }
    } catch (error) {
      const sentence = error instanceof Error ? error.message : String(error);
      // Once per trouble: the manager's first page says it until it is over.
      if (sentence !== told) say(`The daily backup failed: ${sentence}`);
      told = sentence;
    }
  };
  const next = (): void => void (working = working.then(look));
  next();
  const timer = setInterval(next, LOOK_MS);
  return {
    stop() {
      clearInterval(timer);
      return working;
    },
  };
}
