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
