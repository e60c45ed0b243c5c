import { createHash, randomUUID } from "node:crypto";
import { existsSync, readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import pg from "pg";
import { connectionConfig, connectionProblem } from "./connect.ts";
import { OperatorError } from "./operator-error.ts";
import { roleNames } from "./server/credentials.ts";

/** One file of prisma/migrations. */
interface Migration {
  readonly name: string;
  readonly sql: string;
  readonly checksum: string;
}

/** What the database says was applied. */
interface Applied {
  readonly migration_name: string;
  readonly checksum: string;
  readonly finished_at: Date | null;
}

/** A step of the schema as a backup names it. */
export interface SchemaStep {
  readonly name: string;
  readonly checksum: string;
}

export interface MigrateOptions {
  /** Another folder than the repository's prisma/migrations. */
  readonly folder?: string;
}

/** The lock that Prisma's own command takes, so that the two never migrate at once. */
const migrationLock = 72_707_369;
/** Another runner may be busy with a long migration. */
const waitForOtherRunner = "120s";
/** A migration that waits behind a long report holds up every desk behind itself. */
const waitForTables = "10s";

/**
 * Brings the database up to date: applies each migration it has not seen, in the order of their
 * names, each in a transaction of its own, and returns the names it applied. Signs in as the owner.
 *
 * Keeps the table that Prisma's own command keeps, so both agree on what was applied. Throws
 * OperatorError when a file changed after it was applied, when the database was made by a newer
 * Hangrail, when another tool left a migration half done, and when a migration fails; a failed one
 * leaves nothing behind.
 */
export async function migrate(ownerUrl: string, options: MigrateOptions = {}): Promise<string[]> {
  return withConnection(ownerUrl, async (client) => {
    await takeLock(client, "pg_advisory_lock");
    await prepareHistory(client);
    const pending = pendingAfter(readMigrations(options.folder), await readHistory(client));
    for (const migration of pending) await apply(client, migration);
    return pending.map((migration) => migration.name);
  });
}

/**
 * The names of the migrations this database still lacks; none when it is up to date. Changes nothing,
 * and the application's role may ask. Throws OperatorError as `migrate` does.
 */
export async function pendingMigrations(url: string, options: MigrateOptions = {}): Promise<string[]> {
  return withConnection(url, async (client) => {
    const known = await client.query<{ known: boolean }>("SELECT to_regclass('_prisma_migrations') IS NOT NULL AS known");
    const history = known.rows[0]?.known ? await readHistory(client) : [];
    return pendingAfter(readMigrations(options.folder), history).map((migration) => migration.name);
  });
}

/** Holds off migrations until the session ends, and waits for one that is under way. Any number of sessions may hold them off at once. */
export async function keepFromMigrating(client: pg.ClientBase): Promise<void> {
  await takeLock(client, "pg_advisory_lock_shared");
}

/** The steps that made this database, in their order. */
export async function readSchema(client: pg.ClientBase): Promise<SchemaStep[]> {
  const steps = (await readHistory(client)).map(({ migration_name, checksum }) => ({ name: migration_name, checksum }));
  return steps.sort((one, other) => (one.name < other.name ? -1 : 1));
}

/**
 * Throws OperatorError when these steps are not all steps of this Hangrail: a newer one made them, or a file was changed.
 * `of` names what they made, at the beginning of a sentence.
 */
export function requireKnown(steps: readonly SchemaStep[], of: string): void {
  pendingAfter(readMigrations(), steps.map(({ name, checksum }) => ({ migration_name: name, checksum, finished_at: new Date() })), of);
}

/**
 * Applies steps inside the caller's transaction, all or those named, and returns their names. For a database that
 * must be there as a whole or not at all.
 */
export async function migrateWithin(client: pg.ClientBase, only?: ReadonlySet<string>): Promise<string[]> {
  await takeLock(client, "pg_advisory_xact_lock");
  await prepareHistory(client);
  const pending = pendingAfter(readMigrations(), await readHistory(client)).filter(({ name }) => only?.has(name) ?? true);
  for (const migration of pending) {
    await applyStep(client, migration).catch((error: unknown) => {
      throw error instanceof pg.DatabaseError ? failed(migration, error) : error;
    });
  }
  return pending.map(({ name }) => name);
}

async function withConnection<T>(url: string, work: (client: pg.Client) => Promise<T>): Promise<T> {
  const client = new pg.Client(connectionConfig(url, "hangrail migrate"));
  client.on("error", () => undefined);
  try {
    await client.connect();
  } catch (error) {
    throw connectionProblem(error, url);
  }
  try {
    return await work(client);
  } finally {
    await client.end();
  }
}

async function takeLock(client: pg.ClientBase, how: "pg_advisory_lock" | "pg_advisory_lock_shared" | "pg_advisory_xact_lock"): Promise<void> {
  try {
    await client.query(`SET statement_timeout = 0; SET lock_timeout = '${waitForOtherRunner}'`);
    await client.query(`SELECT ${how}($1)`, [migrationLock]);
    await client.query(`SET lock_timeout = '${waitForTables}'`);
  } catch (error) {
    if ((error as pg.DatabaseError).code !== "55P03") throw error;
    throw new OperatorError("Another process has been bringing this database up to date, or backing it up, for two minutes. Wait for it, or stop it, and try again.");
  }
}

async function prepareHistory(client: pg.ClientBase): Promise<void> {
  await requireAppRole(client);
  await client.query(createHistory);
  await client.query(`GRANT SELECT ON _prisma_migrations TO ${roleNames.app}`);
}

async function requireAppRole(client: pg.ClientBase): Promise<void> {
  const found = await client.query("SELECT FROM pg_roles WHERE rolname = $1", [roleNames.app]);
  if (found.rowCount === 0) {
    throw new OperatorError(
      `This server has no role ${roleNames.app}, to which the migrations give the application's rights. ` +
        `Create it as an administrator: CREATE ROLE ${roleNames.app} LOGIN PASSWORD '...';`,
    );
  }
}

/** The same columns and types as Prisma's own table. */
const createHistory = `
  CREATE TABLE IF NOT EXISTS _prisma_migrations (
    id                  varchar(36)  PRIMARY KEY NOT NULL,
    checksum            varchar(64)  NOT NULL,
    finished_at         timestamptz,
    migration_name      varchar(255) NOT NULL,
    logs                text,
    rolled_back_at      timestamptz,
    started_at          timestamptz  NOT NULL DEFAULT now(),
    applied_steps_count integer      NOT NULL DEFAULT 0
  )`;

async function readHistory(client: pg.ClientBase): Promise<Applied[]> {
  const rows = await client.query<Applied>(
    "SELECT migration_name, checksum, finished_at FROM _prisma_migrations WHERE rolled_back_at IS NULL ORDER BY started_at",
  );
  return rows.rows;
}

function readMigrations(folder = fileURLToPath(new URL("../../../prisma/migrations", import.meta.url))): Migration[] {
  const names = readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isDirectory() && existsSync(join(folder, entry.name, "migration.sql")))
    .map((entry) => entry.name)
    .sort();
  if (names.length === 0) throw new OperatorError(`There are no migrations in ${folder}; this Hangrail is not complete.`);
  return names.map((name) => {
    const sql = readFileSync(join(folder, name, "migration.sql"), "utf8");
    return { name, sql, checksum: checksumOf(sql) };
  });
}

