import { linkSync, readFileSync, renameSync, rmSync, statSync, utimesSync, writeFileSync } from "node:fs";
import { hostname } from "node:os";
import { OperatorError } from "../operator-error.ts";
import { folderProblem, type DataFolder } from "./folder.ts";
import { isRunning, startedAt } from "./process-identity.ts";

/** Who looks after a data folder. */
export interface Holder {
  readonly pid: number;
  readonly started: string | null;
  readonly host: string;
}

const heartbeatMs = 5_000;
/** A holder on another machine (a shared disk, another container) is judged by its heartbeat alone. */
const deadAfterMs = 30_000;

/** One Hangrail per data folder. Refuses while another lives; takes over from one that died. */
export function lockFolder(folder: DataFolder): { release(): void } {
  const self: Holder = { pid: process.pid, started: startedAt(process.pid), host: hostname() };
  const text = `${JSON.stringify(self)}\n`;
  const own = `${folder.lock}.${process.pid}`;
  try {
    writeFileSync(own, text, { mode: 0o600 });
  } catch (error) {
    throw folderProblem(error, folder.root);
  }
  try {
    while (!claim(own, folder.lock, text)) {
      const found = readLock(folder);
      if (found === null) continue;
      if (isAlive(found.holder, folder.lock)) throw heldBy(found.holder, folder);
      removeStale(folder, found.text);
    }
  } finally {
    rmSync(own, { force: true });
  }
  const heartbeat = setInterval(() => touch(folder.lock), heartbeatMs).unref();
  return {
    release() {
      clearInterval(heartbeat);
      if (readLock(folder)?.text === text) rmSync(folder.lock, { force: true });
    },
  };
}

/** The living Hangrail that looks after the folder, or null. */
export function folderHolder(folder: DataFolder): Holder | null {
  const found = readLock(folder);
  return found && isAlive(found.holder, folder.lock) ? found.holder : null;
}

/** A link appears whole and only if nothing is there; file systems without links get an exclusive create. */
function claim(own: string, lock: string, text: string): boolean {
  try {
    linkSync(own, lock);
    return true;
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code === "EEXIST") return false;
    if (code !== "EPERM" && code !== "ENOTSUP" && code !== "ENOSYS" && code !== "EMLINK") throw error;
  }
  try {
    writeFileSync(lock, text, { flag: "wx", mode: 0o600 });
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "EEXIST") return false;
    throw error;
  }
}

/** Moves the lock aside before it is judged dead for good, so that two who come at once cannot both remove it. */
function removeStale(folder: DataFolder, judged: string): void {
  const aside = `${folder.lock}.stale-${process.pid}`;
  try {
    renameSync(folder.lock, aside);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOENT") return;
    throw error;
  }
  const moved = readFileSync(aside, "utf8");
  if (moved !== judged) claim(aside, folder.lock, moved);
  rmSync(aside, { force: true });
}

function readLock(folder: DataFolder): { text: string; holder: Holder } | null {
  let text: string;
  try {
    text = readFileSync(folder.lock, "utf8");
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOENT") return null;
    throw folderProblem(error, folder.root);
  }
  try {
    return { text, holder: JSON.parse(text) as Holder };
  } catch {
    // Cut short by a crash or a full disk: nobody holds it.
    return { text, holder: { pid: 0, started: null, host: hostname() } };
  }
}

function isAlive(holder: Holder, lock: string): boolean {
  if (holder.host !== hostname()) return Date.now() - (statSync(lock, { throwIfNoEntry: false })?.mtimeMs ?? 0) < deadAfterMs;
  return holder.pid > 0 && isRunning(holder.pid) && startedAt(holder.pid) === holder.started;
}

function heldBy(holder: Holder, folder: DataFolder): OperatorError {
  const where = holder.host === hostname() ? "" : ` on ${holder.host}`;
  return new OperatorError(
    `Another Hangrail (process ${holder.pid}${where}) already looks after the data folder ${folder.root}. Stop it first, or choose another folder.`,
  );
}

function touch(lock: string): void {
  const now = new Date();
  try {
    utimesSync(lock, now, now);
  } catch {
    // A missing heartbeat is no reason to stop serving; the lock file itself still stands.
  }
}
