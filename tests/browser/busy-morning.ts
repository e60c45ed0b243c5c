import { endWet, handOut, mixBath, retireSet, soilSet, startWash } from "@hangrail/db/acts";
import { reportFault } from "@hangrail/db/bench-acts";
import type { StaffRole } from "@hangrail/db/people-acts";
import { addDays } from "@hangrail/rules/calendar";
import { aHire, done, type KitRoom, type RoomSet } from "../support/kit-room.ts";

export const BUSY_SETS = 14;

/**
 * A morning in the season, a day after everything was ready: R-001 is out, R-002 late, R-003 tagged out,
 * R-004 to clean, R-005 in the bath, R-006 drying, R-007 to release, R-008 retired, R-015 never used; the
 * others are ready.
 */
export async function playBusyMorning(room: KitRoom & { readonly sets: readonly RoomSet[] }): Promise<void> {
  const [out, late, faulty, used, wet, hanging, serviced, gone] = room.sets as readonly [RoomSet, RoomSet, RoomSet, RoomSet, RoomSet, RoomSet, RoomSet, RoomSet];
  const by = (role: StaffRole) => room.by(role);
  const { db } = room;
  const today = await room.today();
  done(await handOut(db, by("desk"), aHire(today, { hirer: "Guest of cabin 9" }), await room.seen([late])));
  await room.clock.shift(24 * 60);
  done(await handOut(db, by("desk"), aHire(addDays(today, 5), { hirer: "A party with a rather long name, of Quayside House" }), await room.seen([out])));
  done(await reportFault(db, by("desk"), faulty.id, { code: "SS-02", severity: "out", component: faulty.parts.primary, where: "desk", words: "Water with every breath" }));
  for (const set of [used, wet, hanging]) done(await soilSet(db, by("desk"), set.id, "breath-tested", "Tried at the counter"));
  const { bath } = done(await mixBath(db, by("wash-room"), { product: room.product, label: "Green tub", lot: "L-77", productMl: 100, waterMl: 9_900 }));
  const { run } = done(await startWash(db, by("wash-room"), bath, [hanging.id]));
  await room.clock.advance(11);
  done(await endWet(db, by("wash-room"), run));
  done(await startWash(db, by("wash-room"), bath, [wet.id]));
  await room.service([serviced]);
  done(await retireSet(db, by("manager"), gone.id, "Dropped from the pier"));
  await room.registerSet();
}
