/**
 * Reads for the plan: everything a plan rests on, by site. Each is one statement whatever the fleet's
 * size; what could grow without end is cut at a bound that no centre comes near.
 */
import type { Day } from "@hangrail/rules/calendar";
import type { Connection } from "@hangrail/rules/models";
import type { UseOnDay } from "@hangrail/rules/use-rate";
import type { Database } from "./database.ts";
import type { BookingInput } from "./plan-acts.ts";

type Reads = Pick<Database, "reads">;

/** More sets than this at one site are not planned together. */
export const MOST_PLANNED_SETS = 5_000;
const MOST_BOOKINGS = 5_000;

/** The sets of a site that are not retired, and how many days one is off the desk for a service. */
export async function readPlannedSite(db: Reads, site: string): Promise<{ readonly sets: readonly string[]; readonly benchDays: number }> {
  const { rows } = await db.reads.query<{ sets: string[]; benchDays: number }>(
    `SELECT bench_days AS "benchDays", ARRAY(SELECT s.id FROM regulator_set s WHERE s.site_id = t.id AND s.retired_seq IS NULL ORDER BY s.tag LIMIT ${MOST_PLANNED_SETS}) AS sets
     FROM site t WHERE t.id = $1`,
    [site],
  );
  return rows[0] ?? { sets: [], benchDays: 1 };
}

export interface ComponentPast {
  readonly component: string;
  /** The first day its use was kept here; `null` = not in use yet. */
  readonly since: Day | null;
  readonly uses: readonly UseOnDay[];
}

/**
 * The use of every component fitted in a set of a site whose limits count use. The returns of a block of four weeks
 * counted back from today, and within one month, stand together on the last of their days: forecasts ask no finer.
 */
export async function listComponentPasts(db: Reads, site: string, today: Day, backDays: number, blockDays: number): Promise<readonly ComponentPast[]> {
  const { rows } = await db.reads.query<Omit<ComponentPast, "uses"> & { uses: readonly [Day, number, number][] }>(
    `SELECT c.id AS component, CASE WHEN c.in_use_on IS NOT NULL THEN greatest(c.in_use_on, (c.created_at AT TIME ZONE t.time_zone)::date) END::text AS since,
       coalesce(u.uses, '[]') AS uses
     FROM regulator_set s JOIN site t ON t.id = s.site_id JOIN fitting f ON f.set_id = s.id AND f.until_at IS NULL JOIN component c ON c.id = f.component_id
     JOIN LATERAL (SELECT l.* FROM model_limits l WHERE l.model_id = c.model_id ORDER BY l.nth DESC LIMIT 1) l
       ON num_nonnulls(l.service_dives, l.service_minutes, l.inspection_dives, l.inspection_minutes) > 0
     CROSS JOIN LATERAL (SELECT jsonb_agg(jsonb_build_array(g.last, g.dives, g.minutes) ORDER BY g.last) AS uses FROM (
         SELECT max(x.used_on) AS last, sum(x.dives) AS dives, sum(x.minutes) AS minutes FROM component_use x
          WHERE x.component_id = c.id AND x.line_id IS NOT NULL AND x.used_on BETWEEN $2::date - $3::int AND $2::date
          GROUP BY ($2::date - x.used_on) / $4::int, date_trunc('month', x.used_on)) g) u
     WHERE s.site_id = $1 AND s.retired_seq IS NULL`,
    [site, today, backDays, blockDays],
  );
  return rows.map((row) => ({ ...row, uses: row.uses.map(([on, dives, minutes]) => ({ on, dives, minutes })) }));
}

export interface ServedPast {
  readonly component: string;
  readonly model: string;
  readonly since: Day | null;
  readonly limit: number | null;
  readonly servicedOn: readonly Day[];
  readonly uses: readonly UseOnDay[];
}

