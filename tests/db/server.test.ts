import { spawn } from "node:child_process";
import { once } from "node:events";
import { chmodSync, existsSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { appPool } from "@hangrail/db/connect";
import { attachServer, startServer, type EmbeddedServer, type ServerOptions } from "@hangrail/db/server/embedded-server";
import { isRunning } from "@hangrail/db/server/process-identity";
import pg from "pg";
import { afterEach, describe, expect, test, vi } from "vitest";
import { killHard, serverProcess } from "../support/embedded-process.ts";

// Whole servers and processes are started here, perhaps on a busy machine.
vi.setConfig({ testTimeout: 60_000 });

const isRoot = process.getuid?.() === 0;
const running: EmbeddedServer[] = [];
const folders: string[] = [];

// Each of these tests fills some 40 MB with a server of its own, so they do clear up.
afterEach(async () => {
  await Promise.all(running.splice(0).map((server) => server.stop()));
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
});

function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "hangrail-server-"));
  folders.push(folder);
  return folder;
}

async function start(folder: string, options: Partial<ServerOptions> = {}): Promise<EmbeddedServer> {
  const server = await startServer({ folder, ...options });
  running.push(server);
  return server;
}

async function ask<Row extends pg.QueryResultRow>(url: string, sql: string): Promise<Row[]> {
  const client = new pg.Client({ connectionString: url, connectionTimeoutMillis: 3_000 });
  client.on("error", () => undefined);
  await client.connect();
  try {
    return (await client.query<Row>(sql)).rows;
  } finally {
    await client.end();
  }
}

async function keepOneHook(ownerUrl: string): Promise<void> {
  await ask(ownerUrl, "CREATE TABLE hook (name text)");
  await ask(ownerUrl, "INSERT INTO hook VALUES ('by the door')");
}

const hooks = (server: EmbeddedServer) => ask(server.url("owner"), "SELECT name FROM hook");
const oneHook = [{ name: "by the door" }];

