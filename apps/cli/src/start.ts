import { randomInt } from "node:crypto";
import { hasStaff } from "@hangrail/db/set-up";
import { centreDatabase, checkpointKeyText, upToDate } from "./database.ts";
import { keepBackedUp, readDailyBackup } from "./daily-backup.ts";
import { firstRunMessage, readyMessage, say } from "./messages.ts";
import { whenAsked } from "./stop-signal.ts";
import { buildWebApp, choosePlace, runWebApp } from "./web-app.ts";

/** Serves a centre: database, screens, address, until it is told to stop. */
export async function start(options: { data?: string }, stop: AbortSignal): Promise<void> {
  const place = await choosePlace(process.env);
  const daily = readDailyBackup(process.env);
  const database = await centreDatabase(options.data);
  try {
    await upToDate(database);
    const code = (await hasStaff(database.ownerUrl ?? database.appUrl)) ? null : setupCode();
    await buildWebApp(stop);
    if (stop.aborted) return;
    const key = checkpointKeyText(database);
    if (key === null) say("No checkpoints of the record are made: set HANGRAIL_CHECKPOINT_KEY to an Ed25519 key (openssl genpkey -algorithm ed25519).");
    const web = runWebApp("start", place, { DATABASE_URL: database.appUrl, ...(key === null ? {} : { HANGRAIL_CHECKPOINT_KEY: key }), ...(code === null ? {} : { HANGRAIL_SETUP_CODE: code }) });
    try {
      await Promise.race([web.ready, whenAsked(stop)]);
      if (stop.aborted) return;
      say(readyMessage(place.address));
      if (code !== null) say(firstRunMessage(place.address, code));
      const backups = daily && database.ownerUrl !== null ? keepBackedUp(database.ownerUrl, daily) : null;
      if (daily && backups === null) say("No daily backup is made from here: set DATABASE_OWNER_URL to the connection string of the role that owns the tables.");
      await whenAsked(stop);
      await backups?.stop();
    } finally {
      await web.stop();
    }
  } finally {
    await database.close();
  }
}

/** Letters and digits that are not taken for one another; some 50 bits, good for one setting up. */
function setupCode(): string {
  const signs = "23456789abcdefghjkmnpqrstuvwxyz";
  const group = () => Array.from({ length: 5 }, () => signs[randomInt(signs.length)]).join("");
  return `${group()}-${group()}`;
}
