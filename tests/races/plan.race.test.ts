/** Plans accepted while others accept, hand out and change the rules: each set keeps one order, none waits for ever, and a plan made on old facts is not recorded. */
import { handOut } from "@hangrail/db/acts";
import { takeWorkOrder } from "@hangrail/db/bench-acts";
import { setPolicy } from "@hangrail/db/people-acts";
import { acceptPlan, type PlanAnswer } from "@hangrail/db/plan-acts";
import { addDays, day } from "@hangrail/rules/calendar";
import { afterAll, beforeAll, expect, test } from "vitest";
import { freshDatabase } from "../support/database.ts";
import { aHire, makeKitRoom, type KitRoom, type RoomSet } from "../support/kit-room.ts";
import { expectWholeRecord, makeReadyAgain, mutate, type Mutation } from "./rig.ts";

/** The lock that a careless hand would have taken: the site's own row, which a change of policy writes after it has locked the sets. */
const SITE_ROW: Mutation = { of: "accept_plan", was: "PERFORM pg_advisory_xact_lock(hashtextextended(v_site::text, 6))", is: "PERFORM FROM site WHERE id = v_site FOR NO KEY UPDATE" };
const NO_LOCK: Mutation = { of: "accept_plan", was: SITE_ROW.was, is: "NULL" };
const MONDAY = day("2027-01-04");
const TURNS = 60;

let room: KitRoom & { readonly sets: readonly RoomSet[] };
beforeAll(async () => {
  room = await makeKitRoom(await freshDatabase(), { sets: 5 });
});
afterAll(() => room.db.close());

/** A plan of these sets, each in the week after the one before, as they were just read. */
async function plan(sets: readonly RoomSet[], words: string): Promise<Parameters<typeof acceptPlan>[2]> {
  const seen = await room.seen(sets);
  return {
    fromOn: MONDAY, weeks: 8, cost: 1000, bound: 1000, gapPpm: 0, settings: {}, words,
    lines: seen.map(({ id, seq }, at) => ({ set: id, seq, kind: "service", weekOn: addDays(MONDAY, 7 * at), locked: false, why: {} })),
  };
}

const openOrders = async (): Promise<{ tag: string; orders: number }[]> =>
  (await room.database.ownerPool.query<{ tag: string; orders: number }>(
    "SELECT s.tag, count(o.id)::int AS orders FROM regulator_set s LEFT JOIN work_order o ON o.set_id = s.id AND o.kind = 'service' AND o.done_at IS NULL WHERE s.id = ANY ($1) GROUP BY s.tag ORDER BY s.tag",
    [room.sets.map(({ id }) => id)],
  )).rows;

/** The sets of the newest plan, and those with an open order nobody has taken. */
async function standing(): Promise<{ planned: string[]; ordered: string[] }> {
  const { rows } = await room.database.ownerPool.query<{ planned: string[]; ordered: string[] }>(
    `SELECT (SELECT coalesce(array_agg(l.set_id ORDER BY l.set_id), '{}') FROM plan_line l WHERE l.plan_id = (SELECT id FROM plan ORDER BY nth DESC LIMIT 1)) AS planned,
            (SELECT coalesce(array_agg(o.set_id ORDER BY o.set_id), '{}') FROM work_order o WHERE o.kind = 'service' AND o.done_at IS NULL AND o.taken_at IS NULL) AS ordered`,
  );
  return rows[0]!;
}

/** A plan of nothing, which drops every order that waits. */
const clear = async () => acceptPlan(room.db, room.by("manager"), await plan([], "nothing"));

const answersOf = (answers: readonly PlanAnswer[]) => answers.map(({ answer }) => answer).sort();

test("two plans of the same sets at once: one is recorded, the other is told what changed, and each set keeps one order", async () => {
  for (let turn = 0; turn < TURNS; turn += 1) {
    const [one, other] = [await plan(room.sets.slice(0, 3), "one"), await plan(room.sets.slice(1, 4), "other")];
    const answers = await Promise.all([acceptPlan(room.db, room.by("manager"), one), acceptPlan(room.db, room.by("manager"), other)]);
    expect(answersOf(answers)).toContain("done");
    for (const { tag, orders } of await openOrders()) expect(`${tag} ${orders <= 1}`).toBe(`${tag} true`);
    const { planned, ordered } = await standing();
    expect(ordered).toEqual(planned);
  }
  await expectWholeRecord(room.database.ownerPool);
});

