/**
 * Acts of the bench begun at once on two connections. Of two who want the same thing one gets it; and a
 * set is never released after an opening nobody has tested, or while it lies on the bench. Each race is
 * run again without its guard, where the wrong must come about.
 */
import { randomUUID } from "node:crypto";
import { refit, registerSet } from "@hangrail/db/acts";
import { clearNotice, closeWorkOrder, liftEvidence, moveKit, openNotice, openWorkOrder, recordBenchTest, recordWork, releaseSets, reportFault, takeWorkOrder, type KitUse } from "@hangrail/db/bench-acts";
import { day } from "@hangrail/rules/calendar";
import { afterAll, describe, expect, test } from "vitest";
import { freshDatabase } from "../support/database.ts";
import { done, makeKitRoom, type KitRoom, type RoomSet } from "../support/kit-room.ts";
import { expectWholeRecord, mutate, WITHOUT_LOCK, type Mutation } from "./rig.ts";

type Sets = readonly [RoomSet, RoomSet];
interface Answered {
  readonly answer: string;
  readonly code?: string;
}

interface Duel {
  readonly name: string;
  /** Brings about what the two are about to do, and says how each of them does it. */
  readonly begin: (room: KitRoom, sets: Sets) => Promise<readonly [() => Promise<Answered>, () => Promise<Answered>]>;
  /** What went wrong, or null. */
  readonly wrong: (room: KitRoom, sets: Sets, done: readonly [boolean, boolean]) => Promise<string | null>;
  /** Makes room for the next turn. */
  readonly after: (room: KitRoom, sets: Sets) => Promise<unknown>;
  readonly guard: Mutation;
  /** What the tables themselves say where the guard is gone. */
  readonly secondLine?: RegExp;
  /** Both may be done, in the one order that does no harm. */
  readonly bothMay?: boolean;
}

const nextRequest = (room: KitRoom) => room.by("technician");
const inspection = { kind: "inspection", fault: null, notice: null, weekOn: null, words: "" } as const;

async function open(room: KitRoom, { id }: RoomSet, kind: "inspection" | "service" = "inspection"): Promise<string> {
  return done(await openWorkOrder(room.db, nextRequest(room), id, { ...inspection, kind })).order;
}

async function dropOrders(room: KitRoom, sets: Sets): Promise<void> {
  const { rows } = await room.database.ownerPool.query<{ id: string }>("SELECT id FROM work_order WHERE set_id = ANY ($1) AND done_at IS NULL", [sets.map(({ id }) => id)]);
  for (const { id } of rows) done(await closeWorkOrder(room.db, nextRequest(room), id, { outcome: "dropped", minutes: null, words: "" }));
}

/** To be released and tested for it: it was on the bench and nothing was done. */
async function toRelease(room: KitRoom, sets: Sets): Promise<void> {
  const order = await open(room, sets[0]);
  done(await takeWorkOrder(room.db, nextRequest(room), order));
  done(await closeWorkOrder(room.db, nextRequest(room), order, { outcome: "dropped", minutes: null, words: "" }));
}

const gaugeOff = (room: KitRoom, { id, parts }: RoomSet) => refit(room.db, nextRequest(room), { id, seq: null }, parts.gauge, null, "gauge", "Fogged");

async function gaugeOnAgain(room: KitRoom, { id, parts }: RoomSet): Promise<void> {
  const { rowCount } = await room.database.ownerPool.query("SELECT FROM fitting WHERE component_id = $1 AND until_at IS NULL", [parts.gauge]);
  if (rowCount === 0) done(await refit(room.db, nextRequest(room), await room.asSeen({ id }), null, parts.gauge, "gauge", "Dried"));
  await room.test([{ id }]);
}

async function falselyReleased(room: KitRoom, sets: Sets): Promise<string | null> {
  const { rows } = await room.database.ownerPool.query<{ untested: boolean }>(
    `SELECT tested_seq < retest_seq AS untested FROM regulator_set s WHERE id = ANY ($1) AND released_seq > unreleased_seq
        AND (tested_seq < retest_seq OR EXISTS (SELECT FROM work_order o WHERE o.set_id = s.id AND o.taken_at IS NOT NULL AND o.done_at IS NULL))`,
    [sets.map(({ id }) => id)],
  );
  return rows[0] === undefined ? null : rows[0].untested ? "released with an untested opening" : "released on the bench";
}

async function count(room: KitRoom, sql: string, values: unknown[] = []): Promise<number> {
  return (await room.database.ownerPool.query<{ n: number }>(`SELECT (${sql})::int AS n`, values)).rows[0]!.n;
}

const onlyOne = async (_: KitRoom, __: Sets, both: readonly [boolean, boolean]) => (both[0] && both[1] ? "both were told that it is theirs" : null);

