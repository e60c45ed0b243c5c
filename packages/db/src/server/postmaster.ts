import { spawn, spawnSync } from "node:child_process";
import { chownSync, closeSync, existsSync, openSync, readFileSync, readlinkSync, realpathSync, renameSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { OperatorError } from "../operator-error.ts";
import { runAs, type Account } from "./account.ts";
import { socketFile, type Address } from "./address.ts";
import type { Binaries } from "./binaries.ts";
import type { DataFolder } from "./folder.ts";
import { isRunning, isTaken } from "./process-identity.ts";

/** A running server process, whether this process started it or found it. */
export interface Postmaster {
  readonly pid: number;
  readonly address: Address;
  /** Resolves when the process has ended. */
  readonly ended: Promise<void>;
  hasEnded(): boolean;
}

/** What a server says of itself in postmaster.pid. */
interface PidFile {
  readonly pid: number;
  readonly address: Address | null;
  readonly status: string;
}

const pollMs = 200;
/** Larger than any process number a system gives out. */
const numberOfNobody = 2_147_483_646;
const logLimitBytes = 10_000_000;

/** The server that already runs on this cluster, left by a Hangrail that was killed; null if there is none. */
export function findPostmaster(folder: DataFolder): Postmaster | null {
  const file = readPidFile(folder);
  if (!file?.address || !isServerOf(file.pid, folder)) return null;
  return postmaster(file.pid, file.address, whenEnded(file.pid));
}

/**
 * Corrects a postmaster.pid whose number now belongs to a process that is no server of this cluster
 * (usual after a restart of a container); PostgreSQL would refuse to start for it. The rest of the
 * file stays: by it PostgreSQL sees whether children of the old server still work on the files.
 */
export function disownPidFile(folder: DataFolder): void {
  const file = readPidFile(folder);
  if (!file || !isTaken(file.pid) || isServerOf(file.pid, folder)) return;
  const path = join(folder.cluster, "postmaster.pid");
  writeFileSync(path, readFileSync(path, "utf8").replace(/^-?\d+/, String(numberOfNobody)));
}

export interface PostmasterOptions {
  readonly durable: boolean;
  readonly maxConnections: number;
}

/** Starts the server. It has a session of its own, so that Ctrl+C in a terminal reaches Hangrail first. */
export function spawnPostmaster(folder: DataFolder, binaries: Binaries, account: Account | null, address: Address, options: PostmasterOptions): Postmaster {
  const log = openLog(folder, account);
  const child = spawn(binaries.postgres, ["-D", folder.cluster, ...settings(address, options)], {
    ...runAs(account),
    cwd: folder.cluster,
    env: serverEnvironment(),
    detached: true,
    windowsHide: true,
    stdio: ["ignore", log, log],
  });
  closeSync(log);
  const ended = new Promise<void>((done) => child.once("exit", () => done()).once("error", () => done()));
  if (child.pid === undefined) throw new OperatorError(`The database program ${binaries.postgres} could not be run.`);
  return postmaster(child.pid, address, ended);
}

/** Whether the server takes connections; it may still be recovering after a crash. */
export function isReady(folder: DataFolder, pid: number): boolean {
  const file = readPidFile(folder);
  return file?.pid === pid && file.status === "ready";
}

/** Ends the server: connections are cut, everything acknowledged is on disk. Harder after 30 s. */
export async function stopPostmaster(server: Postmaster): Promise<void> {
  leaveBehind(server);
  // The timer also keeps this process alive until the server has ended: nothing else may.
  const waiting = new AbortController();
  const late = wait(30_000, "late", { signal: waiting.signal }).catch(() => "ended");
  const outcome = await Promise.race([server.ended.then(() => "ended"), late]);
  waiting.abort();
  if (outcome === "ended") return;
  signal(server, "SIGQUIT");
  await server.ended;
}

/** Asks the server to stop without waiting, for a process that is on its way out. */
export function leaveBehind(server: Postmaster): void {
  signal(server, "SIGINT");
}

/** Never to a server that has ended: its number may be another's by now. */
function signal(server: Postmaster, name: "SIGINT" | "SIGQUIT"): void {
  if (server.hasEnded()) return;
  try {
    process.kill(server.pid, name);
  } catch {
    // It has ended by itself this very moment.
  }
}

function postmaster(pid: number, address: Address, ended: Promise<void>): Postmaster {
  let over = false;
  void ended.then(() => (over = true));
  return { pid, address, ended, hasEnded: () => over };
}

/** True while the server's socket is missing though the process runs: something cleaned the temporary folder. */
export function lostItsSocket(server: Postmaster): boolean {
  const file = socketFile(server.address);
  return file !== null && !existsSync(file);
}

export function logSize(folder: DataFolder): number {
  return existsSync(folder.log) ? statSync(folder.log).size : 0;
}

/** What the server wrote to its log since it had this size. */
export function logSince(folder: DataFolder, size: number): string {
  return existsSync(folder.log) ? readFileSync(folder.log).subarray(size).toString("utf8") : "";
}

export function serverEnvironment(): NodeJS.ProcessEnv {
  const kept = Object.entries(process.env).filter(([name]) => !name.startsWith("PG"));
  return { ...Object.fromEntries(kept), LC_ALL: "C" };
}

/** Given on the command line, where no file and no ALTER SYSTEM can weaken them. */
function settings(address: Address, options: PostmasterOptions): string[] {
  const safe = options.durable ? "on" : "off";
  const listen =
    "socketFolder" in address
      ? { listen_addresses: "", unix_socket_directories: address.socketFolder, unix_socket_permissions: "0700" }
      : { listen_addresses: address.host, unix_socket_directories: "" };
  const values = {
    ...listen,
    port: address.port,
    max_connections: options.maxConnections,
    password_encryption: "scram-sha-256",
    fsync: safe,
    synchronous_commit: safe,
    full_page_writes: safe,
    timezone: "UTC",
    log_timezone: "UTC",
    log_line_prefix: "%m [%p] ",
    // Details repeat the values of a refused row, and a row may hold a hirer's name.
    log_error_verbosity: "terse",
  };
  return Object.entries(values).flatMap(([name, value]) => ["-c", `${name}=${value}`]);
}

function openLog(folder: DataFolder, account: Account | null): number {
  if (logSize(folder) > logLimitBytes) renameSync(folder.log, `${folder.log}.old`);
  const log = openSync(folder.log, "a", 0o600);
  if (account) chownSync(folder.log, account.uid, account.gid);
  return log;
}

function readPidFile(folder: DataFolder): PidFile | null {
  let lines: string[];
  try {
    lines = readFileSync(join(folder.cluster, "postmaster.pid"), "utf8").split("\n").map((line) => line.trim());
  } catch {
    return null;
  }
  const [pid, , , port, socketFolder, host, , status] = lines;
  if (!Number(pid)) return null;
  return { pid: Number(pid), address: addressOf(Number(port), socketFolder, host), status: status ?? "" };
}

function addressOf(port: number, socketFolder: string | undefined, host: string | undefined): Address | null {
  if (!port) return null;
  if (socketFolder) return { socketFolder, port };
  return host ? { host, port } : null;
}

/** A number alone proves nothing: the process must be a server that works in this very folder. */
function isServerOf(pid: number, folder: DataFolder): boolean {
  if (!isRunning(pid)) return false;
  if (process.platform === "linux") {
    try {
      return readlinkSync(`/proc/${pid}/cwd`) === realpathSync(folder.cluster);
    } catch {
      return false;
    }
  }
  const list = process.platform === "win32" ? ["tasklist", "/FI", `PID eq ${pid}`, "/NH"] : ["ps", "-o", "command=", "-p", String(pid)];
  return spawnSync(list[0] as string, list.slice(1), { encoding: "utf8" }).stdout.includes("postgres");
}

/** Looks often enough that the number cannot have gone to another process in between. */
async function whenEnded(pid: number): Promise<void> {
  while (isRunning(pid)) await wait(pollMs, undefined, { ref: false });
}
