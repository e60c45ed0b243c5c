/**
 * A centre that has worked with the first release comes to this one: what was released stays released,
 * what was opened and not released asks for a test, what a notice held is held on.
 */
import { randomUUID } from "node:crypto";
import { handOut, takeBack, type Who } from "@hangrail/db/acts";
import { acceptBenchLimits, addGauge, clearNotice, recordBenchTest, recordWork, releaseSets, type JudgedReading } from "@hangrail/db/bench-acts";
import type { Database } from "@hangrail/db/database";
import { migrate } from "@hangrail/db/migrate";
import { readChain, readChains } from "@hangrail/db/record-chain";
import { sha256 } from "@hangrail/db/sha256";
import { day } from "@hangrail/rules/calendar";
import { ChainWalker } from "@hangrail/rules/record-chain";
import type pg from "pg";
import { afterAll, beforeAll, expect, test } from "vitest";
import { bareDatabase } from "../support/database.ts";
import { TODAY, worksWithTheFirstRelease, type FirstRelease, type OldSet } from "../support/first-release.ts";
import { aHire, backDry, done } from "../support/kit-room.ts";

let owner: pg.Pool;
let db: Database;
let who: FirstRelease["who"];
let models: FirstRelease["models"];
let sets: FirstRelease["sets"];
let notice: string;

const by = (): Who => ({ ...who, device: null, request: randomUUID() });

beforeAll(async () => {
  const database = await bareDatabase();
  owner = database.ownerPool;
  ({ db, who, models, sets, notice } = await worksWithTheFirstRelease(database));
  expect((await migrate(database.ownerUrl)).length).toBeGreaterThan(1);
}, 60_000);
afterAll(() => db.close());

async function seen({ id }: OldSet): Promise<{ id: string; seq: number }[]> {
  return (await owner.query<{ id: string; seq: number }>("SELECT id, seq FROM regulator_set WHERE id = $1", [id])).rows;
}

async function codes(set: OldSet): Promise<string[]> {
  const answer = await handOut(db, by(), aHire(TODAY), await seen(set));
  return answer.answer === "hold" ? [...new Set(answer.holds.map(({ code }) => code))].sort() : [answer.answer];
}

test("what was ready stays ready, and goes out", async () => {
  const { rows } = await owner.query("SELECT state FROM set_board WHERE id = $1", [sets.ready.id]);
  expect(rows).toEqual([{ state: "ready" }]);
  expect(await codes(sets.ready)).toEqual(["done"]);
});

test("what was never looked at is held for that alone, as before", async () => {
  expect(await codes(sets.neverWorkedOn)).toEqual(["first-inspection"]);
});

test("what a hirer has comes back, is washed as ever and needs no release", async () => {
  done(await takeBack(db, by(), [backDry(sets.out.id, { dives: 1, minutes: 40, waterKind: "sea" })]));
  expect(await codes(sets.out)).toEqual(["not-clean"]);
});

test.each(["opened", "serviced", "refitted"] as const)("what was %s and not released asks for a test", async (name) => {
  expect(await codes(sets[name])).toEqual(["not-clean", "not-released"]);
  expect(await releaseSets(db, by(), [sets[name].id], "As it was")).toMatchObject({ answer: "refused", code: "not-tested" });
});

test("sealed stays sealed, retired stays retired, and a notice from before holds until its remedy is done", async () => {
  expect(await codes(sets.sealed)).toEqual(["evidence-lock", "fault"]);
  expect(await codes(sets.retired)).toEqual(["retired"]);
  expect(await codes(sets.noticed)).toEqual(["notice"]);
  done(await clearNotice(db, by(), notice, sets.noticed.parts["first-stage"]!, "New seat"));
  expect(await codes(sets.noticed)).toEqual(["done"]);
});

