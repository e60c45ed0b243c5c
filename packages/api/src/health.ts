import { readClock } from "@hangrail/db/sessions";
import { log } from "./log.ts";
import type { KitRoom } from "./kit-room.ts";

/** Whether this process can do its work: nothing else is told to whoever asks. */
export type Health = "ready" | "clock-in-doubt" | "database-away";

/** Asks the database the time. A clock in doubt hands nothing out, but answers. */
export async function healthOf(room: Pick<KitRoom, "db">): Promise<Health> {
  try {
    return (await readClock(room.db, "UTC")).doubt === null ? "ready" : "clock-in-doubt";
  } catch (error) {
    log.warn({ error: String(error) }, "database away");
    return "database-away";
  }
}
