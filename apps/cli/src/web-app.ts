import { spawn, type ChildProcess } from "node:child_process";
import { once } from "node:events";
import { createServer } from "node:net";
import { createInterface } from "node:readline";
import { setTimeout as wait } from "node:timers/promises";
import { OperatorError } from "@hangrail/db/operator-error";
import { say } from "./messages.ts";
import { cloneFolder, installedProgram, leaveWithParent, webFolder } from "./places.ts";

/** Where the web server listens. */
export interface WebPlace {
  readonly host: string;
  readonly port: number;
  /** As a browser on this machine is given it. */
  readonly address: string;
}

export interface WebApp {
  /** Resolves when the server answers; rejects with OperatorError when it does not come up. */
  readonly ready: Promise<void>;
  stop(): Promise<void>;
}

const answerWithinMs = 60_000;
const stopWithinMs = 10_000;
const longestPauseMs = 10_000;
/** A server that ran this long before it fell is started again at once. */
const steadyAfterMs = 30_000;
const quickFallsAllowed = 5;

/** Reads PORT and HANGRAIL_HOST, and makes sure that the port is free. */
export async function choosePlace(env: NodeJS.ProcessEnv): Promise<WebPlace> {
  const text = env["PORT"] ?? "3000";
  const port = Number(text);
  if (!Number.isInteger(port) || port < 1 || port > 65_535) throw new OperatorError(`PORT is "${text}"; it must be a whole number from 1 to 65535.`);
  const host = env["HANGRAIL_HOST"] ?? "127.0.0.1";
  await requireFree(host, port);
  const everywhere = host === "0.0.0.0" || host === "::";
  const shown = everywhere ? "localhost" : host.includes(":") ? `[${host}]` : host;
  return { host, port, address: `http://${shown}:${port}` };
}

/** Builds the screens when they are not built or something changed since; says so, because the first time takes a while. */
export async function buildWebApp(stop: AbortSignal): Promise<void> {
  say("Preparing the screens; the first time takes a minute or two …");
  const turbo = installedProgram(cloneFolder, "turbo", "bin/turbo");
  const child = spawn(process.execPath, [turbo, "run", "build", "--filter=@hangrail/web", "--env-mode=loose", "--ui=stream", "--output-logs=errors-only"], {
    cwd: cloneFolder,
    env: { ...webEnvironment(), TURBO_TELEMETRY_DISABLED: "1", DO_NOT_TRACK: "1" },
    stdio: ["ignore", "pipe", "pipe"],
  });
  const abort = () => child.kill("SIGTERM");
  stop.addEventListener("abort", abort, { once: true });
  let said = "";
  for (const stream of [child.stdout, child.stderr]) stream.on("data", (chunk: Buffer) => (said += chunk.toString()));
  const [code] = (await once(child, "close")) as [number | null];
  stop.removeEventListener("abort", abort);
  if (code !== 0 && !stop.aborted) throw new OperatorError(`The screens could not be built:\n${said.trim()}`);
}

/** Runs the web server and starts it again when it falls. `mode` is Next's: "start" for a build, "dev" for work on the code. */
export function runWebApp(mode: "start" | "dev", place: WebPlace, settings: Readonly<Record<string, string>>): WebApp {
  const stopping = new AbortController();
  let child = spawnNext(mode, place, settings);
  let gaveUp: OperatorError | null = null;

  async function keepRunning(): Promise<void> {
    let pause = 500;
    for (let quickFalls = 0; ; ) {
      const since = Date.now();
      if (child.exitCode === null && child.signalCode === null) await once(child, "exit");
      if (stopping.signal.aborted) return;
      const steady = Date.now() - since > steadyAfterMs;
      quickFalls = steady ? 0 : quickFalls + 1;
      pause = steady ? 500 : Math.min(pause * 2, longestPauseMs);
      if (quickFalls > quickFallsAllowed) {
        gaveUp = new OperatorError(`The web server ended ${quickFalls} times in a row; what it said stands above.`);
        throw gaveUp;
      }
      say("The web server ended unexpectedly; starting it again.");
      await wait(pause, undefined, { signal: stopping.signal }).catch(() => undefined);
      if (stopping.signal.aborted) return;
      child = spawnNext(mode, place, settings);
    }
  }

  const running = keepRunning();
  async function ready(): Promise<void> {
    const deadline = Date.now() + answerWithinMs;
    while (!(await answers(place))) {
      if (gaveUp) throw gaveUp;
      if (stopping.signal.aborted) return;
      if (Date.now() > deadline) throw new OperatorError(`The web server did not answer at ${place.address} within a minute.`);
      await wait(100);
    }
  }

  return {
    ready: Promise.race([ready(), running]),
    async stop() {
      stopping.abort();
      await end(child);
      await running.catch(() => undefined);
    },
  };
}

function spawnNext(mode: "start" | "dev", place: WebPlace, settings: Readonly<Record<string, string>>): ChildProcess {
  const next = installedProgram(webFolder, "next", "dist/bin/next");
  const child = spawn(process.execPath, ["--import", leaveWithParent, next, mode, "--hostname", place.host, "--port", String(place.port)], {
    cwd: webFolder,
    env: { ...webEnvironment(), ...settings },
    // The channel is there to be closed: the child leaves when this process is gone.
    stdio: ["ignore", "pipe", "inherit", "ipc"],
  });
  if (child.stdout) createInterface({ input: child.stdout }).on("line", (line) => isGreeting(line) || say(line));
  return child;
}

/** Next greets with its own name and addresses; Hangrail says its own. */
function isGreeting(line: string): boolean {
  return line.trim() === "" || /^\s*(▲|✓|- (Local|Network|Environments|Experiments))/.test(line);
}

/** The web server never sees the owner's sign-in. */
function webEnvironment(): NodeJS.ProcessEnv {
  const { DATABASE_OWNER_URL: _owner, ...rest } = process.env;
  return { ...rest, NEXT_TELEMETRY_DISABLED: "1" };
}

async function answers(place: WebPlace): Promise<boolean> {
  try {
    const answer = await fetch(place.address, { redirect: "manual", signal: AbortSignal.timeout(30_000) });
    await answer.body?.cancel();
    return true;
  } catch {
    return false;
  }
}

async function end(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const gone = once(child, "exit");
  child.kill("SIGTERM");
  const left = await Promise.race([gone.then(() => true), wait(stopWithinMs, false, { ref: false })]);
  if (left) return;
  child.kill("SIGKILL");
  await gone;
}

async function requireFree(host: string, port: number): Promise<void> {
  const probe = createServer();
  try {
    await new Promise<void>((listening, failed) => probe.once("error", failed).listen({ host, port, exclusive: true }, listening));
  } catch (error) {
    throw portProblem(error as NodeJS.ErrnoException, host, port);
  }
  await new Promise((closed) => probe.close(closed));
}

function portProblem(error: NodeJS.ErrnoException, host: string, port: number): unknown {
  switch (error.code) {
    case "EADDRINUSE":
      return new OperatorError(`Port ${port} is taken by another program. Stop it, or choose another port: PORT=${port + 1} npm start`);
    case "EACCES":
      return new OperatorError(`This user may not listen on port ${port}. Choose one above 1023, for example PORT=3000.`);
    case "EADDRNOTAVAIL":
    case "ENOTFOUND":
      return new OperatorError(`HANGRAIL_HOST is "${host}", which is no address of this machine. Leave it out to serve this machine alone.`);
    default:
      return error;
  }
}
