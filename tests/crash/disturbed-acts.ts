/** The acts that are disturbed at every point: how each is begun, and how its sets are brought back to ready. */
import { acceptLimits, endWet, finishWash, handOut, mixBath, refit, soilSet, startWash, takeBack, type Who } from "@hangrail/db/acts";
import { recordBenchTest, recordWork, releaseSets, reportFault, type JudgedReading } from "@hangrail/db/bench-acts";
import type { Database } from "@hangrail/db/database";
import type { StaffRole } from "@hangrail/db/people-acts";
import { acceptPlan } from "@hangrail/db/plan-acts";
import { addDays, day } from "@hangrail/rules/calendar";
import { makeReadyAgain } from "../races/rig.ts";
import { aHire, AMPLE, backDry, done, type KitRoom, type RoomSet } from "../support/kit-room.ts";
import type { Answered } from "./claims.ts";

type Two = readonly [RoomSet, RoomSet];
/** The act, done by whichever connection. Asked again it is the same request where `who` names the same. */
export type Done = (db: Database, who: Who) => Promise<Answered>;

export interface DisturbedAct {
  readonly name: string;
  readonly role: StaffRole;
  /** Brings about what the act is about to meet, from two sets that are ready. */
  readonly begin: (room: KitRoom, sets: Two) => Promise<Done>;
  /** Puts right what `readyAgain` does not know of. */
  readonly after?: (room: KitRoom) => Promise<unknown>;
}

async function toWash(room: KitRoom, sets: Two): Promise<string> {
  for (const { id } of sets) done(await soilSet(room.db, room.by("wash-room"), id, "breath-tested", "Tried"));
  return done(await mixBath(room.db, room.by("wash-room"), { product: room.product, label: "Tub", lot: null, productMl: 100, waterMl: 9_900 })).bath;
}

async function inBath(room: KitRoom, sets: Two): Promise<string> {
  const { run } = done(await startWash(room.db, room.by("wash-room"), await toWash(room, sets), sets.map(({ id }) => id)));
  await room.clock.advance(10);
  return run;
}

async function drying(room: KitRoom, sets: Two): Promise<string> {
  const run = await inBath(room, sets);
  done(await endWet(room.db, room.by("wash-room"), run));
  await room.clock.advance(30);
  return run;
}

const gaugeOff = (room: KitRoom, { id, parts }: RoomSet) => refit(room.db, room.by("technician"), { id, seq: null }, parts.gauge, null, "gauge", "Fogged");
const gaugeOn = async (room: KitRoom, set: RoomSet) => refit(room.db, room.by("technician"), await room.asSeen(set), null, set.parts.gauge, "gauge", "Dried");

/** The readings of the last test that this set passed. */
export async function passedReadings(room: KitRoom, { id }: Pick<RoomSet, "id">): Promise<JudgedReading[]> {
  const { rows } = await room.db.reads.query<{ readings: JudgedReading[] }>("SELECT content->'readings' AS readings FROM record_entry WHERE set_id = $1 AND act = 'bench-tested' ORDER BY seq DESC LIMIT 1", [id]);
  return rows[0]!.readings;
}