let serial = 900_000;
const passing = async (room: KitRoom, { id }: RoomSet) => {
  const { rows } = await room.database.ownerPool.query<{ text: string }>("SELECT content->'readings' AS text FROM record_entry WHERE set_id = $1 AND act = 'bench-tested' ORDER BY seq DESC LIMIT 1", [id]);
  return rows[0]!.text as unknown as Parameters<typeof recordBenchTest>[3]["readings"];
};

const DUELS: readonly Duel[] = [
  {
    name: "two technicians take the same order",
    begin: async (room, sets) => {
      const order = await open(room, sets[0]);
      return [() => takeWorkOrder(room.db, nextRequest(room), order), () => takeWorkOrder(room.db, nextRequest(room), order)];
    },
    wrong: onlyOne,
    after: dropOrders,
    guard: WITHOUT_LOCK,
    secondLine: /UPDATE on work_order is refused: \w+ was already filled in/,
  },
  {
    name: "two orders of one set are taken",
    begin: async (room, sets) => {
      const [one, other] = [await open(room, sets[0]), await open(room, sets[0], "service")];
      return [() => takeWorkOrder(room.db, nextRequest(room), one), () => takeWorkOrder(room.db, nextRequest(room), other)];
    },
    wrong: onlyOne,
    after: dropOrders,
    guard: { of: "take_work_order", was: "IF EXISTS (SELECT FROM work_order WHERE set_id = v_order.set_id AND taken_at IS NOT NULL AND done_at IS NULL)", is: "IF false" },
    secondLine: /work_order_one_taken/,
  },
  {
    name: "two services need the last kit",
    begin: async (room, sets) => {
      done(await moveKit(room.db, nextRequest(room), room.kit, { kind: "counted", quantity: 1, lot: null, words: "" }));
      const service = ({ id, parts }: RoomSet) => () => {
        const kits: KitUse[] = room.kitsFor([parts.primary]);
        return recordWork(room.db, nextRequest(room), id, { kind: "service", components: [parts.primary], oxygenClean: false, words: "Kit", kits });
      };
      return [service(sets[0]), service(sets[1])];
    },
    wrong: async (room) => {
      const left = await count(room, "SELECT sum(quantity) FROM kit_movement WHERE kit_id = $1 AND site_id = $2", [room.kit, room.site]);
      return left === 0 ? null : `${left} kits are left on the shelf`;
    },
    after: async (room) => done(await moveKit(room.db, nextRequest(room), room.kit, { kind: "counted", quantity: 100, lot: null, words: "" })),
    guard: { of: "kit_stock", was: "PERFORM pg_advisory_xact_lock(hashtextextended(p_site::text || p_kit::text, 3));", is: "" },
  },
  {
    name: "a seal is lifted twice",
    begin: async (room, sets) => {
      done(await reportFault(room.db, room.by("desk"), sets[0].id, { code: "GN-03", severity: "out", component: null, where: "boat", words: "" }));
      const lift = () => liftEvidence(room.db, room.by("manager"), sets[0].id, "Harbour police", "Closed");
      return [lift, lift];
    },
    wrong: onlyOne,
    after: async () => undefined,
    guard: WITHOUT_LOCK,
  },
  {
    name: "a notice is cleared twice under one request",
    bothMay: true,
    begin: async (room, sets) => {
      const said = { title: "Seats", reference: randomUUID(), hazard: "h", remedy: "r", publishedOn: day("2026-05-20"), ranges: [room.firstStageRange(sets[0])] };
      const { notice } = done(await openNotice(room.db, nextRequest(room), said));
      const by = nextRequest(room);
      const clear = () => clearNotice(room.db, by, notice, sets[0].parts["first-stage"], "Seat renewed");
      return [clear, clear];
    },
    wrong: async (_, __, both) => (both[0] && both[1] ? null : "the repeat was not told that it is done"),
    after: async () => undefined,
    guard: { of: "clear_notice", was: "IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;", is: "" },
  },
  {
    name: "a set is released and taken to the bench",
    bothMay: true,
    begin: async (room, sets) => {
      await toRelease(room, sets);
      const order = await open(room, sets[0]);
      return [() => releaseSets(room.db, nextRequest(room), [sets[0].id], "Tested"), () => takeWorkOrder(room.db, nextRequest(room), order)];
    },
    wrong: falselyReleased,
    after: dropOrders,
    guard: WITHOUT_LOCK,
  },
  {
    name: "a set is released and its gauge taken off",
    bothMay: true,
    begin: async (room, sets) => {
      await toRelease(room, sets);
      return [() => releaseSets(room.db, nextRequest(room), [sets[0].id], "Tested"), () => gaugeOff(room, sets[0])];
    },
    wrong: falselyReleased,
    after: (room, sets) => gaugeOnAgain(room, sets[0]),
    guard: WITHOUT_LOCK,
  },
  {
    name: "a set passes its test and its gauge is taken off",
    bothMay: true,
    begin: async (room, sets) => {
      const readings = await passing(room, sets[0]);
      return [() => recordBenchTest(room.db, nextRequest(room), sets[0].id, { phase: "as-left", verdict: "pass", words: "", order: null, readings, curves: [] }), () => gaugeOff(room, sets[0])];
    },
    wrong: async (room, sets, [, off]) =>
      off && (await count(room, "SELECT count(*) FROM regulator_set WHERE id = $1 AND tested_seq > retest_seq", [sets[0].id])) > 0 ? "the test passed without the gauge" : null,
    after: (room, sets) => gaugeOnAgain(room, sets[0]),
    guard: WITHOUT_LOCK,
  },
  {
    name: "a set is registered while a notice on its first stage is opened",
    bothMay: true,
    begin: async (room) => {
      serial += 1;
      const number = serial;
      const parts = [{ model: room.models.first, position: "first-stage" as const, serial: `FI${number}`, boughtOn: null, inUseOn: null }];
      const ranges = [{ model: room.models.first, prefix: "FI", digits: 6, low: String(number), high: String(number) }];
      return [
        () => registerSet(room.db, nextRequest(room), `N-${number}`, parts),
        () => openNotice(room.db, nextRequest(room), { title: "Seats", reference: randomUUID(), hazard: "h", remedy: "r", publishedOn: day("2026-05-20"), ranges }),
      ];
    },
    wrong: async (room) => ((await count(room, "SELECT count(*) FROM component c JOIN notice_match m ON m.component_id = c.id AND m.why = 'in-range' WHERE c.serial = $1", [`FI${serial}`])) === 1 ? null : "the new part escaped the notice"),
    after: async () => undefined,
    guard: { of: "match_new_component", was: "PERFORM pg_advisory_xact_lock_shared(hashtextextended('notices', 1));", is: "" },
  },
];

