/** What the HTTP tests share: a kit room served by the built app, with desks signed in to it. */
import { randomUUID } from "node:crypto";
import { addPerson } from "@hangrail/db/people-acts";
import { addDays } from "@hangrail/rules/calendar";
import { freshDatabase } from "../support/database.ts";
import { DeskClient, type HandOutInput } from "../support/desk-client.ts";
import { done, makeKitRoom, type KitRoom, type KitRoomOptions, type RoomSet } from "../support/kit-room.ts";
import { serveApp, type Served } from "../support/served.ts";
import { secrets, sessionToken } from "../support/sign-in.ts";

export interface ServedRoom {
  readonly room: KitRoom;
  readonly sets: readonly RoomSet[];
  readonly app: Served;
  /** A screen at which somebody is signed in. */
  signedIn(staff: string, site?: string): Promise<DeskClient>;
  /** So many screens at which desk hands are signed in, two people taking turns. */
  desks(count: number): Promise<DeskClient[]>;
  stop(): Promise<void>;
}

/** Serves a kit room in a database of its own. */
export async function serveRoom(options: KitRoomOptions = {}): Promise<ServedRoom> {
  const room = await makeKitRoom(await freshDatabase(), { secrets: await secrets(), ...options });
  const app = await serveApp(room.database.url);
  const signedIn = async (staff: string, site = room.site) => new DeskClient(app.origin, await sessionToken(room.db, staff, site));
  return {
    room,
    sets: room.sets,
    app,
    signedIn,
    async desks(count) {
      const other = done(await addPerson(room.db, room.by("manager"), { name: "Odo Kell", login: `odo-${randomUUID().slice(0, 8)}`, ...(await secrets()) }, ["desk"])).staff;
      return Promise.all(Array.from({ length: count }, (_, at) => signedIn(at % 2 === 0 ? room.people.desk : other)));
    },
    async stop() {
      await app.stop();
      await room.db.close();
    },
  };
}

/** A hand-out as a screen sends it. */
export async function order(room: KitRoom, sets: readonly { readonly id: string; readonly seq: number }[], over: Partial<HandOutInput> = {}): Promise<HandOutInput> {
  return {
    requestId: randomUUID(),
    hirer: "Guest of cabin 7",
    contact: null,
    hire: {
      backOn: addDays(await room.today(), 3),
      dives: 2,
      minutes: null,
      teaching: false,
      cylinder: { connection: "din-232", bar: 232 },
      o2Tenths: 210,
      waterTenthsC: 180,
      depthM: 18,
    },
    sets: sets.map(({ id, seq }) => ({ setId: id, seq })),
    ...over,
  };
}
