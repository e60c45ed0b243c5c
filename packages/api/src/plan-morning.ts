/** The morning sheet: what may go out today, for the hours in which the desk has no server to ask. */
import { readySets } from "@hangrail/db/board";
import type { Database } from "@hangrail/db/database";
import { listBookings } from "@hangrail/db/plan";
import { readClock } from "@hangrail/db/sessions";
import { loadSetsById, type LoadedSet } from "@hangrail/db/set-facts";
import { day } from "@hangrail/rules/calendar";
import { isStage } from "@hangrail/rules/models";
import { mostOxygen } from "@hangrail/rules/suitability";
import type { MorningSet, MorningSheet } from "./plan-view.ts";
import { setView } from "./set-view.ts";

/** A sheet of paper for more would not be read. */
const MOST_SETS = 1_000;

/** The sets ready at this hour, by tag. It holds for this day alone, and each set on it for one hire. */
export async function morningSheet(db: Database, site: { readonly id: string; readonly timeZone: string }): Promise<MorningSheet> {
  const clock = await readClock(db, site.timeZone);
  const today = day(clock.today);
  const [ids, bookings] = await Promise.all([readySets(db, site.id, MOST_SETS), listBookings(db, site.id, today, today)]);
  const sets = await loadSetsById(db, site.id, ids);
  const rows = sets.flatMap((set) => onSheet(set) ?? []).sort((a, b) => (a.tag < b.tag ? -1 : 1));
  return { today, at: clock.now, sets: rows, bookings: bookings.map(({ connection, cold, o2Tenths, teaching, sets: count, words }) => ({ connection, cold, o2Tenths, teaching, sets: count, words })) };
}

/** Judged once more: between two readings a set may have gone out. */
function onSheet(set: LoadedSet): MorningSet | null {
  const { ready, due, setId, tag } = setView(set, null);
  const firstStage = set.components.find(({ role }) => role === "first-stage");
  if (!ready || firstStage === undefined) return null;
  return {
    setId, tag,
    connection: firstStage.connection,
    maxBar: firstStage.maxSupplyCentibar === null ? null : firstStage.maxSupplyCentibar / 100,
    maxO2Tenths: Math.min(...set.components.map(({ maxO2Tenths }) => mostOxygen(maxO2Tenths, set.policy.nitroxAboveTenths))),
    cold: set.components.every(({ role, coldRating }) => !isStage(role) || coldRating === "tested-4C"),
    dueOn: due.dueOn?.value ?? null,
    divesLeft: due.divesLeft?.value ?? null,
  };
}
