/** The record as its chains: entries in the order of each chain, heads, and the contents behind their hashes. */
import { mayLoseDigits } from "@hangrail/rules/canonical-json";
import type { ChainHead, LinkedEntry } from "@hangrail/rules/record-chain";
import { longQuery, type Database } from "./database.ts";

/** Instants of the record as they are hashed. */
export const RECORD_INSTANT = `'YYYY-MM-DD"T"HH24:MI:SS.US"Z"'`;
const ENTRIES_AT_A_TIME = 20_000;

const FIELDS = `e.hash_version AS version, e.act, to_char(e.at AT TIME ZONE 'UTC', ${RECORD_INSTANT}) AS at, e.by, e.device_id AS device, e.request_id AS request,
  e.site_id AS site, e.content::text AS content, encode(e.prev_hash, 'hex') AS "prevHash", encode(e.hash, 'hex') AS hash`;

type Row = Omit<LinkedEntry, "content"> & { readonly content: string };

/** An entry whose content cannot be written down in the one canonical way, which no act of Hangrail leaves behind. */
export const NOT_CANONICAL = Symbol("not canonical");

/**
 * Every entry of the record, or of one site's sets and the site itself, chain by chain and in each by its place, in batches. A question each, so that no act
 * waits and no statement runs long; what is appended meanwhile may or may not be among them.
 */
export async function* readChains(db: Database, site: string | null = null): AsyncGenerator<LinkedEntry[]> {
  const ofSite = site === null ? "$4::uuid IS NULL" : "e.set_id IN (SELECT id FROM regulator_set WHERE site_id = $4)";
  const ownOfSite = site === null ? "$4::uuid IS NULL" : "e.site_id = $4";
  yield* inBatches(db, site, `SELECT e.set_id AS chain, e.seq, ${FIELDS} FROM record_entry e WHERE ${ofSite} AND e.set_id IS NOT NULL AND (e.set_id, e.seq) > ($1::uuid, $2::int) ORDER BY e.set_id, e.seq LIMIT $3`);
  yield* inBatches(db, site, `SELECT e.site_id AS chain, e.site_seq AS seq, ${FIELDS} FROM record_entry e WHERE ${ownOfSite} AND e.set_id IS NULL AND (e.site_id, e.site_seq) > ($1::uuid, $2::int) ORDER BY e.site_id, e.site_seq LIMIT $3`);
}

async function* inBatches(db: Database, site: string | null, text: string): AsyncGenerator<LinkedEntry[]> {
  let after: { readonly chain: string; readonly seq: number } = { chain: "00000000-0000-0000-0000-000000000000", seq: 0 };
  let asked: Promise<Row[]> | null = longQuery<Row>(db, text, [after.chain, after.seq, ENTRIES_AT_A_TIME, site]);
  while (asked !== null) {
    const rows: Row[] = await asked;
    const last = rows.at(-1);
    if (last === undefined) return;
    after = last;
    // The next batch is fetched while this one is looked at.
    asked = rows.length < ENTRIES_AT_A_TIME ? null : longQuery<Row>(db, text, [after.chain, after.seq, ENTRIES_AT_A_TIME, site]);
    asked?.catch(() => undefined);
    yield await Promise.all(rows.map((row) => linked(db, row)));
  }
}

/** The entries of one chain. */
export async function readChain(db: Database, chain: string): Promise<LinkedEntry[]> {
  const rows = await longQuery<Row>(
    db,
    `SELECT coalesce(e.set_id, e.site_id) AS chain, coalesce(e.seq, e.site_seq) AS seq, ${FIELDS} FROM record_entry e WHERE e.set_id = $1 OR (e.site_id = $1 AND e.set_id IS NULL) ORDER BY 2`,
    [chain],
  );
  return Promise.all(rows.map((row) => linked(db, row)));
}

function linked(db: Database, row: Row): LinkedEntry | Promise<LinkedEntry> {
  if (mayLoseDigits(row.content)) return exactly(db, row);
  return { ...row, content: JSON.parse(row.content) as unknown };
}

/** PostgreSQL keeps more digits than a double: it says itself whether this content is canonical. */
async function exactly(db: Database, row: Row): Promise<LinkedEntry> {
  try {
    await db.reads.query("SELECT canonical_json($1::jsonb)", [row.content]);
    return { ...row, content: JSON.parse(row.content) as unknown };
  } catch (error) {
    if ((error as { code?: string }).code !== "HR400") throw error;
    return { ...row, content: NOT_CANONICAL };
  }
}

/** The head of every chain and the instant they were read at: one moment for all of them. */
export async function readHeads(db: Database): Promise<{ readonly at: string; readonly heads: readonly ChainHead[] }> {
  const rows = await longQuery<{ at: string; chain: string | null; seq: number; hash: string }>(
    db,
    `SELECT to_char(n.at AT TIME ZONE 'UTC', ${RECORD_INSTANT}) AS at, h.chain, h.seq, encode(h.hash, 'hex') AS hash FROM (SELECT kitroom_clock() AS at) n LEFT JOIN chain_head h ON true`,
    [],
  );
  return { at: rows[0]!.at, heads: rows.filter((row) => row.chain !== null).map(({ chain, seq, hash }) => ({ chain: chain!, seq, hash })) };
}
