/** Brings a backup back into an empty database, as a whole or not at all. */
import { createHash } from "node:crypto";
import { pipeline } from "node:stream/promises";
import { createGunzip } from "node:zlib";
import pg from "pg";
import { connectionConfig, connectionProblem } from "../connect.ts";
import { migrateWithin, requireKnown } from "../migrate.ts";
import { OperatorError } from "../operator-error.ts";
import { openArchive, readPart, type Archive } from "./archive.ts";
import { copyIn } from "./copy.ts";
import { readManifest, type Manifest, type TableManifest } from "./manifest.ts";

/** A backup that is whole and of a schema this Hangrail knows. */
export interface CheckedBackup {
  readonly archive: Archive;
  readonly manifest: Manifest;
}

export interface Restored {
  readonly takenAt: string;
  readonly rows: number;
  readonly tables: number;
  /** Sets that wait until a manager has seen them. */
  readonly held: number;
  /** Steps by which the schema of the backup was brought up to date. */
  readonly migrated: readonly string[];
}

/** Reads a backup from end to end and judges whether it can be brought back here. Touches no database. Throws OperatorError. */
export async function checkBackup(path: string): Promise<CheckedBackup> {
  const archive = await openArchive(path);
  const manifest = await readManifest(archive);
  requireKnown(manifest.schema, "This backup");
  return { archive, manifest };
}

/**
 * Fills an empty database from a checked backup: the schema as it was, every row and counter, the counts compared, then the
 * steps of the schema since. From then on every set is held until it was seen, and no session, device or
 * calendar address of the backup lets anybody in. All of it is one transaction. Signs in as the owner. Throws OperatorError.
 */
export async function restoreBackup({ archive, manifest }: CheckedBackup, ownerUrl: string): Promise<Restored> {
  const client = new pg.Client(connectionConfig(ownerUrl, "hangrail restore"));
  client.on("error", () => undefined);
  await client.connect().catch((error: unknown) => {
    throw connectionProblem(error, ownerUrl);
  });
  try {
    await client.query("SET TimeZone = 'UTC'; SET DateStyle = 'ISO, YMD'; SET IntervalStyle = 'postgres'; SET client_min_messages = warning; SET maintenance_work_mem = '256MB'");
    await client.query("SELECT set_config(name, '0', false) FROM pg_settings WHERE name IN ('transaction_timeout', 'idle_in_transaction_session_timeout')");
    await client.query("BEGIN");
    await refuseFilled(client);
    await migrateWithin(client, new Set(manifest.schema.map(({ name }) => name)));
    await fill(client, archive, manifest);
    const migrated = await migrateWithin(client);
    const { rows: marked } = await client.query<{ held: number }>("SELECT mark_restored($1, $2) AS held", [manifest.takenAt, archive.digest]);
    await client.query("COMMIT");
    await client.query("ANALYZE");
    return { takenAt: manifest.takenAt, rows: manifest.tables.reduce((all, { rows }) => all + rows, 0), tables: manifest.tables.length, held: marked[0]!.held, migrated };
  } catch (error) {
    // Nothing was committed; a connection that is gone takes the transaction with it.
    await client.query("ROLLBACK").catch(() => undefined);
    throw restoreProblem(error);
  } finally {
    await client.end();
  }
}

/** Restoring never writes over anything, not even over a schema without rows. */
async function refuseFilled(client: pg.Client): Promise<void> {
  const { rows } = await client.query<{ name: string }>("SELECT relname AS name FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind IN ('r', 'p', 'v', 'm', 'S', 'f') LIMIT 1");
  if (rows.length > 0) {
    throw new OperatorError("The database is not empty, and a restore writes over nothing. Name an empty one (or an empty folder with --to); nothing was changed.");
  }
}

/**
 * The rows come as they were, so nothing that watches over new rows may act on them: triggers sleep meanwhile, and references
 * are taken off and put back, when the database tries each of them.
 */
async function fill(client: pg.Client, archive: Archive, manifest: Manifest): Promise<void> {
  const { rows: known } = await client.query<{ table: string }>("SELECT relname AS table FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind = 'r' AND relname <> '_prisma_migrations'");
  const missing = known.find(({ table }) => !manifest.tables.some((one) => one.table === table));
  const foreign = manifest.tables.find(({ table }) => !known.some((one) => one.table === table));
  if (missing) throw new OperatorError(`The backup lacks the table ${missing.table}, so it is not whole. Nothing was changed.`);
  if (foreign) throw new OperatorError(`The backup holds a table that is none of Hangrail's: ${foreign.table}. Take it out of the database that was backed up, and take another backup. Nothing was changed.`);
  const names = known.map(({ table }) => `public.${pg.escapeIdentifier(table)}`);

  const { rows: references } = await client.query<{ table: string; name: string; definition: string }>(
    "SELECT conrelid::regclass::text AS table, quote_ident(conname) AS name, pg_get_constraintdef(oid) AS definition FROM pg_constraint WHERE contype = 'f' AND connamespace = 'public'::regnamespace ORDER BY 1, 2",
  );
  for (const { table, name } of references) await client.query(`ALTER TABLE ${table} DROP CONSTRAINT ${name}`);
  for (const name of names) await client.query(`ALTER TABLE ${name} DISABLE TRIGGER USER`);
  // The rows a new schema begins with are in the backup too.
  await client.query(`TRUNCATE ${names.join(", ")}`);

  for (const table of manifest.tables) await fillTable(client, archive, table);
  for (const { table, column, last, used } of manifest.counters) {
    await client.query("SELECT setval(pg_get_serial_sequence(quote_ident($1), $2), $3::bigint, $4)", [table, column, last, used]);
  }

  for (const { table, name, definition } of references) await client.query(`ALTER TABLE ${table} ADD CONSTRAINT ${name} ${definition}`);
  for (const name of names) await client.query(`ALTER TABLE ${name} ENABLE TRIGGER USER`);
  for (const { table, rows } of manifest.tables) {
    const { rows: counted } = await client.query<{ rows: string }>(`SELECT count(*) AS rows FROM public.${pg.escapeIdentifier(table)}`);
    if (Number(counted[0]!.rows) !== rows) throw new OperatorError(`The table ${table} came back with ${counted[0]!.rows} rows instead of ${rows}. Nothing was changed.`);
  }
}

async function fillTable(client: pg.Client, archive: Archive, { table, part, columns, sha256 }: TableManifest): Promise<void> {
  const hash = createHash("sha256");
  const unzip = createGunzip({ chunkSize: 65_536 });
  const listed = columns.map((column) => pg.escapeIdentifier(column)).join(", ");
  await Promise.all([pipeline(readPart(archive, part, hash), unzip), copyIn(client, `COPY public.${pg.escapeIdentifier(table)} (${listed}) FROM STDIN`, unzip)]);
  if (hash.digest("hex") !== sha256) throw new OperatorError(`The part ${part} of the backup is not what its list says. Nothing was changed.`);
}

function restoreProblem(error: unknown): unknown {
  // A step of the schema that failed has a sentence of its own; the cause behind it may have a better one.
  const cause = error instanceof OperatorError ? error.cause : error;
  if (!(cause instanceof pg.DatabaseError)) return error;
  switch (cause.code) {
    case "42501":
      return new OperatorError(`The database could not be filled: this sign-in may not do it (${cause.message}). It has to own the database. Nothing was changed.`, { cause });
    case "53100":
      return new OperatorError("The database could not be filled: its disk is full. Nothing was changed.", { cause });
    default:
      return error instanceof OperatorError ? error : new OperatorError(`The database could not be filled, and nothing was changed: ${cause.message}.`, { cause });
  }
}
