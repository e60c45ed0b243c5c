/** Boards of many sets: filtered, sorted and cut into pages by the database, so that a screen loads only what it shows. */
import type { Day } from "@hangrail/rules/calendar";
import type { SetState } from "@hangrail/rules/set-state";
import type { Database } from "./database.ts";

export const BOARD_SORTS = ["tag", "state", "dueOn", "divesLeft", "backOn", "lastAt"] as const;
export type BoardSort = (typeof BOARD_SORTS)[number];

export interface BoardQuestion {
  readonly site: string;
  /** Part of a tag, a serial, a maker's or a model's name. */
  readonly search: string | null;
  /** Empty = every state but retired. */
  readonly states: readonly SetState[];
  readonly model: string | null;
  readonly sort: BoardSort;
  readonly descending: boolean;
  readonly offset: number;
  readonly limit: number;
}

export interface BoardRow {
  readonly id: string;
  readonly tag: string;
  readonly state: SetState;
  readonly dueOn: Day | null;
  readonly divesLeft: number | null;
  readonly backOn: Day | null;
  readonly lastAt: Date;
}

const COLUMN: Readonly<Record<BoardSort, string>> = {
  tag: "tag",
  state: "state",
  dueOn: "due_on",
  divesLeft: "dives_left",
  backOn: "back_on",
  lastAt: "last_at",
};

// Site and filters are parameters; only the sort, from the fixed list above, is put into the text.
const WHERE = `
  WHERE b.site_id = $1
    AND (cardinality($2::text[]) = 0 AND b.state <> 'retired' OR b.state = ANY ($2))
    AND ($3::text IS NULL OR b.tag ILIKE $3 OR EXISTS (
      SELECT FROM fitting f JOIN component c ON c.id = f.component_id JOIN model m ON m.id = c.model_id
      WHERE f.set_id = b.id AND f.until_at IS NULL AND (c.serial ILIKE $3 OR m.name ILIKE $3 OR m.maker ILIKE $3)))
    AND ($4::text IS NULL OR b.models LIKE '%' || $4 || '%')`;

/** One page of the board and how many sets it would have in all. */
export async function readBoard(db: Pick<Database, "reads">, q: BoardQuestion): Promise<{ readonly rows: readonly BoardRow[]; readonly total: number }> {
  const direction = q.descending ? "DESC" : "ASC";
  const { rows } = await db.reads.query<BoardRow & { total: number }>({
    text: `
      SELECT id, tag, state, due_on::text AS "dueOn", dives_left AS "divesLeft", back_on::text AS "backOn", last_at AS "lastAt",
             (count(*) OVER ())::int AS total
      FROM set_board b ${WHERE}
      ORDER BY ${COLUMN[q.sort]} ${direction} NULLS LAST, tag
      OFFSET $5 LIMIT $6`,
    values: [...filters(q), q.offset, q.limit],
  });
  return { rows: rows.map(({ total: _, ...row }) => row), total: rows[0]?.total ?? 0 };
}

/** How many sets of a site show each state. */
export async function countStates(db: Pick<Database, "reads">, site: string): Promise<Readonly<Partial<Record<SetState, number>>>> {
  const { rows } = await db.reads.query<{ state: SetState; sets: number }>({
    text: "SELECT state, count(*)::int AS sets FROM set_board WHERE site_id = $1 GROUP BY state",
    values: [site],
  });
  return Object.fromEntries(rows.map(({ state, sets }) => [state, sets]));
}

/** The ids of ready sets of a site, those with the earliest due day first. */
export async function readySets(db: Pick<Database, "reads">, site: string, limit: number): Promise<readonly string[]> {
  const { rows } = await db.reads.query<{ id: string }>({
    text: "SELECT id FROM set_board WHERE site_id = $1 AND state = 'ready' ORDER BY due_on NULLS LAST, tag LIMIT $2",
    values: [site, limit],
  });
  return rows.map(({ id }) => id);
}

function filters(q: BoardQuestion): unknown[] {
  const search = q.search === null ? null : `%${q.search.replace(/[\\%_]/g, (c) => `\\${c}`)}%`;
  return [q.site, q.states, search, q.model];
}