describe("a new server", () => {
  test("keeps what it acknowledged, checks its pages and orders text alike on every machine", async () => {
    const server = await start(newFolder());
    const settings = await ask(
      server.url("superuser"),
      `SELECT name, setting FROM pg_settings WHERE name IN ('fsync', 'synchronous_commit', 'full_page_writes', 'data_checksums',
         'listen_addresses', 'password_encryption', 'unix_socket_permissions', 'TimeZone', 'max_connections') ORDER BY name`,
    );
    expect(Object.fromEntries(settings.map((row) => [row["name"], row["setting"]]))).toEqual({
      TimeZone: "UTC",
      data_checksums: "on",
      fsync: "on",
      full_page_writes: "on",
      listen_addresses: "",
      max_connections: "60",
      password_encryption: "scram-sha-256",
      synchronous_commit: "on",
      unix_socket_permissions: "0700",
    });
    expect(await ask(server.url("owner"), "SELECT datlocprovider, datlocale FROM pg_database WHERE datname = current_database()")).toEqual([
      { datlocprovider: "b", datlocale: "C.UTF-8" },
    ]);
  });

  test("lets nobody in with a usual password or without one", async () => {
    const server = await start(newFolder());
    for (const [user, password] of [["postgres", "password"], ["postgres", ""], ["hangrail_superuser", "password"], ["hangrail_app", "hangrail_app"], ["hangrail_owner", ""]]) {
      const guess = Object.assign(new URL(server.url("superuser")), { username: user, password: password || "x" }).href;
      await expect(ask(guess, "SELECT 1")).rejects.toMatchObject({ code: "28P01" });
    }
    const rules = await ask(server.url("superuser"), "SELECT DISTINCT auth_method FROM pg_hba_file_rules");
    expect(rules).toEqual([{ auth_method: "scram-sha-256" }]);
  });

  test("closes its folder, its passwords and its socket to everybody else", async () => {
    const folder = newFolder();
    const server = await start(folder);
    const socketFolder = new URL(server.url("app")).searchParams.get("host") as string;
    for (const closed of [folder, join(folder, "cluster"), socketFolder]) expect(statSync(closed).mode & 0o077).toBe(0);
    for (const secret of ["credentials.json", "server.log"]) expect(statSync(join(folder, secret)).mode & 0o777).toBe(0o600);
    expect(readdirSync(folder)).not.toContain("initial-password");
    if (isRoot) expect(statSync(join(folder, "cluster")).uid).not.toBe(0);
  });

  test("gives the owner its database and the application nothing but the right to connect", async () => {
    const server = await start(newFolder());
    const roles = await ask(server.url("superuser"), "SELECT rolname FROM pg_roles WHERE rolsuper OR rolcreaterole OR rolcreatedb OR rolreplication OR rolbypassrls");
    expect(roles).toEqual([{ rolname: "hangrail_superuser" }]);
    await ask(server.url("owner"), "CREATE EXTENSION btree_gist");
    await ask(server.url("owner"), "CREATE TABLE hook (name text)");
    for (const forbidden of ["SELECT FROM hook", "CREATE TABLE mine ()", "CREATE TEMP TABLE mine ()", "CREATE SCHEMA mine", "CREATE EXTENSION pgcrypto"]) {
      await expect(ask(server.url("app"), forbidden)).rejects.toMatchObject({ code: "42501" });
    }
  });

  test("sets the application's limits whichever way it signs in", async () => {
    const server = await start(newFolder());
    const shown = `SELECT current_setting('lock_timeout') AS lock, current_setting('statement_timeout') AS statement,
      current_setting('idle_in_transaction_session_timeout') AS idle, current_setting('transaction_timeout') AS transaction`;
    const limits = { lock: "2s", statement: "5s", idle: "3s", transaction: "5s" };
    expect(await ask(server.url("app"), shown)).toEqual([limits]);

    await ask(server.url("superuser"), "ALTER ROLE hangrail_app RESET ALL");
    await ask(server.url("superuser"), "ALTER ROLE hangrail_app SET statement_timeout = '4s'");
    const pool = appPool(server.url("app"), { connections: 2, name: "limits" });
    expect((await pool.query(shown)).rows).toEqual([{ ...limits, statement: "4s" }]);
    await pool.end();
  });

  test("on a machine without sockets listens on a port of this machine alone", async () => {
    const folder = newFolder();
    const server = await start(folder, { onPort: true });
    expect(new URL(server.url("app")).hostname).toBe("127.0.0.1");
    expect(await ask(server.url("superuser"), "SHOW listen_addresses")).toEqual([{ listen_addresses: "127.0.0.1" }]);
    await keepOneHook(server.url("owner"));
    const before = server.pid();
    process.kill(before, "SIGKILL");
    await expect.poll(() => server.pid(), { timeout: 20_000 }).not.toBe(before);
    expect(await hooks(server)).toEqual(oneHook);
  });
});

