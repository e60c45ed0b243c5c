/**
 * A migration is broken off at a message picked by chance, resumed, broken off again, until it is through: on
 * data of the first release. Each step of the schema is there with its line in the history, or not at all; and in
 * the end the schema is that of a new database and the data are those of an upgrade nobody disturbed.
 */
import { createHash, randomUUID } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { migrate, pendingMigrations } from "@hangrail/db/migrate";
import { ensureDatabase } from "@hangrail/db/server/cluster";
import pg from "pg";
import { afterAll, beforeAll, expect, inject, test } from "vitest";
import { bareDatabase } from "../support/database.ts";
import { worksWithTheFirstRelease } from "../support/first-release.ts";
import { difference, photograph, type Photograph } from "./photograph.ts";
import { proxyFor, type Blow, type Proxy } from "./proxy.ts";
import { chance, ROUNDS, SEED } from "./rounds.ts";

const FOLDER = fileURLToPath(new URL("../../prisma/migrations", import.meta.url));
const STEPS = readdirSync(FOLDER).filter((name) => /^\d/.test(name)).sort();
const BLOWS: readonly Blow[] = ["cut", "kill", "swallow"];

let admin: pg.Client;
let old: string;
let undisturbed: { readonly schema: string; readonly data: Photograph; readonly messages: number };
const pools: pg.Pool[] = [];

beforeAll(async () => {
  admin = new pg.Client({ connectionString: inject("databaseServer").adminUrl });
  await admin.connect();
  const database = await bareDatabase();
  await (await worksWithTheFirstRelease(database)).db.close();
  // What is copied must have nobody in it.
  await Promise.all([database.appPool.end(), database.ownerPool.end()]);
  old = database.name;
  const copy = await copyOf(old);
  const proxy = await proxyFor(copy.ownerUrl, kill);
  proxy.arm(Infinity, "cut");
  await migrate(proxy.url);
  const messages = proxy.counted();
  await proxy.close();
  undisturbed = { schema: await schemaOf(copy.owner), data: await photograph(copy.owner), messages };
});
afterAll(async () => {
  await Promise.all(pools.map((pool) => pool.end()));
  await admin.end();
});

const kill = async (session: number) => void (await admin.query("SELECT pg_terminate_backend($1, 5000)", [session]));

interface Copy {
  readonly owner: pg.Pool;
  readonly ownerUrl: string;
  readonly appUrl: string;
}

async function copyOf(name: string): Promise<Copy> {
  const copy = `${name}_${pools.length}`;
  await ensureDatabase(admin, copy, name);
  const server = inject("databaseServer");
  const within = (url: string) => Object.assign(new URL(url), { pathname: `/${copy}` }).href;
  const owner = new pg.Pool({ connectionString: within(server.ownerUrl), max: 2 });
  owner.on("error", () => undefined);
  pools.push(owner);
  return { owner, ownerUrl: within(server.ownerUrl), appUrl: within(server.appUrl) };
}

/** All that a schema is made of, as the database itself would write it down. */
async function schemaOf(owner: pg.Pool): Promise<string> {
  const { rows } = await owner.query<{ line: string }>(`
    SELECT line FROM (
      SELECT format('column %s.%s %s %s %s', c.relname, a.attname, format_type(a.atttypid, a.atttypmod), a.attnotnull, pg_get_expr(d.adbin, d.adrelid)) AS line
        FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum > 0 AND NOT a.attisdropped LEFT JOIN pg_attrdef d ON (d.adrelid, d.adnum) = (a.attrelid, a.attnum) WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('r', 'v')
      UNION ALL SELECT format('relation %s %s %s', relname, relkind, relacl) FROM pg_class WHERE relnamespace = 'public'::regnamespace
      UNION ALL SELECT format('view %s %s', relname, pg_get_viewdef(oid)) FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind = 'v'
      UNION ALL SELECT format('constraint %s %s', conname, pg_get_constraintdef(oid)) FROM pg_constraint WHERE connamespace = 'public'::regnamespace
      UNION ALL SELECT format('index %s', indexdef) FROM pg_indexes WHERE schemaname = 'public'
      UNION ALL SELECT format('trigger %s %s', pg_get_triggerdef(t.oid), tgenabled) FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid WHERE c.relnamespace = 'public'::regnamespace AND NOT tgisinternal
      UNION ALL SELECT format('function %s %s', pg_get_functiondef(p.oid), proacl) FROM pg_proc p WHERE pronamespace = 'public'::regnamespace AND prokind = 'f' AND proname <> 'kitroom_clock'
    ) all_of_it WHERE strpos(line, 'test_clock') = 0 ORDER BY 1`);
  if (rows.length < 500) throw new Error(`A schema of ${rows.length} lines is none.`);
  return rows.map(({ line }) => line).join("\n");
}

