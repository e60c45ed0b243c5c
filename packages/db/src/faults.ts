/** Reads about faults: the open ones, their photographs, and how seriously a site takes each line of the list. */
import type { Severity } from "@hangrail/rules/hand-out";
import type { Database } from "./database.ts";

type Reads = Pick<Database, "reads">;

export interface OpenFault {
  readonly id: string;
  readonly setId: string;
  readonly tag: string;
  readonly component: string | null;
  readonly code: string;
  readonly severity: Severity;
  readonly where: string;
  readonly words: string;
  readonly reportedAt: Date;
  readonly reportedBy: string;
  /** What the technician found, once one has looked. */
  readonly found: { readonly code: string; readonly component: string | null; readonly words: string; readonly by: string; readonly at: string } | null;
  /** Ids of its photographs, the first taken first. */
  readonly photos: readonly string[];
}

/** Faults of a site that nobody has cleared, the oldest first; of one set when given. */
export async function listOpenFaults(db: Reads, site: string, set: string | null): Promise<readonly OpenFault[]> {
  const { rows } = await db.reads.query<OpenFault>(
    `SELECT ${FAULT} FROM fault f JOIN regulator_set s ON s.id = f.set_id JOIN staff p ON p.id = f.reported_by LEFT JOIN staff q ON q.id = f.confirmed_by
     WHERE f.cleared_at IS NULL AND s.site_id = $1 AND ($2::uuid IS NULL OR f.set_id = $2) ORDER BY f.reported_at`,
    [site, set],
  );
  return rows;
}

export interface KnownFault extends OpenFault {
  readonly cleared: { readonly at: string; readonly by: string; readonly outcome: "mended" | "not-found"; readonly words: string } | null;
}

/** One fault of a site, cleared or not. */
export async function readFault(db: Reads, site: string, fault: string): Promise<KnownFault | null> {
  const { rows } = await db.reads.query<KnownFault>(
    `SELECT ${FAULT},
       CASE WHEN f.cleared_at IS NOT NULL THEN jsonb_build_object('at', f.cleared_at, 'by', r.name, 'outcome', f.outcome, 'words', f.clear_words) END AS cleared
     FROM fault f JOIN regulator_set s ON s.id = f.set_id JOIN staff p ON p.id = f.reported_by
     LEFT JOIN staff q ON q.id = f.confirmed_by LEFT JOIN staff r ON r.id = f.cleared_by
     WHERE f.id = $2 AND s.site_id = $1`,
    [site, fault],
  );
  return rows[0] ?? null;
}

const FAULT = `f.id, f.set_id AS "setId", s.tag, f.component_id AS component, f.code, f.severity, f.found_where AS "where", f.words, f.reported_at AS "reportedAt", p.name AS "reportedBy",
  CASE WHEN f.confirmed_at IS NOT NULL THEN jsonb_build_object('code', f.found_code, 'component', f.found_component, 'words', f.found_words, 'by', q.name, 'at', f.confirmed_at) END AS found,
  coalesce((SELECT jsonb_agg(h.id ORDER BY h.taken_at, h.id) FROM fault_photo h WHERE h.fault_id = f.id), '[]') AS photos`;

export interface Photo {
  readonly mediaType: "image/jpeg" | "image/png" | "image/webp";
  readonly bytes: Buffer;
}

/** A photograph of a fault of a set that belongs to this site. */
export async function readPhoto(db: Reads, site: string, photo: string): Promise<Photo | null> {
  const { rows } = await db.reads.query<Photo>(
    `SELECT h.media_type AS "mediaType", h.bytes FROM fault_photo h JOIN fault f ON f.id = h.fault_id JOIN regulator_set s ON s.id = f.set_id
     WHERE h.id = $2 AND s.site_id = $1`,
    [site, photo],
  );
  return rows[0] ?? null;
}

export interface TunedSeverity {
  readonly code: string;
  readonly severity: Severity;
  readonly setBy: string;
  readonly setAt: Date;
}

/** The site's own severities, the newest of each code. */
export async function readTuning(db: Reads, site: string): Promise<readonly TunedSeverity[]> {
  const { rows } = await db.reads.query<TunedSeverity>(
    `SELECT DISTINCT ON (t.code) t.code, t.severity, p.name AS "setBy", t.set_at AS "setAt" FROM fault_tuning t JOIN staff p ON p.id = t.set_by
     WHERE t.site_id = $1 ORDER BY t.code, t.id DESC`,
    [site],
  );
  return rows;
}
