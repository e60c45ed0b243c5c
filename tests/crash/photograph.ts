/** Everything that is in a database, table by table, to be held beside a later look. */
import type pg from "pg";

/** By table: how many rows, and what they say together. */
export type Photograph = ReadonlyMap<string, { readonly rows: number; readonly digest: string }>;

/** Left out: what Hangrail's own tables do not contain, and what a run of migrations writes down about itself. */
const OTHERS = ["crash_at", "_prisma_migrations"];

export async function photograph(owner: pg.Pool): Promise<Photograph> {
  const tables = await owner.query<{ name: string }>("SELECT relname AS name FROM pg_class WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace AND relname <> ALL ($1) ORDER BY 1", [OTHERS]);
  if (tables.rows.length < 30) throw new Error(`Only ${tables.rows.length} tables were looked at.`);
  const one = ({ name }: { name: string }) => `SELECT '${name}' AS name, count(*)::int AS rows, coalesce(sum(hashtextextended(t::text, 0)), 0)::text AS digest FROM "${name}" t`;
  const { rows } = await owner.query<{ name: string; rows: number; digest: string }>(tables.rows.map(one).join(" UNION ALL "));
  return new Map(rows.map(({ name, ...seen }) => [name, seen]));
}

/** By table, how many rows came to it; `changed` where rows changed and none came. Empty when nothing is different. */
export function difference(before: Photograph, after: Photograph): Record<string, number | "changed"> {
  const names = [...new Set([...before.keys(), ...after.keys()])].sort();
  return Object.fromEntries(
    names.flatMap((name): [string, number | "changed"][] => {
      const [one, other] = [before.get(name), after.get(name)];
      if (one?.digest === other?.digest) return [];
      const more = (other?.rows ?? 0) - (one?.rows ?? 0);
      return [[name, more === 0 ? "changed" : more]];
    }),
  );
}
