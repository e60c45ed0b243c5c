import { readDatabaseSettings } from "@hangrail/db/connect";
import { migrate, pendingMigrations } from "@hangrail/db/migrate";
import { OperatorError } from "@hangrail/db/operator-error";
import { checkpointKeyIn } from "@hangrail/db/server/checkpoint-key";
import { attachServer, startServer } from "@hangrail/db/server/embedded-server";
import type { Purpose } from "@hangrail/db/server/folder";
import { defaultDataFolder } from "@hangrail/db/server/shared-folder";
import { say } from "./messages.ts";
import { cloneFolder } from "./places.ts";

/** A database to work with, and how to let go of it. */
export interface Database {
  readonly appUrl: string;
  /** Null where only the application's sign-in is known (DATABASE_URL without DATABASE_OWNER_URL). */
  readonly ownerUrl: string | null;
  /** Where the embedded database lies; null for a server that DATABASE_URL names. */
  readonly folder: string | null;
  close(): Promise<void>;
}

/** An embedded database: its owner's sign-in is always known. */
export interface OwnDatabase extends Database {
  readonly ownerUrl: string;
  readonly folder: string;
}

/** The folder for the embedded database: as asked for, else the usual one of this clone. Says so when it lies elsewhere. */
export function chooseFolder(asked: string | undefined, usual: string): string {
  if (asked) return asked;
  const { folder, why } = defaultDataFolder(cloneFolder, usual);
  if (why) say(why);
  return folder;
}

/** Starts the embedded database on a folder and looks after it until `close`. */
export async function ownDatabase(folder: string, purpose: Purpose): Promise<OwnDatabase> {
  const server = await startServer({ folder, purpose, onNotice: say });
  return { appUrl: server.url("app"), ownerUrl: server.url("owner"), folder: server.folder, close: () => server.stop() };
}

/** The centre's database: the one DATABASE_URL names, else the embedded one. */
export async function centreDatabase(asked: string | undefined): Promise<Database> {
  return namedDatabase() ?? ownDatabase(centreFolder(asked), "centre");
}

/**
 * The centre's database for a command that may run beside a serving Hangrail: joins the embedded
 * server that runs already, and starts it only when nobody else does.
 */
export async function besideDatabase(asked: string | undefined): Promise<Database> {
  const named = namedDatabase();
  if (named) return named;
  const folder = centreFolder(asked);
  const running = attachServer(folder);
  if (!running) return ownDatabase(folder, "centre");
  return { appUrl: running.url("app"), ownerUrl: running.url("owner"), folder: running.folder, close: () => Promise.resolve() };
}

function centreFolder(asked: string | undefined): string {
  return chooseFolder(asked ?? process.env["HANGRAIL_DATA"], "centre");
}

function namedDatabase(): Database | null {
  if (!process.env["DATABASE_URL"]) return null;
  const { appUrl, ownerUrl } = readDatabaseSettings(process.env);
  return { appUrl, ownerUrl, folder: null, close: () => Promise.resolve() };
}

/** Brings the database up to date, or, without the owner's sign-in, makes sure that it is. */
export async function upToDate(database: Database): Promise<void> {
  if (database.ownerUrl !== null) {
    const applied = await migrate(database.ownerUrl);
    if (applied.length > 0) say(`The database was brought up to date (${applied.length} ${applied.length === 1 ? "step" : "steps"}).`);
    return;
  }
  const pending = await pendingMigrations(database.appUrl);
  if (pending.length === 0) return;
  throw new OperatorError(
    `The database is not up to date: it lacks ${pending.join(", ")}. Set DATABASE_OWNER_URL to the owner's connection string and run: npm run hangrail -- migrate`,
  );
}

/** The key that signs checkpoints of this database's record: the one given, else the one in its data folder; null where there is neither. */
export function checkpointKeyText(database: Database): string | null {
  return process.env["HANGRAIL_CHECKPOINT_KEY"] || (database.folder === null ? null : checkpointKeyIn(database.folder));
}
