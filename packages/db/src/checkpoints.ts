/** Checkpoints of the record as they are kept: each signed root, and the heads that moved since the one before. */
import type { SignedCheckpoint } from "@hangrail/rules/checkpoint";
import type { ChainHead } from "@hangrail/rules/record-chain";
import { act, type Answer, type Who } from "./acts.ts";
import { longQuery, type Database } from "./database.ts";
import { RECORD_INSTANT } from "./record-chain.ts";

export interface KeptCheckpoint extends SignedCheckpoint {
  /** Who asked for it; null = the server by itself. */
  readonly madeBy: string | null;
}

const FIELDS = `c.number, to_char(c.at AT TIME ZONE 'UTC', ${RECORD_INSTANT}) AS at, c.chains, c.entries::float8 AS entries, encode(c.root, 'hex') AS root, encode(c.previous, 'hex') AS previous,
  encode(c.public_key, 'hex') AS "publicKey", encode(c.signature, 'hex') AS signature, p.name AS "madeBy"`;

/** Every checkpoint, the oldest first. */
export async function readCheckpoints(db: Database): Promise<KeptCheckpoint[]> {
  return longQuery<KeptCheckpoint>(db, `SELECT ${FIELDS} FROM checkpoint c LEFT JOIN staff p ON p.id = c.made_by ORDER BY c.number`, []);
}

/** The newest ones, the newest first. */
export async function readNewestCheckpoints(db: Pick<Database, "reads">, most: number): Promise<KeptCheckpoint[]> {
  const { rows } = await db.reads.query<KeptCheckpoint>(`SELECT ${FIELDS} FROM checkpoint c LEFT JOIN staff p ON p.id = c.made_by ORDER BY c.number DESC LIMIT $1`, [most]);
  return rows;
}

/** The heads that moved up to each checkpoint since the one before, all of them, the oldest checkpoint first. */
export async function readHeadMoves(db: Database, upTo: number): Promise<(ChainHead & { readonly number: number })[]> {
  return longQuery(db, "SELECT number, chain, seq, encode(hash, 'hex') AS hash FROM checkpoint_head WHERE number <= $1 ORDER BY number, chain", [upTo]);
}

/** Heads written down at a checkpoint that are no entry of the record any more: cut off, or hashed anew. */
export async function readLostHeads(db: Database, most: number): Promise<(ChainHead & { readonly number: number })[]> {
  return longQuery(
    db,
    `SELECT h.number, h.chain, h.seq, encode(h.hash, 'hex') AS hash FROM checkpoint_head h
       LEFT JOIN record_entry e ON e.set_id = h.chain AND e.seq = h.seq LEFT JOIN record_entry o ON o.site_id = h.chain AND o.set_id IS NULL AND o.site_seq = h.seq
      WHERE coalesce(e.hash, o.hash) IS DISTINCT FROM h.hash ORDER BY h.number, h.chain LIMIT $1`,
    [most],
  );
}

/** Keeps a checkpoint; refused when another was made meanwhile. `who` is null when the server made it by itself. */
export const keepCheckpoint = (db: Database, who: Who | null, checkpoint: SignedCheckpoint, moved: readonly ChainHead[]) =>
  act<Answer<{ number: number }>>({ acts: db.longJobs }, "keep_checkpoint", [who, checkpoint, JSON.stringify(moved)]);

/** Erases the names of hirers whose time is over, at most so many of a site at once. Answers how many. */
export async function eraseHirers(db: Database, atMost: number): Promise<number> {
  const rows = await longQuery<{ erased: number }>(db, "SELECT erase_hirers($1) AS erased", [atMost]);
  return rows[0]!.erased;
}

/** Says of an earlier entry of a set what was wrong with it. */
export const correctEntry = (db: Database, who: Who, set: string, entry: number, words: string) => act<Answer>(db, "correct_entry", [who, set, entry, words]);
