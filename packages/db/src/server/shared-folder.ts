import { createHash } from "node:crypto";
import { existsSync, realpathSync } from "node:fs";
import { dirname, join } from "node:path";
import { canEnter, serverAccount } from "./account.ts";
import { dataFolder } from "./folder.ts";

/** Where root keeps what the database's account must be able to reach. */
export const sharedFolder = "/var/lib/hangrail";

/**
 * The folder to keep data in when nobody named one: `.hangrail/<name>` in the clone, or, when
 * root works in a place the database's account cannot enter, a folder below /var/lib/hangrail
 * of this clone's own, so that two clones never share their data unknowingly.
 */
export function defaultDataFolder(clone: string, name: string): { folder: string; why: string | null } {
  const preferred = join(clone, ".hangrail", name);
  const account = serverAccount(dataFolder(preferred));
  if (canEnter(nearestExisting(preferred), account)) return { folder: preferred, why: null };
  const mark = createHash("sha256").update(realpathSync(clone)).digest("hex").slice(0, 8);
  const folder = join(sharedFolder, mark, name);
  return { folder, why: `The database runs as ${account?.name}, who cannot enter ${clone}: the data are kept in ${folder}.` };
}

export function nearestExisting(path: string): string {
  return existsSync(path) ? path : nearestExisting(dirname(path));
}