async function applied(owner: pg.Pool): Promise<string[]> {
  return (await owner.query<{ name: string }>("SELECT migration_name AS name FROM _prisma_migrations ORDER BY 1")).rows.map(({ name }) => name);
}

/** Breaks off an upgrade again and again. Answers how often, after how many different steps, and what was wrong. */
async function disturbedUpgrade(random: (below: number) => number, runner: (url: string) => Promise<unknown> = migrate): Promise<{ readonly copy: Copy; readonly broken: number; readonly stops: number; readonly wrong: readonly string[] }> {
  const copy = await copyOf(old);
  const proxy: Proxy = await proxyFor(copy.ownerUrl, kill);
  const wrong: string[] = [];
  const stops = new Set<number>();
  let broken = 0;
  try {
    for (;;) {
      // Half way at most, so that an upgrade takes several runs.
      proxy.arm(1 + random(Math.ceil(undisturbed.messages / 2)), BLOWS[random(BLOWS.length)]!);
      const error = await runner(proxy.url).then(() => null, (thrown: unknown) => thrown);
      const session = proxy.disarm();
      if (error === null) return { copy, broken, stops: stops.size, wrong };
      if (session === null) {
        wrong.push(`it failed by itself: ${String(error)}`);
        return { copy, broken, stops: stops.size, wrong };
      }
      broken += 1;
      // A session that was cut off may be at work still; the next runner waits for it, and so does this.
      await kill(session);
      const done = await applied(copy.owner);
      stops.add(done.length);
      if (done.join() !== STEPS.slice(0, done.length).join()) wrong.push(`the history has a gap: ${done.join(", ")}`);
      // The application asks this before it serves, and does not on half a schema.
      const lacking = await pendingMigrations(copy.appUrl);
      if (lacking.join() !== STEPS.slice(done.length).join()) wrong.push(`after ${done.length} steps the application lacks ${lacking.join(", ")}`);
    }
  } finally {
    await proxy.close();
  }
}

test(`${ROUNDS} upgrades that were broken off again and again end as those that were not`, async () => {
  const random = chance(SEED);
  const fresh = new pg.Pool({ connectionString: Object.assign(new URL(inject("databaseServer").ownerUrl), { pathname: `/${inject("databaseServer").template}` }).href });
  pools.push(fresh);
  // But for the clock that a test holds in its hands, an upgraded schema is that of a new database.
  expect(undisturbed.schema).toBe(await schemaOf(fresh));
  let [broken, stops] = [0, 0];
  for (let turn = 0; turn < ROUNDS; turn += 1) {
    const where = `HANGRAIL_CRASH_SEED=${SEED}, upgrade ${turn + 1}`;
    const upgrade = await disturbedUpgrade(random);
    expect(upgrade.wrong, where).toEqual([]);
    expect(await schemaOf(upgrade.copy.owner), where).toBe(undisturbed.schema);
    expect(difference(undisturbed.data, await photograph(upgrade.copy.owner)), where).toEqual({});
    broken += upgrade.broken;
    stops += upgrade.stops;
  }
  // It bites only where upgrades were broken off, and not all of them at one place.
  expect(broken).toBeGreaterThan(ROUNDS);
  expect(stops).toBeGreaterThan(ROUNDS);
  console.log(`${ROUNDS} upgrades (seed ${SEED}), broken off ${broken} times.`);
});

test("a runner that writes its line in the history after the step, not with it, is found", async () => {
  const random = chance(SEED + 1);
  const careless = async (url: string) => {
    const client = new pg.Client({ connectionString: url });
    client.on("error", () => undefined);
    await client.connect();
    try {
      const { rows } = await client.query<{ name: string }>("SELECT migration_name AS name FROM _prisma_migrations");
      for (const name of STEPS.filter((step) => !rows.some((row) => row.name === step))) {
        const sql = readFileSync(join(FOLDER, name, "migration.sql"), "utf8").replaceAll("\r\n", "\n");
        await client.query(sql);
        await client.query("INSERT INTO _prisma_migrations (id, checksum, migration_name, started_at, finished_at, applied_steps_count) VALUES ($1, $2, $3, now(), now(), 1)", [randomUUID(), createHash("sha256").update(sql).digest("hex"), name]);
      }
    } finally {
      await client.end();
    }
  };
  const wrong: string[] = [];
  for (let turn = 0; turn < 60 && wrong.length === 0; turn += 1) wrong.push(...(await disturbedUpgrade(random, careless)).wrong);
  expect(wrong.join()).toMatch(/it failed by itself: .*already exists/);
});
