/** Takes a backup of a database while the centre works: every row of one moment, in one file. */
import { randomBytes } from "node:crypto";
import { chmod, mkdir, open, rename, rm } from "node:fs/promises";
import { join, resolve } from "node:path";
import pg from "pg";
import { connectionConfig, connectionProblem } from "../connect.ts";
import { keepFromMigrating, readSchema } from "../migrate.ts";
import { OperatorError } from "../operator-error.ts";
import { ArchiveWriter, MANIFEST } from "./archive.ts";
import { copyOut } from "./copy.ts";
import type { CounterManifest, Manifest, TableManifest } from "./manifest.ts";

export interface BackupTaken {
  readonly path: string;
  readonly fileName: string;
  readonly takenAt: string;
  readonly bytes: number;
  readonly rows: number;
  readonly tables: number;
}

/** "hangrail-1f0c9a3e-20261125T173000Z.backup": the centre, so that two never tidy away each other's, and the moment. */
const FILE_NAME = /^hangrail-([0-9a-f]{8})-(\d{8}T\d{6}Z)\.backup$/;

/** The centre and the moment in the name of a backup; null for every other file. */
export function backupNamed(fileName: string): { readonly centre: string; readonly moment: string } | null {
  const found = FILE_NAME.exec(fileName);
  return found ? { centre: found[1]!, moment: found[2]! } : null;
}

/**
 * Writes a backup into a folder, which is made where it is missing. Signs in as the owner of the tables and needs no right
 * beyond that. Nobody waits for it but a migration.
 *
 * The file appears under its name only when it is whole, read back and on the disk. Throws OperatorError.
 */
export async function takeBackup(ownerUrl: string, folder: string): Promise<BackupTaken> {
  const into = resolve(folder);
  const client = new pg.Client(connectionConfig(ownerUrl, "hangrail backup"));
  client.on("error", () => undefined);
  await client.connect().catch((error: unknown) => {
    throw connectionProblem(error, ownerUrl);
  });
  const half = join(into, `.hangrail-${randomBytes(6).toString("hex")}.half`);
  try {
    await mkdir(into, { recursive: true, mode: 0o700 });
    return await writeBackup(client, into, half);
  } catch (error) {
    throw folderProblem(error, into);
  } finally {
    await rm(half, { force: true }).catch(() => undefined);
    await client.end();
  }
}

async function writeBackup(client: pg.Client, folder: string, half: string): Promise<BackupTaken> {
  await client.query("SET statement_timeout = 0; SET idle_in_transaction_session_timeout = 0; SET TimeZone = 'UTC'; SET DateStyle = 'ISO, YMD'; SET IntervalStyle = 'postgres'; SET bytea_output = 'hex'; SET extra_float_digits = 3");
  await client.query("SELECT set_config(name, '0', false) FROM pg_settings WHERE name = 'transaction_timeout'");
  await keepFromMigrating(client);
  await client.query("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY");
  const { rows: moments } = await client.query<{ takenAt: string; postgres: string; centre: string }>(
    `SELECT to_char(clock_timestamp() AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"') AS "takenAt", current_setting('server_version') AS postgres,
            coalesce((SELECT left(encode(sha256(convert_to(id::text, 'UTF8')), 'hex'), 8) FROM site ORDER BY created_at, id LIMIT 1), '00000000') AS centre`,
  );
  const { takenAt, postgres, centre } = moments[0]!;
  const archive = await ArchiveWriter.create(half, new Date(takenAt));
  let sealed = null;
  const tables: TableManifest[] = [];
  try {
    for (const { table, columns } of await tablesOf(client)) {
      const part = `tables/${table}.copy.gz`;
      const listed = columns.map((column) => pg.escapeIdentifier(column)).join(", ");
      const { filled: rows, ...written } = await archive.addZipped(part, (zip) => copyOut(client, `COPY public.${pg.escapeIdentifier(table)} (${listed}) TO STDOUT`, zip));
      tables.push({ table, part, columns, rows, ...written });
    }
    const manifest: Manifest = { format: 1, takenAt, postgres, schema: await readSchema(client), tables, counters: await countersOf(client) };
    await archive.addText(MANIFEST, `${JSON.stringify(manifest, null, 1)}\n`);
    sealed = await archive.seal();
  } finally {
    if (sealed === null) await archive.close();
  }
  const fileName = `hangrail-${centre}-${takenAt.replaceAll(/[-:]|\.\d+/g, "")}.backup`;
  const path = join(folder, fileName);
  await chmod(half, 0o600);
  await rename(half, path);
  await syncFolder(folder);
  return { path, fileName, takenAt, bytes: sealed.bytes, rows: tables.reduce((all, { rows }) => all + rows, 0), tables: tables.length };
}

/** Every table of ours but the list of migrations, which a restore writes anew. */
async function tablesOf(client: pg.Client): Promise<{ table: string; columns: string[] }[]> {
  const { rows } = await client.query<{ table: string; columns: string[] }>(
    `SELECT c.relname AS table, array_agg(a.attname::text ORDER BY a.attnum) AS columns
       FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum > 0 AND NOT a.attisdropped AND a.attgenerated = ''
      WHERE c.relnamespace = 'public'::regnamespace AND c.relkind = 'r' AND c.relname <> '_prisma_migrations' GROUP BY c.oid, c.relname ORDER BY c.relname`,
  );
  if (rows.length === 0) throw new OperatorError("The database holds no tables yet, so there is nothing to back up.");
  return rows;
}

/** Read after the rows' moment, so a counter is never behind a row; numbers that were drawn in between stay gaps. */
async function countersOf(client: pg.Client): Promise<CounterManifest[]> {
  const { rows: columns } = await client.query<{ table: string; column: string; sequence: string }>(
    `SELECT c.relname AS table, a.attname AS column, pg_get_serial_sequence(quote_ident(c.relname), a.attname) AS sequence FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid AND a.attidentity <> ''
      WHERE c.relnamespace = 'public'::regnamespace AND c.relkind = 'r' ORDER BY 1, 2`,
  );
  const counters: CounterManifest[] = [];
  for (const { table, column, sequence } of columns) {
    const { rows } = await client.query<{ last: string; used: boolean }>(`SELECT last_value::text AS last, is_called AS used FROM ${sequence}`);
    counters.push({ table, column, ...rows[0]! });
  }
  return counters;
}

/** A name that was given is only on the disk when its folder is. */
async function syncFolder(folder: string): Promise<void> {
  if (process.platform === "win32") return;
  const opened = await open(folder, "r");
  try {
    await opened.sync();
  } finally {
    await opened.close();
  }
}

function folderProblem(error: unknown, folder: string): unknown {
  switch ((error as NodeJS.ErrnoException).code) {
    case "EACCES":
    case "EPERM":
    case "EROFS":
      return new OperatorError(`The backup could not be written: this user may not write into ${folder}.`);
    case "ENOSPC":
    case "EDQUOT":
      return new OperatorError(`The backup could not be written: the disk that holds ${folder} is full.`);
    case "ENOTDIR":
    case "EEXIST":
      return new OperatorError(`The backup could not be written: ${folder} is no folder.`);
    case "42501":
      return new OperatorError("The backup could not be taken: this sign-in does not own the tables. Set DATABASE_OWNER_URL to the one that does.");
    default:
      return error;
  }
}