/** Every use and service of the components of a site with a limit in dives, for asking the past. The newest components first, at most so many. */
export async function listServedPasts(db: Reads, site: string, today: Day, backDays: number, most: number): Promise<readonly ServedPast[]> {
  const { rows } = await db.reads.query<Omit<ServedPast, "uses"> & { uses: readonly [Day, number, number][] }>(
    `SELECT c.id AS component, c.model_id AS model, l.service_dives AS limit,
       CASE WHEN c.in_use_on IS NOT NULL THEN greatest(c.in_use_on, (c.created_at AT TIME ZONE t.time_zone)::date) END::text AS since,
       coalesce((SELECT jsonb_agg(w.done_on) FROM component_work w WHERE w.component_id = c.id AND w.kind = 'service'), '[]') AS "servicedOn",
       coalesce((SELECT jsonb_agg(jsonb_build_array(g.used_on, g.dives, g.minutes)) FROM (
         SELECT x.used_on, sum(x.dives) AS dives, sum(x.minutes) AS minutes FROM component_use x
          WHERE x.component_id = c.id AND x.line_id IS NOT NULL AND x.used_on BETWEEN $2::date - $3::int AND $2::date GROUP BY x.used_on) g), '[]') AS uses
     FROM component c JOIN site t ON t.id = c.site_id
     JOIN LATERAL (SELECT l.service_dives FROM model_limits l WHERE l.model_id = c.model_id ORDER BY l.nth DESC LIMIT 1) l ON l.service_dives IS NOT NULL
     WHERE c.site_id = $1 ORDER BY c.id LIMIT $4`,
    [site, today, backDays, most],
  );
  return rows.map((row) => ({ ...row, uses: row.uses.map(([on, dives, minutes]) => ({ on, dives, minutes })) }));
}

export interface ModelWork {
  readonly model: string;
  readonly name: string;
  /** Whether anybody has accepted limits from its manual. */
  readonly hasLimits: boolean;
  readonly serviceMinutes: number | null;
  readonly inspectionMinutes: number | null;
  /** `null` = nobody has recorded what a service uses. */
  readonly kits: readonly { readonly kit: string; readonly quantity: number }[] | null;
}

/** What a service of each model fitted at a site takes at the bench. */
export async function listModelWork(db: Reads, site: string): Promise<readonly ModelWork[]> {
  const { rows } = await db.reads.query<ModelWork>(
    `SELECT m.id AS model, m.maker || ' ' || m.name AS name, EXISTS (SELECT FROM model_limits l WHERE l.model_id = m.id) AS "hasLimits", b.service_minutes AS "serviceMinutes", b.inspection_minutes AS "inspectionMinutes",
       CASE WHEN k.id IS NOT NULL THEN coalesce((SELECT jsonb_agg(jsonb_build_object('kit', i.kit_id, 'quantity', i.quantity) ORDER BY i.kit_id) FROM model_kit_line i WHERE i.list_id = k.id), '[]') END AS kits
     FROM (SELECT DISTINCT c.model_id FROM regulator_set s JOIN fitting f ON f.set_id = s.id AND f.until_at IS NULL JOIN component c ON c.id = f.component_id
            WHERE s.site_id = $1 AND s.retired_seq IS NULL) u
     JOIN model m ON m.id = u.model_id
     LEFT JOIN LATERAL (SELECT * FROM model_build b WHERE b.model_id = m.id ORDER BY b.nth DESC LIMIT 1) b ON true
     LEFT JOIN LATERAL (SELECT g.id FROM model_kit_list g WHERE g.model_id = m.id ORDER BY g.nth DESC LIMIT 1) k ON true`,
    [site],
  );
  return rows;
}

export interface BookingRow extends BookingInput {
  readonly id: string;
  readonly madeBy: string;
  readonly madeAt: Date;
}

/** Bookings of a site that touch these days and were not withdrawn, the first to begin first. */
export async function listBookings(db: Reads, site: string, from: Day, until: Day): Promise<readonly BookingRow[]> {
  const { rows } = await db.reads.query<BookingRow>(
    `SELECT b.id, b.from_on::text AS "fromOn", b.until_on::text AS "untilOn", b.connection, b.cold, b.o2_tenths AS "o2Tenths", b.teaching, b.sets, b.words, b.source,
       p.name AS "madeBy", b.made_at AS "madeAt"
     FROM booking b JOIN staff p ON p.id = b.made_by
     WHERE b.site_id = $1 AND b.withdrawn_at IS NULL AND b.until_on >= $2::date AND b.from_on <= $3::date ORDER BY b.from_on, b.made_at, b.id LIMIT ${MOST_BOOKINGS}`,
    [site, from, until],
  );
  return rows;
}

export interface PastHire {
  readonly fromOn: Day;
  /** The day it came back, or was to. */
  readonly untilOn: Day;
  readonly connection: Connection;
  readonly waterTenthsC: number;
  readonly o2Tenths: number;
  readonly teaching: boolean;
  readonly sets: number;
}

