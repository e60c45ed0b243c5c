import { createHash, randomUUID } from "node:crypto";
import { existsSync, mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { appPool, ownerPool } from "@hangrail/db/connect";
import { migrate } from "@hangrail/db/migrate";
import { ensureDatabase, ensureRoles } from "@hangrail/db/server/cluster";
import { roleNames } from "@hangrail/db/server/credentials";
import { startServer } from "@hangrail/db/server/embedded-server";
import { dataFolder } from "@hangrail/db/server/folder";
import { folderHolder } from "@hangrail/db/server/folder-lock";
import pg from "pg";

/** A server for tests with a migrated template; plain data, so that it can be handed to other processes. */
export interface TestServer {
  /** A superuser's connection string. */
  readonly adminUrl: string;
  readonly ownerUrl: string;
  readonly appUrl: string;
  readonly template: string;
}

/** A database of its own, migrated and empty of facts. */
export interface TestDatabase {
  readonly name: string;
  /** Signs in as the application. */
  readonly url: string;
  readonly appPool: pg.Pool;
  /** Signs in as the owner of the tables. */
  readonly ownerUrl: string;
  readonly ownerPool: pg.Pool;
  /** Ends the pools and removes the database. Not needed for tidiness: the server goes with the run. */
  drop(): Promise<void>;
}

const folderPrefix = "hangrail-tests-";

/**
 * Starts a server in a temporary folder (fast and not safe against power cuts, unless `durable`) and migrates a template,
 * or uses the server that HANGRAIL_TEST_SERVER names with a superuser's connection string.
 */
export async function startTestServer({ durable = false } = {}): Promise<TestServer & { stop(): Promise<void> }> {
  const named = process.env["HANGRAIL_TEST_SERVER"];
  return named ? onNamedServer(named) : onOwnServer(durable);
}

/** A migrated copy of the template. */
export async function databaseFrom(server: TestServer): Promise<TestDatabase> {
  const name = `${server.template}_${randomUUID().slice(0, 8)}`;
  await asAdmin(server.adminUrl, (admin) => ensureDatabase(admin, name, server.template));
  return openDatabase(server, name);
}

/** A database without any table, for tests of the migrations themselves. */
export async function emptyDatabase(server: TestServer): Promise<TestDatabase> {
  const name = `${server.template}_empty_${randomUUID().slice(0, 8)}`;
  await asAdmin(server.adminUrl, (admin) => ensureDatabase(admin, name));
  return openDatabase(server, name);
}

function openDatabase(server: TestServer, name: string): TestDatabase {
  const url = inDatabase(server.appUrl, name);
  const ownerUrl = inDatabase(server.ownerUrl, name);
  const app = appPool(url, { connections: 20, name: "hangrail tests" });
  const owner = ownerPool(ownerUrl, { connections: 5, name: "hangrail tests owner" });
  return {
    name,
    url,
    appPool: app,
    ownerUrl,
    ownerPool: owner,
    async drop() {
      await Promise.all([app.end(), owner.end()]);
      await asAdmin(server.adminUrl, (admin) => admin.query(`DROP DATABASE IF EXISTS ${pg.escapeIdentifier(name)} WITH (FORCE)`));
    },
  };
}

async function onOwnServer(durable: boolean): Promise<TestServer & { stop(): Promise<void> }> {
  await clearAwayKilledRuns();
  const folder = mkdtempSync(join(tmpdir(), folderPrefix));
  const server = await startServer({ folder, durable, maxConnections: 300 });
  const addresses = { adminUrl: server.url("superuser", "postgres"), ownerUrl: server.url("owner"), appUrl: server.url("app") };
  const stop = async () => {
    await server.stop();
    rmSync(folder, { recursive: true, force: true });
  };
  try {
    return { ...addresses, template: await makeTemplate(addresses), stop };
  } catch (error) {
    await stop();
    throw error;
  }
}

async function onNamedServer(adminUrl: string): Promise<TestServer & { stop(): Promise<void> }> {
  // Two runs on one server at once must agree on the passwords.
  const password = createHash("sha256").update(`tests ${adminUrl}`).digest("base64url");
  await asAdmin(adminUrl, (admin) => ensureRoles(admin, { owner: password, app: password }));
  const signIn = (user: string) => Object.assign(new URL(adminUrl), { username: user, password }).href;
  const addresses = { adminUrl, ownerUrl: signIn(roleNames.owner), appUrl: signIn(roleNames.app) };
  const template = await makeTemplate(addresses);
  return {
    ...addresses,
    template,
    async stop() {
      await asAdmin(adminUrl, async (admin) => {
        const made = await admin.query<{ datname: string }>("SELECT datname FROM pg_database WHERE starts_with(datname, $1)", [template]);
        for (const { datname } of made.rows) await admin.query(`DROP DATABASE IF EXISTS ${pg.escapeIdentifier(datname)} WITH (FORCE)`);
      });
    },
  };
}

async function makeTemplate(server: Omit<TestServer, "template">): Promise<string> {
  const template = `hangrail_tests_${randomUUID().slice(0, 8)}`;
  await asAdmin(server.adminUrl, (admin) => ensureDatabase(admin, template));
  await migrate(inDatabase(server.ownerUrl, template));
  return template;
}

/** A run that was killed leaves its server and its lock behind; a run that lives still holds its lock. */
async function clearAwayKilledRuns(): Promise<void> {
  for (const name of readdirSync(tmpdir()).filter((entry) => entry.startsWith(folderPrefix))) {
    const folder = join(tmpdir(), name);
    const left = dataFolder(folder);
    if (!existsSync(left.lock) || folderHolder(left) !== null) continue;
    try {
      await (await startServer({ folder, durable: false })).stop();
    } catch {
      continue;
    }
    rmSync(folder, { recursive: true, force: true });
  }
}

async function asAdmin<T>(adminUrl: string, work: (admin: pg.Client) => Promise<T>): Promise<T> {
  const admin = new pg.Client({ connectionString: adminUrl, application_name: "hangrail tests admin" });
  await admin.connect();
  try {
    return await work(admin);
  } finally {
    await admin.end();
  }
}

function inDatabase(url: string, database: string): string {
  return Object.assign(new URL(url), { pathname: `/${encodeURIComponent(database)}` }).href;
}
