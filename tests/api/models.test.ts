/** What a model's manual says for the bench, and whether a set put together by it fits. */
import { done, MAKER, type RoomSet } from "../support/kit-room.ts";
import { acceptBuild, type BuildInput } from "@hangrail/db/bench-acts";
import { addModel } from "@hangrail/db/acts";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { aRequest, codeOf, digestOf, failure, makeApiRoom, type ApiRoom, type Caller } from "../support/api.ts";

let at: ApiRoom;
let technician: Caller;
let manager: Caller;
beforeAll(async () => {
  at = await makeApiRoom({ sets: 6, stoppedAt: "2026-03-20T08:00:00Z" });
  [technician, manager] = (await Promise.all([at.as("technician"), at.as("manager")])).map(({ api }) => api) as [Caller, Caller];
});
afterAll(() => at.close());

const page = "Workshop manual, 4th edition, page 14";
const by = () => at.room.by("technician");
const newModel = async (kind: "first-stage" | "second-stage" | "gauge" | "hose", name: string) => done(await addModel(at.room.db, by(), kind, MAKER, name)).model;
const NOTHING: BuildInput = { balance: null, hpPorts: null, lpPorts: null, lpHalfInchPorts: null, plugsInto: null, serviceMinutes: null, inspectionMinutes: null, page };

describe("bench limits", () => {
  test("are a technician's to accept, with their page, and keep every version", async () => {
    const modelId = await newModel("first-stage", "Limits 1");
    const accept = (by: Caller, low: number | null, high: number | null) => by.models.acceptBenchLimits({ requestId: aRequest(), modelId, limits: [{ name: "intermediate-pressure", low, high, page }] });
    // Mira manages the room and holds every role.
    expect(await accept(manager, 900, 1_000)).toEqual({ answer: "done" });
    expect(await accept(technician, 920, 980)).toEqual({ answer: "done" });
    // Taken back: not judged from then on, and said so.
    expect(await accept(technician, null, null)).toEqual({ answer: "done" });
    const { limits } = await technician.models.manual({ modelId });
    expect(limits.map(({ nth, low, high, acceptedBy, page: where }) => [nth, low, high, acceptedBy, where])).toEqual([
      [3, null, null, "Tove Stone", page],
      [2, 920, 980, "Tove Stone", page],
      [1, 900, 1_000, "Mira Holt", page],
    ]);
    expect(new Date(limits[0]!.acceptedAt).toISOString()).toBe((await at.room.clock.read()).toISOString());
    const { rows } = await at.owner.query<{ model: string }>("SELECT content->>'model' AS model FROM record_entry WHERE act = 'bench-limit-accepted' AND content->>'model' = $1", [modelId]);
    expect(rows).toHaveLength(3);
  });

  test("that make no sense, or that its kind cannot have, are refused with a sentence, and nothing is written", async () => {
    const before = await digestOf(at.owner);
    const ask = (name: "creep" | "intermediate-pressure" | "cracking-effort-primary", low: number | null, high: number | null) =>
      failure(technician.models.acceptBenchLimits({ requestId: aRequest(), modelId: at.room.models.first, limits: [{ name, low, high, page }] }));
    expect((await ask("intermediate-pressure", 1_000, 900)).message).toContain("low-above-high");
    expect((await ask("creep", 10, null)).message).toContain("needs-high");
    expect((await ask("cracking-effort-primary", null, 300)).message).toContain("not-of-this-kind");
    expect(await codeOf(technician.models.acceptBenchLimits({ requestId: aRequest(), modelId: at.room.models.first, limits: [{ name: "creep", low: null, high: 30, page: " " }] }))).toBe("BAD_REQUEST");
    expect(await digestOf(at.owner)).toBe(before);
  });
});

describe("the way to ready", () => {
  test("names each model in use with what its test, its service and its assembly wait for", async () => {
    const { inUse, rows } = await technician.models.gaps();
    expect(inUse).toBe(3);
    expect(rows.map(({ name, limits, kits, build }) => [name, limits, kits, build])).toEqual([
      ["Beck 10", [], false, true],
      ["Beck G", ["gauge-error-low", "gauge-error"], false, true],
      ["Beck S", [], false, true],
    ]);
  });
});

