/** What the process keeps open for all requests: the database, the feed of changes, the beat of the clock. */
import { uptime } from "node:os";
import { eraseHirers } from "@hangrail/db/checkpoints";
import { readDatabaseSettings } from "@hangrail/db/connect";
import { openDatabase, type Database } from "@hangrail/db/database";
import { rollExposure } from "@hangrail/db/exposure";
import { openChangeFeed, type ChangeFeed } from "@hangrail/db/live";
import { beatClock } from "@hangrail/db/people-acts";
import { checkpointKeyFrom, makeDailyCheckpoint, type CheckpointKey } from "./checkpoints.ts";

export interface KitRoom {
  readonly db: Database;
  readonly feed: ChangeFeed;
  /** Milliseconds between two looks at whether the session of an open screen still stands. */
  readonly recheckMs: number;
  /** Signs checkpoints of the record; null where there is none, and none are made. */
  readonly checkpointKey: CheckpointKey | null;
  close(): Promise<void>;
}

const BEAT_MS = 60_000;
const RECHECK_MS = 5_000;
/** What is done once a day is looked at once in so many beats. */
const BEATS_BETWEEN_DAILY = 30;
const NAMES_AT_A_TIME = 1_000;
/** The wall clock may drift this much in a minute against the machine's steady clock before it counts as a leap. */
const LEAP_MS = 5 * 60_000;

// Next.js may load this module more than once in a process; the pools must not multiply with it.
const kept = globalThis as typeof globalThis & { hangrailKitRoom?: KitRoom };

/** The process's kit room, opened on first use from DATABASE_URL. */
export function kitRoom(): KitRoom {
  return (kept.hangrailKitRoom ??= openKitRoom(readDatabaseSettings(process.env), { checkpointKey: checkpointKeyFrom(process.env) }));
}

/** Opens a kit room of its own, e.g. for a test. */
export function openKitRoom(settings: Parameters<typeof openDatabase>[0], { recheckMs = RECHECK_MS, checkpointKey = null }: Partial<Pick<KitRoom, "recheckMs" | "checkpointKey">> = {}): KitRoom {
  const db = openDatabase(settings);
  const feed = openChangeFeed(settings.appUrl);
  const beat = beatSteadily(db, checkpointKey);
  return {
    db,
    feed,
    recheckMs,
    checkpointKey,
    async close() {
      clearInterval(beat);
      await Promise.all([feed.close(), db.close()]);
    },
  };
}

/** Erases the hirers' names whose time is over, and makes the day's checkpoint. What fails is tried again at the next look. */
async function daily(db: Database, key: CheckpointKey | null): Promise<void> {
  await eraseHirers(db, NAMES_AT_A_TIME).catch(() => undefined);
  if (key !== null) await makeDailyCheckpoint(db, key).catch(() => undefined);
}

/** Milliseconds since the machine started, sleep included: a laptop that was shut for the night has not leapt. */
function steadyMs(): number {
  return uptime() * 1000;
}

/** Compares the wall clock with the steady clock, minute by minute, and tells the database what it saw. Sums are brought up to date on the same beat. */
function beatSteadily(db: Database, key: CheckpointKey | null): NodeJS.Timeout {
  let beats = 0;
  let wall = Date.now();
  let steady = steadyMs();
  const timer = setInterval(() => {
    const leap = Math.abs(Date.now() - wall - (steadyMs() - steady)) > LEAP_MS;
    wall = Date.now();
    steady = steadyMs();
    // A database that is away misses a beat; it holds hand-outs by being away.
    beatClock(db, leap).catch(() => undefined);
    rollExposure(db).catch(() => undefined);
    beats += 1;
    if (beats % BEATS_BETWEEN_DAILY === 1) void daily(db, key);
  }, BEAT_MS);
  timer.unref();
  return timer;
}