/** Over the text with bare line feeds: a checkout on Windows must not look like an edit. */
function checksumOf(sql: string): string {
  return createHash("sha256").update(sql.replaceAll("\r\n", "\n")).digest("hex");
}

/** What is left to do, or an OperatorError when the database and the files do not belong together. */
function pendingAfter(migrations: Migration[], history: Applied[], of = "This database"): Migration[] {
  const files = new Map(migrations.map((migration) => [migration.name, migration]));
  for (const row of history) {
    const file = files.get(row.migration_name);
    if (!file) {
      throw new OperatorError(
        `${of} was made by a newer Hangrail: it holds the migration ${row.migration_name}, which this one does not know. Update Hangrail; nothing was changed.`,
      );
    }
    if (row.finished_at === null) {
      throw new OperatorError(
        `The migration ${row.migration_name} was begun by another tool and not finished. Settle it with "prisma migrate resolve", then try again.`,
      );
    }
    if (file.checksum !== row.checksum) {
      throw new OperatorError(
        `The migration ${row.migration_name} was changed after it was applied to ${of.charAt(0).toLowerCase()}${of.slice(1)}. Put the file back as it was and make the change in a new migration.`,
      );
    }
  }
  const applied = new Set(history.map((row) => row.migration_name));
  return migrations.filter((migration) => !applied.has(migration.name));
}

/** The migration and its line in the history stand or fall together. */
async function apply(client: pg.Client, migration: Migration): Promise<void> {
  try {
    await client.query("BEGIN");
    await applyStep(client, migration);
    await client.query("COMMIT");
  } catch (error) {
    await client.query("ROLLBACK").catch(() => undefined);
    throw error instanceof pg.DatabaseError ? failed(migration, error) : error;
  }
}

async function applyStep(client: pg.ClientBase, migration: Migration): Promise<void> {
  const before = await transactionNow(client);
  await client.query(migration.sql);
  if ((await transactionNow(client)).number !== before.number) {
    throw new OperatorError(`The migration ${migration.name} ends its own transaction; take its BEGIN, COMMIT or ROLLBACK out.`);
  }
  await client.query(
    `INSERT INTO _prisma_migrations (id, checksum, migration_name, started_at, finished_at, applied_steps_count)
     VALUES ($1, $2, $3, $4, clock_timestamp(), 1)`,
    [randomUUID(), migration.checksum, migration.name, before.at],
  );
}

async function transactionNow(client: pg.ClientBase): Promise<{ number: string; at: string }> {
  const answer = await client.query<{ number: string; at: string }>("SELECT pg_current_xact_id()::text AS number, clock_timestamp()::text AS at");
  return answer.rows[0]!;
}

function failed(migration: Migration, error: pg.DatabaseError): OperatorError {
  const line = error.position ? ` at line ${migration.sql.slice(0, Number(error.position)).split("\n").length}` : "";
  return new OperatorError(`The migration ${migration.name} failed${line} and left nothing behind: ${error.message}.`, { cause: error });
}
