import type { Database } from "./database.ts";

/** The tags of sets and the names of sites by their ids; of one site's only, or of all. */
export async function readChainNames(db: Pick<Database, "reads">, chains: readonly string[], site: string | null): Promise<ReadonlyMap<string, string>> {
  if (chains.length === 0) return new Map();
  const { rows } = await db.reads.query<{ id: string; name: string }>(
    `SELECT id, tag AS name FROM regulator_set WHERE id = ANY ($1) AND ($2::uuid IS NULL OR site_id = $2)
     UNION ALL SELECT id, name FROM site WHERE id = ANY ($1) AND ($2::uuid IS NULL OR id = $2)`,
    [[...new Set(chains)], site],
  );
  return new Map(rows.map(({ id, name }) => [id, name]));
}
