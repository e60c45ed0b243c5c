import { spawnSync } from "node:child_process";
import { chownSync, existsSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import pg from "pg";
import { appTimeouts } from "../connect.ts";
import { OperatorError } from "../operator-error.ts";
import { runAs, type Account } from "./account.ts";
import type { Binaries } from "./binaries.ts";
import { roleNames, type Passwords } from "./credentials.ts";
import { folderProblem, type DataFolder } from "./folder.ts";
import { serverEnvironment } from "./postmaster.ts";

/** The database Hangrail keeps its data in, on the embedded server. */
export const databaseName = "hangrail";

/** Makes the cluster if there is none yet. One cut short is thrown away and made again. */
export function ensureCluster(folder: DataFolder, binaries: Binaries, account: Account | null, passwords: Passwords, durable: boolean): void {
  if (existsSync(folder.cluster)) return;
  rmSync(folder.unfinished, { recursive: true, force: true });
  const passwordFile = join(folder.root, "initial-password");
  try {
    writeFileSync(passwordFile, `${passwords.superuser}\n`, { mode: 0o600 });
    if (account) chownSync(passwordFile, account.uid, account.gid);
    // The text order is the same on every machine, so an index never depends on the system's libraries.
    const made = spawnSync(
      binaries.initdb,
      [
        `--pgdata=${folder.unfinished}`,
        `--username=${roleNames.superuser}`,
        `--pwfile=${passwordFile}`,
        "--auth=scram-sha-256",
        "--encoding=UTF8",
        "--locale=C",
        "--locale-provider=builtin",
        "--builtin-locale=C.UTF-8",
        "--data-checksums",
        "--no-instructions",
        ...(durable ? [] : ["--no-sync"]),
      ],
      { ...runAs(account), cwd: folder.root, env: serverEnvironment(), encoding: "utf8", windowsHide: true },
    );
    if (made.status !== 0) throw initProblem(folder, `${made.stderr ?? ""}${made.error?.message ?? ""}`);
    renameSync(folder.unfinished, folder.cluster);
  } catch (error) {
    throw folderProblem(error, folder.root);
  } finally {
    rmSync(passwordFile, { force: true });
  }
}

function initProblem(folder: DataFolder, said: string): OperatorError {
  if (/no space left/i.test(said)) return new OperatorError(`The disk that holds ${folder.root} is full. Free some space and start again.`);
  return new OperatorError(`A new database could not be made in ${folder.root}: ${said.trim()}`);
}

/**
 * The owner (who migrates) and the application (who may only what migrations grant), with their
 * passwords and limits. Safe to repeat. `admin` signs in as a superuser.
 */
export async function ensureRoles(admin: pg.ClientBase, passwords: Pick<Passwords, "owner" | "app">): Promise<void> {
  for (const role of ["owner", "app"] as const) {
    const name = roleNames[role];
    const known = await admin.query("SELECT FROM pg_roles WHERE rolname = $1", [name]);
    if (known.rowCount === 0) await admin.query(`CREATE ROLE ${name}`);
    await admin.query(
      `ALTER ROLE ${name} LOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE NOREPLICATION NOBYPASSRLS PASSWORD ${pg.escapeLiteral(passwords[role])}`,
    );
  }
  const version = await admin.query<{ number: number }>("SELECT current_setting('server_version_num')::int AS number");
  for (const [name, ms] of Object.entries(appTimeouts)) {
    if (name === "transaction_timeout" && (version.rows[0]?.number ?? 0) < 170_000) continue;
    await admin.query(`ALTER ROLE ${roleNames.app} SET ${name} = '${ms}ms'`);
  }
}

/** Makes a database that belongs to the owner and that the application may enter; safe to repeat. `template` copies another one. */
export async function ensureDatabase(admin: pg.ClientBase, name: string, template?: string): Promise<void> {
  const database = pg.escapeIdentifier(name);
  const from = template === undefined ? "" : ` TEMPLATE ${pg.escapeIdentifier(template)}`;
  const known = await admin.query("SELECT FROM pg_database WHERE datname = $1", [name]);
  if (known.rowCount === 0) await admin.query(`CREATE DATABASE ${database} OWNER ${roleNames.owner}${from}`);
  await admin.query(`REVOKE ALL ON DATABASE ${database} FROM PUBLIC`);
  await admin.query(`GRANT CONNECT ON DATABASE ${database} TO ${roleNames.app}`);
}
