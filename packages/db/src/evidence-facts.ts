/** What an evidence bundle of a set holds beside its record: who the people are, who hired it, and the photographs. */
import type { Database } from "./database.ts";

export interface EvidenceSet {
  readonly id: string;
  readonly tag: string;
  readonly site: string;
  readonly timeZone: string;
}

/** A set of this site by its tag; null where there is none. */
export async function findEvidenceSet(db: Pick<Database, "reads">, site: string, tag: string): Promise<EvidenceSet | null> {
  const { rows } = await db.reads.query<EvidenceSet>(`SELECT s.id, s.tag, t.name AS site, t.time_zone AS "timeZone" FROM regulator_set s JOIN site t ON t.id = s.site_id WHERE s.site_id = $1 AND s.tag = $2`, [site, tag]);
  return rows[0] ?? null;
}

/** Who had the set on one hire, with what opens the commitment in the record; all null once the name is erased. */
export interface EvidenceHirer {
  readonly hire: string;
  readonly name: string | null;
  readonly contact: string | null;
  readonly salt: string | null;
}

export async function readEvidenceHirers(db: Pick<Database, "reads">, set: string): Promise<EvidenceHirer[]> {
  const { rows } = await db.reads.query<EvidenceHirer>(
    `SELECT h.id AS hire, n.name, n.contact, encode(n.salt, 'hex') AS salt FROM hire_line l JOIN hire h ON h.id = l.hire_id JOIN hirer n ON n.id = h.hirer_id WHERE l.set_id = $1 ORDER BY l.out_seq`,
    [set],
  );
  return rows;
}

/** The names of everybody who recorded something of this set, by their ids. */
export async function readEvidencePeople(db: Pick<Database, "reads">, set: string): Promise<Readonly<Record<string, string>>> {
  const { rows } = await db.reads.query<{ id: string; name: string }>("SELECT id, name FROM staff WHERE id IN (SELECT by FROM record_entry WHERE set_id = $1) ORDER BY name, id", [set]);
  return Object.fromEntries(rows.map(({ id, name }) => [id, name]));
}

export interface EvidencePhoto {
  readonly id: string;
  readonly fault: string;
  readonly mediaType: string;
  readonly bytes: Buffer;
}

export async function readEvidencePhotos(db: Pick<Database, "reads">, set: string): Promise<EvidencePhoto[]> {
  const { rows } = await db.reads.query<EvidencePhoto>(`SELECT p.id, p.fault_id AS fault, p.media_type AS "mediaType", p.bytes FROM fault_photo p JOIN fault f ON f.id = p.fault_id WHERE f.set_id = $1 ORDER BY p.taken_at, p.id`, [set]);
  return rows;
}

/** The site a set is at, by its tag, for a command that is not given on behalf of a site. */
export async function findSiteOfSet(db: Pick<Database, "reads">, tag: string): Promise<string | null> {
  const { rows } = await db.reads.query<{ site: string }>("SELECT site_id AS site FROM regulator_set WHERE tag = $1", [tag]);
  return rows[0]?.site ?? null;
}
