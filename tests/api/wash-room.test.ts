/** The wash room: what may go into which bath, how long it stays, and when a set is clean. */
import { addModel, refit, retireSet } from "@hangrail/db/acts";
import { reportFault } from "@hangrail/db/bench-acts";
import { addDays } from "@hangrail/rules/calendar";
import { afterAll, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { aRequest, digestOf, failure, makeApiRoom, terms, type ApiRoom, type Caller } from "../support/api.ts";
import { done, type RoomSet } from "../support/kit-room.ts";

let at: ApiRoom;
let wash: Caller["washRoom"];
beforeAll(async () => {
  at = await makeApiRoom({ sets: 30, stoppedAt: "2026-06-01T08:00:00Z" });
});
beforeEach(async () => {
  wash = (await at.as("wash-room")).api.washRoom;
});
afterAll(() => at.close());

/** Sets that no test has touched: ready, so clean. */
const ready = (count: number): RoomSet[] => at.fresh(count);
/** … breathed from, so to clean. */
async function unclean(count: number): Promise<RoomSet[]> {
  const sets = ready(count);
  for (const { id } of sets) await soil(id);
  return sets;
}
const soil = async (setId: string) => expect(await wash.breathTested({ requestId: aRequest(), setId, words: "Staff check" })).toMatchObject({ answer: "done" });

const mix = (over: Partial<Parameters<typeof wash.mixBath>[0]> = {}) => wash.mixBath({ requestId: aRequest(), productId: at.room.product, label: "Blue tub", lot: "L-7", productMl: 100, waterMl: 9_900, ...over });
async function bath(): Promise<string> {
  const answer = await mix();
  if (answer.answer !== "done") throw new Error("The bath was not mixed.");
  return answer.bath;
}
const start = (bathId: string, sets: readonly RoomSet[]) => wash.startRun({ requestId: aRequest(), bathId, tags: sets.map(({ tag }) => tag) });
async function run(sets: readonly RoomSet[], bathId?: string): Promise<string> {
  const answer = await start(bathId ?? (await bath()), sets);
  if (answer.answer !== "done") throw new Error(`The run was not started: ${JSON.stringify(answer)}`);
  return answer.run;
}
const ALL = { rinsed: true, purgedUnderPressure: true, dry: true };
const finish = (runId: string, sets: readonly RoomSet[], said = ALL) => wash.finish({ requestId: aRequest(), runId, setIds: sets.map(({ id }) => id), ...said });
const endWet = (runId: string) => wash.endWet({ requestId: aRequest(), runId });

/** The reasons of an answer that refuses; fails when it does not. Nothing may have been written. */
async function reasonsOf(ask: () => Promise<object>): Promise<readonly Record<string, unknown>[]> {
  const before = await digestOf(at.owner);
  const answer = (await ask()) as { answer: string; reasons?: readonly Record<string, unknown>[]; code?: string; facts?: object };
  expect(answer.answer).toBe("refused");
  expect(await digestOf(at.owner)).toBe(before);
  return answer.reasons ?? [{ code: answer.code, ...answer.facts }];
}
const stateOf = async (set: RoomSet) => (await (await at.as("desk")).api.desk.lookUp({ tags: [set.tag], hire: null })).sets[0]!.state;

describe("a bath", () => {
  test("is computed from two volumes, and stands until its label's end of life", async () => {
    const now = await at.room.clock.read();
    expect(await mix({ label: "Computed" })).toMatchObject({ answer: "done", ppm: 500 });
    const { baths } = await wash.queue();
    expect(baths.find(({ label }) => label === "Computed")).toMatchObject({
      product: "Klarin", lot: "L-7", ppm: 500, productMl: 100, waterMl: 9_900, wetMinutes: 10, mixedBy: "Wim Brook", mixedAt: now, expiresAt: new Date(now.getTime() + 24 * 3_600_000), expired: false,
    });
  });

  test.each([
    ["too weak by a hair", 80, 9_921, 399],
    ["too strong by a hair", 120, 9_879, 600],
    ["the product neat", 100, 0, 50_000],
  ])("%s is refused, with what it would be and what the label asks", async (_, productMl, waterMl, ppm) => {
    expect(await reasonsOf(() => mix({ productMl, waterMl }))).toEqual([{ code: "bath-strength", ppm, min: 400, max: 600 }]);
  });

  test.each([["the label's least", 80, 9_920, 400], ["the label's most", 120, 9_880, 600]])("at %s is taken", async (_, productMl, waterMl, ppm) => {
    expect(await mix({ productMl, waterMl })).toMatchObject({ answer: "done", ppm });
  });

  test("mixed again under the same request is the same bath", async () => {
    const requestId = aRequest();
    const first = await mix({ requestId, label: "Once" });
    expect(await mix({ requestId, label: "Once" })).toEqual({ ...first, repeat: true });
    expect((await wash.queue()).baths.filter(({ label }) => label === "Once")).toHaveLength(1);
  });

  test("that was emptied takes nothing any more", async () => {
    const tub = await bath();
    const sets = await unclean(1);
    expect(await wash.emptyBath({ bathId: tub })).toEqual({ answer: "done" });
    expect(await reasonsOf(() => start(tub, sets))).toEqual([{ code: "no-such-bath" }]);
    expect(await reasonsOf(() => wash.emptyBath({ bathId: tub }))).toEqual([{ code: "no-such-bath" }]);
  });

  test("is good to the last instant of its life and not a moment longer", async () => {
    const tub = await bath();
    const [one, two] = await unclean(2) as [RoomSet, RoomSet];
    await at.room.clock.advance(24 * 60);
    wash = (await at.as("wash-room")).api.washRoom;
    expect(await wash.mayGoIn({ bathId: tub, tag: one.tag })).toEqual({ answer: "may" });
    expect(await start(tub, [one])).toMatchObject({ answer: "done" });
    await at.room.clock.advance(1 / 60);
    const expiresAt = (await wash.queue()).baths.find(({ id }) => id === tub)!.expiresAt.getTime();
    expect(await wash.mayGoIn({ bathId: tub, tag: two.tag })).toEqual({ answer: "refused", reasons: [{ code: "bath-expired", expiresAt }] });
    expect(await reasonsOf(() => start(tub, [two]))).toEqual([{ code: "bath-expired", expiresAt }]);
  });
});

describe("a run is not started", () => {
  test("with a set of a model the product is not approved for", async () => {
    const [one] = await unclean(1) as [RoomSet];
    const technician = () => at.room.by("technician");
    const { model } = done(await addModel(at.room.db, technician(), "hose", "Tarnfell", "Hose 90"));
    const { rows } = await at.owner.query<{ id: string }>("INSERT INTO component (model_id, site_id, serial) VALUES ($1, $2, 'H-1') RETURNING id", [model, at.room.site]);
    done(await refit(at.room.db, technician(), await at.room.asSeen(one), null, rows[0]!.id, "hose", "Longer hose"));
    const tub = await bath();
    const wanted = [{ code: "product-not-allowed", tag: one.tag, component: "Tarnfell Hose 90", recorded: false }];
    expect(await reasonsOf(() => start(tub, [one]))).toEqual(wanted);
    expect(await wash.mayGoIn({ bathId: tub, tag: one.tag })).toEqual({ answer: "refused", reasons: wanted });
    // The technician reads the care sheet: now it may.
    const bench = (await at.as("technician")).api.washRoom;
    expect(await bench.approveProduct({ productId: at.room.product, modelIds: [model], manualPage: "Care sheet, page 3" })).toEqual({ answer: "done" });
    expect(await start(tub, [one])).toMatchObject({ answer: "done" });
  });

  test("with a set that is out", async () => {
    const [one] = ready(1) as [RoomSet];
    const seq = (await at.room.seen([one]))[0]!.seq;
    const today = await at.room.today();
    await (await at.as("desk")).api.desk.handOut({ requestId: aRequest(), hirer: "Guest", contact: null, hire: terms(addDays(today, 3)), sets: [{ setId: one.id, seq }] });
    const tub = await bath();
    expect(await reasonsOf(() => start(tub, [one]))).toEqual([{ code: "out", tag: one.tag }]);
  });

  test("with a set that is clean, in a bath or drying already", async () => {
    const [clean] = ready(1) as [RoomSet];
    const [wet] = await unclean(1) as [RoomSet];
    const tub = await bath();
    expect(await reasonsOf(() => start(tub, [clean]))).toEqual([{ code: "not-to-clean", tag: clean.tag, cleaning: "clean" }]);
    const running = await run([wet], tub);
    expect(await reasonsOf(() => start(tub, [wet]))).toEqual([{ code: "not-to-clean", tag: wet.tag, cleaning: "in-bath" }]);
    await at.room.clock.advance(10);
    await endWet(running);
    expect(await reasonsOf(() => start(tub, [wet]))).toEqual([{ code: "not-to-clean", tag: wet.tag, cleaning: "drying" }]);
  });

  test("with a set twice, an unknown tag, a retired set or one under evidence lock, and all reasons are said", async () => {
    const [one, retired, sealed] = await unclean(3) as [RoomSet, RoomSet, RoomSet];
    done(await retireSet(at.room.db, at.room.by("manager"), retired.id, "Worn out"));
    done(await reportFault(at.room.db, at.room.by("desk"), sealed.id, { code: "GN-03", severity: "out", component: null, where: "boat", words: "" }));
    const tub = await bath();
    expect(await reasonsOf(() => start(tub, [one, one, retired, sealed]))).toEqual([
      { code: "twice", tag: one.tag }, { code: "retired", tag: retired.tag }, { code: "evidence-lock", tag: sealed.tag },
    ]);
    expect(await reasonsOf(() => wash.startRun({ requestId: aRequest(), bathId: tub, tags: [one.tag, "NOBODYS-1"] }))).toEqual([{ code: "no-such-set", tag: "NOBODYS-1" }]);
    expect(await stateOf(one)).toBe("to-clean");
  });
});

describe("a run", () => {
  test("goes from bath to rail to clean, each step when its time has come", async () => {
    const sets = await unclean(2);
    const [one] = sets as [RoomSet];
    const requestId = aRequest();
    const tub = await bath();
    const order = { requestId, bathId: tub, tags: sets.map(({ tag }) => tag) };
    const began = await at.room.clock.read();
    const started = await wash.startRun(order);
    if (started.answer !== "done") throw new Error("not started");
    expect(await wash.startRun(order)).toEqual({ ...started, repeat: true });
    expect(new Date(started.wetUntil)).toEqual(new Date(began.getTime() + 600_000));
    expect(await stateOf(one)).toBe("in-bath");
    expect((await wash.queue()).runs.find(({ run: id }) => id === started.run)).toMatchObject({ bath: "Blue tub", product: "Klarin", startedBy: "Wim Brook", wetEndedAt: null, dryAt: null, sets: sets.map(({ id, tag }) => ({ setId: id, tag })) });

    expect(await reasonsOf(() => finish(started.run, sets))).toEqual([{ code: "still-in-bath" }]);
    await at.room.clock.advance(10 - 1 / 60);
    expect(await reasonsOf(() => endWet(started.run))).toEqual([expect.objectContaining({ code: "too-short", secondsLeft: 1 })]);
    await at.room.clock.advance(1 / 60);
    expect(await endWet(started.run)).toEqual({ answer: "done" });
    expect(await stateOf(one)).toBe("drying");
    expect(await reasonsOf(() => endWet(started.run))).toEqual([{ code: "already-ended" }]);

    await at.room.clock.advance(30 - 1 / 60);
    const dryFrom = (await at.room.clock.read()).getTime() + 1_000;
    expect(await reasonsOf(() => finish(started.run, sets))).toEqual([{ code: "drying-too-short", dryFrom }]);
    await at.room.clock.advance(1 / 60);
    expect(await reasonsOf(() => finish(started.run, sets, { rinsed: false, purgedUnderPressure: false, dry: false }))).toEqual([{ code: "not-rinsed" }, { code: "not-purged" }, { code: "not-dry" }]);
    expect(await reasonsOf(() => finish(started.run, sets, { ...ALL, rinsed: false }))).toEqual([{ code: "not-rinsed" }]);

    // One is dry inside, the other needs a little longer.
    const last = { requestId: aRequest(), runId: started.run, setIds: [one.id], ...ALL };
    expect(await wash.finish(last)).toEqual({ answer: "done" });
    expect(await wash.finish(last)).toEqual({ answer: "done", repeat: true });
    expect([await stateOf(one), await stateOf(sets[1]!)]).toEqual(["ready", "drying"]);
    expect(await finish(started.run, [sets[1]!])).toEqual({ answer: "done" });
    expect(await stateOf(sets[1]!)).toBe("ready");
    expect((await wash.queue()).runs.map(({ run: id }) => id)).not.toContain(started.run);
    expect(await reasonsOf(() => finish(started.run, sets))).toEqual([{ code: "no-such-run" }]);
  });

  test("does not clean a set that was never in it", async () => {
    const [inside, outside] = await unclean(2) as [RoomSet, RoomSet];
    const running = await run([inside]);
    await at.room.clock.advance(10);
    await endWet(running);
    await at.room.clock.advance(30);
    expect(await reasonsOf(() => finish(running, [inside, outside]))).toEqual([{ code: "no-such-run" }]);
    expect(await stateOf(outside)).toBe("to-clean");
  });

  test("does not clean a set that was soiled while it dried", async () => {
    const [kept, breathed] = await unclean(2) as [RoomSet, RoomSet];
    const running = await run([kept, breathed]);
    await at.room.clock.advance(10);
    await endWet(running);
    await soil(breathed.id);
    await at.room.clock.advance(30);
    expect(await reasonsOf(() => finish(running, [kept, breathed]))).toEqual([{ code: "no-such-run" }]);
    expect(await finish(running, [kept])).toEqual({ answer: "done" });
    expect([await stateOf(kept), await stateOf(breathed)]).toEqual(["ready", "to-clean"]);
  });

  test("may be given up for one set, which waits again", async () => {
    const [kept, dropped] = await unclean(2) as [RoomSet, RoomSet];
    const running = await run([kept, dropped]);
    expect(await wash.abandon({ requestId: aRequest(), setId: dropped.id, words: "Fell on the floor" })).toEqual({ answer: "done" });
    expect(await stateOf(dropped)).toBe("to-clean");
    expect(await reasonsOf(() => wash.abandon({ requestId: aRequest(), setId: dropped.id, words: "Again" }))).toEqual([{ code: "not-washing" }]);
    expect((await wash.queue()).runs.find(({ run: id }) => id === running)!.sets.map(({ tag }) => tag)).toEqual([kept.tag]);
    expect((await wash.queue()).toClean.find(({ tag }) => tag === dropped.tag)).toMatchObject({ soiledBy: "wash-abandoned" });
  });
});

describe("a clean set", () => {
  test("is to clean again when staff breathed from it, whoever says so", async () => {
    for (const role of ["desk", "wash-room", "technician"] as const) {
      const [one] = ready(1) as [RoomSet];
      expect(await stateOf(one)).toBe("ready");
      expect(await (await at.as(role)).api.washRoom.breathTested({ requestId: aRequest(), setId: one.id, words: "" })).toEqual({ answer: "done" });
      expect(await stateOf(one)).toBe("to-clean");
    }
  });

  test("goes through the queue and back to ready, and the queue says what soiled it", async () => {
    const [one] = await unclean(1) as [RoomSet];
    expect((await wash.queue()).toClean.find(({ tag }) => tag === one.tag)).toMatchObject({ soiledBy: "breath-tested", state: "to-clean" });
    await at.room.wash([one]);
    wash = (await at.as("wash-room")).api.washRoom;
    expect((await wash.queue()).toClean.map(({ tag }) => tag)).not.toContain(one.tag);
    expect(await stateOf(one)).toBe("ready");
  });
});

describe("a product", () => {
  const label = { name: "Sudsol", strengthHundredths: 1_000, minPpm: 200, maxPpm: 400, wetMinutes: 5, bathHours: 12, labelPage: "Label" };

  test("is accepted once by its name, and shown with what it is approved for", async () => {
    const technician = (await at.as("technician")).api.washRoom;
    const accepted = await technician.acceptProduct(label);
    if (accepted.answer !== "done") throw new Error("not accepted");
    expect(await technician.acceptProduct(label)).toMatchObject({ answer: "refused", code: "name-taken" });
    await technician.approveProduct({ productId: accepted.product, modelIds: [at.room.models.gauge], manualPage: "7" });
    expect((await wash.products()).find(({ id }) => id === accepted.product)).toMatchObject({ name: "Sudsol", disinfectantApprovals: [{ modelId: at.room.models.gauge, manualPage: "7" }] });
    // Approved for one model of four: no set may go in.
    const [one] = await unclean(1) as [RoomSet];
    const tub = await mix({ productId: accepted.product, productMl: 30, waterMl: 9_970 });
    if (tub.answer !== "done") throw new Error("not mixed");
    expect((await reasonsOf(() => start(tub.bath, [one]))).map(({ component }) => component)).toEqual(["Tarnfell Beck 10", "Tarnfell Beck S", "Tarnfell Beck S"]);
  });

  test("with a label that contradicts itself is refused with a sentence", async () => {
    const error = await failure((await at.as("technician")).api.washRoom.acceptProduct({ ...label, name: "Other", minPpm: 500 }));
    expect(error.code).toBe("BAD_REQUEST");
    expect(error.message).toContain("The most lies below the least.");
  });
});
