/** Kits: what lies on the shelf, what is ordered, and a service that takes them off it. */
import { keepKit } from "@hangrail/db/bench-acts";
import { acceptLimits } from "@hangrail/db/acts";
import { addDays } from "@hangrail/rules/calendar";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { aRequest, codeOf, digestOf, makeApiRoom, type ApiRoom, type Caller } from "../support/api.ts";
import { AMPLE, done, MAKER, type RoomSet } from "../support/kit-room.ts";

let at: ApiRoom;
let technician: Caller;
let manager: Caller;
beforeAll(async () => {
  at = await makeApiRoom({ sets: 3, stoppedAt: "2026-03-20T08:00:00Z" });
  [technician, manager] = (await Promise.all([at.as("technician"), at.as("manager")])).map(({ api }) => api) as [Caller, Caller];
});
afterAll(() => at.close());

let made = 0;
async function newKit(): Promise<string> {
  made += 1;
  return done(await keepKit(at.room.db, at.room.by("manager"), { maker: MAKER, name: `Kit ${made}`, priceCents: 900, leadDays: 10 })).kit;
}
const kitOf = async (id: string) => (await manager.kits.list()).kits.find((kit) => kit.id === id)!;
const move = (kitId: string, kind: "received" | "counted", quantity: number, lot: string | null = "L-1") => manager.kits.move({ requestId: aRequest(), kitId, kind, quantity, lot, words: "" });

describe("the shelf", () => {
  test("is the sum of what came, what was used and what a count put right", async () => {
    const kit = await newKit();
    expect(await move(kit, "received", 5)).toEqual({ answer: "done", stock: 5 });
    expect(await move(kit, "counted", 3, null)).toEqual({ answer: "done", stock: 3 });
    expect(await kitOf(kit)).toMatchObject({ stock: 3, priceCents: 900, leadDays: 10, models: [], orders: [], need: 0 });
    const { movements } = await manager.kits.movements({ kitId: kit });
    expect(movements.map(({ kind, quantity, lot, by }) => [kind, quantity, lot, by])).toEqual([["counted", -2, null, "Mira Holt"], ["received", 5, "L-1", "Mira Holt"]]);
  });

  test("takes nothing below nought and no delivery of nothing", async () => {
    const kit = await newKit();
    expect(await codeOf(move(kit, "counted", -1))).toBe("BAD_REQUEST");
    expect(await codeOf(move(kit, "received", 0))).toBe("BAD_REQUEST");
    expect(await move(kit, "counted", 0)).toEqual({ answer: "done", stock: 0 });
  });
});

describe("an order", () => {
  test("is closed with what came, which lies on the shelf from then on", async () => {
    const kit = await newKit();
    const today = await at.room.today();
    const answer = await manager.kits.order({ requestId: aRequest(), kitId: kit, quantity: 10, expectedOn: addDays(today, 10) });
    if (answer.answer !== "done") throw new Error("not ordered");
    expect(await kitOf(kit)).toMatchObject({ ordered: 10, late: false, orders: [{ quantity: 10, orderedOn: today, expectedOn: addDays(today, 10), orderedBy: "Mira Holt" }] });
    expect(await manager.kits.closeOrder({ requestId: aRequest(), orderId: answer.order, received: 8, lot: "L-9" })).toEqual({ answer: "done" });
    expect(await kitOf(kit)).toMatchObject({ stock: 8, ordered: 0, orders: [] });
    const { closed, movements } = await manager.kits.movements({ kitId: kit });
    expect(closed).toMatchObject([{ quantity: 10, received: 8, closedBy: "Mira Holt" }]);
    expect(movements).toMatchObject([{ kind: "received", quantity: 8, lot: "L-9" }]);
    expect(await manager.kits.closeOrder({ requestId: aRequest(), orderId: answer.order, received: 2, lot: "L-9" })).toMatchObject({ answer: "refused", code: "no-such-kit-order" });
  });

  test("expected in the past is refused", async () => {
    expect(await codeOf(manager.kits.order({ requestId: aRequest(), kitId: await newKit(), quantity: 1, expectedOn: addDays(await at.room.today(), -1) }))).toBe("BAD_REQUEST");
  });
});

