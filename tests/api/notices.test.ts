/** Notices by serial range, and the seal of a set that was in an accident. */
import { reportFault } from "@hangrail/db/bench-acts";
import { afterAll, beforeAll, expect, test } from "vitest";
import { aRequest, failure, makeApiRoom, terms, type ApiRoom, type Caller } from "../support/api.ts";
import { done } from "../support/kit-room.ts";

let at: ApiRoom;
let technician: Caller;
let manager: Caller;
let desk: Caller;
beforeAll(async () => {
  at = await makeApiRoom({ sets: 5 });
  [technician, manager, desk] = (await Promise.all([at.as("technician"), at.as("manager"), at.as("desk")])).map(({ api }) => api) as [Caller, Caller, Caller];
});
afterAll(() => at.close());

const SAID = { title: "Seats may soften", reference: "SN 12", hazard: "Free flow at depth", remedy: "Replace the seat", publishedOn: "2026-01-05" };
const about = (serials: string) => [{ modelId: at.room.models.first, every: false, serials }];
const codes = async (tag: string) => (await desk.desk.lookUp({ tags: [tag], hire: null })).sets[0]!.holds.map(({ code }) => code);

test("what it would match is shown before it is recorded, and nothing is held by a look", async () => {
  const [one, , three] = at.room.sets;
  // The third's number with a nought too many: near enough to be looked at.
  const shown = await technician.notices.preview({ models: about("FI000001-FI000002, FI0000030") });
  if (shown.answer !== "preview") throw new Error("The ranges can be read.");
  expect(shown.matches.map(({ set, why }) => [set?.tag, why])).toEqual([[one!.tag, "in-range"], ["R-002", "in-range"], [three!.tag, "near-miss"]]);
  expect(shown.looked).toBe(5);
  expect(await codes(one!.tag)).toEqual([]);
});

test("a range that cannot be read refuses the whole, and nothing typed is never every serial", async () => {
  const refused = await technician.notices.open({ requestId: aRequest(), ...SAID, models: about("FI000001-FI000002, FI1-GA9") });
  expect(refused).toMatchObject({ answer: "ranges-refused", refused: [{ text: "FI1-GA9", reason: { code: "prefix-differs" } }] });
  expect(await technician.notices.open({ requestId: aRequest(), ...SAID, models: about("  ") })).toMatchObject({ answer: "ranges-refused", refused: [{ reason: { code: "none" } }] });
  expect(await technician.notices.list()).toEqual([]);
});

test("recorded, it holds at once, names the set to call back, and lets go part by part as the remedy is recorded", async () => {
  const [one, two, three, four] = at.room.sets;
  const { seq } = (await at.room.seen([two!]))[0]!;
  done(await desk.desk.handOut({ requestId: aRequest(), hirer: "Guest of cabin 7", contact: "room 3", hire: terms(await at.room.today()), sets: [{ setId: two!.id, seq }] }) as { answer: "done" });
  const opened = await technician.notices.open({ requestId: aRequest(), ...SAID, models: about("FI000001-FI000002, FI0000030") });
  expect(opened).toMatchObject({ answer: "done", components: 3, sets: 3 });
  expect([await codes(one!.tag), await codes(three!.tag), await codes(four!.tag)]).toEqual([["notice"], ["notice-check"], []]);
  const [row] = await technician.notices.list();
  expect(row).toMatchObject({ open: 2, check: 1, cleared: 0, out: 1, models: ["Tarnfell Beck 10"] });
  const seen = await manager.notices.one({ noticeId: row!.id });
  expect(seen.matches.find(({ set }) => set?.tag === two!.tag)?.set?.out).toMatchObject({ hirer: "Guest of cabin 7", contact: "room 3" });
  const unnamed = await technician.notices.one({ noticeId: row!.id });
  expect(JSON.stringify(unnamed)).not.toContain("Guest of cabin 7");

  const clear = (componentId: string, requestId = aRequest()) => technician.notices.clear({ requestId, noticeId: row!.id, componentId, remedy: "Seat of batch 9 fitted" });
  expect(await clear(two!.parts["first-stage"])).toMatchObject({ answer: "refused", code: "out" });
  const asked = aRequest();
  expect(await clear(one!.parts["first-stage"], asked)).toEqual({ answer: "done" });
  expect(await clear(one!.parts["first-stage"], asked)).toEqual({ answer: "done", repeat: true });
  expect(await clear(three!.parts["first-stage"], asked)).toMatchObject({ code: "request-reused" });
  expect(await clear(one!.parts["first-stage"])).toMatchObject({ code: "already-cleared" });
  expect(await codes(one!.tag)).toEqual([]);
  expect((await technician.notices.list())[0]).toMatchObject({ open: 1, check: 1, cleared: 1, out: 1 });
});

test("a sealed set is passed on in words, and its seal is lifted by the manager alone, to be washed, tested and released", async () => {
  const set = at.room.sets[4]!;
  done(await reportFault(at.room.db, at.room.by("desk"), set.id, { code: "GN-03", severity: "out", component: null, where: "desk", words: "Diver taken to the chamber" }));
  expect(await codes(set.tag)).toContain("evidence-lock");
  expect(await technician.evidence.noteCustody({ requestId: aRequest(), setId: set.id, from: "Tove Stone", to: "Harbour police", place: "Station, room 4", words: "Bag 118" })).toMatchObject({ answer: "done" });
  const lift = { requestId: aRequest(), setId: set.id, allowedBy: "Prosecutor, letter 44", words: "Examined and given back" };
  expect(await failure(technician.evidence.lift(lift))).toMatchObject({ code: "FORBIDDEN" });
  expect(await manager.evidence.lift(lift)).toMatchObject({ answer: "done" });
  expect(await manager.evidence.lift(lift)).toMatchObject({ answer: "done", repeat: true });
  const { sealed, seals } = await desk.evidence.ofSet({ tag: set.tag });
  expect(sealed).toBe(false);
  expect(seals).toMatchObject([{ lifted: { allowedBy: "Prosecutor, letter 44" }, custody: [{ from: "Tove Stone", to: "Harbour police", place: "Station, room 4" }] }]);
  expect(await codes(set.tag)).toEqual(expect.arrayContaining(["fault", "not-released", "not-clean"]));
  expect(await technician.evidence.noteCustody({ requestId: aRequest(), setId: set.id, from: "a", to: "b", place: "c", words: "" })).toMatchObject({ answer: "refused", code: "not-sealed" });
});
