/** A set's record, act by act, and what lies behind each act in words. */
import type { Database } from "./database.ts";

export interface LifeEntry {
  readonly seq: number;
  readonly act: string;
  readonly at: Date;
  readonly by: string | null;
  readonly device: string | null;
  readonly content: Readonly<Record<string, unknown>>;
  /** Names for the ids in `content`: components as "serial (maker model)", models, faults. */
  readonly names: Readonly<Record<string, string>>;
}

/** The newest entries before `before` (a sequence number, or null for the newest), at most `limit`. */
export async function readLife(db: Pick<Database, "reads">, set: string, before: number | null, limit: number): Promise<readonly LifeEntry[]> {
  const { rows } = await db.reads.query<Omit<LifeEntry, "names">>({
    text: `
      SELECT e.seq, e.act, e.at, p.name AS by, d.name AS device, e.content
      FROM record_entry e LEFT JOIN staff p ON p.id = e.by LEFT JOIN device d ON d.id = e.device_id
      WHERE e.set_id = $1 AND ($2::int IS NULL OR e.seq < $2) ORDER BY e.seq DESC LIMIT $3`,
    values: [set, before, limit],
  });
  const ids = new Set(rows.flatMap((row) => JSON.stringify(row.content).match(/[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}/g) ?? []));
  const names = await namesOf(db, [...ids]);
  return rows.map((row) => ({ ...row, names }));
}

async function namesOf(db: Pick<Database, "reads">, ids: readonly string[]): Promise<Readonly<Record<string, string>>> {
  if (ids.length === 0) return {};
  const { rows } = await db.reads.query<{ id: string; name: string }>({
    text: `
      SELECT c.id, coalesce(c.serial, 'unmarked') || ' (' || m.maker || ' ' || m.name || ')' AS name FROM component c JOIN model m ON m.id = c.model_id WHERE c.id = ANY ($1)
      UNION ALL SELECT id, maker || ' ' || name FROM model WHERE id = ANY ($1)
      UNION ALL SELECT id, code || CASE words WHEN '' THEN '' ELSE ': ' || words END FROM fault WHERE id = ANY ($1)
      UNION ALL SELECT id, name FROM site WHERE id = ANY ($1)
      UNION ALL SELECT id, reference FROM notice WHERE id = ANY ($1)
      UNION ALL SELECT id, label FROM bath WHERE id = ANY ($1)`,
    values: [ids],
  });
  return Object.fromEntries(rows.map(({ id, name }) => [id, name]));
}
