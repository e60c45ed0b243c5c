/** What a site knows of what its models cost: the figures it entered, and what a year of use tells. */
import type { Day } from "@hangrail/rules/calendar";
import type { ModelKind } from "@hangrail/rules/models";
import type { Database } from "./database.ts";

export interface SiteMoney {
  readonly currency: string;
  /** Null: not entered. */
  readonly benchHourCents: number | null;
  readonly hireCents: number | null;
  readonly interestPermille: number;
}

export async function readMoney(db: Pick<Database, "reads">, site: string): Promise<SiteMoney> {
  const { rows } = await db.reads.query<SiteMoney>(
    'SELECT currency, bench_hour_cents AS "benchHourCents", hire_cents AS "hireCents", interest_permille AS "interestPermille" FROM site WHERE id = $1',
    [site],
  );
  const [money] = rows;
  if (money === undefined) throw new Error(`There is no site ${site}.`);
  return money;
}

export interface ModelCostFacts {
  readonly id: string;
  readonly kind: ModelKind;
  readonly name: string;
  /** Parts of this model fitted here now. */
  readonly parts: number;
  readonly priceCents: number | null;
  readonly resaleCents: number | null;
  readonly lifeYears: number | null;
  /** One service: what its kits cost together. Null without a kit list, or where a kit has no price. */
  readonly kitsCents: number | null;
  readonly serviceMinutes: number | null;
  /** Null without accepted limits. */
  readonly limits: { readonly months: number | null; readonly dives: number | null } | null;
  /** Dives of parts, confirmed faults, and hires of the sets they lead, in the year up to today. */
  readonly divesInYear: number;
  readonly faultsInYear: number;
  readonly hiresInYear: number;
  /** Mean minutes of the closed repairs of the year; null without one. */
  readonly repairMinutes: number | null;
}

/** The models fitted at a site, with a year of what was counted, ending on `today`. */
export async function readModelCosts(db: Pick<Database, "reads">, site: string, today: Day): Promise<readonly ModelCostFacts[]> {
  const { rows } = await db.reads.query<ModelCostFacts>({
    text: `
      WITH fitted AS (
        SELECT c.model_id, count(*)::int AS parts FROM fitting f JOIN component c ON c.id = f.component_id JOIN regulator_set s ON s.id = f.set_id
         WHERE f.until_at IS NULL AND s.site_id = $1 AND s.retired_seq IS NULL GROUP BY 1),
      dived AS (SELECT model_id, sum(dives)::float8 AS dives FROM exposure WHERE site_id = $1 AND month_on > $2::date - 366 AND month_on <= $2::date GROUP BY 1),
      failed AS (SELECT model_id, count(*)::int AS faults FROM counted_fault WHERE site_id = $1 AND confirmed AND reported_on > $2::date - 366 GROUP BY 1),
      hired AS (
        SELECT c.model_id, count(*)::int AS hires FROM hire_line l JOIN hire h ON h.id = l.hire_id
          JOIN fitting f ON f.set_id = l.set_id AND f.position = 'first-stage' AND f.from_seq < l.out_seq AND (f.until_seq IS NULL OR f.until_seq > l.out_seq)
          JOIN component c ON c.id = f.component_id
         WHERE h.site_id = $1 AND l.out_at > $2::date - 366 GROUP BY 1),
      repaired AS (
        SELECT f.model_id, avg(o.minutes)::float8 AS minutes FROM work_order o JOIN counted_fault f ON f.id = o.fault_id
         WHERE o.site_id = $1 AND o.outcome = 'done' AND o.done_at > $2::date - 366 GROUP BY 1)
      SELECT m.id, m.kind, m.maker || ' ' || m.name AS name, fitted.parts,
             y.price_cents AS "priceCents", y.resale_cents AS "resaleCents", y.life_years AS "lifeYears",
             CASE WHEN kits.id IS NOT NULL THEN
               (SELECT CASE WHEN count(*) FILTER (WHERE k.price_cents IS NULL) = 0 THEN coalesce(sum(n.quantity * k.price_cents), 0) END::int
                  FROM model_kit_line n JOIN kit k ON k.id = n.kit_id WHERE n.list_id = kits.id) END AS "kitsCents",
             b.service_minutes AS "serviceMinutes",
             CASE WHEN l.id IS NOT NULL THEN jsonb_build_object('months', l.service_months, 'dives', l.service_dives) END AS limits,
             coalesce(dived.dives, 0) AS "divesInYear", coalesce(failed.faults, 0) AS "faultsInYear", coalesce(hired.hires, 0) AS "hiresInYear",
             repaired.minutes AS "repairMinutes"
        FROM fitted JOIN model m ON m.id = fitted.model_id
        LEFT JOIN LATERAL (SELECT * FROM model_money p WHERE p.site_id = $1 AND p.model_id = m.id ORDER BY nth DESC LIMIT 1) y ON true
        LEFT JOIN LATERAL (SELECT id FROM model_kit_list g WHERE g.model_id = m.id ORDER BY nth DESC LIMIT 1) kits ON true
        LEFT JOIN LATERAL (SELECT service_minutes FROM model_build b WHERE b.model_id = m.id ORDER BY nth DESC LIMIT 1) b ON true
        LEFT JOIN LATERAL (SELECT id, service_months, service_dives FROM model_limits l WHERE l.model_id = m.id ORDER BY nth DESC LIMIT 1) l ON true
        LEFT JOIN dived ON dived.model_id = m.id LEFT JOIN failed ON failed.model_id = m.id LEFT JOIN hired ON hired.model_id = m.id LEFT JOIN repaired ON repaired.model_id = m.id
       ORDER BY array_position(ARRAY['first-stage', 'second-stage', 'gauge', 'inflator', 'hose', 'transmitter'], m.kind), name`,
    values: [site, today],
  });
  return rows;
}

