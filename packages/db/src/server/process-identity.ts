import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";

/** Whether a process with this number runs now, ours or not. One that has ended but was not yet buried does not run. */
export function isRunning(pid: number): boolean {
  return isTaken(pid) && statFields(pid)?.[0] !== "Z";
}

/** Whether the system has given this number to any process, ended or not. */
export function isTaken(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === "EPERM";
  }
}

/**
 * Tells a process from a later one that was given the same number: the boot it belongs to and
 * the moment it started, as the system writes them. Null where the system does not say.
 */
export function startedAt(pid: number): string | null {
  if (process.platform === "linux") {
    const start = statFields(pid)?.[19];
    return start === undefined ? null : `${readFileSync("/proc/sys/kernel/random/boot_id", "utf8").trim()} ${start}`;
  }
  if (process.platform === "win32") return null;
  const started = spawnSync("ps", ["-o", "lstart=", "-p", String(pid)], { encoding: "utf8" });
  return started.status === 0 && started.stdout.trim() !== "" ? started.stdout.trim() : null;
}

/** The fields after the command's name, which stands in brackets and may hold spaces; undefined where there is no /proc. */
function statFields(pid: number): string[] | undefined {
  try {
    return readFileSync(`/proc/${pid}/stat`, "utf8").split(") ").at(-1)?.split(" ");
  } catch {
    return undefined;
  }
}
