/** What the process keeps open for all requests: the database, the feed of changes, the beat of the clock. */
import { uptime } from "node:os";
import { readDatabaseSettings } from "@hangrail/db/connect";
import { openDatabase, type Database } from "@hangrail/db/database";
import { rollExposure } from "@hangrail/db/exposure";
import { openChangeFeed, type ChangeFeed } from "@hangrail/db/live";
import { beatClock } from "@hangrail/db/people-acts";

export interface KitRoom {
  readonly db: Database;
  readonly feed: ChangeFeed;
  /** Milliseconds between two looks at whether the session of an open screen still stands. */
  readonly recheckMs: number;
  close(): Promise<void>;
}

const BEAT_MS = 60_000;
const RECHECK_MS = 5_000;
/** The wall clock may drift this much in a minute against the machine's steady clock before it counts as a leap. */
const LEAP_MS = 5 * 60_000;

// Next.js may load this module more than once in a process; the pools must not multiply with it.
const kept = globalThis as typeof globalThis & { hangrailKitRoom?: KitRoom };

/** The process's kit room, opened on first use from DATABASE_URL. */
export function kitRoom(): KitRoom {
  return (kept.hangrailKitRoom ??= openKitRoom(readDatabaseSettings(process.env)));
}

/** Opens a kit room of its own, e.g. for a test. */
export function openKitRoom(settings: Parameters<typeof openDatabase>[0], { recheckMs = RECHECK_MS }: { readonly recheckMs?: number } = {}): KitRoom {
  const db = openDatabase(settings);
  const feed = openChangeFeed(settings.appUrl);
  const beat = beatSteadily(db);
  return {
    db,
    feed,
    recheckMs,
    async close() {
      clearInterval(beat);
      await Promise.all([feed.close(), db.close()]);
    },
  };
}

/** Milliseconds since the machine started, sleep included: a laptop that was shut for the night has not leapt. */
function steadyMs(): number {
  return uptime() * 1000;
}

/** Compares the wall clock with the steady clock, minute by minute, and tells the database what it saw. Sums are brought up to date on the same beat. */
function beatSteadily(db: Database): NodeJS.Timeout {
  let wall = Date.now();
  let steady = steadyMs();
  const timer = setInterval(() => {
    const leap = Math.abs(Date.now() - wall - (steadyMs() - steady)) > LEAP_MS;
    wall = Date.now();
    steady = steadyMs();
    // A database that is away misses a beat; it holds hand-outs by being away.
    beatClock(db, leap).catch(() => undefined);
    rollExposure(db).catch(() => undefined);
  }, BEAT_MS);
  timer.unref();
  return timer;
}
