/** How long it takes to verify a record of a million entries, and to make a checkpoint over all its chains. */
import { generateKeyPairSync } from "node:crypto";
import { checkpointKey, makeCheckpoint } from "@hangrail/api/checkpoints";
import { verifyRecord } from "@hangrail/api/verify-record";
import { openDatabase } from "@hangrail/db/database";
import { sha256 } from "@hangrail/db/sha256";
import { CHAIN_VERSION, entryHash, NO_HASH, type ChainEntry } from "@hangrail/rules/record-chain";
import type pg from "pg";
import { databaseFrom, type TestServer } from "../support/embedded.ts";

const SETS = 10_000;
const ENTRIES_OF_A_SET = 100;

export async function measureRecord(server: TestServer): Promise<void> {
  const database = await databaseFrom(server);
  const db = openDatabase({ appUrl: database.url, actConnections: 2, readConnections: 2 });
  try {
    const began = performance.now();
    await writeRecord(database.ownerPool);
    console.log(`\na record of ${SETS * ENTRIES_OF_A_SET} entries in ${SETS} chains (written in ${seconds(began)})`);
    const key = checkpointKey(generateKeyPairSync("ed25519").privateKey.export({ type: "pkcs8", format: "pem" }).toString());
    const signing = performance.now();
    const made = await makeCheckpoint(db, key, null);
    if (made.answer !== "done") throw new Error(`The checkpoint measured was not made: ${JSON.stringify(made)}`);
    console.log(`${"checkpoint over all chains".padEnd(58)} ${seconds(signing)}`);
    const reading = performance.now();
    const { rows } = await database.ownerPool.query<{ all: string }>("SELECT count(sha256(prev_hash || convert_to(content::text, 'UTF8'))) AS all FROM record_entry");
    const scan = performance.now() - reading;
    const [walking, cpu] = [performance.now(), process.cpuUsage()];
    const report = await verifyRecord(db, { site: null, key });
    const took = performance.now() - walking;
    const { user, system } = process.cpuUsage(cpu);
    if (!report.sound || report.entries !== Number(rows[0]!.all)) throw new Error(`The record measured does not hold: ${JSON.stringify(report).slice(0, 500)}`);
    console.log(`${"the whole record verified".padEnd(58)} ${(took / 1000).toFixed(1)} s (${((user + system) / 1e6).toFixed(1)} s of this process's own work), ${((took * 1000) / report.entries).toFixed(1)} µs an entry, ${(took / scan).toFixed(1)} × hashing every content once in SQL`);
  } finally {
    await db.close();
    await database.drop();
  }
}

/** Sets that staff breathed from a hundred times, with the entries such acts leave. */
async function writeRecord(owner: pg.Pool): Promise<void> {
  const client = await owner.connect();
  try {
    await client.query("SET statement_timeout = 0");
    const site = (await client.query<{ id: string }>("INSERT INTO site (name, time_zone, units) VALUES ('Site', 'UTC', 'metric') RETURNING id")).rows[0]!.id;
    const { rows } = await client.query<{ id: string }>(
      "INSERT INTO regulator_set (tag, site_id, seq, soiled_seq, last_at) SELECT 'B-' || n, $1, $2, $2, '2026-01-01T00:00:00Z'::timestamptz + make_interval(mins => $2) FROM generate_series(1, $3) n RETURNING id",
      [site, ENTRIES_OF_A_SET, SETS],
    );
    // The hashes are reckoned here: a hundred thousand times faster written than act by act.
    await client.query("ALTER TABLE record_entry DISABLE TRIGGER USER");
    for (let first = 0; first < rows.length; first += 100) {
      const lines = rows.slice(first, first + 100).flatMap(({ id }) => chainOf(id, site));
      await client.query(
        `INSERT INTO record_entry (site_id, set_id, seq, act, at, content, prev_hash, hash)
         SELECT $1, x.chain, x.seq, 'breath-tested', x.at::timestamptz, x.content::jsonb, decode(x.before, 'hex'), decode(x.hash, 'hex')
           FROM unnest($2::uuid[], $3::int[], $4::text[], $5::text[], $6::text[], $7::text[]) AS x (chain, seq, at, content, before, hash)`,
        [site, lines.map((one) => one.chain), lines.map((one) => one.seq), lines.map((one) => one.at), lines.map((one) => JSON.stringify(one.content)), lines.map((one) => one.before), lines.map((one) => one.hash)],
      );
    }
    await client.query("ALTER TABLE record_entry ENABLE TRIGGER USER");
    await client.query("ANALYZE");
  } finally {
    client.release();
  }
}

function chainOf(chain: string, site: string): (ChainEntry & { readonly before: string; readonly hash: string })[] {
  let hash = NO_HASH;
  return Array.from({ length: ENTRIES_OF_A_SET }, (_, n) => {
    const at = `${new Date(Date.UTC(2026, 0, 1, 0, n + 1)).toISOString().slice(0, -1)}000Z`;
    const content = { backOn: "2026-06-01", dives: 2, minutes: 120, teaching: false, cylinderBar: 232, cylinderConnection: "din-300", depthM: 18, o2Tenths: 210, waterTenthsC: 150, words: `breathed ${n}` };
    const entry: ChainEntry = { version: CHAIN_VERSION, chain, seq: n + 1, act: "breath-tested", at, by: null, device: null, request: null, site, content };
    const before = hash;
    hash = entryHash(entry, before, sha256);
    return { ...entry, before, hash };
  });
}

const seconds = (since: number): string => `${((performance.now() - since) / 1000).toFixed(1)} s`;