describe("a folder that is not fit", () => {
  const cases: [string, () => string, RegExp][] = [
    ["a file", () => fileAt(join(newFolder(), "data")), /data is a file, not a folder/],
    ["below a file", () => join(fileAt(join(newFolder(), "data")), "inside"), /something on its path is a file/],
    ["full of other things", () => withFile(newFolder(), "holiday.jpg"), /is not empty and was not made by Hangrail/],
    // Nothing binds root but the kernel's own tree, which takes no folders from anybody.
    ["closed for writing", () => (isRoot ? "/sys/hangrail" : join(readOnly(newFolder()), "data")), /cannot be written or read/],
  ];
  test.each(cases)("is refused with a sentence: %s", async (_, folder, sentence) => {
    await expect(start(folder())).rejects.toThrow(sentence);
  });

  test("is refused when another PostgreSQL made it, and stays as it was", async () => {
    const folder = newFolder();
    await (await start(folder, { durable: false })).stop();
    const version = join(folder, "cluster", "PG_VERSION");
    writeFileSync(version, "15\n");
    await expect(start(folder)).rejects.toThrow(/was made by PostgreSQL 15; this Hangrail brings PostgreSQL \d+/);
    expect(readFileSync(version, "utf8")).toBe("15\n");
    expect(existsSync(join(folder, "hangrail.lock"))).toBe(false);
  });

  test("is refused when it holds a demo fleet and a centre's data are wanted, and the other way round", async () => {
    const demo = newFolder();
    await (await start(demo, { durable: false, purpose: "demo" })).stop();
    await expect(start(demo)).rejects.toThrow(/holds an invented demo fleet/);
    const centre = newFolder();
    await (await start(centre, { durable: false })).stop();
    await expect(start(centre, { purpose: "demo" })).rejects.toThrow(/holds a centre's own data/);
  });

  test("is refused when its passwords are gone", async () => {
    const folder = newFolder();
    await (await start(folder, { durable: false })).stop();
    rmSync(join(folder, "credentials.json"));
    await expect(start(folder)).rejects.toThrow(/credentials\.json with the database's passwords is missing/);
  });

  test("is judged by what the database's account can enter, not by what root can", async () => {
    const closed = newFolder();
    const attempt = start(join(closed, "data"), { durable: false });
    if (isRoot) await expect(attempt).rejects.toThrow(`cannot enter ${closed}`);
    else expect(await ask((await attempt).url("app"), "SELECT 1 AS one")).toEqual([{ one: 1 }]);
  });

  test("is made whole when the first start was cut short", async () => {
    const folder = newFolder();
    await (await start(folder, { durable: false })).stop();
    rmSync(join(folder, "cluster"), { recursive: true });
    mkdirSync(join(folder, "cluster.unfinished"));
    writeFileSync(join(folder, "cluster.unfinished", "PG_VERSION"), "18\n");
    const server = await start(folder, { durable: false });
    expect(await ask(server.url("app"), "SELECT 1 AS one")).toEqual([{ one: 1 }]);
    expect(existsSync(join(folder, "cluster.unfinished"))).toBe(false);
  });

  function fileAt(path: string): string {
    writeFileSync(path, "");
    return path;
  }
  function withFile(folder: string, name: string): string {
    writeFileSync(join(folder, name), "");
    return folder;
  }
  function readOnly(folder: string): string {
    chmodSync(folder, 0o500);
    return folder;
  }
});

describe("after a crash", () => {
  test("takes over the server that a killed Hangrail left running", async () => {
    const folder = newFolder();
    const { child, said } = await serverProcess(folder);
    if (!("started" in said)) throw new Error(said.refused);
    await keepOneHook(said.ownerUrl);
    await killHard(child);
    expect(isRunning(said.started)).toBe(true);

    const server = await start(folder);
    expect({ adopted: server.adopted, pid: server.pid() }).toEqual({ adopted: true, pid: said.started });
    expect(await hooks(server)).toEqual(oneHook);
    await server.stop();
    expect(isRunning(said.started)).toBe(false);
    expect(existsSync(join(folder, "hangrail.lock"))).toBe(false);
  });

  test("a Hangrail that took a server over ends it when it is told to stop, and frees the folder", async () => {
    const folder = newFolder();
    const first = await serverProcess(folder);
    await killHard(first.child);
    const second = await serverProcess(folder);
    expect(second.said).toEqual(first.said);
    const left = once(second.child, "exit");
    second.child.kill("SIGTERM");
    expect(await left).toEqual([0, null]);
    expect("started" in second.said && isRunning(second.said.started)).toBe(false);
    expect(existsSync(join(folder, "hangrail.lock"))).toBe(false);
  });

  test("starts again when both were killed and postmaster.pid stayed behind", async () => {
    const folder = newFolder();
    const { child, said } = await serverProcess(folder);
    if (!("started" in said)) throw new Error(said.refused);
    await keepOneHook(said.ownerUrl);
    await killHard(child);
    process.kill(said.started, "SIGKILL");
    expect(existsSync(join(folder, "cluster", "postmaster.pid"))).toBe(true);

    const server = await start(folder);
    expect(server.adopted).toBe(false);
    expect(await hooks(server)).toEqual(oneHook);
  });

  test("is not fooled by a postmaster.pid whose number another process has now", async () => {
    const folder = newFolder();
    const first = await start(folder);
    await keepOneHook(first.url("owner"));
    await first.stop();
    // PostgreSQL minds only processes of its own account.
    const { uid, gid } = statSync(join(folder, "cluster"));
    const stranger = spawn("/bin/sh", ["-c", "read line"], { uid, gid, cwd: "/", stdio: ["pipe", "ignore", "ignore"] });
    const pidFile = [stranger.pid, join(folder, "cluster"), 1, 5432, "/tmp", "", "", "ready"].join("\n");
    writeFileSync(join(folder, "cluster", "postmaster.pid"), `${pidFile}\n`);
    expect(await hooks(await start(folder))).toEqual(oneHook);
    expect(stranger.exitCode).toBeNull();
    stranger.stdin.end();
  });

  test("brings the server back at the same address when it dies alone", async () => {
    const said: string[] = [];
    const server = await start(newFolder(), { onNotice: (sentence) => said.push(sentence) });
    await keepOneHook(server.url("owner"));
    const pool = appPool(server.url("app"), { connections: 2, name: "survivor" });
    await pool.query("SELECT 1");
    const before = server.pid();
    process.kill(before, "SIGKILL");
    await expect.poll(() => server.pid(), { timeout: 20_000 }).not.toBe(before);
    expect(await hooks(server)).toEqual(oneHook);
    expect((await pool.query("SELECT 1 AS one")).rows).toEqual([{ one: 1 }]);
    await pool.end();
    await expect.poll(() => said).toEqual(["The database ended unexpectedly; starting it again.", "The database runs again."]);
  });

  test("brings the server back when something cleaned its socket away", async () => {
    const server = await start(newFolder());
    await keepOneHook(server.url("owner"));
    const before = server.pid();
    rmSync(new URL(server.url("app")).searchParams.get("host") as string, { recursive: true });
    await expect.poll(() => server.pid(), { timeout: 20_000 }).not.toBe(before);
    expect(await hooks(server)).toEqual(oneHook);
  });

  test.each([
    ["of a process that is gone", (self: object) => JSON.stringify({ ...self, pid: 4_194_305 })],
    ["of an earlier process with our number", (self: object) => JSON.stringify({ ...self, pid: process.pid, started: "another boot 1" })],
    ["cut short", () => '{"pid":'],
  ])("takes over a lock %s", async (_, lock) => {
    const folder = newFolder();
    const first = await start(folder, { durable: false });
    const self = JSON.parse(readFileSync(join(folder, "hangrail.lock"), "utf8")) as object;
    await first.stop();
    writeFileSync(join(folder, "hangrail.lock"), lock(self));
    const server = await start(folder, { durable: false });
    expect(await ask(server.url("app"), "SELECT 1 AS one")).toEqual([{ one: 1 }]);
  });
});

describe("two Hangrails on one folder", () => {
  test("the second is refused with the first one's number, and may still ask where the server is", async () => {
    const folder = newFolder();
    const { child, said } = await serverProcess(folder);
    if (!("started" in said)) throw new Error(said.refused);
    await expect(start(folder)).rejects.toThrow(`Another Hangrail (process ${child.pid}) already looks after the data folder ${folder}`);
    const beside = attachServer(folder);
    expect(beside?.holder.pid).toBe(child.pid);
    expect(await ask(beside?.url("app") ?? "", "SELECT 1 AS one")).toEqual([{ one: 1 }]);
    child.kill("SIGTERM");
    await expect.poll(() => isRunning(said.started), { timeout: 20_000 }).toBe(false);
    expect(attachServer(folder)).toBeNull();
  });

  test("of several that come at once exactly one starts", async () => {
    const folder = newFolder();
    const contenders = await Promise.all(Array.from({ length: 4 }, () => serverProcess(folder)));
    const winners = contenders.filter(({ said }) => "started" in said);
    expect(winners).toHaveLength(1);
    for (const { said } of contenders) if ("refused" in said) expect(said.refused).toContain(`process ${winners[0]?.child.pid}`);
    winners[0]?.child.kill("SIGTERM");
    const { said } = winners[0] ?? {};
    await expect.poll(() => said && "started" in said && isRunning(said.started), { timeout: 20_000 }).toBe(false);
  });

  test("one on another machine is judged by its heartbeat", async () => {
    const folder = newFolder();
    const first = await start(folder, { durable: false });
    await first.stop();
    const lock = join(folder, "hangrail.lock");
    writeFileSync(lock, JSON.stringify({ pid: 7, started: "elsewhere", host: "another-machine" }));
    await expect(start(folder, { durable: false })).rejects.toThrow("Another Hangrail (process 7 on another-machine)");
  });
});