test("two plans of different sets at once: the later drops what the earlier asked for, so that one plan's orders stand", async () => {
  const halves = [room.sets.slice(0, 2), room.sets.slice(2, 4)];
  for (let turn = 0; turn < TURNS; turn += 1) {
    await clear();
    const [one, other] = [await plan(halves[0]!, "one"), await plan(halves[1]!, "other")];
    await Promise.all([acceptPlan(room.db, room.by("manager"), one), acceptPlan(room.db, room.by("manager"), other)]);
    const { planned, ordered } = await standing();
    expect(ordered).toEqual(planned);
  }
});

test("without taking turns both plans' orders stay", async () => {
  const repair = await mutate(room.database.ownerPool, NO_LOCK);
  let apart = false;
  for (let turn = 0; turn < 5 * TURNS && !apart; turn += 1) {
    await clear();
    await Promise.all([acceptPlan(room.db, room.by("manager"), await plan(room.sets.slice(0, 2), "one")), acceptPlan(room.db, room.by("manager"), await plan(room.sets.slice(2, 4), "other"))]);
    const { planned, ordered } = await standing();
    apart = JSON.stringify(planned) !== JSON.stringify(ordered);
  }
  await repair();
  expect(apart).toBe(true);
});

/** A plan and a change of policy at once: what became of each, "stuck" where the database had to part them. */
async function besidePolicy(turn: number): Promise<string[]> {
  await clear();
  const wanted = await plan(room.sets.slice(0, 4), "beside a policy");
  const told = (call: Promise<{ readonly answer: string }>) => call.then(({ answer }) => answer, () => "stuck");
  return Promise.all([told(acceptPlan(room.db, room.by("manager"), wanted)), told(setPolicy(room.db, room.by("manager"), { beddingDays: 20 + (turn % 10) }))]);
}

test("a plan and a change of policy never wait for each other; what was planned on the old policy is told so", async () => {
  const seen = new Map<string, number>();
  for (let turn = 0; turn < TURNS; turn += 1) for (const word of await besidePolicy(turn)) seen.set(word, (seen.get(word) ?? 0) + 1);
  expect([...seen.keys()].filter((word) => word !== "done" && word !== "stale")).toEqual([]);
});

test("with the site's own row as the lock they do", async () => {
  const repair = await mutate(room.database.ownerPool, SITE_ROW);
  let stuck = false;
  for (let turn = 0; turn < 5 * TURNS && !stuck; turn += 1) stuck = (await besidePolicy(turn)).includes("stuck");
  await repair();
  expect(stuck).toBe(true);
});

test("a set handed out in the same moment: one of the two was made on what is no longer so", async () => {
  const [set] = room.sets;
  const backOn = addDays(await room.today(), 1);
  for (let turn = 0; turn < TURNS / 2; turn += 1) {
    await clear();
    const [wanted, seen] = [await plan([set!], "beside the desk"), await room.seen([set!])];
    const [accepted, out] = await Promise.all([acceptPlan(room.db, room.by("manager"), wanted), handOut(room.db, room.by("desk"), aHire(backOn), seen)]);
    expect([accepted.answer, out.answer].sort()).toEqual(["done", "stale"]);
    if (out.answer === "done") await makeReadyAgain(room, [set!]);
  }
  await expectWholeRecord(room.database.ownerPool);
});

test("an order taken in the moment in which a plan drops it is taken or dropped, never both", async () => {
  const set = room.sets[4]!;
  for (let turn = 0; turn < TURNS / 2; turn += 1) {
    await acceptPlan(room.db, room.by("manager"), await plan([set], "one"));
    const order = (await room.database.ownerPool.query<{ id: string }>("SELECT id FROM work_order WHERE set_id = $1 AND done_at IS NULL", [set.id])).rows[0]!;
    await Promise.all([clear(), takeWorkOrder(room.db, room.by("technician"), order.id)]);
    const { rows } = await room.database.ownerPool.query<{ taken: boolean; dropped: boolean }>("SELECT taken_at IS NOT NULL AS taken, done_at IS NOT NULL AS dropped FROM work_order WHERE id = $1", [order.id]);
    expect(rows[0]!.taken).not.toBe(rows[0]!.dropped);
    if (rows[0]!.taken) await makeReadyAgain(room, [set]);
  }
  await expectWholeRecord(room.database.ownerPool);
});
