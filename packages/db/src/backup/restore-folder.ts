/** Brings a backup back as an embedded database in a folder of its own. */
import { existsSync, readdirSync, renameSync, rmSync, statSync } from "node:fs";
import { join, resolve } from "node:path";
import { OperatorError } from "../operator-error.ts";
import { startServer } from "../server/embedded-server.ts";
import { dataFolder, purposeOf } from "../server/folder.ts";
import { folderHolder } from "../server/folder-lock.ts";
import { restoreBackup, type CheckedBackup, type Restored } from "./restore-backup.ts";

export interface RestoreFolderOptions {
  readonly say?: (sentence: string) => void;
  /** Looks at the restored database before it gets its name; what it throws undoes the restore. */
  readonly look?: (urls: { readonly appUrl: string; readonly ownerUrl: string }) => Promise<void>;
}

/**
 * Restores into a folder that is missing or empty. The database grows beside it, in `<folder>.restoring`, and gets the
 * folder's name when it is whole; until then the folder stays as it is. Throws OperatorError.
 */
export async function restoreFolder(backup: CheckedBackup, folder: string, { say = () => undefined, look = () => Promise.resolve() }: RestoreFolderOptions = {}): Promise<Restored> {
  const target = resolve(folder);
  refuseFilled(target);
  const growing = `${target}.restoring`;
  await clearAway(growing);
  try {
    const server = await startServer({ folder: growing, purpose: "centre", onNotice: say });
    let restored: Restored;
    try {
      restored = await restoreBackup(backup, server.url("owner"));
      await look({ appUrl: server.url("app"), ownerUrl: server.url("owner") });
    } finally {
      await server.stop();
    }
    refuseFilled(target);
    renameSync(growing, target);
    return restored;
  } catch (error) {
    rmSync(growing, { recursive: true, force: true });
    throw error;
  }
}

function refuseFilled(target: string): void {
  if (!existsSync(target)) return;
  if (!statSync(target).isDirectory()) throw new OperatorError(`${target} is a file, not a folder. Name a new folder with --to; nothing was changed.`);
  if (readdirSync(target).length === 0) return;
  const holds = purposeOf(target) === null ? "is not empty" : "holds a database already";
  throw new OperatorError(`The folder ${target} ${holds}, and a restore writes over nothing. Name a new folder with --to; nothing was changed.`);
}

/** What a restore that was killed left behind. Its server may still run. */
async function clearAway(growing: string): Promise<void> {
  if (!existsSync(growing)) return;
  const left = dataFolder(growing);
  if (purposeOf(growing) === null) throw new OperatorError(`There is something at ${growing} that no restore made. Move it away; nothing was changed.`);
  if (folderHolder(left) !== null) throw new OperatorError(`Another restore into ${growing} is under way. Wait for it, or name another folder with --to; nothing was changed.`);
  if (existsSync(join(left.cluster, "postmaster.pid"))) await (await startServer({ folder: growing, purpose: "centre" })).stop();
  rmSync(growing, { recursive: true });
}
