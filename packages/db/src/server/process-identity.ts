import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";

/** Whether a process with this number runs now, ours or not. */
export function isRunning(pid: number): boolean {
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
    try {
      // The command's name stands in brackets and may hold spaces; the start is the 20th field after it.
      const fields = readFileSync(`/proc/${pid}/stat`, "utf8").split(") ").at(-1)?.split(" ");
      const boot = readFileSync("/proc/sys/kernel/random/boot_id", "utf8").trim();
      return fields?.[19] ? `${boot} ${fields[19]}` : null;
    } catch {
      return null;
    }
  }
  if (process.platform === "win32") return null;
  const started = spawnSync("ps", ["-o", "lstart=", "-p", String(pid)], { encoding: "utf8" });
  return started.status === 0 && started.stdout.trim() !== "" ? started.stdout.trim() : null;
}