const rooms: KitRoom[] = [];
afterAll(() => Promise.all(rooms.map((room) => room.db.close())));

async function openRoom(): Promise<{ room: KitRoom; sets: Sets }> {
  const room = await makeKitRoom(await freshDatabase(), { sets: 2, stoppedAt: "2026-06-01T08:00:00Z" });
  rooms.push(room);
  return { room, sets: [room.sets[0]!, room.sets[1]!] };
}

/** Both at once, the one or the other first. */
async function fight(room: KitRoom, sets: Sets, duel: Duel, [one, other]: Awaited<ReturnType<Duel["begin"]>>, turn: number): Promise<{ done: [boolean, boolean]; wrong: string | null; stumbled: string | null }> {
  const outcome = async (act: () => Promise<Answered>) => (await act()).answer === "done";
  const tries: [Promise<boolean>, Promise<boolean>] = turn % 2 === 0 ? [outcome(one), outcome(other)] : (([second, first]) => [first!, second!])([outcome(other), outcome(one)]);
  const answers = await Promise.allSettled(tries);
  const failed = answers.find((answer) => answer.status === "rejected");
  const both = answers.map((answer) => answer.status === "fulfilled" && answer.value) as [boolean, boolean];
  return { done: both, wrong: await duel.wrong(room, sets, both), stumbled: failed === undefined ? null : String(failed.reason) };
}

describe("at the same moment", () => {
  test.each(DUELS.map((duel) => [duel.name, duel] as const))("%s", async (_, duel) => {
    const { room, sets } = await openRoom();
    const winners = { one: 0, other: 0 };
    for (let turn = 0; turn < 100; turn += 1) {
      const { done: both, wrong, stumbled } = await fight(room, sets, duel, await duel.begin(room, sets), turn);
      expect([wrong, stumbled]).toEqual([null, null]);
      if (duel.bothMay !== true) expect(both.filter(Boolean)).toHaveLength(1);
      winners.one += both[0] ? 1 : 0;
      winners.other += both[1] ? 1 : 0;
      await duel.after(room, sets);
    }
    await expectWholeRecord(room.database.ownerPool);
    // Each of them won at times, else nothing was raced.
    expect(winners.one).toBeGreaterThan(0);
    expect(winners.other).toBeGreaterThan(0);
  }, 60_000);

  test.each(DUELS.map((duel) => [duel.name, duel] as const))("%s: without its guard the wrong comes about", async (_, duel) => {
    const { room, sets } = await openRoom();
    let found: string | null = null;
    for (let turn = 0; turn < 300 && found === null; turn += 1) {
      const acts = await duel.begin(room, sets);
      const repair = await mutate(room.database.ownerPool, duel.guard);
      const { wrong, stumbled } = await fight(room, sets, duel, acts, turn);
      // Acts that stumble over each other without the guard prove nothing by themselves.
      found = wrong ?? (duel.secondLine?.test(stumbled ?? "") === true ? stumbled : null);
      await repair();
      if (found === null) await duel.after(room, sets);
    }
    expect(found).not.toBeNull();
  }, 60_000);
});
