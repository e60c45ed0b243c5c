/**
 * A hand-out against every other act that may hold the set, both begun at once on two connections. The
 * one whose number in the record comes first wins: a set never goes out after an entry that holds it.
 */
import { randomUUID } from "node:crypto";
import { acceptLimits, act, endWet, finishWash, handOut, mixBath, refit, retireSet, setPairing, soilSet, startWash, transferSet, type HandOutAnswer, type HireInput } from "@hangrail/db/acts";
import { liftEvidence, openNotice, openWorkOrder, recordBenchTest, recordWork, reportFault, takeWorkOrder } from "@hangrail/db/bench-acts";
import { setPolicy, setRoles } from "@hangrail/db/people-acts";
import { addDays, day } from "@hangrail/rules/calendar";
import { afterAll, describe, expect, test } from "vitest";
import { freshDatabase } from "../support/database.ts";
import { aHire, AMPLE, done, MAKER, makeKitRoom, type KitRoom, type RoomSet } from "../support/kit-room.ts";
import { actsAfter, expectWholeRecord, makeReadyAgain, mutate, until, areWaiting, WITHOUT_LOCK, type Mutation } from "./rig.ts";

interface Contest {
  /** What the set meets, in words. */
  readonly name: string;
  /** The entries that hold the set once they are in its record. */
  readonly holds: readonly string[];
  readonly trials?: number;
  /** A set that is spent by the act is not used twice. */
  readonly spent?: boolean;
  /** Brings the set to where the contest begins, if that is not "ready". */
  readonly before?: (room: KitRoom, set: RoomSet) => Promise<unknown>;
  readonly against: (room: KitRoom, set: RoomSet, given: unknown) => Promise<{ readonly answer: string }>;
  /** Puts right what `makeReadyAgain` does not know of. */
  readonly after?: (room: KitRoom, set: RoomSet) => Promise<unknown>;
  readonly hire?: Partial<HireInput>;
  /** Neither order lets it out. */
  readonly stillHeld?: boolean;
  /** The guards whose loss lets a wrong order through. */
  readonly guards?: readonly Mutation[];
}

const lagoon = new WeakMap<KitRoom, string>();
const atLagoon = (room: KitRoom) => ({ ...room.by("manager"), site: lagoon.get(room)! });

