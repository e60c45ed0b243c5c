/** Fault figures over real hires: what is divided by what, told apart from the sums that were kept, and for whom. */
import { handOut, takeBack } from "@hangrail/db/acts";
import { clearFault, confirmFault, reportFault } from "@hangrail/db/bench-acts";
import { rollExposure } from "@hangrail/db/exposure";
import { randomUUID } from "node:crypto";
import { afterAll, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { makeApiRoom, type ApiRoom, type Caller } from "../support/api.ts";
import { aHire, backDry, done, type RoomSet } from "../support/kit-room.ts";

let at: ApiRoom;
let manager: Caller;
beforeAll(async () => {
  at = await makeApiRoom({ sets: 6, stoppedAt: "2026-03-20T08:00:00Z" });
});
beforeEach(async () => {
  manager = await asManager();
});
afterAll(() => at.close());

const ABOUT = { from: "2026-03", until: "2026-06", sites: "here", count: "confirmed", kind: null, modelId: null, maker: null, code: null, water: null } as const;
const asManager = async (): Promise<Caller> => (await at.as("manager")).api;

/** One hire of a set, back the same day with so many dives; the set is washed and ready again. */
async function dive(set: RoomSet, dives: number, waterKind: "sea" | "pool" = "sea"): Promise<void> {
  const { room } = at;
  const today = await room.today();
  done(await handOut(room.db, room.by("desk"), aHire(today, { dives, minutes: dives * 40 }), await room.seen([set])));
  done(await takeBack(room.db, room.by("desk"), [backDry(set.id, { dives, minutes: dives * 40, waterKind })]));
  await room.wash([set]);
}

/** A fault of a component, and what the technician made of it. */
async function fault(set: RoomSet, component: string, code: string, outcome: "mended" | "not-found" | null, foundCode: string | null = null): Promise<void> {
  const { room } = at;
  const { fault: id } = done(await reportFault(room.db, room.by("desk"), set.id, { code, severity: "watch", component, where: "desk", words: "As the hirer said" }));
  if (foundCode !== null) done(await confirmFault(room.db, room.by("technician"), id, { code: foundCode, component: null, words: "Seen on the bench" }));
  if (outcome !== null) done(await clearFault(room.db, room.by("technician"), id, outcome, "Looked into", false));
}

/** The same sums, from the uses one by one. */
async function byHand(): Promise<Map<string, number>> {
  const { rows } = await at.owner.query<{ model: string; dives: number }>(
    "SELECT c.model_id AS model, sum(u.dives)::int AS dives FROM component_use u JOIN component c ON c.id = u.component_id WHERE u.line_id IS NOT NULL GROUP BY 1",
  );
  return new Map(rows.map((row) => [row.model, row.dives]));
}

describe("with a season of hires behind it", () => {
  beforeAll(async () => {
    const { room } = at;
    const [a, b, c] = room.sets as [RoomSet, RoomSet, RoomSet];
    for (let round = 0; round < 3; round += 1) {
      // Never a fortnight without an act: the clock would be in doubt.
      await dive(a, 4);
      await room.clock.advance(60 * 24 * 12);
      await dive(b, 2, "pool");
      await room.clock.advance(60 * 24 * 13);
    }
    await dive(c, 5);
    await fault(a, a.parts.primary, "SS-03", "mended");
    await fault(a, a.parts.primary, "SS-05", "not-found");
    await fault(b, b.parts["first-stage"], "FS-05", null);
    await fault(b, b.parts["first-stage"], "FS-05", null, "FS-01");
  });

  test("a set's dives are dives of each of its parts, and both second stages count as their one model", async () => {
    const { rows, fleet } = await manager.trends.rates({ ...ABOUT, by: "model" });
    const hand = await byHand();
    expect(hand.size).toBe(3);
    expect(new Map(rows.map((row) => [row.key, row.dives]))).toEqual(hand);
    expect(hand.get(at.room.models.first)).toBe(3 * 4 + 3 * 2 + 5);
    expect(hand.get(at.room.models.second)).toBe(2 * (3 * 4 + 3 * 2 + 5));
    expect(fleet.dives).toBe([...hand.values()].reduce((sum, dives) => sum + dives, 0));
  });

  test("only what a technician has seen or mended counts, under the code it was found to be; reported ones are a choice", async () => {
    const codes = async (count: "confirmed" | "reported") => {
      const { pareto } = await manager.trends.codes({ ...ABOUT, count });
      return pareto.answer === "refused" ? [] : pareto.codes.map(({ code, count: faults }) => [code, faults]);
    };
    expect(await codes("confirmed")).toEqual([["FS-01", 1], ["SS-03", 1]]);
    expect(await codes("reported")).toEqual([["FS-01", 1], ["FS-05", 1], ["SS-03", 1], ["SS-05", 1]]);
  });

  test("the sums give the same figures as the uses they came from, wherever the mark stands", async () => {
    const questions = ["model", "maker", "kind", "site"] as const;
    const ask = () => Promise.all([...questions.map((by) => manager.trends.rates({ ...ABOUT, by })), manager.trends.months(ABOUT), manager.trends.rates({ ...ABOUT, by: "model", water: "pool" })]);
    const before = await ask();
    await rollExposure(at.room.db);
    const { rows } = await at.owner.query<{ left: number }>("SELECT count(*)::int AS left FROM component_use WHERE id > (SELECT rolled_id FROM exposure_mark)");
    expect(rows[0]!.left).toBe(0);
    expect(await ask()).toEqual(before);
    await dive(at.room.sets[3]!, 3);
    const half = await ask();
    expect(half).not.toEqual(before);
    await rollExposure(at.room.db);
    await rollExposure(at.room.db);
    expect(await ask()).toEqual(half);
  });

  test("a month without dives is in the chart as a gap, and the period ends today", async () => {
    const { chart, until } = await manager.trends.months({ ...ABOUT, from: "2026-01", until: "2026-12" });
    if (chart.answer === "refused") throw new Error("There were dives.");
    expect(chart.months[0]).toMatchObject({ month: "2026-01", dives: 0, point: null });
    expect(until).toBe(await at.room.today());
  });

  test("water and kind narrow both what is counted and what it is divided by", async () => {
    const pool = await manager.trends.rates({ ...ABOUT, by: "model", water: "pool", kind: "first-stage" });
    expect(pool.rows.map(({ dives, faults }) => ({ dives, faults }))).toEqual([{ dives: 6, faults: 0 }]);
  });

  test("behind a figure stand exactly its faults, newest first", async () => {
    const all = await manager.trends.behind({ ...ABOUT, count: "reported", page: 0 });
    expect(all.total).toBe(4);
    const one = await manager.trends.behind({ ...ABOUT, modelId: at.room.models.first, page: 0 });
    expect(one.rows.map(({ tag, code, words }) => ({ tag, code, words }))).toEqual([{ tag: at.room.sets[1]!.tag, code: "FS-01", words: "As the hirer said" }]);
  });
});

describe("whose figures", () => {
  test("another site's hires and faults are in no figure of this one, nor may they be asked for", async () => {
    const lagoon = await at.room.openSite("Lagoon");
    const technician = (await at.as("technician")).api;
    await expect(technician.trends.rates({ ...ABOUT, sites: lagoon, by: "model" })).rejects.toMatchObject({ code: "FORBIDDEN" });
    await expect(technician.trends.rates({ ...ABOUT, sites: randomUUID(), by: "model" })).rejects.toMatchObject({ code: "FORBIDDEN" });
    const there = await (await asManager()).trends.rates({ ...ABOUT, sites: lagoon, by: "model" });
    expect(there).toMatchObject({ rows: [], fleet: { dives: 0, faults: 0 } });
    expect((await technician.trends.choices()).sites.map(({ name }) => name)).toEqual(["Harbour Dive Centre"]);
  });

  test("a period that ends before it begins, or of too many months, is refused in words", async () => {
    const api = await asManager();
    await expect(api.trends.months({ ...ABOUT, from: "2026-07" })).rejects.toMatchObject({ code: "BAD_REQUEST", message: "The period ends before it begins." });
    await expect(api.trends.months({ ...ABOUT, from: "1990-01" })).rejects.toMatchObject({ code: "BAD_REQUEST", message: "At most 120 months at once." });
  });
});

test("uses that were numbered first and committed last are not lost to the sums", async () => {
  const { room } = at;
  const before = await manager.trends.rates({ ...ABOUT, from: "2026-03", until: "2027-12", by: "kind" });
  const set = room.sets[4]!;
  const today = await room.today();
  done(await handOut(room.db, room.by("desk"), aHire(today, { dives: 7, minutes: 280 }), await room.seen([set])));
  // The return has written its uses and not committed; meanwhile somebody brings the sums up to date.
  const slow = await at.owner.connect();
  await slow.query("BEGIN");
  await slow.query("SELECT take_back($1, $2)", [JSON.stringify(room.by("desk")), JSON.stringify([backDry(set.id, { dives: 7, minutes: 280, waterKind: "sea" })])]);
  const roll = rollExposure(room.db);
  const waiting = async () => (await at.owner.query("SELECT FROM pg_locks WHERE NOT granted AND relation = 'component_use'::regclass AND mode = 'ShareLock'")).rowCount === 1;
  await expect.poll(waiting, { timeout: 10_000 }).toBe(true);
  await slow.query("COMMIT");
  slow.release();
  await roll;
  const after = await manager.trends.rates({ ...ABOUT, from: "2026-03", until: "2027-12", by: "kind" });
  const dives = (found: typeof after) => Object.fromEntries(found.rows.map((row) => [row.key, row.dives]));
  expect(dives(after)).toEqual({ "first-stage": dives(before)["first-stage"]! + 7, "second-stage": dives(before)["second-stage"]! + 14, gauge: dives(before)["gauge"]! + 7 });
});

describe("after a service", () => {
  test("each part is followed from its service to its first confirmed fault, in its own dives", async () => {
    const { found, names } = await manager.trends.afterService({ ...ABOUT, until: "2026-12", count: "confirmed", by: "model", unit: "dives" });
    if (found.answer === "refused") throw new Error("Every set was serviced when it was made ready.");
    const first = found.groups.find(({ group }) => group === at.room.models.first)!;
    expect(names[first.group]).toBe("Tarnfell Beck 10");
    // Six sets were serviced once; one first stage was found at fault after its three hires of two dives.
    expect(first.curve).toMatchObject({ spells: 6, faults: 1, steps: [{ time: 6, faults: 1 }] });
    const second = found.groups.find(({ group }) => group === at.room.models.second)!;
    // The fault nobody could find is none; the mended one came after three hires of four dives.
    expect(second.curve).toMatchObject({ spells: 12, faults: 1, steps: [{ time: 12, faults: 1 }] });
    expect(first.bedding).toMatchObject({ failures: 1 });
  });

  test("kinds of service are told apart by part and by whether they were oxygen-clean, never by person", async () => {
    const { found } = await manager.trends.afterService({ ...ABOUT, until: "2026-12", count: "confirmed", by: "service-kind", unit: "days" });
    if (found.answer === "refused") throw new Error("There were services.");
    expect(found.groups.map(({ group }) => group)).toEqual(["first-stage", "gauge", "second-stage"]);
    expect(JSON.stringify(found)).not.toContain(at.room.people.technician);
  });

  test("without a service in the period there is nothing to say", async () => {
    const { found } = await manager.trends.afterService({ ...ABOUT, from: "2025-01", until: "2025-12", count: "confirmed", by: "model", unit: "dives" });
    expect(found).toEqual({ answer: "refused", why: "no-spells" });
  });
});
