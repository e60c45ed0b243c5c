/**
 * The disk fills up while desks work. Nothing is acknowledged that is not kept, everybody is told in words, and
 * once there is space again the supervisor has the database running and the desks go on where they were.
 */
import { spawnSync } from "node:child_process";
import { chmodSync, closeSync, mkdtempSync, openSync, rmSync, rmdirSync, writeSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { DiskFull } from "@hangrail/db/acts";
import { reportFault } from "@hangrail/db/bench-acts";
import { afterAll, expect, test } from "vitest";
import { makeKitRoom, type KitRoom, type RoomSet } from "../support/kit-room.ts";
import { whatIsWrong, whatWasLost } from "./claims.ts";
import { work } from "./load.ts";
import { ownServer, type OwnServer } from "./own-server.ts";
import { chance, SEED } from "./rounds.ts";

/** A disk of its own in memory; null where this user may not make one. */
const disk = process.getuid?.() === 0 && process.platform === "linux" ? smallDisk(260) : null;
if (disk === null) console.log("The disk that fills up is left out: it takes root on Linux.");

function smallDisk(megabytes: number): string | null {
  const place = mkdtempSync(join(tmpdir(), "hangrail-disk-"));
  chmodSync(place, 0o755);
  if (spawnSync("mount", ["-t", "tmpfs", "-o", `size=${megabytes}m,mode=0755`, "tmpfs", place]).status === 0) return place;
  rmdirSync(place);
  return null;
}

let server: OwnServer | undefined;
let room: (KitRoom & { readonly sets: readonly RoomSet[] }) | undefined;
afterAll(async () => {
  await room?.db.close();
  await Promise.all([room?.database.appPool.end(), room?.database.ownerPool.end()]);
  await server?.stop();
  if (disk === null) return;
  spawnSync("umount", [disk]);
  rmdirSync(disk);
});

/** Takes all the space there is. */
function fill(place: string): string {
  const file = join(place, "holiday-films");
  const handle = openSync(file, "w");
  const block = Buffer.alloc(4_096);
  try {
    for (;;) writeSync(handle, block);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "ENOSPC") throw error;
  } finally {
    closeSync(handle);
  }
  return file;
}

test.skipIf(disk === null)("a full disk loses nothing that was acknowledged, is named, and passes when there is space again", async () => {
  const place = disk!;
  server = await ownServer(join(place, "data"));
  const { said } = server;
  room = await makeKitRoom(await server.freshDatabase(), { sets: 10, actConnections: 6 });
  const [set] = room.sets as [RoomSet];
  const before = server.pid();
  const films = fill(place);

  // First a table cannot grow: the act fails, what was done before is there, and the server lives.
  let told: unknown = null;
  const acknowledged: string[] = [];
  while (told === null && acknowledged.length < 3_000) {
    const who = room.by("desk");
    const fault = { code: "SS-07", severity: "watch", component: set.parts.primary, where: "desk", words: "x".repeat(900) } as const;
    await reportFault(room.db, who, set.id, fault).then(() => acknowledged.push(who.request), (error: unknown) => (told = error));
  }
  expect(told).toBeInstanceOf(DiskFull);
  expect(server.pid()).toBe(before);
  const { rows } = await room.db.reads.query<{ kept: number }>("SELECT count(*)::int AS kept FROM command WHERE request_id = ANY ($1)", [acknowledged]);
  expect(rows[0]!.kept).toBe(acknowledged.length);

  // Then the database has no room to write down what it is about to do, and ends; desks ask on.
  const load = work(room, 4, chance(SEED), { stubborn: true });
  const deadline = performance.now() + 60_000;
  while (!said.some((line) => line.includes("is full")) && performance.now() < deadline) {
    await server.asAdmin("SELECT pg_logical_emit_message(true, 'crash', 'x'), pg_switch_wal()").catch(() => wait(50));
  }
  expect(said.join(" ")).toMatch(/The disk that holds .* is full, so the database cannot run\. Free some space\./);

  const freed = performance.now();
  rmSync(films);
  await server.runsAgain();
  expect(performance.now() - freed).toBeLessThan(30_000);
  await load.done(20);
  await load.stop();
  expect(load.unnamed).toEqual([]);
  expect(load.attempts.filter(({ answer }) => answer === null)).toEqual([]);
  expect([...(await whatWasLost(room, load.attempts)), ...(await whatIsWrong(room))]).toEqual([]);
});
