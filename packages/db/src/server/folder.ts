import { chmodSync, chownSync, existsSync, mkdirSync, readFileSync, readdirSync, statSync, writeFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { OperatorError } from "../operator-error.ts";
import type { Account } from "./account.ts";

/** Where things lie in a data folder. Absolute paths. */
export interface DataFolder {
  readonly root: string;
  /** PostgreSQL's own files. */
  readonly cluster: string;
  /** The cluster while it is being made; only a finished one gets the name above. */
  readonly unfinished: string;
  readonly credentials: string;
  /** Says that the folder is Hangrail's, so that nothing else is ever written into or wiped. */
  readonly marker: string;
  readonly lock: string;
  readonly log: string;
}

export function dataFolder(path: string): DataFolder {
  const root = resolve(path);
  return {
    root,
    cluster: join(root, "cluster"),
    unfinished: join(root, "cluster.unfinished"),
    credentials: join(root, "credentials.json"),
    marker: join(root, "hangrail-data.json"),
    lock: join(root, "hangrail.lock"),
    log: join(root, "server.log"),
  };
}

/** What a folder is for: a centre's own data, or an invented fleet that may be thrown away. */
export type Purpose = "centre" | "demo";

/** What a folder that Hangrail made is for; null for every other folder. */
export function purposeOf(path: string): Purpose | null {
  const { marker } = dataFolder(path);
  if (!existsSync(marker)) return null;
  try {
    return (JSON.parse(readFileSync(marker, "utf8")) as { purpose?: unknown }).purpose === "demo" ? "demo" : "centre";
  } catch {
    // Cut short by a full disk or a crash. The careful answer is the one that is never thrown away.
    return "centre";
  }
}

/**
 * Makes the folder ours: creates it where it is missing, marks it, and gives it to the
 * account the server runs as. Refuses a file, a folder with other things in it, a folder
 * for another purpose and a folder that cannot be written.
 */
export function claimFolder(folder: DataFolder, account: Account | null, purpose: Purpose): void {
  if (existsSync(folder.root) && !statSync(folder.root).isDirectory()) {
    throw new OperatorError(`The data folder ${folder.root} is a file, not a folder. Move it away or choose another folder.`);
  }
  try {
    makeFolders(folder.root);
    const found = purposeOf(folder.root);
    if (found !== null && found !== purpose) throw otherPurpose(folder, found);
    if (found === null) {
      if (readdirSync(folder.root).length > 0) {
        throw new OperatorError(
          `The folder ${folder.root} is not empty and was not made by Hangrail, so nothing is written there. Choose an empty or a new folder.`,
        );
      }
      writeFileSync(folder.marker, `${JSON.stringify({ madeBy: "Hangrail", purpose })}\n`, { mode: 0o600 });
    }
    chmodSync(folder.root, 0o700);
    if (account) chownSync(folder.root, account.uid, account.gid);
  } catch (error) {
    throw folderProblem(error, folder.root);
  }
}

function otherPurpose(folder: DataFolder, found: Purpose): OperatorError {
  const holds = found === "demo" ? "an invented demo fleet, not a centre's own data" : "a centre's own data, where a demo fleet has no place";
  return new OperatorError(`The data folder ${folder.root} holds ${holds}. Choose another folder.`);
}

/** Created folders let others pass through but not look inside, whatever the umask says. */
function makeFolders(path: string): void {
  if (existsSync(path)) return;
  makeFolders(dirname(path));
  mkdirSync(path, { mode: 0o711 });
  chmodSync(path, 0o711);
}

/** Turns a file system error about the data folder into a sentence; passes on everything else. */
export function folderProblem(error: unknown, root: string): unknown {
  switch ((error as NodeJS.ErrnoException).code) {
    case "EACCES":
    case "EPERM":
    case "EROFS":
      return new OperatorError(
        `The data folder ${root} cannot be written or read (${(error as Error).message}). Give this user the right to it or choose another folder.`,
      );
    case "ENOTDIR":
    case "EEXIST":
      return new OperatorError(`The data folder ${root} cannot be made: something on its path is a file, not a folder.`);
    case "ENOSPC":
    case "EDQUOT":
      return new OperatorError(`The disk that holds ${root} is full. Free some space and start again.`);
    default:
      return error;
  }
}

/** The major version of PostgreSQL that made the cluster, or null when there is none yet. */
export function clusterMajor(folder: DataFolder): string | null {
  const file = join(folder.cluster, "PG_VERSION");
  return existsSync(file) ? readFileSync(file, "utf8").trim() : null;
}

/** A folder made by another major version is never touched: its files mean something else. */
export function refuseOtherMajor(folder: DataFolder, major: string): void {
  const found = clusterMajor(folder);
  if (found !== null && found !== major) {
    throw new OperatorError(
      `The data folder ${folder.root} was made by PostgreSQL ${found}; this Hangrail brings PostgreSQL ${major}, which cannot read it. ` +
        `Export the data with the Hangrail that made it and import it into a new folder.`,
    );
  }
}