/** What was out on these days, alike hires of a day together. */
export async function listPastHires(db: Reads, site: string, from: Day, until: Day): Promise<readonly PastHire[]> {
  const { rows } = await db.reads.query<PastHire>(
    `SELECT x.from_on::text AS "fromOn", x.until_on::text AS "untilOn", x.connection, x.water AS "waterTenthsC", x.o2 AS "o2Tenths", x.teaching, count(*)::int AS sets FROM (
       SELECT (l.out_at AT TIME ZONE t.time_zone)::date AS from_on, coalesce((l.back_at AT TIME ZONE t.time_zone)::date, l.back_on) AS until_on,
              h.cylinder_connection AS connection, h.water_tenths_c AS water, h.o2_tenths AS o2, h.teaching
         FROM hire h JOIN hire_line l ON l.hire_id = h.id JOIN site t ON t.id = h.site_id
        WHERE h.site_id = $1 AND l.out_at < (($3::date + 1)::timestamp AT TIME ZONE t.time_zone) AND l.out_at >= (($2::date - 366)::timestamp AT TIME ZONE t.time_zone)) x
     WHERE x.until_on >= $2::date AND x.from_on <= $3::date GROUP BY 1, 2, 3, 4, 5, 6 ORDER BY 1, 2 LIMIT 20000`,
    [site, from, until],
  );
  return rows;
}

export interface TechnicianRow {
  readonly id: string;
  readonly name: string;
  readonly authorisations: readonly { readonly maker: string; readonly from: Day; readonly until: Day }[];
  /** The newest hours of each week named, and of every other week (`weekOn` null). */
  readonly hours: readonly { readonly weekOn: Day | null; readonly minutes: number; readonly words: string }[];
}

/** The technicians of a site with their hours from a week on. */
export async function listTechnicians(db: Reads, site: string, from: Day): Promise<readonly TechnicianRow[]> {
  const { rows } = await db.reads.query<TechnicianRow>(
    `SELECT p.id, p.name,
       coalesce((SELECT jsonb_agg(jsonb_build_object('maker', a.maker, 'from', a.from_on, 'until', a.until_on) ORDER BY a.maker, a.from_on) FROM authorisation a WHERE a.staff_id = p.id AND a.until_on >= $2::date), '[]') AS authorisations,
       coalesce((SELECT jsonb_agg(jsonb_build_object('weekOn', h.week_on, 'minutes', h.minutes, 'words', h.words) ORDER BY h.week_on NULLS FIRST) FROM (
         SELECT DISTINCT ON (b.week_on) b.week_on, b.minutes, b.words FROM bench_hours b WHERE b.site_id = $1 AND b.staff_id = p.id AND (b.week_on IS NULL OR b.week_on >= $2::date)
          ORDER BY b.week_on, b.id DESC) h), '[]') AS hours
     FROM staff p WHERE p.closed_at IS NULL AND EXISTS (SELECT FROM staff_role r WHERE r.staff_id = p.id AND r.site_id = $1 AND r.role = 'technician' AND r.until_at IS NULL)
     ORDER BY p.name, p.id`,
    [site, from],
  );
  return rows;
}

export interface KitsUsed {
  readonly used: number;
  /** Of those, under orders for a repair or a notice: wanted without any plan. */
  readonly unplanned: number;
}

/** Kits used up at a site since a day, by kit. */
export async function readKitsUsed(db: Reads, site: string, since: Day): Promise<ReadonlyMap<string, KitsUsed>> {
  const { rows } = await db.reads.query<KitsUsed & { kit: string }>(
    `SELECT v.kit_id AS kit, -sum(v.quantity)::int AS used, coalesce(-sum(v.quantity) FILTER (WHERE o.kind IN ('repair', 'notice')), 0)::int AS unplanned
     FROM kit_movement v JOIN site t ON t.id = v.site_id LEFT JOIN work_order o ON o.id = v.order_id
     WHERE v.site_id = $1 AND v.kind = 'used' AND v.at >= ($2::date::timestamp AT TIME ZONE t.time_zone) GROUP BY v.kit_id`,
    [site, since],
  );
  return new Map(rows.map(({ kit, ...used }) => [kit, used]));
}

