/** Work orders: what stands in the queue and why, from the reason to the release. */
import { makeBookings } from "@hangrail/db/plan-acts";
import { openNotice, recordBenchTest } from "@hangrail/db/bench-acts";
import { setPolicy } from "@hangrail/db/people-acts";
import { loadSetsById } from "@hangrail/db/set-facts";
import { listOpenFaults } from "@hangrail/db/faults";
import { listOpenMatches, benchCandidates } from "@hangrail/db/work-orders";
import { addDays, day } from "@hangrail/rules/calendar";
import { reasonsForBench, URGENCIES } from "@hangrail/rules/work-orders";
import { afterAll, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { aRequest, codeOf, digestOf, makeApiRoom, terms, type ApiRoom, type Caller } from "../support/api.ts";
import { done, type RoomSet } from "../support/kit-room.ts";

let at: ApiRoom;
let technician: Caller;
let manager: Caller;
let desk: Caller;
beforeAll(async () => {
  at = await makeApiRoom({ sets: 24, stoppedAt: "2026-03-20T08:00:00Z" });
});
beforeEach(async () => {
  [technician, manager, desk] = (await Promise.all([at.as("technician"), at.as("manager"), at.as("desk")])).map(({ api }) => api) as [Caller, Caller, Caller];
});
afterAll(() => at.close());

const ready = (): RoomSet => at.fresh(1)[0]!;

const report = async (set: RoomSet, code: "SS-02" | "SS-05" | "SS-07" | "GN-03", component: string | null = null) =>
  done(await desk.bench.reportFault({ requestId: aRequest(), setId: set.id, code, component, where: "desk", words: "" })).fault;
const open = (by: Caller, set: RoomSet, kind: Parameters<Caller["workOrders"]["open"]>[0]["kind"], over: { fault?: string; notice?: string } = {}) =>
  by.workOrders.open({ requestId: aRequest(), setId: set.id, kind, fault: over.fault ?? null, notice: over.notice ?? null, words: "" });
const waits = async (set: RoomSet) => (await technician.workOrders.queue()).items.filter((item) => item.set.setId === set.id);
const one = (orderId: string) => technician.workOrders.one({ orderId });
const stateOf = async (set: RoomSet) => (await desk.desk.lookUp({ tags: [set.tag], hire: null })).sets[0]!.state;
const act = (orderId: string) => ({ requestId: aRequest(), orderId });
const age = (component: string, column: string, value: unknown) => at.owner.query(`UPDATE component SET ${column} = $2 WHERE id = $1`, [component, value]);

async function taken(set: RoomSet, kind: Parameters<typeof open>[2], over: { fault?: string } = {}): Promise<string> {
  const { order } = done(await open(technician, set, kind, over));
  done(await technician.workOrders.take(act(order)));
  return order;
}

describe("the queue", () => {
  test("holds a reason until an order answers it, and the order until it is closed", async () => {
    const set = ready();
    expect(await waits(set)).toEqual([]);
    const fault = await report(set, "SS-02", set.parts.primary);
    expect(await waits(set)).toMatchObject([{ kind: "repair", urgency: "stopped", order: null, fault: { id: fault, code: "SS-02" }, components: [set.parts.primary] }]);

    const { order } = done(await open(manager, set, "repair", { fault }));
    expect(await waits(set)).toMatchObject([{ id: order, urgency: "stopped", order: { state: "waiting", openedBy: "Mira Holt" }, fault: { id: fault } }]);
    expect(await open(technician, set, "repair", { fault })).toMatchObject({ answer: "refused", code: "order-exists" });

    done(await technician.workOrders.drop({ ...act(order), words: "Opened twice" }));
    expect(await waits(set)).toMatchObject([{ kind: "repair", order: null }]);
    expect(await one(order)).toMatchObject({ order: { state: "dropped", closed: { words: "Opened twice", minutes: null } } });
  });

  test("shows what falls due, what is overdue, what is new and what settles, and nothing else", async () => {
    const [soon, late, settling, fine] = [ready(), ready(), ready(), ready()];
    await age(soon.parts["first-stage"], "serviced_on", "2024-04-10");
    await age(soon.parts["first-stage"], "checked_on", "2026-03-01");
    await age(late.parts.gauge, "dives_total", 300);
    await age(settling.parts.primary, "dives_total", 12);
    const fresh = await at.room.registerSet({ inUseOn: null });
    expect(await waits(soon)).toMatchObject([{ kind: "service", urgency: "falls-due", dueOn: "2026-04-10", components: [soon.parts["first-stage"]] }]);
    expect(await waits(late)).toMatchObject([{ kind: "service", urgency: "overdue", overdue: true, components: [late.parts.gauge] }]);
    expect(await waits(settling)).toMatchObject([{ kind: "bedding-check", urgency: "later", components: [settling.parts.primary] }]);
    expect(await waits(fresh)).toMatchObject([{ kind: "new-component", order: null }]);
    expect(await waits(fine)).toEqual([]);
  });

  test("has every set that the rules name, though it reads only those that may have a reason", async () => {
    const { rows } = await at.owner.query<{ id: string }>("SELECT id FROM regulator_set");
    const every = await loadSetsById(at.room.db, at.room.site, rows.map(({ id }) => id));
    const [faults, matches] = await Promise.all([listOpenFaults(at.room.db, at.room.site, null), listOpenMatches(at.room.db, at.room.site, null)]);
    const asking = every.filter(
      (set) =>
        reasonsForBench(
          {
            ...set.facts,
            components: set.components,
            openFaults: faults.filter(({ setId }) => setId === set.id).map(({ id, component, severity }) => ({ fault: id, component, severity })),
            notices: matches.filter(({ setId }) => setId === set.id),
          },
          [],
          set.policy,
          set.today,
        ).length > 0,
    );
    expect(asking.length).toBeGreaterThan(3);
    const found = await benchCandidates(at.room.db, at.room.site, { days: 30, dives: 10 });
    expect(asking.filter(({ id }) => !found.includes(id)).map(({ tag }) => tag)).toEqual([]);
    expect(found.length).toBeLessThan(every.length);
  });

  test("counts the bookings ahead that a set could serve, and goes by urgency", async () => {
    const set = ready();
    await report(set, "SS-07", set.parts.primary);
    const today = await at.room.today();
    const booking = { fromOn: addDays(today, 5), untilOn: addDays(today, 9), connection: "din-232", cold: true, o2Tenths: 210, teaching: false, sets: 2, words: "Club", source: "typed" } as const;
    const begun = { ...booking, fromOn: addDays(today, -2), untilOn: today };
    // Nitrox asks for another connection here, whatever gas the set would stand.
    const unfit = [{ ...booking, connection: "yoke" as const }, { ...booking, o2Tenths: 320 }, { ...booking, o2Tenths: 500 }];
    const far = { ...booking, fromOn: addDays(today, 31), untilOn: addDays(today, 40) };
    done(await makeBookings(at.room.db, at.room.by("desk"), [booking, ...unfit, far]));
    expect(await waits(set)).toMatchObject([{ bookingsAtStake: 1, neededOn: addDays(today, 5), urgency: "overdue" }]);
    done(await makeBookings(at.room.db, at.room.by("desk"), [begun]));
    expect(await waits(set)).toMatchObject([{ bookingsAtStake: 2, neededOn: today }]);
    const order = (await technician.workOrders.queue()).items.map(({ urgency }) => URGENCIES.indexOf(urgency));
    expect(order).toEqual(order.toSorted((a, b) => a - b));
  });

  test("leaves a sealed set out", async () => {
    const set = ready();
    await report(set, "GN-03");
    expect(await waits(set)).toEqual([]);
  });

  test("is of one site alone, as is every order", async () => {
    const set = ready();
    const { order } = done(await open(technician, set, "service"));
    const elsewhere = await at.room.openSite("Sandbank");
    const there = (await at.signedIn(at.room.people.manager, elsewhere)).api;
    expect((await there.workOrders.queue()).items).toEqual([]);
    expect(await codeOf(there.workOrders.one({ orderId: order }))).toBe("NOT_FOUND");
    expect(await codeOf(there.workOrders.ofSet({ setId: set.id }))).toBe("NOT_FOUND");
    expect(await there.workOrders.drop({ ...act(order), words: "Not ours" })).toMatchObject({ answer: "refused", code: "no-such-order" });
  });
});

describe("an order taken", () => {
  test("shows on the bench on every screen, ends the release, and comes back by work, test and release", async () => {
    const set = ready();
    const order = await taken(set, "service");
    expect(await stateOf(set)).toBe("on-the-bench");
    const board = await manager.sets.board({ search: set.tag, states: [], modelId: null, sort: "tag", descending: false, page: 0, size: 10 });
    expect(board.rows.map(({ state }) => state)).toEqual(["on-the-bench"]);
    expect(await technician.workOrders.ofSet({ setId: set.id })).toMatchObject([{ id: order, kind: "service", order: { state: "taken", takenBy: "Tove Stone" } }]);
    const { seq } = (await at.room.seen([set]))[0]!;
    expect(await desk.desk.handOut({ requestId: aRequest(), hirer: "Guest", contact: null, hire: terms(addDays(await at.room.today(), 2)), sets: [{ setId: set.id, seq }] })).toMatchObject({ answer: "hold" });

    expect(await technician.workOrders.finish({ ...act(order), minutes: 40, words: "Done" })).toMatchObject({ answer: "refused", code: "order-work-missing", facts: { kind: "service" } });
    const stages = [set.parts["first-stage"], set.parts.primary, set.parts.alternate];
    done(await technician.bench.recordWork({ requestId: aRequest(), setId: set.id, kind: "service", components: stages, oxygenClean: false, words: "Seats renewed", order, kits: at.room.kitsFor(stages) }));
    const page = await one(order);
    expect(page.work).toMatchObject([{ kind: "service", by: "Tove Stone", words: "Seats renewed" }]);
    expect(page.work[0]!.components).toHaveLength(3);
    expect(page.work[0]!.kits).toHaveLength(3);
    expect(page.release.lacks.map(({ code }) => code)).toEqual(["order-open", "test"]);

    done(await technician.workOrders.finish({ ...act(order), minutes: 55, words: "Seats renewed, all as it should be" }));
    expect(await stateOf(set)).toBe("to-release");
    expect(await one(order)).toMatchObject({ order: { state: "done", closed: { minutes: 55 } }, release: { lacks: [{ code: "test", last: null }] } });
    await at.room.test([set]);
    expect((await one(order)).release.lacks).toEqual([]);
    expect(await technician.bench.release({ requestId: aRequest(), setIds: [set.id], words: "Passed" })).toEqual({ answer: "done" });
    expect(await stateOf(set)).toBe("to-clean");
    expect(await waits(set)).toEqual([]);
  });

  test("is parked for parts, says why and until when, and is taken up again", async () => {
    const set = ready();
    const order = await taken(set, "inspection");
    done(await technician.workOrders.park({ ...act(order), why: "Seat of the first stage", expectedOn: day("2026-04-02") }));
    expect(await stateOf(set)).toBe("awaiting-parts");
    expect(await waits(set)).toMatchObject([{ order: { state: "parked", park: { why: "Seat of the first stage", expectedOn: "2026-04-02", by: "Tove Stone" } } }]);
    expect(await technician.workOrders.park({ ...act(order), why: "Again", expectedOn: null })).toMatchObject({ code: "order-parked" });
    expect(await technician.workOrders.finish({ ...act(order), minutes: 5, words: "x" })).toMatchObject({ code: "order-parked" });
    done(await technician.workOrders.resume(act(order)));
    expect(await technician.workOrders.resume(act(order))).toMatchObject({ code: "order-not-parked" });
    expect(await stateOf(set)).toBe("on-the-bench");
  });

  test("twice under one request is taken once; by another it is refused with a name", async () => {
    const set = ready();
    const { order } = done(await open(technician, set, "service"));
    const take = act(order);
    expect(await technician.workOrders.take(take)).toEqual({ answer: "done" });
    expect(await technician.workOrders.take(take)).toEqual({ answer: "done", repeat: true });
    expect(await technician.workOrders.take(act(order))).toMatchObject({ code: "order-taken", facts: { by: "Tove Stone" } });
    const { order: other } = done(await open(technician, set, "inspection"));
    expect(await technician.workOrders.take(act(other))).toMatchObject({ code: "other-order-taken" });
  });

  test("of a set that is out is refused; so is finishing what nobody took", async () => {
    const set = ready();
    const { order } = done(await open(technician, set, "service"));
    const { seq } = (await at.room.seen([set]))[0]!;
    done(await desk.desk.handOut({ requestId: aRequest(), hirer: "Guest", contact: null, hire: terms(addDays(await at.room.today(), 2)), sets: [{ setId: set.id, seq }] }));
    const before = await digestOf(at.owner);
    expect(await technician.workOrders.take(act(order))).toMatchObject({ answer: "refused", code: "out" });
    expect(await technician.workOrders.finish({ ...act(order), minutes: 1, words: "x" })).toMatchObject({ code: "out" });
    expect(await digestOf(at.owner)).toBe(before);
  });

  test("for a repair is done when its fault is cleared; as found and as left stand under it", async () => {
    const set = ready();
    const fault = await report(set, "SS-02", set.parts.alternate);
    const order = await taken(set, "repair", { fault });
    done(await recordBenchTest(at.room.db, at.room.by("technician"), set.id, { phase: "as-found", verdict: "fail", words: "Flows at rest", order, readings: [], curves: [] }));
    expect((await one(order)).tests).toMatchObject([{ phase: "as-found", verdict: "fail", words: "Flows at rest", testedBy: "Tove Stone" }]);
    done(await technician.faults.confirm({ requestId: aRequest(), faultId: fault, code: "SS-08", component: set.parts.alternate, words: "Valve out of its seat" }));
    expect(await technician.workOrders.finish({ ...act(order), minutes: 10, words: "x" })).toMatchObject({ code: "order-work-missing" });
    done(await technician.bench.clearFault({ requestId: aRequest(), faultId: fault, outcome: "mended", words: "Valve seated", opened: true }));
    expect(await one(order)).toMatchObject({ fault: { found: { code: "SS-08" }, cleared: { outcome: "mended", by: "Tove Stone" } } });
    done(await technician.workOrders.finish({ ...act(order), minutes: 20, words: "Valve seated" }));
    expect((await one(order)).release.lacks).toEqual([{ code: "test", last: null }]);
  });

  test("for a notice is done when every component of it is cleared", async () => {
    const set = ready();
    const notice = done(await openNotice(at.room.db, at.room.by("technician"), { title: "Seat cracks", reference: "N-4", hazard: "Loss of gas", remedy: "Renew the seat", publishedOn: day("2026-03-01"), ranges: [at.room.firstStageRange(set)] })).notice;
    expect(await waits(set)).toMatchObject([{ kind: "notice", urgency: "stopped", notice: { title: "Seat cracks", reference: "N-4" }, components: [set.parts["first-stage"]] }]);
    const { order } = done(await open(technician, set, "notice", { notice }));
    expect(await one(order)).toMatchObject({ notices: [{ component: set.parts["first-stage"], remedy: "Renew the seat" }] });
  });
});

describe("a second person", () => {
  test("has to release where the site asks for one", async () => {
    const set = ready();
    await at.room.service([set]);
    await at.room.test([set]);
    done(await setPolicy(at.room.db, at.room.by("manager"), { releaseBySecond: true }));
    expect(await technician.bench.release({ requestId: aRequest(), setIds: [set.id], words: "Mine" })).toMatchObject({ answer: "lacks", sets: [{ tag: set.tag, lacks: [{ code: "second-person" }] }] });
    done(await setPolicy(at.room.db, at.room.by("manager"), { releaseBySecond: false }));
    expect(await technician.bench.release({ requestId: aRequest(), setIds: [set.id], words: "Mine" })).toEqual({ answer: "done" });
  });
});
