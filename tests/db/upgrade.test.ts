/**
 * A centre that has worked with the first release comes to this one: what was released stays released,
 * what was opened and not released asks for a test, what a notice held is held on.
 */
import { cpSync, mkdtempSync, readdirSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { randomUUID } from "node:crypto";
import { acceptLimits, acceptProduct, act, addModel, approveProduct, endWet, finishWash, handOut, mixBath, registerSet, retireSet, setPairing, startWash, takeBack, type PartInput, type Who } from "@hangrail/db/acts";
import { acceptBenchLimits, addGauge, clearFault, clearNotice, recordBenchTest, recordWork, releaseSets, reportFault, type JudgedReading } from "@hangrail/db/bench-acts";
import { openDatabase, type Database } from "@hangrail/db/database";
import { migrate } from "@hangrail/db/migrate";
import { readChain, readChains } from "@hangrail/db/record-chain";
import { sha256 } from "@hangrail/db/sha256";
import { authorise, firstRun, setPolicy } from "@hangrail/db/people-acts";
import { day } from "@hangrail/rules/calendar";
import { ChainWalker } from "@hangrail/rules/record-chain";
import type pg from "pg";
import { afterAll, beforeAll, expect, test } from "vitest";
import { bareDatabase } from "../support/database.ts";
import { aHire, AMPLE, AMPLE_FIRST, backDry, done, MAKER } from "../support/kit-room.ts";
import { takeClock, type KitroomClock } from "../support/kitroom-clock.ts";

const LAST_OF_THE_FIRST_RELEASE = "20261125100600_rights";
const TODAY = day("2026-06-01");

interface OldSet {
  readonly id: string;
  readonly parts: Readonly<Record<string, string>>;
}

let owner: pg.Pool;
let db: Database;
let clock: KitroomClock;
let who: { readonly staff: string; readonly site: string };
let models: { readonly first: string; readonly second: string; readonly gauge: string };
/** As the first release left them. */
const sets: Record<"ready" | "neverWorkedOn" | "opened" | "serviced" | "refitted" | "out" | "sealed" | "retired" | "noticed", OldSet> = {} as never;
let notice: string;

const by = (): Who => ({ ...who, device: null, request: randomUUID() });

beforeAll(async () => {
  const database = await bareDatabase();
  owner = database.ownerPool;
  const folder = mkdtempSync(join(tmpdir(), "hangrail-first-release-"));
  const all = fileURLToPath(new URL("../../prisma/migrations", import.meta.url));
  const first = readdirSync(all).filter((name) => /^\d/.test(name) && name <= LAST_OF_THE_FIRST_RELEASE);
  expect(first).toHaveLength(7);
  for (const name of first) cpSync(join(all, name), join(folder, name), { recursive: true });
  await migrate(database.ownerUrl, { folder });
  clock = await takeClock(owner);
  await clock.stopAt(`${TODAY}T08:00:00Z`);
  db = openDatabase({ appUrl: database.url, actConnections: 4, readConnections: 2 });
  await workWithTheFirstRelease();
  expect((await migrate(database.ownerUrl)).length).toBeGreaterThan(1);
}, 60_000);
afterAll(() => db.close());

async function workWithTheFirstRelease(): Promise<void> {
  who = done(await firstRun(db, { name: "Harbour Dive Centre", timeZone: "Europe/Malta", units: "metric" }, { name: "Mira Holt", login: "mira", passwordHash: "x", pinHash: null }));
  done(await act(db, "set_roles", [by(), who.staff, ["manager", "desk", "wash-room", "technician"]]));
  done(await setPolicy(db, by(), { dryingMinutes: 30 }));
  done(await authorise(db, by(), who.staff, MAKER, true, day("2000-01-01"), day("2099-12-31"), "Certificate"));
  models = {
    first: done(await addModel(db, by(), "first-stage", MAKER, "Beck 10")).model,
    second: done(await addModel(db, by(), "second-stage", MAKER, "Beck S")).model,
    gauge: done(await addModel(db, by(), "gauge", MAKER, "Beck G")).model,
  };
  for (const [of, model] of Object.entries(models)) done(await acceptLimits(db, by(), model, of === "first" ? AMPLE_FIRST : AMPLE));
  done(await setPairing(db, by(), models.first, models.second, true, "Page 3"));
  const { product } = done(await acceptProduct(db, by(), { name: "Klarin", strengthHundredths: 500, minPpm: 400, maxPpm: 600, wetMinutes: 10, bathHours: 24, labelPage: "Back" }));
  done(await approveProduct(db, by(), product, Object.values(models), "Page 2"));
  const names = ["ready", "neverWorkedOn", "opened", "serviced", "refitted", "out", "sealed", "retired", "noticed"] as const;
  for (const name of names) sets[name] = await register(name);
  const ids = names.map((name) => sets[name].id);
  for (const name of names) if (name !== "neverWorkedOn") await service(sets[name]);
  done(await releaseSets(db, by(), ids, "Tested at both pressures"));
  const { bath } = done(await mixBath(db, by(), { product, label: "Tub", lot: null, productMl: 100, waterMl: 9_900 }));
  const { run } = done(await startWash(db, by(), bath, ids));
  await clock.advance(10);
  done(await endWet(db, by(), run));
  await clock.advance(30);
  done(await finishWash(db, by(), run, ids));
  const { fault } = done(await reportFault(db, by(), sets.opened.id, { code: "SS-02", severity: "out", component: null, where: "desk", words: "Free flow" }));
  done(await clearFault(db, by(), fault, "mended", "Seat renewed", true));
  await service(sets.serviced);
  done(await act(db, "refit", [by(), sets.refitted.id, sets.refitted.parts["gauge"], null, "gauge", "Fogged"]));
  done(await act(db, "refit", [by(), sets.refitted.id, null, sets.refitted.parts["gauge"], "gauge", "Dried"]));
  done(await handOut(db, by(), aHire(TODAY), await seen(sets.out)));
  done(await reportFault(db, by(), sets.sealed.id, { code: "GN-03", severity: "out", component: null, where: "boat", words: "" }));
  done(await retireSet(db, by(), sets.retired.id, "Worn"));
  const matched = [{ component: sets.noticed.parts["first-stage"], state: "open" }];
  notice = done(await act<{ answer: "done"; notice: string }>(db, "open_notice", [by(), { title: "Seats", reference: "N-1", hazard: "h", remedy: "r", publishedOn: TODAY }, JSON.stringify(matched)])).notice;
}

async function register(name: string): Promise<OldSet> {
  const part = (model: string, position: PartInput["position"]): PartInput => ({ model, position, serial: `${position} ${name}`, boughtOn: day("2026-05-01"), inUseOn: day("2026-05-01") });
  const { set: id } = done(await registerSet(db, by(), name.toUpperCase().slice(0, 12), [part(models.first, "first-stage"), part(models.second, "primary"), part(models.second, "alternate"), part(models.gauge, "gauge")]));
  const { rows } = await owner.query<{ position: string; component_id: string }>("SELECT position, component_id FROM fitting WHERE set_id = $1", [id]);
  return { id, parts: Object.fromEntries(rows.map((row) => [row.position, row.component_id])) };
}

async function service({ id, parts }: OldSet): Promise<void> {
  done(await recordWork(db, by(), id, { kind: "service", components: Object.values(parts), oxygenClean: false, words: "Kit fitted" }));
}

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