describe("how a model is built", () => {
  test("is asked by kind: ports of a first stage, the thread of everything else", async () => {
    const modelId = await newModel("hose", "Hose 1");
    const accept = (build: Partial<BuildInput>) => technician.models.acceptBuild({ requestId: aRequest(), modelId, build: { ...NOTHING, ...build } });
    expect(await codeOf(accept({ lpPorts: 4 }))).toBe("BAD_REQUEST");
    expect(await accept({ plugsInto: "lp-3/8", serviceMinutes: 5 })).toEqual({ answer: "done" });
    expect((await technician.models.manual({ modelId })).builds).toMatchObject([{ nth: 1, plugsInto: "lp-3/8", serviceMinutes: 5, lpPorts: null, acceptedBy: "Tove Stone", page }]);
    expect(await codeOf(technician.models.acceptBuild({ requestId: aRequest(), modelId: at.room.models.first, build: { ...NOTHING, plugsInto: "lp-3/8" } }))).toBe("BAD_REQUEST");
    expect(await codeOf(technician.models.acceptBuild({ requestId: aRequest(), modelId: aRequest(), build: NOTHING }))).toBe("NOT_FOUND");
  });
});

describe("kits of a service", () => {
  test("are a list in force; an empty one says that none is needed", async () => {
    const modelId = await newModel("second-stage", "Kits 1");
    const accept = (lines: { kit: string; quantity: number }[]) => technician.models.acceptKits({ requestId: aRequest(), modelId, lines, page });
    expect(await accept([{ kit: at.room.kit, quantity: 2 }])).toEqual({ answer: "done" });
    expect(await accept([])).toEqual({ answer: "done" });
    expect((await technician.models.manual({ modelId })).kitLists.map(({ nth, lines }) => [nth, lines])).toEqual([[2, []], [1, [{ kit: at.room.kit, name: `${MAKER} Seal kit`, quantity: 2 }]]]);
    expect(await codeOf(accept([{ kit: at.room.kit, quantity: 1 }, { kit: at.room.kit, quantity: 2 }]))).toBe("BAD_REQUEST");
    expect(await accept([{ kit: aRequest(), quantity: 1 }])).toMatchObject({ answer: "refused", code: "no-such-kit" });
  });

  test("what else the manual says is shown beside it", async () => {
    const manual = await manager.models.manual({ modelId: at.room.models.first });
    expect(manual.pairings).toEqual([{ model: at.room.models.second, name: `${MAKER} Beck S`, page: "Workshop manual, page 3" }]);
    expect(manual.disinfectants).toMatchObject([{ name: "Klarin", page: "Care sheet, page 2", approvedBy: "Tove Stone" }]);
  });
});

