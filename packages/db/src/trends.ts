/**
 * Faults and the dives they are divided by, and what lies behind each figure. Dives are the components' own,
 * counted while fitted: a set dived twice is two dives of each of its parts.
 */
import type { Day } from "@hangrail/rules/calendar";
import type { ModelKind } from "@hangrail/rules/models";
import type { Database } from "./database.ts";

export type WaterKind = "sea" | "fresh" | "pool";

/** What is counted. Empty lists and nulls leave a thing open. */
export interface TrendQuestion {
  /** The sites the asker may see. */
  readonly sites: readonly string[];
  /** The first of the first month and the last day of the last: exposure is kept by months. */
  readonly from: Day;
  readonly until: Day;
  readonly confirmedOnly: boolean;
  readonly kind: ModelKind | null;
  readonly model: string | null;
  readonly maker: string | null;
  readonly code: string | null;
  readonly water: WaterKind | null;
}

export type TrendGroup = "model" | "maker" | "kind" | "site";

export interface TrendRow {
  readonly key: string;
  readonly name: string;
  readonly faults: number;
  readonly dives: number;
}

// One table of parameters for every question: $1 sites … $9 water.
const values = (q: TrendQuestion): unknown[] => [q.sites, q.from, q.until, q.confirmedOnly, q.kind, q.model, q.maker, q.code, q.water];

// A fault found on the bench or in the wash room followed no one hire; it is of no one kind of water.
const FAULTS = `
  SELECT f.*, m.kind, m.maker, m.name AS model_name FROM counted_fault f JOIN model m ON m.id = f.model_id
   WHERE f.site_id = ANY ($1) AND f.reported_on BETWEEN $2::date AND $3::date AND (NOT $4 OR f.confirmed)
     AND ($5::text IS NULL OR m.kind = $5) AND ($6::uuid IS NULL OR m.id = $6) AND ($7::text IS NULL OR m.maker = $7)
     AND ($8::text IS NULL OR f.code = $8)
     AND ($9::text IS NULL OR EXISTS (SELECT FROM hire_line l WHERE l.id = f.line_id AND l.water_kind = $9))`;

const DIVES = `
  SELECT e.site_id, e.model_id, e.month_on, e.dives, m.kind, m.maker, m.name AS model_name FROM exposure e JOIN model m ON m.id = e.model_id
   WHERE e.site_id = ANY ($1) AND e.month_on BETWEEN date_trunc('month', $2::date) AND $3::date
     AND ($5::text IS NULL OR m.kind = $5) AND ($6::uuid IS NULL OR m.id = $6) AND ($7::text IS NULL OR m.maker = $7)
     AND ($9::text IS NULL OR e.water_kind = $9) AND ($4 OR true) AND ($8::text IS NULL OR true)`;

const KEY: Readonly<Record<TrendGroup, { readonly key: string; readonly name: string }>> = {
  model: { key: "x.model_id::text", name: "max(x.maker || ' ' || x.model_name)" },
  maker: { key: "x.maker", name: "max(x.maker)" },
  kind: { key: "x.kind", name: "max(x.kind)" },
  site: { key: "x.site_id::text", name: "(SELECT s.name FROM site s WHERE s.id::text = max(x.site_id::text))" },
};

/** Faults and dives by group, most dives first. A group with either is named. */
export async function countFaults(db: Pick<Database, "reads">, by: TrendGroup, q: TrendQuestion): Promise<readonly TrendRow[]> {
  const { key, name } = KEY[by];
  const { rows } = await db.reads.query<TrendRow>({
    text: `
      WITH f AS (SELECT ${key} AS key, ${name} AS name, count(*)::int AS faults FROM (${FAULTS}) x GROUP BY 1),
           d AS (SELECT ${key} AS key, ${name} AS name, sum(x.dives)::float8 AS dives FROM (${DIVES}) x GROUP BY 1)
      SELECT coalesce(d.key, f.key) AS key, coalesce(d.name, f.name) AS name, coalesce(f.faults, 0) AS faults, coalesce(d.dives, 0) AS dives
        FROM d FULL JOIN f ON f.key = d.key ORDER BY dives DESC, name`,
    values: values(q),
  });
  return rows;
}

export interface TrendMonth {
  /** "2026-07". */
  readonly month: string;
  readonly faults: number;
  readonly dives: number;
}

/** Every month of the period in order, also those in which nothing happened. */
export async function countByMonth(db: Pick<Database, "reads">, q: TrendQuestion): Promise<readonly TrendMonth[]> {
  const { rows } = await db.reads.query<TrendMonth>({
    text: `
      WITH f AS (SELECT date_trunc('month', x.reported_on)::date AS month_on, count(*) AS faults FROM (${FAULTS}) x GROUP BY 1),
           d AS (SELECT x.month_on, sum(x.dives) AS dives FROM (${DIVES}) x GROUP BY 1)
      SELECT to_char(month, 'YYYY-MM') AS month, coalesce(d.dives, 0)::float8 AS dives, coalesce(f.faults, 0)::int AS faults
        FROM generate_series(date_trunc('month', $2::date), $3::date, '1 month') month
        LEFT JOIN d ON d.month_on = month LEFT JOIN f ON f.month_on = month
       ORDER BY month`,
    values: values(q),
  });
  return rows;
}

