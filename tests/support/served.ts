/** The built screens, served on a database of a test's own. */
import { spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync } from "node:fs";
import { createServer } from "node:net";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { installedProgram, leaveWithParent, webFolder } from "@hangrail/cli/places";

export interface Served {
  /** As a browser is given it, without a slash at the end. */
  readonly origin: string;
  /** What the server has written so far, its log and its errors. */
  output(): string;
  /** Ends the server; throws when it had fallen by itself before. */
  stop(): Promise<void>;
  /** Ends it as a power cut would: nothing is finished, nobody is answered. */
  kill(): Promise<void>;
}

/** Good for a first run on a database without people. */
export const SETUP_CODE = "h4k7m-2wxyz";
const answerWithinMs = 60_000;

/**
 * Serves the app as `npm run build` left it, on a free port of 127.0.0.1.
 *
 * Errors: an Error when the app is not built, or when the server ends or does not answer; with what it said.
 */
export async function serveApp(databaseUrl: string, env: Readonly<Record<string, string>> = {}): Promise<Served> {
  if (!existsSync(join(webFolder, ".next", "BUILD_ID"))) throw new Error("The screens are not built: run npm run build first.");
  const port = await freePort();
  const origin = `http://127.0.0.1:${port}`;
  const child = spawn(process.execPath, ["--import", leaveWithParent, installedProgram(webFolder, "next", "dist/bin/next"), "start", "--hostname", "127.0.0.1", "--port", String(port)], {
    cwd: webFolder,
    env: { ...bareEnvironment(), DATABASE_URL: databaseUrl, HANGRAIL_SETUP_CODE: SETUP_CODE, ...env },
    // The channel closes with this process, and the server leaves with it.
    stdio: ["ignore", "pipe", "pipe", "ipc"],
  });
  let said = "";
  for (const stream of [child.stdout, child.stderr]) stream?.on("data", (chunk: Buffer) => (said += chunk.toString()));
  const hasEnded = () => child.exitCode !== null || child.signalCode !== null;

  const deadline = Date.now() + answerWithinMs;
  while (!(await answers(origin))) {
    if (hasEnded()) throw new Error(`The web server ended before it answered:\n${said}`);
    if (Date.now() > deadline) {
      child.kill("SIGKILL");
      throw new Error(`The web server did not answer within a minute:\n${said}`);
    }
    await wait(50);
  }
  return {
    origin,
    output: () => said,
    async stop() {
      if (hasEnded()) throw new Error(`The web server fell during the test:\n${said}`);
      const gone = once(child, "exit");
      child.kill("SIGTERM");
      const killed = setTimeout(() => child.kill("SIGKILL"), 5_000);
      await gone;
      clearTimeout(killed);
    },
    async kill() {
      const gone = once(child, "exit");
      child.kill("SIGKILL");
      await gone;
    },
  };
}

/** The server under test sees none of the runner's own settings, and never the owner's sign-in. */
function bareEnvironment(): NodeJS.ProcessEnv {
  const { DATABASE_OWNER_URL: _owner, HANGRAIL_ORIGIN: _origin, NODE_OPTIONS: _options, ...rest } = process.env;
  return { ...rest, NODE_ENV: "production", NEXT_TELEMETRY_DISABLED: "1" };
}

async function answers(origin: string): Promise<boolean> {
  try {
    // The shell of the sign-in page: it answers when the database does, too.
    const answer = await fetch(`${origin}/sign-in`, { redirect: "manual" });
    await answer.arrayBuffer();
    return answer.status < 500;
  } catch {
    return false;
  }
}

/** A port nobody listens on now. */
async function freePort(): Promise<number> {
  const probe = createServer().listen(0, "127.0.0.1");
  await once(probe, "listening");
  const address = probe.address();
  probe.close();
  await once(probe, "close");
  if (address === null || typeof address === "string") throw new Error("This machine gave no port to listen on.");
  return address.port;
}
