/** The seal of a set that was in an accident: since when, from hand to hand, and who allowed it to be lifted. */
import type { Database } from "./database.ts";

/** Instants as the database writes them in JSON. */
export interface Evidence {
  readonly set: string;
  readonly tag: string;
  readonly sealed: boolean;
  /** Every time it was sealed, the newest first; `lifted` null = the seal stands. */
  readonly seals: readonly Seal[];
  /** Faults that are still open; lifting the seal clears none of them. */
  readonly openFaults: readonly { readonly code: string; readonly words: string }[];
}

export interface Seal {
  readonly at: string;
  readonly by: string | null;
  readonly lifted: { readonly at: string; readonly by: string | null; readonly allowedBy: string; readonly words: string } | null;
  /** From hand to hand, the oldest first. */
  readonly custody: readonly CustodyNote[];
}

export interface CustodyNote {
  readonly seq: number;
  readonly at: string;
  readonly from: string;
  readonly to: string;
  readonly place: string;
  readonly words: string;
  readonly by: string;
}

// The acts that seal while no seal stands, each with the lifting that follows it. A second report of an accident seals nothing anew.
const SEALS = `SELECT e.set_id, e.seq, e.at, e.by, u.seq AS until_seq, u.at AS until_at, u.by AS until_by, u.content AS until_content
  FROM record_entry e LEFT JOIN LATERAL (SELECT x.* FROM record_entry x WHERE x.set_id = e.set_id AND x.act = 'evidence-lifted' AND x.seq > e.seq ORDER BY x.seq LIMIT 1) u ON true
  WHERE e.act = 'evidence-locked' AND NOT EXISTS (
    SELECT FROM record_entry b WHERE b.set_id = e.set_id AND b.act = 'evidence-locked' AND b.seq < e.seq
      AND NOT EXISTS (SELECT FROM record_entry l WHERE l.set_id = e.set_id AND l.act = 'evidence-lifted' AND l.seq BETWEEN b.seq AND e.seq))`;

/** What is recorded of the seals of a set of this site by its tag; `null` where there is no such set. */
export async function readEvidence(db: Pick<Database, "reads">, site: string, tag: string): Promise<Evidence | null> {
  const { rows } = await db.reads.query<Evidence>(
    `SELECT s.id AS "set", s.tag, s.evidence_seq IS NOT NULL AS sealed,
       coalesce((SELECT jsonb_agg(jsonb_build_object('at', a.at, 'by', p.name,
           'lifted', CASE WHEN a.until_seq IS NOT NULL THEN jsonb_build_object('at', a.until_at, 'by', q.name, 'allowedBy', a.until_content->>'allowedBy', 'words', a.until_content->>'words') END,
           'custody', coalesce((SELECT jsonb_agg(jsonb_build_object('seq', k.seq, 'at', k.noted_at, 'from', k.from_hand, 'to', k.to_hand, 'place', k.place, 'words', k.words, 'by', w.name) ORDER BY k.seq)
             FROM custody_note k JOIN staff w ON w.id = k.noted_by WHERE k.set_id = s.id AND k.seq > a.seq AND (a.until_seq IS NULL OR k.seq < a.until_seq)), '[]')) ORDER BY a.seq DESC)
         FROM (${SEALS} AND e.set_id = s.id) a LEFT JOIN staff p ON p.id = a.by LEFT JOIN staff q ON q.id = a.until_by), '[]') AS seals,
       coalesce((SELECT jsonb_agg(jsonb_build_object('code', f.code, 'words', f.words) ORDER BY f.report_seq) FROM fault f WHERE f.set_id = s.id AND f.cleared_at IS NULL), '[]') AS "openFaults"
     FROM regulator_set s WHERE s.site_id = $1 AND s.tag = $2`,
    [site, tag],
  );
  return rows[0] ?? null;
}