/** How often each fault code was counted. */
export async function countCodes(db: Pick<Database, "reads">, q: TrendQuestion): Promise<readonly { readonly code: string; readonly faults: number }[]> {
  const { rows } = await db.reads.query<{ code: string; faults: number }>({
    text: `SELECT x.code, count(*)::int AS faults FROM (${FAULTS}) x GROUP BY 1 ORDER BY 2 DESC, 1`,
    values: values(q),
  });
  return rows;
}

export interface FaultBehind {
  readonly id: string;
  readonly tag: string;
  readonly site: string;
  readonly code: string;
  readonly words: string;
  readonly on: Day;
  readonly model: string;
  readonly serial: string | null;
  readonly confirmed: boolean;
  readonly outcome: "mended" | "not-found" | null;
}

/** The faults behind a figure, newest first, cut to a page; and how many there are. */
export async function faultsBehind(db: Pick<Database, "reads">, q: TrendQuestion, offset: number, limit: number): Promise<{ readonly rows: readonly FaultBehind[]; readonly total: number }> {
  const { rows } = await db.reads.query<FaultBehind & { total: number }>({
    text: `SELECT x.id, x.tag, s.name AS site, x.code, x.words, x.reported_on::text AS on, x.maker || ' ' || x.model_name AS model, x.serial, x.confirmed, x.outcome,
                  (count(*) OVER ())::int AS total
             FROM (${FAULTS}) x JOIN site s ON s.id = x.site_id ORDER BY x.reported_at DESC, x.id OFFSET $10 LIMIT $11`,
    values: [...values(q), offset, limit],
  });
  return { rows: rows.map(({ total: _, ...row }) => row), total: rows[0]?.total ?? 0 };
}

export interface ServiceSpell {
  readonly model: string;
  readonly modelName: string;
  readonly kind: ModelKind;
  /** Whether the service was done oxygen-clean. */
  readonly oxygenClean: boolean;
  /** Dives of the component from its service to its first confirmed fault, or to where it was last seen without one. */
  readonly dives: number;
  readonly days: number;
  readonly fault: boolean;
}

const MOST_SPELLS = 50_000;

/**
 * One spell for each service done in the period: how many dives the component made until its first confirmed
 * fault, its next service, or today. Newest first, at most fifty thousand. Services that a sheet brought in are
 * left out: nobody knows what happened before we kept count.
 */
export async function serviceSpells(db: Database, q: Pick<TrendQuestion, "sites" | "from" | "until" | "kind" | "model" | "maker">, today: Day): Promise<readonly ServiceSpell[]> {
  const { rows } = await db.reads.query<ServiceSpell>({
    text: `
      WITH spell AS (
        SELECT w.component_id, w.at, w.done_on, w.dives_at, w.oxygen_clean, c.dives_total, m.id AS model_id, m.kind, m.maker || ' ' || m.name AS name,
               lead(w.at) OVER part AS next_at, lead(w.dives_at) OVER part AS next_dives, lead(w.done_on) OVER part AS next_on
          FROM component_work w JOIN component c ON c.id = w.component_id JOIN model m ON m.id = c.model_id
         WHERE w.kind = 'service' AND c.site_id = ANY ($1) AND ($4::text IS NULL OR m.kind = $4) AND ($5::uuid IS NULL OR m.id = $5) AND ($6::text IS NULL OR m.maker = $6)
        WINDOW part AS (PARTITION BY w.component_id ORDER BY w.done_on, w.id)
      ), counted AS (
        SELECT s.*, f.reported_at, f.reported_on FROM spell s
          LEFT JOIN LATERAL (SELECT reported_at, reported_on FROM counted_fault f WHERE f.component_id = s.component_id AND f.confirmed AND f.reported_at > s.at
            AND (s.next_at IS NULL OR f.reported_at < s.next_at) ORDER BY f.reported_at LIMIT 1) f ON true
         WHERE s.done_on BETWEEN $2::date AND $3::date AND EXISTS (SELECT FROM component_work w WHERE w.component_id = s.component_id AND w.at = s.at AND NOT w.imported)
         ORDER BY s.at DESC LIMIT ${MOST_SPELLS}
      )
      SELECT model_id AS model, name AS "modelName", kind, oxygen_clean AS "oxygenClean", reported_at IS NOT NULL AS fault,
             CASE WHEN reported_at IS NULL THEN coalesce(next_dives, dives_total) - dives_at
                  ELSE (SELECT coalesce(sum(u.dives), 0) FROM component_use u WHERE u.component_id = counted.component_id AND u.at > counted.at AND u.at <= counted.reported_at) END::int AS dives,
             (coalesce(reported_on, next_on, $7::date) - done_on)::int AS days
        FROM counted`,
    values: [q.sites, q.from, q.until, q.kind, q.model, q.maker, today],
  });
  return rows;
}
