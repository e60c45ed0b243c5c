/** A dive centre to walk through: a database of its own with the app served on it. */
import { BUSY_SETS, playBusyMorning } from "./busy-morning.ts";
import { databaseFrom, type TestDatabase, type TestServer } from "../support/embedded.ts";
import { makeKitRoom, type KitRoom, type RoomSet } from "../support/kit-room.ts";
import { serveApp, type Served } from "../support/served.ts";
import { secrets } from "../support/sign-in.ts";

export const SERVER_VARIABLE = "HANGRAIL_BROWSER_TEST_SERVER";

/** Nobody and nothing, as on the first day; a kit room with so many ready sets; or one in the middle of its work. */
export type Scene = "empty" | "busy morning" | { readonly readySets: number };

export interface Centre {
  readonly app: Served;
  readonly database: TestDatabase;
  /** Throws where the scene is an empty one. */
  readonly room: KitRoom & { readonly sets: readonly RoomSet[] };
}

export async function openCentre(scene: Scene): Promise<Centre & { close(): Promise<void> }> {
  const server = JSON.parse(process.env[SERVER_VARIABLE] ?? "null") as TestServer | null;
  if (server === null) throw new Error("The database server of the run was not started: use the config of tests/browser.");
  const database = await databaseFrom(server);
  const room = scene === "empty" ? null : await makeKitRoom(database, { sets: scene === "busy morning" ? BUSY_SETS : scene.readySets, secrets: await secrets() });
  if (room !== null && scene === "busy morning") await playBusyMorning(room);
  const app = await serveApp(database.url);
  return {
    app,
    database,
    get room() {
      if (room === null) throw new Error("This centre is empty: it has no kit room.");
      return room;
    },
    async close() {
      await app.stop();
      await room?.db.close();
      await database.drop();
    },
  };
}