export interface AcceptedPlanRow {
  readonly id: string;
  readonly fromOn: Day;
  readonly weeks: number;
  readonly acceptedAt: Date;
  readonly acceptedBy: string;
  readonly words: string;
  /** In thousandths of a point. */
  readonly cost: number;
  readonly gapPpm: number;
  readonly lines: readonly {
    readonly setId: string;
    readonly tag: string;
    readonly weekOn: Day;
    readonly kind: "service" | "inspection";
    readonly locked: boolean;
    readonly why: { readonly why: string };
    readonly order: string;
    readonly state: "waiting" | "taken" | "parked" | "done" | "dropped";
    readonly since: readonly string[];
  }[];
}

/** The newest plan a site accepted, where its orders stand and what happened to its sets since. Sets that went to another site are left out. */
export async function readAcceptedPlan(db: Reads, site: string): Promise<AcceptedPlanRow | null> {
  const { rows } = await db.reads.query<AcceptedPlanRow>(
    `SELECT p.id, p.from_on::text AS "fromOn", p.weeks, p.accepted_at AS "acceptedAt", a.name AS "acceptedBy", p.words, p.cost::float8 AS cost, p.gap_ppm AS "gapPpm",
       coalesce((SELECT jsonb_agg(jsonb_build_object('setId', s.id, 'tag', s.tag, 'weekOn', l.week_on, 'kind', o.kind, 'locked', l.locked, 'why', l.why, 'order', o.id,
           'state', CASE WHEN o.outcome IS NOT NULL THEN o.outcome WHEN o.taken_at IS NULL THEN 'waiting'
             WHEN EXISTS (SELECT FROM work_order_park k WHERE k.order_id = o.id AND k.until_at IS NULL) THEN 'parked' ELSE 'taken' END,
           'since', coalesce((SELECT jsonb_agg(e.act ORDER BY e.seq) FROM record_entry e WHERE e.set_id = s.id AND e.seq > l.seq), '[]')) ORDER BY l.week_on, s.tag)
         FROM plan_line l JOIN regulator_set s ON s.id = l.set_id AND s.site_id = p.site_id JOIN work_order o ON o.id = l.order_id WHERE l.plan_id = p.id), '[]') AS lines
     FROM plan p JOIN staff a ON a.id = p.accepted_by WHERE p.site_id = $1 ORDER BY p.nth DESC LIMIT 1`,
    [site],
  );
  return rows[0] ?? null;
}

/** The acts on sets of a site after a number each, by set, the first first. */
export async function listActsSince(db: Reads, site: string, sets: readonly { readonly id: string; readonly seq: number }[]): Promise<ReadonlyMap<string, readonly string[]>> {
  const { rows } = await db.reads.query<{ id: string; acts: string[] }>(
    `SELECT s.id, array_agg(e.act ORDER BY e.seq) AS acts FROM unnest($2::uuid[], $3::int[]) w(id, seq) JOIN regulator_set s ON s.id = w.id AND s.site_id = $1
     JOIN record_entry e ON e.set_id = s.id AND e.seq > w.seq GROUP BY s.id`,
    [site, sets.map(({ id }) => id), sets.map(({ seq }) => seq)],
  );
  return new Map(rows.map(({ id, acts }) => [id, acts]));
}

export interface CalendarFeedRow {
  readonly id: string;
  readonly words: string;
  readonly madeBy: string;
  readonly madeAt: Date;
  readonly revokedAt: Date | null;
}

/** The calendar addresses of a site, the newest first. */
export async function listCalendars(db: Reads, site: string): Promise<readonly CalendarFeedRow[]> {
  const { rows } = await db.reads.query<CalendarFeedRow>(
    `SELECT c.id, c.words, p.name AS "madeBy", c.made_at AS "madeAt", c.revoked_at AS "revokedAt" FROM calendar_feed c JOIN staff p ON p.id = c.made_by
     WHERE c.site_id = $1 ORDER BY c.made_at DESC, c.id LIMIT 200`,
    [site],
  );
  return rows;
}

/** The site whose calendar a secret opens; `null` for one that was revoked as for one that never was. */
export async function findCalendar(db: Reads, tokenHash: Buffer): Promise<{ readonly site: string; readonly name: string } | null> {
  const { rows } = await db.reads.query<{ site: string; name: string }>(
    "SELECT s.id AS site, s.name FROM calendar_feed c JOIN site s ON s.id = c.site_id WHERE c.token_hash = $1 AND c.revoked_at IS NULL",
    [tokenHash],
  );
  return rows[0] ?? null;
}
