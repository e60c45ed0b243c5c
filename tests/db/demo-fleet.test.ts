import { createHash } from "node:crypto";
import { replaceClock } from "@hangrail/cli/demo-fleet/demo-clock";
import { demoSignIns, seedDemo } from "@hangrail/cli/demo-fleet/seed";
import { isSecret } from "@hangrail/api/secrets";
import { verifyRecord } from "@hangrail/api/verify-record";
import { readPlanFacts } from "@hangrail/api/plan-facts";
import { daysAtRisk, planGround } from "@hangrail/api/plan-problem-of";
import { solvePlan } from "@hangrail/api/solver/plan";
import { openDatabase } from "@hangrail/db/database";
import { countFaults } from "@hangrail/db/trends";
import type { Day } from "@hangrail/rules/calendar";
import { compareModels } from "@hangrail/rules/fault-verdict";
import type pg from "pg";
import { beforeAll, describe, expect, test } from "vitest";
import { freshDatabase, type TestDatabase } from "../support/database.ts";

/** Half a minute on a machine with nothing else to do. */
const AS_LONG_AS_IT_TAKES = 300_000;
const CLOCK = "SELECT pg_get_functiondef('kitroom_clock()'::regprocedure) AS words, obj_description('kitroom_clock()'::regprocedure, 'pg_proc') AS comment";

async function rows<Row extends pg.QueryResultRow>(database: TestDatabase, text: string): Promise<Row[]> {
  return (await database.ownerPool.query<Row>(text)).rows;
}

async function one<Row extends pg.QueryResultRow>(database: TestDatabase, text: string): Promise<Row> {
  const [row] = await rows<Row>(database, text);
  if (row === undefined) throw new Error(`No row for: ${text}`);
  return row;
}

/** Rows that should not be there, said by the question's name. */
async function noneOf(database: TestDatabase, text: string): Promise<void> {
  expect(await rows(database, text)).toEqual([]);
}

