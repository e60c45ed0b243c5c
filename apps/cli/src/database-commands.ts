import { migrate } from "@hangrail/db/migrate";
import { OperatorError } from "@hangrail/db/operator-error";
import { besideDatabase, centreDatabase } from "./database.ts";
import { say } from "./messages.ts";
import { whenAsked } from "./stop-signal.ts";

/** Brings the centre's database up to date. */
export async function migrateOnly(options: { data?: string }): Promise<void> {
  const database = await besideDatabase(options.data);
  try {
    if (database.ownerUrl === null) throw new OperatorError("Set DATABASE_OWNER_URL to the connection string of the role that owns the tables.");
    const applied = await migrate(database.ownerUrl);
    say(applied.length === 0 ? "The database is up to date." : `Applied ${applied.join(", ")}.`);
  } finally {
    await database.close();
  }
}

/** Runs the embedded database without the screens, for looking into it with other tools. */
export async function databaseOnly(options: { data?: string }, stop: AbortSignal): Promise<void> {
  if (process.env["DATABASE_URL"]) throw new OperatorError("DATABASE_URL is set, so there is no embedded database to run. Unset it first.");
  const database = await centreDatabase(options.data);
  try {
    say(`The database runs. Sign in as the application:\n  ${database.appUrl}\nor as the owner of the tables:\n  ${database.ownerUrl}\nStop it with Ctrl+C.`);
    await whenAsked(stop);
  } finally {
    await database.close();
  }
}
