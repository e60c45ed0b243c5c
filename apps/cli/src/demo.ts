import { existsSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { OperatorError } from "@hangrail/db/operator-error";
import { checkpointKeyIn } from "@hangrail/db/server/checkpoint-key";
import { dataFolder, purposeOf } from "@hangrail/db/server/folder";
import { folderHolder } from "@hangrail/db/server/folder-lock";
import { startServer } from "@hangrail/db/server/embedded-server";
import { hasStaff } from "@hangrail/db/set-up";
import { chooseFolder, ownDatabase, upToDate, type OwnDatabase } from "./database.ts";
import { readyMessage, say, signInMessage, type DemoSignIn } from "./messages.ts";
import { whenAsked } from "./stop-signal.ts";
import { buildWebApp, choosePlace, runWebApp } from "./web-app.ts";

/** What the invented fleet brings. */
export interface DemoFleet {
  /** Fills an empty, migrated database; days are relative to today. */
  seedDemo(database: { appUrl: string; ownerUrl: string; onProgress: (sentence: string) => void }): Promise<unknown>;
  readonly demoSignIns: readonly DemoSignIn[];
}

export interface DemoOptions {
  data?: string;
  /** Throw the demo's data away first. */
  fresh?: boolean;
}

/** Serves an invented fleet from a folder of its own; a centre's data and DATABASE_URL are left alone. */
export function demo(options: DemoOptions, stop: AbortSignal): Promise<void> {
  return serveDemo("demo", "start", options, stop);
}

/** The same with Next's development server, on another folder. */
export function dev(options: DemoOptions, stop: AbortSignal): Promise<void> {
  return serveDemo("dev", "dev", options, stop);
}

async function serveDemo(usual: string, mode: "start" | "dev", options: DemoOptions, stop: AbortSignal): Promise<void> {
  const place = await choosePlace(process.env);
  const folder = chooseFolder(options.data, usual);
  if (options.fresh) await throwAway(folder);
  const fleet = await loadFleet();
  const database = await seededDatabase(folder, fleet);
  try {
    if (mode === "start") await buildWebApp(stop);
    if (stop.aborted) return;
    const web = runWebApp(mode, place, { DATABASE_URL: database.appUrl, HANGRAIL_CHECKPOINT_KEY: checkpointKeyIn(database.folder), HANGRAIL_LOG: process.env["HANGRAIL_LOG"] ?? "warn" });
    try {
      await Promise.race([web.ready, whenAsked(stop)]);
      if (stop.aborted) return;
      say(readyMessage(place.address));
      say(signInMessage(fleet.demoSignIns));
      await whenAsked(stop);
    } finally {
      await web.stop();
    }
  } finally {
    await database.close();
  }
}

/** A demo that was cut short while it was being filled is begun anew. */
async function seededDatabase(folder: string, fleet: DemoFleet): Promise<OwnDatabase> {
  const filled = join(folder, "demo-fleet-complete");
  let database = await ownDatabase(folder, "demo");
  try {
    await upToDate(database);
    if (existsSync(filled)) return database;
    if (await hasStaff(database.ownerUrl)) {
      say("The demo fleet was not completed last time; making it anew.");
      await database.close();
      await throwAway(folder);
      database = await ownDatabase(folder, "demo");
      await upToDate(database);
    }
    say("Inventing the demo fleet …");
    await fleet.seedDemo({ appUrl: database.appUrl, ownerUrl: database.ownerUrl, onProgress: say });
    writeFileSync(filled, "");
    return database;
  } catch (error) {
    await database.close();
    throw error;
  }
}

/** Removes a demo's folder; refuses any other. A server left behind by a killed demo is stopped first. */
async function throwAway(folder: string): Promise<void> {
  if (!existsSync(folder)) return;
  if (purposeOf(folder) !== "demo") {
    throw new OperatorError(`The folder ${folder} does not hold a demo fleet, so it is not thrown away.`);
  }
  const left = dataFolder(folder);
  if (folderHolder(left) !== null || existsSync(join(left.cluster, "postmaster.pid"))) {
    await (await startServer({ folder, purpose: "demo" })).stop();
  }
  rmSync(folder, { recursive: true });
}

async function loadFleet(): Promise<DemoFleet> {
  return (await import(new URL("./demo-fleet/seed.ts", import.meta.url).href)) as DemoFleet;
}