describe("the whole story of the demo centre", () => {
  let database: TestDatabase;
  let clockBefore: pg.QueryResultRow;
  const progress: string[] = [];

  beforeAll(async () => {
    database = await freshDatabase();
    clockBefore = await one(database, CLOCK);
    await seedDemo({ ownerUrl: database.ownerUrl, appUrl: database.url, onProgress: (line) => progress.push(line) });
  }, AS_LONG_AS_IT_TAKES);

  test("is a record that holds, and whose facts are what it tells", async () => {
    const db = openDatabase({ appUrl: database.url, actConnections: 2, readConnections: 2 });
    try {
      const report = await verifyRecord(db, { site: null, key: null });
      expect(report).toMatchObject({ breaks: [], facts: [], checkpoints: { count: 0, problems: [] }, sound: true });
      expect(report.entries).toBeGreaterThan(20_000);
    } finally {
      await db.close();
    }
  });

  test("is about sixty sets of five or six parts and some 3,500 hired sets", async () => {
    expect(await one(database, "SELECT count(*)::int AS sets, count(DISTINCT site_id)::int AS sites FROM regulator_set")).toEqual({ sets: 64, sites: 2 });
    expect(await one(database, "SELECT min(parts)::int AS least, max(parts)::int AS most FROM set_board")).toEqual({ least: 5, most: 6 });
    const { lines, late } = await one<{ lines: number; late: number }>(
      database,
      "SELECT count(*)::int AS lines, count(*) FILTER (WHERE back_at::date > back_on)::int AS late FROM hire_line",
    );
    expect(lines).toBeGreaterThan(2_800);
    expect(lines).toBeLessThan(4_500);
    expect(late).toBeGreaterThan(20);
    const { faults, makers } = await one<{ faults: number; makers: number }>(
      database,
      "SELECT (SELECT count(*) FROM fault)::int AS faults, (SELECT count(DISTINCT maker) FROM model)::int AS makers",
    );
    expect(faults / lines).toBeGreaterThan(0.01);
    expect(faults / lines).toBeLessThan(0.03);
    expect(makers).toBe(4);
    expect(progress.length).toBeGreaterThan(15);
  });

  test("is busier in summer than in winter", async () => {
    const { summer, winter } = await one<{ summer: number; winter: number }>(
      database,
      `SELECT count(*) FILTER (WHERE extract(month FROM out_at) IN (7, 8))::int AS summer,
              count(*) FILTER (WHERE extract(month FROM out_at) IN (1, 2))::int AS winter FROM hire_line`,
    );
    expect(summer).toBeGreaterThan(2 * winter);
  });

  test("leaves a board with work for everybody", async () => {
    const states = Object.fromEntries(
      (await rows<{ state: string; sets: number }>(database, "SELECT state, count(*)::int AS sets FROM set_board GROUP BY state")).map(({ state, sets }) => [state, sets]),
    );
    expect(states).toMatchObject({ out: 8, "to-clean": 2, "in-bath": 3, drying: 2, "tagged-out": 1, "on-the-bench": 1, "awaiting-parts": 1, "to-release": 2, retired: 2, "evidence-lock": 1 });
    expect(states["ready"]).toBeGreaterThan(0.5 * 64);
    expect(await one(database, "SELECT count(*)::int AS late FROM set_board WHERE state = 'out' AND back_on < today")).toEqual({ late: 2 });
  });

  test("holds sets for each reason that has nothing to do with the wash", async () => {
    const held = await rows<{ codes: string }>(
      database,
      `SELECT (SELECT string_agg(DISTINCT h.code, ' ') FROM heart_holds(b.id, b.today, b.today, 1, 60, false) h) AS codes FROM set_board b WHERE b.state IN ('held', 'tagged-out', 'on-the-bench', 'awaiting-parts')`,
    );
    const codes = new Set(held.flatMap((row) => row.codes.split(" ")));
    for (const code of ["service-overdue", "shelf-inspection", "not-judged", "incomplete", "notice", "fault"]) expect(codes).toContain(code);
    const { months, dives, soon } = await one<{ months: number; dives: number; soon: number }>(
      database,
      `SELECT count(*) FILTER (WHERE state = 'held' AND due_on < today - 20)::int AS months, count(*) FILTER (WHERE state = 'held' AND dives_left <= 0)::int AS dives,
              count(*) FILTER (WHERE state = 'ready' AND due_on <= today + 10)::int AS soon FROM set_board`,
    );
    expect(months).toBeGreaterThanOrEqual(2);
    expect(dives).toBeGreaterThanOrEqual(1);
    expect(soon).toBeGreaterThanOrEqual(4);
    expect(await rows(database, "SELECT state, cleared_at IS NULL AS open, count(*)::int AS parts FROM notice_match GROUP BY 1, 2 ORDER BY 1, 2")).toEqual([
      { state: "check", open: false, parts: 1 },
      { state: "open", open: false, parts: 4 },
      { state: "open", open: true, parts: 2 },
    ]);
  });

  test("leaves the manager a plan to make, with a holiday in it and a week in which somebody goes without", async () => {
    const site = await one<{ id: string; timeZone: string }>(database, `SELECT id, time_zone AS "timeZone" FROM site ORDER BY (SELECT count(*) FROM regulator_set s WHERE s.site_id = site.id) DESC LIMIT 1`);
    const db = openDatabase({ appUrl: database.url, actConnections: 1, readConnections: 4 });
    try {
      const ground = await planGround(await readPlanFacts(db, site, 26), "low");
      expect(ground.unplanned.map(({ why }) => why)).toEqual(["evidence-lock"]);
      expect(ground.technicians.flatMap(({ weeks }) => weeks.filter(({ own, minutes }) => own && minutes === 0))).toHaveLength(2);
      expect(daysAtRisk(ground).length).toBeGreaterThan(0);
      const answer = await solvePlan(ground.problem, { seconds: 30, relativeGap: 0.01, prices: null });
      if (answer.answer !== "short") throw new Error(`no week is short, but ${answer.answer}`);
      // Seven sets for nitrox in the week six on, where there are six at the most, whatever the season.
      expect(answer.found.check.weeks[6]!.short).toContainEqual({ booking: "m26 warm 320 diving", sets: expect.toSatisfy((sets: number) => sets >= 1) });
    } finally {
      await db.close();
    }
  }, AS_LONG_AS_IT_TAKES);

  test("counts every dive of every component once", async () => {
    await noneOf(
      database,
      `SELECT c.serial, c.dives_total, c.minutes_total, c.taught_total, sum(u.dives), sum(u.minutes), count(*) FILTER (WHERE u.taught)
         FROM component c LEFT JOIN component_use u ON u.component_id = c.id GROUP BY c.id
       HAVING c.dives_total <> coalesce(sum(u.dives), 0) OR c.minutes_total <> coalesce(sum(u.minutes), 0) OR c.taught_total <> count(*) FILTER (WHERE u.taught)`,
    );
    // A return counts on what was fitted at its instant, and on nothing else.
    await noneOf(
      database,
      `SELECT h.id FROM hire_line h WHERE h.back_at IS NOT NULL
          AND (SELECT array_agg(u.component_id ORDER BY u.component_id) FROM component_use u WHERE u.line_id = h.id)
              IS DISTINCT FROM (SELECT array_agg(f.component_id ORDER BY f.component_id) FROM fitting f
                 WHERE f.set_id = h.set_id AND f.from_seq < h.back_seq AND (f.until_seq IS NULL OR f.until_seq > h.back_seq))`,
    );
  });

  test("keeps the numbers of each set as its record gives them", async () => {
    await noneOf(
      database,
      `SELECT s.tag FROM regulator_set s JOIN (
         SELECT r.set_id, max(r.seq) AS seq, count(*) AS entries, max(r.at) AS last_at,
                coalesce(max(r.seq) FILTER (WHERE k.soils), 0) AS soiled, coalesce(max(r.seq) FILTER (WHERE k.ends_release), 0) AS unreleased,
                coalesce(max(r.seq) FILTER (WHERE r.act = 'cleaned'), 0) AS cleaned, coalesce(max(r.seq) FILTER (WHERE r.act = 'released'), 0) AS released,
                max(r.seq) FILTER (WHERE r.act = 'retired') AS retired, min(r.seq) FILTER (WHERE r.act = 'evidence-locked') AS evidence
           FROM record_entry r JOIN act_kind k ON k.act = r.act WHERE r.set_id IS NOT NULL GROUP BY r.set_id) e ON e.set_id = s.id
        WHERE (s.seq, s.seq, s.soiled_seq, s.unreleased_seq, s.cleaned_seq, s.released_seq, s.last_at)
              IS DISTINCT FROM (e.seq, e.entries, e.soiled, e.unreleased, e.cleaned, e.released, e.last_at)
           OR s.retired_seq IS DISTINCT FROM e.retired OR s.evidence_seq IS DISTINCT FROM e.evidence`,
    );
  });

  test("never hands a set out that is still out, unclean or unreleased", async () => {
    await noneOf(
      database,
      `SELECT a.set_id, a.id FROM hire_line a JOIN hire_line b ON b.set_id = a.set_id AND b.id <> a.id AND b.out_seq > a.out_seq
        WHERE a.back_seq IS NULL OR b.out_seq < a.back_seq OR b.out_at < a.back_at`,
    );
    await noneOf(
      database,
      `SELECT h.id FROM hire_line h CROSS JOIN LATERAL (
         SELECT coalesce(max(r.seq) FILTER (WHERE k.soils), 0) AS soiled, coalesce(max(r.seq) FILTER (WHERE r.act = 'cleaned'), 0) AS cleaned,
                coalesce(max(r.seq) FILTER (WHERE k.ends_release), 0) AS unreleased, coalesce(max(r.seq) FILTER (WHERE r.act = 'released'), 0) AS released
           FROM record_entry r JOIN act_kind k ON k.act = r.act WHERE r.set_id = h.set_id AND r.seq < h.out_seq) then_
        WHERE then_.cleaned <= then_.soiled OR then_.released <= then_.unreleased`,
    );
  });

  test("was played forwards, in the past, by its own people", async () => {
    await noneOf(database, "SELECT id FROM (SELECT id, at, lag(at) OVER (ORDER BY id) AS before FROM record_entry) r WHERE at < before OR at > clock_timestamp()");
    await noneOf(database, "SELECT id FROM record_entry WHERE by IS NULL");
    const people = await rows<{ login: string; password_hash: string; pin_hash: string }>(database, "SELECT login, password_hash, pin_hash FROM staff");
    expect(people.map((person) => person.login).sort()).toEqual(demoSignIns.map((signIn) => signIn.login).sort());
    const [marga] = demoSignIns;
    const hers = people.find((person) => person.login === marga?.login);
    expect(await isSecret(marga?.password ?? "", hers?.password_hash ?? null)).toBe(true);
    expect(await isSecret(marga?.pin ?? "", hers?.pin_hash ?? null)).toBe(true);
  });

  test("finds the model with the bad batch, and does not accuse the one that was only unlucky", async () => {
    const db = openDatabase({ appUrl: database.url, actConnections: 1, readConnections: 2 });
    try {
      const sites = (await rows<{ id: string }>(database, "SELECT id FROM site")).map(({ id }) => id);
      const { from, until } = await one<{ from: Day; until: Day }>(database, "SELECT min(used_on)::text AS from, max(used_on)::text AS until FROM component_use WHERE line_id IS NOT NULL");
      const question = { sites, from, until, confirmedOnly: true, kind: null, model: null, maker: null, code: null, water: null };
      const counted = await countFaults(db, "model", question);
      const { models } = compareModels(counted);
      const lineOf = (name: string) => models.find(({ key }) => key === counted.find((row) => row.name === name)?.key);
      const [guilty, unlucky] = [lineOf("Hespera Lull"), lineOf("Quillon Ridge N")];
      expect(guilty?.verdict).toEqual({ verdict: "worse" });
      // Its rate is well over the others' too: a list by rate alone would accuse it.
      expect(unlucky?.faults).toBe(3);
      expect(unlucky?.toOthers?.ratio).toBeGreaterThan(1.5);
      expect(unlucky?.verdict).toMatchObject({ verdict: "too-little-to-tell", why: "too-few-dives" });
    } finally {
      await db.close();
    }
  });

  test("gives the real clock back, and goes into an empty database only", async () => {
    expect(await one(database, CLOCK)).toEqual(clockBefore);
    const { seconds } = await one<{ seconds: number }>(database, "SELECT abs(extract(epoch FROM kitroom_clock() - clock_timestamp()))::float AS seconds");
    expect(seconds).toBeLessThan(1);
    expect(await one(database, "SELECT clock_doubt(kitroom_clock()) AS doubt")).toEqual({ doubt: null });
    await expect(seedDemo({ ownerUrl: database.ownerUrl, appUrl: database.url })).rejects.toThrow("This database has staff already");
    expect(await one(database, CLOCK)).toEqual(clockBefore);
  });
});