test("the marks say what the record says", async () => {
  const { rows } = await owner.query(
    `SELECT s.tag FROM regulator_set s LEFT JOIN record_entry e ON e.set_id = s.id LEFT JOIN act_kind k ON k.act = e.act
      GROUP BY s.id HAVING s.retest_seq <> coalesce(max(e.seq) FILTER (WHERE k.asks_test), 0) OR s.tested_seq <> 0 OR s.seq <> count(e.id)`,
  );
  expect(rows).toEqual([]);
  // Its marks are guarded again after the upgrade.
  await expect(owner.query("UPDATE regulator_set SET retest_seq = 0 WHERE id = $1", [sets.opened.id])).rejects.toMatchObject({ code: "HR409" });
});

test("what was recorded before there were chains is linked as it stands, and what follows goes on from there", async () => {
  const walker = new ChainWalker(sha256);
  for await (const batch of readChains(db)) for (const entry of batch) walker.take(entry);
  expect(walker.breaks).toEqual([]);
  const { rows } = await owner.query<{ entries: number; own: number }>("SELECT count(*)::int AS entries, count(*) FILTER (WHERE set_id IS NULL)::int AS own FROM record_entry");
  expect(walker.entries).toBe(rows[0]!.entries);
  expect(rows[0]!.own).toBeGreaterThan(10);
  const chain = await readChain(db, sets.out.id);
  expect(chain.map(({ act }) => act)).toContain("registered");
  // Its entries are guarded again after the upgrade.
  await expect(owner.query("UPDATE record_entry SET content = '{}' WHERE set_id = $1", [sets.out.id])).rejects.toMatchObject({ code: "HR409" });
});

test("a service now asks for kits, and a passed test lets the opened one go", async () => {
  expect(await recordWork(db, by(), sets.opened.id, { kind: "service", components: [sets.opened.parts["primary"]!], oxygenClean: false, words: "Kit" })).toMatchObject({ code: "kits-not-recorded" });
  const gauge = done(await addGauge(db, by(), { name: "Bench", serial: "1", measures: "pressure", spanLow: 0, spanHigh: 40_000, classTenths: 6, calibratedOn: TODAY, validUntil: day("2027-06-01"), certificate: "C" })).gauge;
  const page = "Page 14";
  const reading = (position: string, name: JudgedReading["name"], value: number, over: Partial<JudgedReading> = {}): JudgedReading => ({
    component: sets.opened.parts[position]!, name, value, supplyCbar: null, atCbar: null, adjuster: null, venturi: null, gauge, verdict: "pass", why: null, low: null, high: null, ...over,
  });
  const readings = [
    reading("first-stage", "intermediate-pressure", 950, { supplyCbar: 20_000 }), reading("first-stage", "intermediate-pressure", 940, { supplyCbar: 5_000 }), reading("first-stage", "creep", 10),
    ...["primary", "alternate"].flatMap((position) => [reading(position, "cracking-effort", 280), reading(position, "vacuum-held", 1), reading(position, "immersion-leak", 0)]),
    reading("gauge", "gauge-zero", 0), ...[5_000, 10_000, 20_000].map((atCbar) => reading("gauge", "gauge-error", 0, { atCbar })),
  ];
  const test = { phase: "as-left" as const, verdict: "pass" as const, words: "", order: null, readings, curves: [] };
  // Nothing passes against limits nobody has accepted.
  expect(await recordBenchTest(db, by(), sets.opened.id, test)).toMatchObject({ code: "test-not-passed" });
  done(await acceptBenchLimits(db, by(), models.first, [{ name: "intermediate-pressure", low: 900, high: 1_000, page }, { name: "creep", low: null, high: 30, page }]));
  done(await acceptBenchLimits(db, by(), models.second, [{ name: "cracking-effort-primary", low: 200, high: 320, page }, { name: "cracking-effort-alternate", low: 200, high: 320, page }]));
  done(await recordBenchTest(db, by(), sets.opened.id, test));
  done(await releaseSets(db, by(), [sets.opened.id], "Tested"));
  expect(await codes(sets.opened)).toEqual(["not-clean"]);
});
