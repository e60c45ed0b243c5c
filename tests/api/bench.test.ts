/** The bench: faults, work, release, and the limits and pairings everything is judged by. */
import { addDays, day, type Day } from "@hangrail/rules/calendar";
import { afterAll, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { aRequest, codeOf, digestOf, failure, makeApiRoom, PASSWORD, PIN, terms, type ApiRoom, type Caller } from "../support/api.ts";
import { AMPLE, MAKER, type RoomSet } from "../support/kit-room.ts";

let at: ApiRoom;
let technician: Caller;
let desk: Caller;
let manager: Caller;
beforeAll(async () => {
  at = await makeApiRoom({ sets: 30, stoppedAt: "2026-03-20T08:00:00Z" });
});
beforeEach(async () => {
  [technician, desk, manager] = (await Promise.all([at.as("technician"), at.as("desk"), at.as("manager")])).map(({ api }) => api) as [Caller, Caller, Caller];
});
afterAll(() => at.close());

const ready = (): RoomSet => at.fresh(1)[0]!;

const view = async (set: RoomSet, hire: ReturnType<typeof terms> | null = null) => (await desk.desk.lookUp({ tags: [set.tag], hire })).sets[0]!;
const stateOf = async (set: RoomSet) => (await view(set)).state;
const codes = async (set: RoomSet) => (await view(set)).holds.map(({ code }) => code);

const report = (set: RoomSet, code: Parameters<Caller["bench"]["reportFault"]>[0]["code"], component: string | null = null, by: Caller = desk) =>
  by.bench.reportFault({ requestId: aRequest(), setId: set.id, code, component, where: "desk", words: "As the hirer said" });
async function faultOf(set: RoomSet, code: Parameters<typeof report>[1], component: string | null = null): Promise<string> {
  const answer = await report(set, code, component);
  if (answer.answer !== "done") throw new Error("The fault was not taken.");
  return answer.fault;
}
const clear = (by: Caller, faultId: string, opened = false) => by.bench.clearFault({ requestId: aRequest(), faultId, outcome: "mended", words: "Seat renewed", opened });
const work = (by: Caller, set: RoomSet, over: Partial<Parameters<Caller["bench"]["recordWork"]>[0]> = {}) =>
  by.bench.recordWork({
    requestId: aRequest(), setId: set.id, kind: "service", components: Object.values(set.parts), oxygenClean: false, words: "Kit fitted, tested",
    kits: over.kind === undefined || over.kind === "service" ? at.room.kitsFor(over.components ?? Object.values(set.parts)) : [], ...over,
  });
const release = (by: Caller, ...sets: RoomSet[]) => by.bench.release({ requestId: aRequest(), setIds: sets.map(({ id }) => id), words: "Tested at both pressures" });
const lacksOf = async (by: Caller, set: RoomSet) => (await by.bench.releaseCheck({ setId: set.id })).lacks;
const refit = (set: RoomSet, off: string | null, on: string | null, position: "gauge" | "primary" | "alternate" | "first-stage" = "gauge") =>
  technician.bench.refit({ requestId: aRequest(), setId: set.id, off, on, position, words: "Glass fogged" });

async function handOut(set: RoomSet, backOn?: Day) {
  const { seq } = (await at.room.seen([set]))[0]!;
  const until = backOn ?? addDays(await at.room.today(), 3);
  return desk.desk.handOut({ requestId: aRequest(), hirer: "Guest", contact: null, hire: terms(until), sets: [{ setId: set.id, seq }] });
}
const takeBack = (set: RoomSet, dives: number) =>
  desk.desk.takeBack({ requestId: aRequest(), sets: [{ setId: set.id, dives, minutes: dives * 50, waterKind: "sea", problem: false, words: null, faultCode: null, component: null, missing: [] }] });

/** Asserts that a release is not given, for these lacks, and that nothing was written. */
async function expectLacking(ask: () => Promise<unknown>, ...lacks: readonly object[]): Promise<void> {
  const before = await digestOf(at.owner);
  expect(await ask()).toMatchObject({ answer: "lacks", sets: [{ lacks }] });
  expect(await digestOf(at.owner)).toBe(before);
}

/** Asserts that an act is refused with a code and that nothing was written. */
async function expectRefused(ask: () => Promise<unknown>, code: string): Promise<void> {
  const before = await digestOf(at.owner);
  expect(await ask()).toMatchObject({ answer: "refused", code });
  expect(await digestOf(at.owner)).toBe(before);
}

describe("a fault", () => {
  test.each(["desk", "wash-room", "technician", "manager"] as const)("reported by the %s tags the set out at once", async (role) => {
    const set = ready();
    expect(await report(set, "SS-02", set.parts.primary, (await at.as(role)).api)).toMatchObject({ answer: "done" });
    const seen = await view(set);
    expect(seen.state).toBe("tagged-out");
    expect(seen.holds).toEqual([{ code: "fault", component: set.parts.primary, severity: "out" }]);
    expect(await handOut(set)).toMatchObject({ answer: "hold" });
    expect((await technician.bench.queue()).faults.filter(({ setId }) => setId === set.id)).toMatchObject([{ code: "SS-02", severity: "out", words: "As the hirer said", where: "desk" }]);
  });

  test("that is only watched holds nothing, and is shown", async () => {
    const set = ready();
    await report(set, "SS-05");
    expect(await view(set, terms(addDays(await at.room.today(), 1)))).toMatchObject({ state: "ready", holds: [], cautions: [{ code: "watch-fault", component: null }] });
  });

  test("of severity hold is cleared by the desk, of severity out by a technician alone", async () => {
    const set = ready();
    const [hold, out] = [await faultOf(set, "SS-07"), await faultOf(set, "SS-03")];
    const before = await digestOf(at.owner);
    expect(await codeOf(clear(desk, out))).toBe("FORBIDDEN");
    // Taking a set apart is the bench's, whatever the fault.
    expect(await codeOf(clear(desk, hold, true))).toBe("FORBIDDEN");
    expect(await digestOf(at.owner)).toBe(before);
    expect(await clear(desk, hold)).toEqual({ answer: "done" });
    expect(await stateOf(set)).toBe("tagged-out");
    expect(await clear(technician, out)).toEqual({ answer: "done" });
    expect(await stateOf(set)).toBe("ready");
    await expectRefused(() => clear(technician, out), "already-cleared");
  });

  test("is reported of a set that is out, and waits for its return", async () => {
    const set = ready();
    await handOut(set);
    const fault = await faultOf(set, "GN-02");
    expect(await stateOf(set)).toBe("out");
    await expectRefused(() => clear(technician, fault), "out");
    await takeBack(set, 1);
    expect(await stateOf(set)).toBe("tagged-out");
    expect(await clear(technician, fault)).toEqual({ answer: "done" });
    expect(await stateOf(set)).toBe("to-clean");
  });

  test("cleared after the set was opened asks for a release and a wash", async () => {
    const set = ready();
    const fault = await faultOf(set, "FS-03", set.parts["first-stage"]);
    expect(await clear(technician, fault, true)).toEqual({ answer: "done" });
    expect(await codes(set)).toEqual(["not-released", "not-clean"]);
    await expectLacking(() => release(technician, set), { code: "test", last: null });
    await at.room.test([set]);
    expect(await lacksOf(technician, set)).toEqual([]);
    expect(await release(technician, set)).toEqual({ answer: "done" });
    expect(await stateOf(set)).toBe("to-clean");
  });

  test("named twice under one request is one fault", async () => {
    const set = ready();
    const order = { requestId: aRequest(), setId: set.id, code: "PG-02", component: set.parts.gauge, where: "boat", words: "" } as const;
    const first = await desk.bench.reportFault(order);
    expect(await desk.bench.reportFault(order)).toEqual({ ...first, repeat: true });
    expect((await technician.bench.queue()).faults.filter(({ setId }) => setId === set.id)).toHaveLength(1);
  });
});

describe("work and release", () => {
  /** A technician authorised for the maker from 1 January to 31 March, for nothing else. */
  async function quarterly(): Promise<string> {
    const added = await manager.people.add({ name: "Quentin", login: "quentin", password: PASSWORD, pin: PIN, roles: ["technician"] });
    if (added.answer !== "done") throw new Error("not added");
    await manager.people.authorise({ staffId: added.staff, maker: MAKER, oxygenClean: false, from: day("2026-01-01"), until: day("2026-03-31"), evidence: "Course certificate 12" });
    return added.staff;
  }

  test("by a technician authorised for the maker on the day: good on 31 March, not on 1 April, in the site's zone", { timeout: 60_000 }, async () => {
    const [one, two] = [ready(), ready()];
    const staff = await quarterly();
    await at.room.clock.stopAt("2026-03-31T21:59:59Z");
    let quentin = (await at.signedIn(staff)).api;
    expect((await quentin.bench.queue()).makers).toEqual([MAKER]);
    expect(await work(quentin, one)).toEqual({ answer: "done" });
    await at.room.test([one]);
    expect(await release(quentin, one)).toEqual({ answer: "done" });
    // What was not asked of him on the certificate he may not record either.
    await expectRefused(() => work(quentin, two, { oxygenClean: true }), "not-authorised");

    await at.room.clock.stopAt("2026-03-31T22:00:00Z");
    quentin = (await at.signedIn(staff)).api;
    expect((await quentin.bench.queue()).makers).toEqual([]);
    await expectRefused(() => work(quentin, two), "not-authorised");
    expect(await work((await at.as("technician")).api, two)).toEqual({ answer: "done" });
    await at.room.test([two]);
    await expectLacking(() => release(quentin, two), { code: "not-authorised", maker: MAKER, on: "2026-04-01" });
    expect(await release((await at.as("technician")).api, two)).toEqual({ answer: "done" });
  });

  test("for a maker nobody authorised is refused, though the other parts would be allowed", async () => {
    const set = ready();
    const { model } = (await technician.models.add({ kind: "gauge", maker: "Otherfell", name: "Dial" })) as { model: string };
    const fitted = await technician.sets.register({
      requestId: aRequest(), tag: "OF-1", parts: [{ modelId: model, serial: "1", position: "gauge", boughtOn: null, inUseOn: null }],
    });
    if (fitted.answer !== "done") throw new Error("not registered");
    const { parts } = await technician.sets.one({ tag: "OF-1" });
    const other = parts[0]!.id;
    await technician.bench.refit({ requestId: aRequest(), setId: fitted.set, off: other, on: null, position: "gauge", words: "To the shelf" });
    expect((await technician.bench.shelf()).map(({ id }) => id)).toContain(other);
    await refit(set, set.parts.gauge, other);
    await expectRefused(() => work(technician, set, { components: [set.parts["first-stage"], other] }), "not-authorised");
    expect(await work(technician, set, { components: [set.parts["first-stage"]] })).toEqual({ answer: "done" });
  });

  test("service asks for a release, and a released set still for a wash", async () => {
    const set = ready();
    await handOut(set);
    await takeBack(set, 7);
    const requestId = aRequest();
    const order = { requestId, setId: set.id, kind: "service" as const, components: Object.values(set.parts), oxygenClean: true, words: "Kit fitted", kits: at.room.kitsFor(Object.values(set.parts)) };
    expect(await technician.bench.recordWork(order)).toEqual({ answer: "done" });
    expect(await technician.bench.recordWork(order)).toEqual({ answer: "done", repeat: true });
    expect(await codes(set)).toEqual(["not-released", "not-clean"]);
    const { parts } = await technician.sets.one({ tag: set.tag });
    expect(parts.map(({ divesSinceService, totalDives, servicedOn }) => ({ divesSinceService, totalDives, servicedOn }))).toEqual(Array(4).fill({ divesSinceService: 0, totalDives: 7, servicedOn: await at.room.today() }));
    expect(parts[0]!.work[0]).toMatchObject({ kind: "service", by: "Tove Stone", words: "Kit fitted", imported: false, divesAt: 7 });
    await at.room.test([set]);
    expect(await release(technician, set)).toEqual({ answer: "done" });
    expect(await codes(set)).toEqual(["not-clean"]);
    expect(await handOut(set)).toMatchObject({ answer: "hold" });
    await at.room.wash([set]);
    [desk] = [(await at.as("desk")).api];
    expect(await handOut(set)).toMatchObject({ answer: "done" });
  });

  test("an inspection resets its own limb alone and keeps the release", async () => {
    const set = ready();
    await handOut(set);
    await takeBack(set, 5);
    expect(await work(technician, set, { kind: "inspection" })).toEqual({ answer: "done" });
    expect(await codes(set)).toEqual(["not-clean"]);
    const { parts } = await technician.sets.one({ tag: set.tag });
    expect(parts[0]!.divesSinceService).toBe(5);
    expect(parts[0]!.due).toMatchObject({ service: { divesLeft: 295 }, inspection: { divesLeft: 150 } });
  });

  test("a release of two is of both or neither, and of a released set is none", async () => {
    const [open, whole] = [ready(), ready()];
    await work(technician, open);
    await at.room.test([open]);
    await expectRefused(() => release(technician, open, whole), "already-released");
    await expectRefused(() => release(technician, open, open), "same-set-twice");
    expect(await stateOf(open)).toBe("to-release");
  });

  test("work on a set that is out, or on a part that is not in it, is refused", async () => {
    const [gone, set, donor] = [ready(), ready(), ready()];
    await handOut(gone);
    await expectRefused(() => work(technician, gone), "out");
    await expectRefused(() => work(technician, set, { components: [set.parts.gauge, donor.parts.gauge] }), "not-fitted");
  });
});

describe("a swap", () => {
  test("ends the release, soils the set and moves no dives", async () => {
    const [set, donor] = [ready(), ready()];
    await handOut(set);
    await takeBack(set, 9);
    await refit(donor, donor.parts.gauge, null);
    expect(await refit(set, set.parts.gauge, donor.parts.gauge)).toEqual({ answer: "done" });
    expect(await codes(set)).toEqual(["not-released", "not-clean"]);
    expect(await codes(donor)).toEqual(["not-released", "not-clean", "incomplete"]);
    const { parts, fittings } = await technician.sets.one({ tag: set.tag });
    expect(parts.map(({ role, totalDives }) => [role, totalDives])).toEqual([["first-stage", 9], ["primary", 9], ["alternate", 9], ["gauge", 0]]);
    expect(fittings.find(({ component }) => component === set.parts.gauge)!.untilAt).not.toBeNull();
    const shelf = await technician.bench.shelf();
    expect(shelf.find(({ id }) => id === set.parts.gauge)).toMatchObject({ dives: 9 });
    // The next return counts on what is fitted now.
    await at.room.test([set]);
    await release(technician, set);
    await at.room.wash([set]);
    desk = (await at.as("desk")).api;
    technician = (await at.as("technician")).api;
    await handOut(set);
    await takeBack(set, 2);
    expect((await technician.sets.one({ tag: set.tag })).parts.map(({ totalDives }) => totalDives)).toEqual([11, 11, 11, 2]);
  });

  test("is refused where it cannot be, and writes nothing", async () => {
    const [set, other, broken] = [ready(), ready(), ready()];
    const before = await digestOf(at.owner);
    expect(await failure(refit(set, null, null))).toMatchObject({ code: "BAD_REQUEST", message: "Name what comes off, what goes on, or both." });
    expect(await failure(refit(set, null, other.parts.gauge, "primary"))).toMatchObject({ code: "BAD_REQUEST", message: "That component does not belong in this position." });
    await expectRefused(() => refit(set, set.parts.gauge, other.parts.gauge), "fitted-elsewhere");
    await expectRefused(() => refit(set, other.parts.gauge, null), "not-fitted");
    expect(await digestOf(at.owner)).toBe(before);
    await report(broken, "SS-03", broken.parts.primary);
    await refit(broken, broken.parts.primary, null, "primary");
    await expectRefused(() => refit(set, set.parts.primary, broken.parts.primary, "primary"), "part-has-fault");
  });
});

describe("limits and pairings", () => {
  // The models are the whole room's: each test puts back what it changed.
  const gaugeLimits = (over: Partial<typeof AMPLE> = {}) => ({ requestId: aRequest(), modelId: at.room.models.gauge, limits: { ...AMPLE, ...over } });

  test("accepted anew judge every set at once", async () => {
    const set = ready();
    await at.owner.query("UPDATE component SET dives_total = 40 WHERE id = $1", [set.parts.gauge]);
    expect(await codes(set)).toEqual([]);
    const order = gaugeLimits({ serviceDives: 40 });
    const answer = await technician.models.acceptLimits(order);
    expect(answer).toMatchObject({ answer: "done" });
    expect(await technician.models.acceptLimits(order)).toEqual({ ...answer, repeat: true });
    expect(await view(set)).toMatchObject({ state: "held", holds: [{ code: "service-overdue", component: set.parts.gauge, divesLeft: 0, limbs: ["dives"] }] });
    const board = await manager.sets.board({ search: set.tag, states: [], modelId: null, sort: "tag", descending: false, page: 0, size: 10 });
    expect(board.rows.map(({ tag, state }) => [tag, state])).toEqual([[set.tag, "held"]]);
    await technician.models.acceptLimits(gaugeLimits());
    expect(await codes(set)).toEqual([]);
    const history = await technician.models.history({ modelId: at.room.models.gauge });
    expect(history.map(({ serviceDives, acceptedBy }) => [serviceDives, acceptedBy]).slice(0, 2)).toEqual([[300, "Tove Stone"], [40, "Tove Stone"]]);
  });

  test("of a first stage name its connection and its highest pressure", async () => {
    await expectRefused(() => technician.models.acceptLimits({ requestId: aRequest(), modelId: at.room.models.first, limits: AMPLE }), "first-stage-needs-connection");
    const error = await failure(technician.models.acceptLimits(gaugeLimits({ hasInspection: false })));
    expect(error.message).toContain("Limits for an inspection are given, but no inspection is asked for.");
  });

  test("a pairing withdrawn holds every set that has it, until it is approved again", async () => {
    const set = ready();
    const pairing = (approved: boolean) => technician.models.setPairing({ firstModelId: at.room.models.first, secondModelId: at.room.models.second, approved, manualPage: "Bulletin 4" });
    expect(await pairing(false)).toMatchObject({ answer: "done" });
    expect((await view(set)).holds.map(({ code, component }) => [code, component])).toEqual([["pairing", set.parts.primary], ["pairing", set.parts.alternate]]);
    expect(await handOut(set)).toMatchObject({ answer: "hold" });
    expect((await technician.models.pairings())[0]).toMatchObject({ first: at.room.models.first, second: at.room.models.second, manualPage: null });
    await pairing(true);
    expect(await codes(set)).toEqual([]);
    await expectRefused(() => technician.models.setPairing({ firstModelId: at.room.models.second, secondModelId: at.room.models.first, approved: true, manualPage: "3" }), "no-such-model");
  });
});

describe("after an accident", () => {
  test("the set is sealed: no wash, no work, no release, no swap, no clearing, no hire", async () => {
    const set = ready();
    const fault = await faultOf(set, "GN-03");
    expect(await stateOf(set)).toBe("evidence-lock");
    const wash = (await at.as("wash-room")).api.washRoom;
    const tub = await wash.mixBath({ requestId: aRequest(), productId: at.room.product, label: "Tub", lot: null, productMl: 100, waterMl: 9_900 });
    if (tub.answer !== "done") throw new Error("not mixed");
    const before = await digestOf(at.owner);
    expect(await wash.startRun({ requestId: aRequest(), bathId: tub.bath, tags: [set.tag] })).toMatchObject({ answer: "refused", reasons: expect.arrayContaining([{ code: "evidence-lock", tag: set.tag }]) as unknown });
    await expectRefused(() => wash.breathTested({ requestId: aRequest(), setId: set.id, words: "" }), "evidence-lock");
    for (const kind of ["service", "inspection", "bedding-check"] as const) await expectRefused(() => work(technician, set, { kind }), "evidence-lock");
    await expectLacking(() => release(technician, set), { code: "evidence-lock" }, { code: "fault", severity: "out" });
    await expectRefused(() => refit(set, set.parts.gauge, null), "evidence-lock");
    await expectRefused(() => clear(technician, fault), "evidence-lock");
    await expectRefused(() => report(set, "SS-02"), "evidence-lock");
    await expectRefused(() => manager.sets.retire({ requestId: aRequest(), setId: set.id, words: "Worn" }), "evidence-lock");
    await expectRefused(() => manager.sets.transfer({ requestId: aRequest(), setId: set.id, toSiteId: at.room.site }), "evidence-lock");
    const held = await handOut(set);
    expect(held).toMatchObject({ answer: "hold" });
    expect(held.answer === "hold" && held.sets[0]!.holds[0]!.code).toBe("evidence-lock");
    expect(await digestOf(at.owner)).toBe(before);
  });

  test("a set sealed while it is out comes back sealed, with nothing taken off it", async () => {
    const set = ready();
    await handOut(set);
    await report(set, "GN-03");
    const line = { setId: set.id, dives: 1, minutes: 30, waterKind: "sea" as const, problem: false, words: null, faultCode: null, component: null, missing: [] as string[] };
    await expectRefused(() => desk.desk.takeBack({ requestId: aRequest(), sets: [{ ...line, missing: [set.parts.gauge] }] }), "evidence-lock");
    expect(await desk.desk.takeBack({ requestId: aRequest(), sets: [line] })).toMatchObject({ answer: "done" });
    expect(await stateOf(set)).toBe("evidence-lock");
  });

  test("named at the return, it seals the set in the same act", async () => {
    const set = ready();
    await handOut(set);
    await desk.desk.takeBack({ requestId: aRequest(), sets: [{ setId: set.id, dives: 1, minutes: 30, waterKind: "sea", problem: true, words: "Diver taken ill", faultCode: "GN-03", component: null, missing: [] }] });
    expect(await stateOf(set)).toBe("evidence-lock");
  });
});

describe("a new set", () => {
  const part = (modelId: string, position: "first-stage" | "primary" | "alternate" | "gauge", serial: string) => ({ modelId, position, serial, boughtOn: day("2026-01-10"), inUseOn: null });
  const whole = (mark: string) => [
    part(at.room.models.first, "first-stage", `${mark}1`), part(at.room.models.second, "primary", `${mark}2`), part(at.room.models.second, "alternate", `${mark}3`), part(at.room.models.gauge, "gauge", `${mark}4`),
  ];
  const register = (tag: string, parts: ReturnType<typeof whole>) => technician.sets.register({ requestId: aRequest(), tag, parts });

  test("is held until it was inspected, released and washed", async () => {
    expect(await register("new-7", whole("N"))).toMatchObject({ answer: "done" });
    const { holds } = (await desk.desk.lookUp({ tags: ["NEW-7"], hire: null })).sets[0]!;
    expect(holds.map(({ code }) => code)).toEqual([...Array<string>(4).fill("first-inspection"), "not-released", "not-clean"]);
    await expectRefused(() => register("NEW-7", whole("M")), "tag-taken");
  });

  test.each([
    ["two first stages", () => [...whole("A"), part(at.room.models.first, "first-stage", "A9")]],
    ["the same serial twice", () => [...whole("B").slice(0, 3), part(at.room.models.second, "alternate", "B2")]],
    ["a serial that is recorded", () => whole("N")],
    ["a gauge as its primary", () => [part(at.room.models.gauge, "primary", "C1")]],
  ])("with %s is refused in words, whole", async (_, parts) => {
    await register("NEW-7", whole("N"));
    const before = await digestOf(at.owner);
    const error = await failure(register("NEW-8", parts()));
    expect(error.code).toBe("BAD_REQUEST");
    expect(error.message).toMatch(/^[A-Z].*\.$/);
    expect(error.message).not.toMatch(/constraint|duplicate key|relation/);
    expect(await digestOf(at.owner)).toBe(before);
  });
});