describe("a shorter story", () => {
  const now = new Date("2026-07-15T11:30:00Z");
  const months = 1;

  async function digestOf(seed: { now: Date; months: number }, database: TestDatabase): Promise<string> {
    await seedDemo({ ownerUrl: database.ownerUrl, appUrl: database.url, ...seed });
    const told = await rows(
      database,
      `SELECT s.tag, s.seq, s.soiled_seq, s.cleaned_seq, s.unreleased_seq, s.released_seq, s.last_at,
              (SELECT string_agg(DISTINCT h.code, ' ' ORDER BY h.code) FROM heart_holds(s.id, '2026-07-15', '2026-07-15', 2, 120, false) h) AS holds,
              (SELECT array_agg(c.serial || ' ' || c.dives_total || ' ' || c.minutes_total ORDER BY c.serial) FROM fitting f JOIN component c ON c.id = f.component_id WHERE f.set_id = s.id AND f.until_at IS NULL) AS parts,
              (SELECT count(*) FROM hire_line h WHERE h.set_id = s.id) AS hires, (SELECT count(*) FROM fault f WHERE f.set_id = s.id) AS faults
         FROM regulator_set s ORDER BY s.tag`,
    );
    expect(told).toHaveLength(64);
    const hirers = await rows(database, "SELECT h.name, h.contact FROM hirer h JOIN hire e ON e.hirer_id = h.id ORDER BY e.out_at, h.name");
    return createHash("sha256").update(JSON.stringify([told, hirers])).digest("hex");
  }

  test("is the same twice for the same day, also over the clock of a seeding killed before its first act", { timeout: AS_LONG_AS_IT_TAKES }, async () => {
    const first = await digestOf({ now, months }, await freshDatabase());
    const database = await freshDatabase();
    const before = await one(database, CLOCK);
    await replaceClock({ query: async <Row extends object>(text: string, values?: unknown[]) => database.ownerPool.query(text, values) as unknown as { rows: Row[] } });
    await expect(database.appPool.query("SELECT kitroom_clock()")).rejects.toThrow("hangrail.demo_clock");
    expect(await digestOf({ now, months }, database)).toBe(first);
    expect(await one(database, CLOCK)).toEqual(before);
  });

  test("puts the real clock back when it breaks off half way", { timeout: AS_LONG_AS_IT_TAKES }, async () => {
    const database = await freshDatabase();
    const before = await one(database, CLOCK);
    const breakOff = (line: string): void => {
      if (line.startsWith("Playing")) throw new Error("cut short");
    };
    await expect(seedDemo({ ownerUrl: database.ownerUrl, appUrl: database.url, now, months, onProgress: breakOff })).rejects.toThrow("cut short");
    expect(await one(database, CLOCK)).toEqual(before);
  });
});