const CONTESTS: readonly Contest[] = [
  {
    name: "a fault is reported",
    holds: ["fault-reported"],
    against: (room, set) => reportFault(room.db, room.by("wash-room"), set.id, { code: "SS-02", severity: "out", component: set.parts.primary, where: "wash-room", words: "Free flow" }),
  },
  {
    name: "the gauge is taken off",
    holds: ["removed"],
    against: (room, set) => refit(room.db, room.by("technician"), { id: set.id, seq: null }, set.parts.gauge, null, "gauge", "Fogged"),
    after: async (room, set) => {
      const off = await room.database.ownerPool.query("SELECT FROM fitting WHERE component_id = $1 AND until_at IS NULL", [set.parts.gauge]);
      if (off.rowCount === 0) done(await refit(room.db, room.by("technician"), await room.asSeen(set), null, set.parts.gauge, "gauge", "Dried"));
    },
  },
  {
    name: "a shorter limit of the gauge's model is accepted",
    holds: ["limits-accepted"],
    against: (room) => acceptLimits(room.db, room.by("technician"), room.models.gauge, { ...AMPLE, serviceDives: 1 }),
    after: (room) => acceptLimits(room.db, room.by("technician"), room.models.gauge, AMPLE),
  },
  {
    name: "the policy for teaching becomes stricter",
    holds: ["policy-changed"],
    hire: { teaching: true },
    against: (room) => setPolicy(room.db, room.by("manager"), { teachingMonths: 1 }),
    after: (room) => setPolicy(room.db, room.by("manager"), { teachingMonths: 12 }),
  },
  {
    name: "the pairing is withdrawn",
    holds: ["pairing-changed"],
    against: (room) => setPairing(room.db, room.by("technician"), room.models.first, room.models.second, false, "Bulletin 4"),
    after: (room) => setPairing(room.db, room.by("technician"), room.models.first, room.models.second, true, "Bulletin 5"),
  },
  {
    name: "the set is transferred to another site",
    holds: ["transferred"],
    against: (room, set) => transferSet(room.db, room.by("manager"), set.id, lagoon.get(room)!),
    after: (room, set) => transferSet(room.db, atLagoon(room), set.id, room.site),
  },
  {
    name: "a notice is opened on its first stage",
    holds: ["notice-opened"],
    against: (room, set) =>
      openNotice(room.db, room.by("technician"), { title: "Seats", reference: randomUUID(), hazard: "Gas stops", remedy: "New seat", publishedOn: day("2026-05-20"), ranges: [room.firstStageRange(set)] }),
  },
  {
    name: "somebody breathes from it",
    holds: ["breath-tested"],
    against: (room, set) => soilSet(room.db, room.by("wash-room"), set.id, "breath-tested", "Tried"),
  },
  {
    name: "a service is recorded",
    holds: ["serviced"],
    against: (room, set) => recordWork(room.db, room.by("technician"), set.id, { kind: "service", components: [set.parts.primary], oxygenClean: false, words: "Kit", kits: room.kitsFor([set.parts.primary]) }),
  },
  {
    name: "it comes clean only now",
    holds: [],
    stillHeld: true,
    before: async (room, set) => {
      done(await soilSet(room.db, room.by("desk"), set.id, "breath-tested", "Tried"));
      const { bath } = done(await mixBath(room.db, room.by("wash-room"), { product: room.product, label: "Tub", lot: null, productMl: 100, waterMl: 9_900 }));
      const { run } = done(await startWash(room.db, room.by("wash-room"), bath, [set.id]));
      await room.clock.advance(10);
      done(await endWet(room.db, room.by("wash-room"), run));
      await room.clock.advance(30);
      return run;
    },
    // Whoever decided before it was clean decides again: here every hand-out comes too early or too late.
    against: (room, set, run) => finishWash(room.db, room.by("wash-room"), run as string, [set.id]),
  },
  {
    name: "a sheet brings another gauge for it",
    holds: ["imported"],
    against: async (room, set) => {
      const row = { row: 2, tag: set.tag, position: "gauge", kind: "gauge", maker: MAKER, model: "Beck G", serial: randomUUID(), boughtOn: "2026-01-01", inUseOn: "2026-01-01", servicedOn: "2026-06-01", taught: false };
      try {
        return await act<{ answer: string }>(room.db, "import_fleet", [room.by("manager"), JSON.stringify([row])]);
      } catch (error) {
        // The sheet contradicts the record: the set is out by now.
        if ((error as { code?: string }).code === "HR422") return { answer: "refused" };
        throw error;
      }
    },
    guards: [{ of: "import_fleet", was: "v_at := lock_sets(ARRAY(SELECT DISTINCT set_id FROM sheet WHERE component_id IS NULL AND set_id IS NOT NULL));", is: "v_at := kitroom_clock();" }],
  },
  {
    name: "a technician takes it to the bench",
    holds: ["order-taken"],
    before: async (room, set) => done(await openWorkOrder(room.db, room.by("technician"), set.id, { kind: "inspection", fault: null, notice: null, weekOn: null, words: "" })).order,
    against: (room, _, order) => takeWorkOrder(room.db, room.by("technician"), order as string),
  },
  {
    name: "a bench test is recorded",
    holds: ["bench-tested"],
    against: (room, set) => recordBenchTest(room.db, room.by("technician"), set.id, { phase: "as-found", verdict: "not-judged", words: "", order: null, readings: [], curves: [] }),
  },
  {
    name: "a bench test fails",
    holds: ["bench-test-failed"],
    against: (room, set) => recordBenchTest(room.db, room.by("technician"), set.id, { phase: "as-found", verdict: "fail", words: "", order: null, readings: [], curves: [] }),
  },
  {
    name: "its seal is lifted",
    holds: [],
    stillHeld: true,
    before: async (room, set) => void done(await reportFault(room.db, room.by("desk"), set.id, { code: "GN-03", severity: "hold", component: null, where: "boat", words: "Accident" })),
    // Neither order lets it out: sealed before, and to be washed, tested and released after.
    against: (room, set) => liftEvidence(room.db, room.by("manager"), set.id, "Harbour police", "Closed"),
  },
  { name: "it is retired", holds: ["retired"], spent: true, against: (room, set) => retireSet(room.db, room.by("manager"), set.id, "Worn") },
  {
    name: "it is locked as evidence",
    holds: ["fault-reported", "evidence-locked"],
    spent: true,
    against: (room, set) => reportFault(room.db, room.by("desk"), set.id, { code: "GN-03", severity: "out", component: null, where: "boat", words: "Accident" }),
  },
];

const rooms: KitRoom[] = [];
afterAll(() => Promise.all(rooms.map((room) => room.db.close())));

async function openRoom(sets: number): Promise<KitRoom & { sets: readonly RoomSet[] }> {
  const room = await makeKitRoom(await freshDatabase(), { sets, stoppedAt: "2026-06-01T08:00:00Z" });
  rooms.push(room);
  lagoon.set(room, await room.openSite("Lagoon Dive Centre"));
  await setPolicy(room.db, room.by("manager"), { teachingMonths: 12 });
  return room;
}