export interface PartAge {
  /** Full years since the first day of use: 0 is the first year. */
  readonly age: number;
  /** Days in which parts of that age were fitted here, added over the parts. */
  readonly partDays: number;
  /** Confirmed faults of theirs. */
  readonly faults: number;
}

export interface ModelAges {
  readonly model: string;
  /** By age, from the youngest. Ages in which nothing was fitted are left out. */
  readonly ages: readonly PartAge[];
  /** Parts fitted now whose first day of use nobody knows; they are in no age. */
  readonly ageless: number;
}

/**
 * How long parts of each model were watched here in each year of their age up to the end of `today`, and how often they failed in it.
 * A part is watched while it is fitted in a set of the site that is not retired. First day of use: as `firstDayOfUse`.
 */
export async function readPartAges(db: Pick<Database, "reads">, site: string, today: Day): Promise<readonly ModelAges[]> {
  const { rows } = await db.reads.query<ModelAges>({
    text: `
      WITH spell AS (
        SELECT c.id, c.model_id, least(c.in_use_on, (c.bought_on + interval '12 months')::date) AS first_on, (f.from_at AT TIME ZONE t.time_zone)::date AS from_on,
               (coalesce(f.until_at, CASE WHEN s.retired_seq IS NOT NULL THEN s.last_at END) AT TIME ZONE t.time_zone)::date AS until_on
          FROM fitting f JOIN regulator_set s ON s.id = f.set_id JOIN site t ON t.id = s.site_id JOIN component c ON c.id = f.component_id
         WHERE s.site_id = $1),
      year AS (SELECT age FROM generate_series(0, 49) age),
      watched AS (
        SELECT model_id, age, sum(least(coalesce(until_on, $2::date + 1), (first_on + make_interval(years => age + 1))::date) - greatest(from_on, (first_on + make_interval(years => age))::date))::int AS days
          FROM spell JOIN year ON (first_on + make_interval(years => age))::date < coalesce(until_on, $2::date + 1) AND (first_on + make_interval(years => age + 1))::date > from_on
         WHERE from_on < coalesce(until_on, $2::date + 1) GROUP BY 1, 2),
      part AS (SELECT id, model_id, first_on, bool_or(until_on IS NULL) AS fitted FROM spell GROUP BY 1, 2, 3),
      failed AS (
        SELECT p.model_id, age, count(*)::int AS faults FROM counted_fault f JOIN part p ON p.id = f.component_id
          JOIN year ON f.reported_on >= (first_on + make_interval(years => age))::date AND f.reported_on < (first_on + make_interval(years => age + 1))::date
         WHERE f.site_id = $1 AND f.confirmed GROUP BY 1, 2),
      aged AS (
        SELECT model_id, jsonb_agg(jsonb_build_object('age', age, 'partDays', days, 'faults', coalesce(faults, 0)) ORDER BY age) AS ages
          FROM watched LEFT JOIN failed USING (model_id, age) GROUP BY 1)
      SELECT p.model_id AS model, coalesce(aged.ages, '[]') AS ages, count(*) FILTER (WHERE p.first_on IS NULL AND p.fitted)::int AS ageless
        FROM part p LEFT JOIN aged USING (model_id) GROUP BY p.model_id, aged.ages ORDER BY p.model_id`,
    values: [site, today],
  });
  return rows;
}
