/** A database server of a test's own that keeps what it acknowledges, to be killed, with the supervisor that starts it again. */
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { migrate } from "@hangrail/db/migrate";
import { ensureDatabase } from "@hangrail/db/server/cluster";
import { startServer, type EmbeddedServer } from "@hangrail/db/server/embedded-server";
import { isRunning } from "@hangrail/db/server/process-identity";
import pg from "pg";
import { databaseFrom, type TestDatabase, type TestServer } from "../support/embedded.ts";

export interface OwnServer extends TestServer {
  /** What the supervisor said, in order. */
  readonly said: readonly string[];
  pid(): number;
  freshDatabase(): Promise<TestDatabase>;
  /** The server's other processes as they are now. */
  children(): number[];
  /** A superuser's question in one of its databases. */
  asAdmin(sql: string, database?: string): Promise<Record<string, unknown>[]>;
  /** Resolves once it answers, after it was seen to end. */
  runsAgain(): Promise<void>;
  stop(): Promise<void>;
}

/** `folder` must be new, and stays the caller's; without one a temporary folder is made and removed. */
export async function ownServer(folder?: string): Promise<OwnServer> {
  const place = folder ?? mkdtempSync(join(tmpdir(), "hangrail-crash-"));
  const said: string[] = [];
  const server = await startServer({ folder: place, maxConnections: 100, onNotice: (sentence) => said.push(sentence) });
  const addresses = { adminUrl: server.url("superuser", "postgres"), ownerUrl: server.url("owner"), appUrl: server.url("app"), template: "hangrail_crash" };
  const asAdmin = async (sql: string, database = "postgres") => {
    const client = new pg.Client({ connectionString: server.url("superuser", database), connectionTimeoutMillis: 3_000, query_timeout: 10_000 });
    client.on("error", () => undefined);
    await client.connect();
    try {
      return (await client.query<Record<string, unknown>>(sql)).rows;
    } finally {
      await client.end();
    }
  };
  await withClient(server, (admin) => ensureDatabase(admin, addresses.template));
  await migrate(server.url("owner", addresses.template));
  return {
    ...addresses,
    said,
    pid: () => server.pid(),
    freshDatabase: () => databaseFrom(addresses),
    children: () => childrenOf(server.pid()),
    asAdmin,
    async runsAgain() {
      const deadline = performance.now() + 60_000;
      for (;;) {
        // It may answer before the supervisor itself has seen that it does.
        if ((await asAdmin("SELECT 1").then(() => true, () => false)) && isRunning(server.pid())) return;
        if (performance.now() > deadline) throw new Error(`The database did not come back within a minute: ${said.join(" ")}`);
        await wait(50);
      }
    },
    async stop() {
      await server.stop();
      if (folder === undefined) rmSync(place, { recursive: true, force: true });
    },
  };
}

async function withClient<T>(server: EmbeddedServer, work: (admin: pg.Client) => Promise<T>): Promise<T> {
  const admin = new pg.Client({ connectionString: server.url("superuser", "postgres") });
  await admin.connect();
  try {
    return await work(admin);
  } finally {
    await admin.end();
  }
}

export function childrenOf(pid: number): number[] {
  return spawnSync("pgrep", ["-P", String(pid)], { encoding: "utf8" }).stdout.split("\n").filter((line) => line !== "").map(Number);
}