describe("a service", () => {
  const service = (set: RoomSet, components: string[], kits: { component: string; kit: string; lot: string; quantity: number }[], kind: "service" | "inspection" = "service") =>
    technician.bench.recordWork({ requestId: aRequest(), setId: set.id, kind, components, oxygenClean: false, words: "Seals renewed", order: null, kits });
  async function expectRefused(ask: () => Promise<unknown>, code: string): Promise<void> {
    const before = await digestOf(at.owner);
    expect(await ask()).toMatchObject({ answer: "refused", code });
    expect(await digestOf(at.owner)).toBe(before);
  }

  test("is offered the kit lines of each component and what lies there by lot", async () => {
    const set = at.room.sets[0]!;
    const { components, shelf, orders } = await technician.kits.forService({ setId: set.id });
    expect(components.find(({ component }) => component === set.parts.primary)).toMatchObject({ lines: [{ kit: at.room.kit, quantity: 1 }], losesOxygen: false, gainsOxygen: false });
    // A gauge has no list; its service asks for none.
    expect(components.find(({ component }) => component === set.parts.gauge)).toMatchObject({ lines: null });
    // Twelve went at the service of these sets.
    expect(shelf.find(({ id }) => id === at.room.kit)).toMatchObject({ name: `${MAKER} Seal kit`, stock: 100_000 - 12, lots: [{ lot: "L-7", quantity: 100_000 - 12 }] });
    expect(orders).toEqual([]);
  });

  test("takes its kits off the shelf, with their lot and where they went", async () => {
    const set = at.room.sets[0]!;
    const before = (await kitOf(at.room.kit)).stock;
    expect(await service(set, [set.parts.primary], [{ component: set.parts.primary, kit: at.room.kit, lot: "L-8", quantity: 2 }])).toEqual({ answer: "done" });
    expect((await kitOf(at.room.kit)).stock).toBe(before - 2);
    const { movements } = await manager.kits.movements({ kitId: at.room.kit });
    expect(movements[0]).toMatchObject({ kind: "used", quantity: -2, lot: "L-8", tag: set.tag, by: "Tove Stone" });
    expect(movements[0]!.component).toContain("Beck S");
  });

  test("without them, with fewer, with those of another component, or with none on the shelf is refused", async () => {
    const set = at.room.sets[1]!;
    const { primary, gauge } = set.parts;
    const empty = await newKit();
    await expectRefused(() => service(set, [primary], []), "kits-missing");
    await expectRefused(() => service(set, [primary], [{ component: gauge, kit: at.room.kit, lot: "L-7", quantity: 1 }]), "kits-missing");
    await expectRefused(() => service(set, [primary], [{ component: primary, kit: at.room.kit, lot: "L-7", quantity: 1 }, { component: primary, kit: empty, lot: "L-7", quantity: 1 }]), "kit-not-in-stock");
    // An inspection opens nothing.
    expect(await service(set, [primary], [], "inspection")).toEqual({ answer: "done" });
  });

  test("of a model whose list nobody recorded is refused with the model's name", async () => {
    const add = await technician.models.add({ kind: "second-stage", maker: MAKER, name: "No list" });
    if (add.answer !== "done") throw new Error("not added");
    done(await acceptLimits(at.room.db, at.room.by("technician"), add.model, AMPLE));
    const { first, second, gauge } = at.room.models;
    const part = (modelId: string, position: "first-stage" | "primary" | "alternate" | "gauge", serial: string) => ({ modelId, position, serial, boughtOn: null, inUseOn: null });
    const answer = await technician.sets.register({ requestId: aRequest(), tag: "N-1", parts: [part(first, "first-stage", "NF1"), part(add.model, "primary", "NP1"), part(second, "alternate", "NA1"), part(gauge, "gauge", "NG1")] });
    if (answer.answer !== "done") throw new Error("not registered");
    const { components } = await technician.kits.forService({ setId: answer.set });
    const primary = components.find(({ modelId }) => modelId === add.model)!;
    expect(primary.lines).toBeNull();
    expect(await service({ id: answer.set } as RoomSet, [primary.component], [])).toMatchObject({ answer: "refused", code: "kits-not-recorded", facts: { models: [`${MAKER} No list`] } });
  });
});

test("what due services will take is counted from the sets whose day comes", async () => {
  expect((await kitOf(at.room.kit)).need).toBe(0);
  // A limit of one month makes every second stage of the room due within the weeks looked at.
  done(await acceptLimits(at.room.db, at.room.by("technician"), at.room.models.second, { ...AMPLE, serviceMonths: 1 }));
  const { rows } = await at.owner.query<{ n: number }>("SELECT count(*)::int AS n FROM fitting f JOIN component c ON c.id = f.component_id WHERE f.until_at IS NULL AND c.model_id = $1 AND c.serviced_on IS NOT NULL", [at.room.models.second]);
  expect(rows[0]!.n).toBe(6);
  expect(await kitOf(at.room.kit)).toMatchObject({ need: 6, needComponents: 6 });
});