interface Outcome {
  readonly handedOut: boolean;
  readonly held: boolean;
}

/** One contest on one set. Throws when the record tells that the set went out after an entry that holds it. */
async function contest(room: KitRoom, set: RoomSet, { against, holds, before, hire }: Contest, turn: number): Promise<Outcome> {
  const given = await before?.(room, set);
  const [seen] = await room.seen([set]);
  const terms = aHire(addDays(await room.today(), 40), hire);
  const desk = () => handOut(room.db, room.by("desk"), terms, [seen!]);
  const other = () => against(room, set, given);
  let answer: HandOutAnswer;
  let blocked: { readonly answer: string };
  if (turn % 2 === 0) [answer, blocked] = await Promise.all([desk(), other()]);
  else [blocked, answer] = await Promise.all([other(), desk()]);
  const acts = await actsAfter(room, set.id, seen!.seq);
  const out = acts.find((entry) => entry.act === "handed-out");
  const hold = acts.find((entry) => holds.includes(entry.act));
  expect(out !== undefined).toBe(answer.answer === "done");
  if (out !== undefined && hold !== undefined) {
    expect(hold.seq, "the set went out after an entry that holds it").toBeGreaterThan(out.seq);
    expect(hold.at.getTime(), "by the clock the set went out after an entry that holds it").toBeGreaterThanOrEqual(out.at.getTime());
    expect(["removed", "transferred", "breath-tested", "serviced", "imported", "retired", "order-taken", "bench-tested", "bench-test-failed"], "was done to a set that was out").not.toContain(hold.act);
  }
  return { handedOut: out !== undefined, held: blocked.answer === "done" };
}

async function contests(room: KitRoom & { sets: readonly RoomSet[] }, one: Contest, trials: number): Promise<Outcome[]> {
  const outcomes: Outcome[] = [];
  let sets = room.sets;
  while (outcomes.length < trials) {
    for (const set of sets) {
      outcomes.push(await contest(room, set, one, outcomes.length));
      await one.after?.(room, set);
    }
    if (one.spent === true) sets = await room.readySets(sets.length);
    else await makeReadyAgain(room, sets);
  }
  return outcomes;
}

describe("a hand-out at the moment when", () => {
  test.each(CONTESTS.map((one) => [one.name, one] as const))("%s", async (_, one) => {
    const room = await openRoom(one.spent ? 40 : 20);
    const outcomes = await contests(room, one, one.trials ?? 160);
    await expectWholeRecord(room.database.ownerPool);
    // Both orders came about, else nothing was proved.
    expect(outcomes.some(({ handedOut }) => !handedOut)).toBe(true);
    if (one.stillHeld !== true) expect(outcomes.some(({ handedOut }) => handedOut)).toBe(true);
    else expect(outcomes.every(({ handedOut, held }) => !handedOut && held)).toBe(true);
  }, 60_000);

  test.each(CONTESTS.filter((one) => one.stillHeld !== true).map((one) => [one.name, one] as const))("%s: without the lock a wrong order comes about", async (_, one) => {
    const room = await openRoom(20);
    const repair = await mutate(room.database.ownerPool, ...(one.guards ?? [WITHOUT_LOCK]));
    let wrong: unknown = null;
    for (let turn = 0; turn < 400 && wrong === null; turn += 1) {
      const set = room.sets[turn % room.sets.length]!;
      try {
        await contest(room, set, one, turn);
      } catch (error) {
        // Acts that stumble over each other without the lock prove nothing by themselves.
        if (/went out after an entry|was done to a set that was out/.test(String(error))) wrong = error;
      }
      if (wrong !== null) break;
      await repair();
      await one.after?.(room, set);
      if (one.spent !== true) await makeReadyAgain(room, [set]);
      else if (turn % room.sets.length === room.sets.length - 1) Object.assign(room, { sets: await room.readySets(20) });
      await mutate(room.database.ownerPool, ...(one.guards ?? [WITHOUT_LOCK]));
    }
    expect(wrong).not.toBeNull();
  }, 60_000);
});

