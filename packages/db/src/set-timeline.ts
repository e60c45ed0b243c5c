/** What a set has lived through, in days for a picture, and its parts' readings over time. */
import type { Day } from "@hangrail/rules/calendar";
import type { Database } from "./database.ts";

export type Mark = "wash" | "fault" | "test" | "service" | "inspection" | "swap" | "notice" | "release";

export interface Timeline {
  readonly set: string;
  readonly from: Day;
  readonly until: Day;
  /** Days on which something was recorded, by what it was, each with how often. */
  readonly marks: readonly { readonly on: Day; readonly mark: Mark; readonly times: number }[];
  /** Dives by the day of their return. */
  readonly dives: readonly { readonly on: Day; readonly dives: number }[];
}

/** The whole life of a site's set, from its first entry to today; null for a tag that is none of the site's. */
export async function readTimeline(db: Pick<Database, "reads">, site: string, tag: string): Promise<Timeline | null> {
  const { rows } = await db.reads.query<Timeline>({
    text: `
      WITH s AS (SELECT s.id, t.time_zone FROM regulator_set s JOIN site t ON t.id = s.site_id WHERE s.tag = $2 AND s.site_id = $1),
      e AS (
        SELECT (r.at AT TIME ZONE s.time_zone)::date AS on, CASE r.act
            WHEN 'cleaned' THEN 'wash' WHEN 'fault-reported' THEN 'fault' WHEN 'bench-tested' THEN 'test' WHEN 'bench-test-failed' THEN 'test' WHEN 'serviced' THEN 'service'
            WHEN 'inspected' THEN 'inspection' WHEN 'fitted' THEN 'swap' WHEN 'removed' THEN 'swap' WHEN 'notice-opened' THEN 'notice' WHEN 'released' THEN 'release' END AS mark
          FROM record_entry r JOIN s ON s.id = r.set_id)
      SELECT s.id AS set, coalesce((SELECT min(e.on) FROM e), (kitroom_clock() AT TIME ZONE s.time_zone)::date)::text AS from, (kitroom_clock() AT TIME ZONE s.time_zone)::date::text AS until,
        coalesce((SELECT jsonb_agg(jsonb_build_object('on', m.on, 'mark', m.mark, 'times', m.times) ORDER BY m.on, m.mark)
                    FROM (SELECT e.on, e.mark, count(*) AS times FROM e WHERE e.mark IS NOT NULL GROUP BY 1, 2) m), '[]') AS marks,
        coalesce((SELECT jsonb_agg(jsonb_build_object('on', d.on, 'dives', d.dives) ORDER BY d.on)
                    FROM (SELECT (l.back_at AT TIME ZONE s.time_zone)::date AS on, sum(l.dives) AS dives FROM hire_line l WHERE l.set_id = s.id AND l.dives > 0 GROUP BY 1) d), '[]') AS dives
        FROM s`,
    values: [site, tag],
  });
  return rows[0] ?? null;
}

export interface ReadingSeries {
  readonly component: string;
  readonly position: string;
  readonly part: string;
  readonly name: "intermediate-pressure" | "creep" | "cracking-effort";
  /** Pressure of the supply in hundredths of a bar; null where none was written down. */
  readonly supplyCbar: number | null;
  /** The limit in force now. */
  readonly low: number | null;
  readonly high: number | null;
  readonly servicedOn: Day | null;
  readonly readings: readonly { readonly on: Day; readonly value: number; readonly phase: "as-found" | "as-left" }[];
}

/** The readings of the parts fitted now, wherever they sat when they were read, oldest first. */
export async function readReadings(db: Pick<Database, "reads">, set: string): Promise<readonly ReadingSeries[]> {
  const { rows } = await db.reads.query<ReadingSeries>({
    text: `
      SELECT c.id AS component, f.position, coalesce(c.serial, 'unmarked') || ' (' || m.maker || ' ' || m.name || ')' AS part, r.name, r.supply_cbar AS "supplyCbar",
             l.low, l.high, c.serviced_on::text AS "servicedOn",
             jsonb_agg(jsonb_build_object('on', t.tested_on, 'value', r.value, 'phase', t.phase) ORDER BY t.tested_at, r.id) AS readings
        FROM fitting f JOIN component c ON c.id = f.component_id JOIN model m ON m.id = c.model_id
        JOIN bench_reading r ON r.component_id = c.id AND r.name IN ('intermediate-pressure', 'creep', 'cracking-effort') JOIN bench_test t ON t.id = r.test_id
        LEFT JOIN LATERAL (SELECT b.low, b.high FROM bench_limit b WHERE b.model_id = c.model_id
          AND b.name = CASE r.name WHEN 'cracking-effort' THEN 'cracking-effort-' || f.position ELSE r.name END ORDER BY b.nth DESC LIMIT 1) l ON true
       WHERE f.set_id = $1 AND f.until_at IS NULL
       GROUP BY c.id, f.position, m.maker, m.name, r.name, r.supply_cbar, l.low, l.high
       ORDER BY array_position(ARRAY['first-stage', 'primary', 'alternate'], f.position), part, r.name DESC, r.supply_cbar DESC`,
    values: [set],
  });
  return rows;
}