describe("how a set goes together", () => {
  let spare = 0;
  const judge = (set: RoomSet) => technician.assembly.judge({ setId: set.id, swap: null });
  const accept = async (model: string, build: Partial<BuildInput>) => done(await acceptBuild(at.room.db, by(), model, { ...NOTHING, ...build }));
  /** A component on the shelf: taken off a set that was put together for it. */
  async function shelfPart(model: string, position: "hose" | "gauge" | "alternate"): Promise<string> {
    spare += 1;
    const { first, second, gauge } = at.room.models;
    const part = (modelId: string, at: "first-stage" | "primary" | "alternate" | "gauge" | "hose", serial: string) => ({ modelId, position: at, serial, boughtOn: null, inUseOn: null });
    const parts = [part(first, "first-stage", `SF${spare}`), part(second, "primary", `SP${spare}`), part(position === "alternate" ? model : second, "alternate", `SA${spare}`), part(position === "gauge" ? model : gauge, "gauge", `SG${spare}`)];
    if (position === "hose") parts.push(part(model, "hose", `SH${spare}`));
    const answer = await technician.sets.register({ requestId: aRequest(), tag: `S-${spare}`, parts });
    if (answer.answer !== "done") throw new Error(JSON.stringify(answer));
    const { rows } = await at.owner.query<{ id: string }>("SELECT component_id AS id FROM fitting WHERE set_id = $1 AND position = $2", [answer.set, position]);
    const off = await technician.bench.refit({ requestId: aRequest(), setId: answer.set, off: rows[0]!.id, on: null, position, words: "For the shelf" });
    expect(off).toEqual({ answer: "done" });
    return rows[0]!.id;
  }
  const refit = (set: RoomSet, off: string | null, on: string, position: "hose" | "gauge" | "alternate") => technician.bench.refit({ requestId: aRequest(), setId: set.id, off, on, position, words: "Worn" });

  test("with builds that nobody recorded it is not judged, and never fits", async () => {
    const judged = await judge(at.room.sets[0]!);
    expect(judged).toMatchObject({ verdict: "not-judged", faults: [], ports: null });
    expect(judged.doubts.map(({ code }) => code)).toContain("build-unknown");
  });

  test("fits once the ports and threads are recorded; a wrong thread and a port too many are refused at the swap", async () => {
    const set = at.room.sets[1]!;
    await accept(at.room.models.first, { balance: "balanced", hpPorts: 1, lpPorts: 2, lpHalfInchPorts: 0 });
    await accept(at.room.models.second, { plugsInto: "lp-3/8" });
    await accept(at.room.models.gauge, { plugsInto: "hp-7/16" });
    expect(await judge(set)).toMatchObject({ verdict: "fits", faults: [], doubts: [], ports: { hp: 1, lp: 2, lpHalfInch: 0 } });

    const lowHose = await newModel("hose", "Low hose");
    await accept(lowHose, { plugsInto: "lp-3/8" });
    const hose = await shelfPart(lowHose, "hose");
    const seen = await technician.assembly.judge({ setId: set.id, swap: { off: null, on: hose, position: "hose" } });
    expect(seen).toMatchObject({ refused: true, verdict: "refused", faults: [{ code: "too-few-ports", plug: "lp-3/8", used: 3, there: 2 }] });
    const before = await digestOf(at.owner);
    expect(await refit(set, null, hose, "hose")).toMatchObject({ answer: "refused", code: "does-not-fit", facts: { faults: [{ code: "too-few-ports", used: 3, there: 2 }] } });
    expect(await digestOf(at.owner)).toBe(before);

    const wrong = await newModel("gauge", "Wrong thread");
    await accept(wrong, { plugsInto: "lp-3/8" });
    const gauge = await shelfPart(wrong, "gauge");
    expect(await refit(set, set.parts.gauge, gauge, "gauge")).toMatchObject({ answer: "refused", code: "does-not-fit", facts: { faults: [{ code: "high-pressure-part-on-low-port", component: gauge }] } });
    // One more where another sits already.
    expect(await refit(set, null, await shelfPart(at.room.models.gauge, "gauge"), "gauge")).toMatchObject({ answer: "refused", code: "does-not-fit" });
    // Like for like goes on.
    expect(await refit(set, set.parts.alternate, await shelfPart(at.room.models.second, "alternate"), "alternate")).toEqual({ answer: "done" });
  });

  test("what was amiss before is not held against a swap that makes it no worse", async () => {
    const set = at.room.sets[2]!;
    await accept(at.room.models.first, { hpPorts: 1, lpPorts: 1, lpHalfInchPorts: 0 });
    expect(await judge(set)).toMatchObject({ verdict: "refused", faults: [{ code: "too-few-ports", used: 2, there: 1 }] });
    const gauge = await shelfPart(at.room.models.gauge, "gauge");
    expect(await refit(set, set.parts.gauge, gauge, "gauge")).toEqual({ answer: "done" });
  });

  test("of another site's set nothing is told", async () => {
    expect(await codeOf(technician.assembly.judge({ setId: aRequest(), swap: null }))).toBe("NOT_FOUND");
  });
});