describe("a hand-out at the moment when the desk hand's role is withdrawn", () => {
  async function withdrawn(room: KitRoom, set: RoomSet, turn: number): Promise<Outcome> {
    const [seen] = await room.seen([set]);
    const terms = aHire(addDays(await room.today(), 40));
    const { rows } = await room.database.ownerPool.query<{ id: number }>("SELECT max(id)::int AS id FROM record_entry");
    const desk = async () => {
      try {
        return (await handOut(room.db, room.by("desk"), terms, [seen!])).answer;
      } catch (error) {
        if ((error as Error).name === "NotEntitled") return "forbidden";
        throw error;
      }
    };
    const manager = () => setRoles(room.db, room.by("manager"), room.people.desk, []);
    const answer = turn % 2 === 0 ? (await Promise.all([desk(), manager()]))[0] : (await Promise.all([manager(), desk()]))[1];
    expect(["done", "forbidden"]).toContain(answer);
    const entries = await room.database.ownerPool.query<{ act: string }>("SELECT act FROM record_entry WHERE id > $1 AND act IN ('handed-out', 'roles-changed') ORDER BY id", [rows[0]!.id]);
    expect(entries.rows.map(({ act: done }) => done)).toEqual(answer === "done" ? ["handed-out", "roles-changed"] : ["roles-changed"]);
    done(await setRoles(room.db, room.by("manager"), room.people.desk, ["desk"]));
    return { handedOut: answer === "done", held: true };
  }

  test("it goes out before the withdrawal or not at all", async () => {
    const room = await openRoom(20);
    const outcomes: Outcome[] = [];
    for (let round = 0; round < 10; round += 1) {
      for (const set of room.sets) outcomes.push(await withdrawn(room, set, outcomes.length));
      await makeReadyAgain(room, room.sets);
    }
    expect(new Set(outcomes.map(({ handedOut }) => handedOut)).size).toBe(2);
  }, 60_000);

  /** The desk hand's act waits for a set while the role is withdrawn: the worst moment, brought about on purpose. */
  async function withdrawnWhileWaiting(room: KitRoom, set: RoomSet): Promise<string[]> {
    const [seen] = await room.seen([set]);
    const holder = await room.database.ownerPool.connect();
    try {
      await holder.query("BEGIN");
      await holder.query("SELECT FROM regulator_set WHERE id = $1 FOR UPDATE", [set.id]);
      const desk = handOut(room.db, room.by("desk"), aHire(addDays(await room.today(), 1)), [seen!]);
      await until("the desk waits for the set", () => areWaiting(room.database.ownerPool, 1));
      const manager = setRoles(room.db, room.by("manager"), room.people.desk, []);
      const order: string[] = [];
      const both = [desk.then(() => order.push("handed out")), manager.then(() => order.push("withdrawn"))];
      // The manager waits as well, or is through already.
      await until("the manager waits or is through", async () => order.length > 0 || (await areWaiting(room.database.ownerPool, 2)));
      await holder.query("COMMIT");
      await Promise.all(both);
      const { rows } = await room.database.ownerPool.query<{ act: string }>("SELECT act FROM record_entry WHERE act IN ('handed-out', 'roles-changed') ORDER BY id DESC LIMIT 2");
      return rows.map((row) => row.act).reverse();
    } finally {
      holder.release();
    }
  }

  test("an act under way ends before the withdrawal counts", async () => {
    const room = await openRoom(1);
    expect(await withdrawnWhileWaiting(room, room.sets[0]!)).toEqual(["handed-out", "roles-changed"]);
  });

  test("without the lock on the person the set goes out after the withdrawal", async () => {
    const room = await openRoom(1);
    await mutate(room.database.ownerPool, { of: "actor", was: "PERFORM pg_advisory_xact_lock_shared(person_key((p_who->>'staff')::uuid));", is: "" });
    expect(await withdrawnWhileWaiting(room, room.sets[0]!)).toEqual(["roles-changed", "handed-out"]);
  });
});

test("two managers who withdraw each other at once leave one manager", async () => {
  const room = await openRoom(0);
  const { rows } = await room.database.ownerPool.query<{ id: string }>("SELECT id FROM staff WHERE login = 'tove'");
  const other = rows[0]!.id;
  for (let turn = 0; turn < 60; turn += 1) {
    done(await setRoles(room.db, room.by("manager"), other, ["technician", "manager"]));
    const byOther = { ...room.by("manager"), staff: other };
    const tries = [setRoles(room.db, room.by("manager"), other, ["technician"]), setRoles(room.db, byOther, room.people.manager, ["desk"])];
    const answers = await Promise.allSettled(turn % 2 === 0 ? tries : tries.reverse());
    expect(answers.filter((one) => one.status === "fulfilled" && one.value.answer === "done")).toHaveLength(1);
    const managers = await room.database.ownerPool.query<{ staff_id: string }>("SELECT staff_id FROM staff_role WHERE role = 'manager' AND until_at IS NULL AND site_id = $1", [room.site]);
    expect(managers.rowCount).toBe(1);
    if (managers.rows[0]!.staff_id === other) done(await setRoles(room.db, byOther, room.people.manager, ["manager", "desk", "technician", "wash-room"]));
  }
}, 60_000);
