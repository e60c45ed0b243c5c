import { setTimeout as wait } from "node:timers/promises";
import { OperatorError } from "../operator-error.ts";
import type { Account } from "./account.ts";
import { ensureSocketFolder, type Address } from "./address.ts";
import type { Binaries } from "./binaries.ts";
import type { Passwords } from "./credentials.ts";
import type { DataFolder } from "./folder.ts";
import { disownPidFile, findPostmaster, isReady, logSince, logSize, spawnPostmaster, stopPostmaster, type Postmaster, type PostmasterOptions } from "./postmaster.ts";
import { signInAsSuperuser } from "./superuser.ts";

export interface StartRequest {
  readonly folder: DataFolder;
  readonly binaries: Binaries;
  readonly account: Account | null;
  readonly passwords: Passwords;
  readonly address: Address;
  readonly wanted: PostmasterOptions;
  readonly say: (sentence: string) => void;
}

/** After a kill the old server's children hold its files for a few seconds more. */
const keepTryingMs = 30_000;
/** Recovery reads the log written since the last checkpoint; a slow disk may need minutes. */
const longestRecoveryMs = 600_000;
const slowAfterMs = 5_000;
const pollMs = 20;

/** A server on the cluster that takes connections: the one that runs already, or a new one. Throws OperatorError. */
export async function startPostmaster(request: StartRequest): Promise<Postmaster> {
  const deadline = Date.now() + keepTryingMs;
  for (let pause = 200; ; pause = Math.min(pause * 2, 2_000)) {
    const attempt = await tryOnce(request);
    if ("server" in attempt) return attempt.server;
    if (!attempt.mayPass || Date.now() + pause > deadline) throw attempt.problem;
    await wait(pause);
  }
}

type Attempt = { server: Postmaster } | { problem: OperatorError; mayPass: boolean };

async function tryOnce(request: StartRequest): Promise<Attempt> {
  const { folder } = request;
  const before = logSize(folder);
  const running = findPostmaster(folder);
  if (!running) {
    disownPidFile(folder);
    ensureSocketFolder(request.address, request.account);
  }
  const server = running ?? spawnPostmaster(folder, request.binaries, request.account, request.address, request.wanted);
  if (!(await becomesReady(request, server))) return whyEnded(folder, logSince(folder, before));
  const wrong = await wrongSettings(request, server).catch(async (error: unknown) => {
    await stopPostmaster(server);
    throw error;
  });
  if (wrong === null) return { server };
  await stopPostmaster(server);
  const problem = new OperatorError(`The database in ${folder.root} does not run with ${wrong}; it was stopped.`);
  return { problem, mayPass: running !== null };
}

/** False when the process ended before it took connections. */
async function becomesReady(request: StartRequest, server: Postmaster): Promise<boolean> {
  const started = Date.now();
  let told = false;
  while (!server.hasEnded()) {
    if (isReady(request.folder, server.pid)) return true;
    if (!told && Date.now() - started > slowAfterMs) {
      told = true;
      request.say("The database is recovering from an unclean end; this can take a few minutes.");
    }
    if (Date.now() - started > longestRecoveryMs) {
      await stopPostmaster(server);
      throw new OperatorError(`The database in ${request.folder.root} was not ready after 10 minutes. Its log is ${request.folder.log}.`);
    }
    await wait(pollMs);
  }
  return false;
}

/** Never serve from a server that could lose an acknowledged hand-out. Names the first setting that is not as wanted. */
async function wrongSettings(request: StartRequest, server: Postmaster): Promise<string | null> {
  const safe = request.wanted.durable ? "on" : "off";
  const wanted = { fsync: safe, synchronous_commit: safe, full_page_writes: safe, data_checksums: "on" };
  const client = await signInAsSuperuser(server.address, request.passwords);
  try {
    for (const [name, value] of Object.entries(wanted)) {
      const shown = await client.query<{ value: string }>("SELECT current_setting($1) AS value", [name]);
      if (shown.rows[0]?.value !== value) return `${name}=${value}`;
    }
    return null;
  } finally {
    await client.end();
  }
}

function whyEnded(folder: DataFolder, log: string): Attempt {
  if (/No space left on device|Disk quota exceeded/i.test(log)) {
    return { problem: new OperatorError(`The disk that holds ${folder.root} is full, so the database cannot run. Free some space.`), mayPass: false };
  }
  const passing = /lock file ".*" already exists|shared memory block .* is still in use|could not bind|Address already in use/i.test(log);
  const said = log.split("\n").filter((line) => /FATAL|PANIC|ERROR|HINT/.test(line)).slice(-3).join(" ").trim();
  const problem = new OperatorError(`The database in ${folder.root} did not start${said === "" ? "" : `: ${said}`} Its log is ${folder.log}.`);
  return { problem, mayPass: passing };
}