export const DISTURBED: readonly DisturbedAct[] = [
  {
    name: "a party of two is handed out",
    role: "desk",
    begin: async (room, sets) => {
      const [hire, seen] = [aHire(addDays(await room.today(), 1)), await room.seen(sets)];
      return (db, who) => handOut(db, who, hire, seen);
    },
  },
  {
    name: "two sets are taken back, one with a fault",
    role: "desk",
    begin: async (room, sets) => {
      done(await handOut(room.db, room.by("desk"), aHire(addDays(await room.today(), 1)), await room.seen(sets)));
      const fault = { code: "SS-02", severity: "out", component: sets[1].parts.primary } as const;
      const lines = [backDry(sets[0].id, { dives: 2, minutes: 80, waterKind: "sea" }), backDry(sets[1].id, { dives: 1, minutes: 40, waterKind: "sea", problem: true, words: "Free flow", fault })];
      return (db, who) => takeBack(db, who, lines);
    },
  },
  {
    name: "a wash is started",
    role: "wash-room",
    begin: async (room, sets) => {
      const bath = await toWash(room, sets);
      return (db, who) => startWash(db, who, bath, sets.map(({ id }) => id));
    },
  },
  {
    name: "sets come out of the bath",
    role: "wash-room",
    begin: async (room, sets) => {
      const run = await inBath(room, sets);
      return (db, who) => endWet(db, who, run);
    },
  },
  {
    name: "a wash is finished",
    role: "wash-room",
    begin: async (room, sets) => {
      const run = await drying(room, sets);
      return (db, who) => finishWash(db, who, run, sets.map(({ id }) => id));
    },
  },
  {
    name: "a fault is reported",
    role: "desk",
    begin: async (_, [set]) => (db, who) => reportFault(db, who, set.id, { code: "SS-02", severity: "out", component: set.parts.primary, where: "desk", words: "Free flow" }),
  },
  {
    name: "a service is recorded",
    role: "technician",
    begin: async (room, [set]) => {
      const components = [set.parts["first-stage"], set.parts.primary];
      return (db, who) => recordWork(db, who, set.id, { kind: "service", components, oxygenClean: false, words: "Kit fitted", kits: room.kitsFor(components) });
    },
  },
  {
    name: "a bench test is recorded",
    role: "technician",
    begin: async (room, [set]) => {
      done(await gaugeOff(room, set));
      done(await gaugeOn(room, set));
      const readings = await passedReadings(room, set);
      return (db, who) => recordBenchTest(db, who, set.id, { phase: "as-left", verdict: "pass", words: "As it should be", order: null, readings, curves: [] });
    },
  },
  {
    name: "two sets are released",
    role: "technician",
    begin: async (room, sets) => {
      await room.service(sets);
      await room.test(sets);
      return (db, who) => releaseSets(db, who, sets.map(({ id }) => id), "Tested at both pressures");
    },
  },
  {
    name: "a gauge is taken off",
    role: "technician",
    begin: async (_, [set]) => (db, who) => refit(db, who, { id: set.id, seq: null }, set.parts.gauge, null, "gauge", "Fogged"),
  },
  {
    name: "a gauge is fitted",
    role: "technician",
    begin: async (room, [set]) => {
      done(await gaugeOff(room, set));
      const seen = await room.asSeen(set);
      return (db, who) => refit(db, who, seen, null, set.parts.gauge, "gauge", "Dried");
    },
  },
  {
    name: "a shorter limit is accepted",
    role: "technician",
    begin: async (room) => (db, who) => acceptLimits(db, who, room.models.gauge, { ...AMPLE, serviceDives: 1 }),
    after: async (room) => done(await acceptLimits(room.db, room.by("technician"), room.models.gauge, AMPLE)),
  },
  {
    name: "a plan is accepted",
    role: "manager",
    begin: async (room, sets) => {
      const seen = await room.seen(sets);
      const lines = seen.map(({ id, seq }) => ({ set: id, seq, kind: "inspection" as const, weekOn: day("2026-12-07"), locked: false, why: {} }));
      return (db, who) => acceptPlan(db, who, { fromOn: day("2026-11-30"), weeks: 4, cost: 1, bound: 1, gapPpm: 0, settings: {}, words: "Winter", lines });
    },
  },
];

/** Brings the two sets back to ready, whatever was done or left half way with them. */
export async function readyAgain(room: KitRoom, sets: Two): Promise<void> {
  const { rows } = await room.database.ownerPool.query<{ id: string; washing: boolean; gauge: boolean }>(
    `SELECT s.id, EXISTS (SELECT FROM cleaning_run_set w WHERE w.set_id = s.id AND w.clean_seq IS NULL AND w.abandoned_seq IS NULL) AS washing,
            EXISTS (SELECT FROM fitting f WHERE f.set_id = s.id AND f.position = 'gauge' AND f.until_at IS NULL) AS gauge
       FROM regulator_set s WHERE s.id = ANY ($1)`,
    [sets.map(({ id }) => id)],
  );
  for (const { id, washing, gauge } of rows) {
    if (washing) done(await soilSet(room.db, room.by("wash-room"), id, "wash-abandoned", "Interrupted"));
    if (!gauge) done(await gaugeOn(room, sets.find((set) => set.id === id)!));
  }
  await makeReadyAgain(room, sets);
}
