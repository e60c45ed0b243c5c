/** Reads about the bench's work: orders, what may ask for one, and what a release rests on. */
import type { Day } from "@hangrail/rules/calendar";
import type { Connection } from "@hangrail/rules/models";
import type { TestOfSet } from "@hangrail/rules/release";
import type { WorkOrderKind, WorkOrderState } from "@hangrail/rules/work-orders";
import type { Database } from "./database.ts";

type Reads = Pick<Database, "reads">;

export interface WorkOrder {
  readonly id: string;
  readonly setId: string;
  readonly tag: string;
  readonly kind: WorkOrderKind;
  readonly fault: string | null;
  readonly notice: string | null;
  readonly state: WorkOrderState;
  /** The Monday of the week it is planned for, by the newest plan that names it. */
  readonly weekOn: Day | null;
  readonly words: string;
  readonly openedAt: Date;
  readonly openedBy: string;
  readonly takenAt: Date | null;
  readonly takenBy: string | null;
  /** What it waits for, while it waits for parts. */
  readonly park: { readonly why: string; readonly expectedOn: Day | null; readonly at: string; readonly by: string } | null;
  readonly closed: { readonly at: string; readonly by: string; readonly minutes: number | null; readonly words: string } | null;
}

const ORDER = `o.id, o.set_id AS "setId", s.tag, o.kind, o.fault_id AS fault, o.notice_id AS notice,
  CASE WHEN o.outcome IS NOT NULL THEN o.outcome WHEN o.taken_at IS NULL THEN 'waiting' WHEN k.id IS NOT NULL THEN 'parked' ELSE 'taken' END AS state,
  coalesce((SELECT l.week_on FROM plan_line l WHERE l.plan_id = (SELECT p.id FROM plan p WHERE p.site_id = s.site_id ORDER BY p.nth DESC LIMIT 1)
     AND l.set_id = o.set_id AND l.order_id = o.id), o.week_on)::text AS "weekOn", o.words, o.opened_at AS "openedAt", a.name AS "openedBy", o.taken_at AS "takenAt", b.name AS "takenBy",
  CASE WHEN k.id IS NOT NULL THEN jsonb_build_object('why', k.why, 'expectedOn', k.expected_on, 'at', k.from_at, 'by', d.name) END AS park,
  CASE WHEN o.done_at IS NOT NULL THEN jsonb_build_object('at', o.done_at, 'by', c.name, 'minutes', o.minutes, 'words', o.done_words) END AS closed
FROM work_order o JOIN regulator_set s ON s.id = o.set_id JOIN staff a ON a.id = o.opened_by
LEFT JOIN staff b ON b.id = o.taken_by LEFT JOIN staff c ON c.id = o.done_by
LEFT JOIN work_order_park k ON k.order_id = o.id AND k.until_at IS NULL AND o.done_at IS NULL LEFT JOIN staff d ON d.id = k.from_by`;

/** The orders of a site that are still to be done. An order goes along with its set to another site. */
export async function listOpenOrders(db: Reads, site: string): Promise<readonly WorkOrder[]> {
  const { rows } = await db.reads.query<WorkOrder>(`SELECT ${ORDER} WHERE s.site_id = $1 AND o.done_at IS NULL ORDER BY o.opened_at, o.id`, [site]);
  return rows;
}

/** The orders of a site's set that are still to be done. */
export async function listOrdersOfSet(db: Reads, site: string, set: string): Promise<readonly WorkOrder[]> {
  const { rows } = await db.reads.query<WorkOrder>(`SELECT ${ORDER} WHERE s.site_id = $1 AND o.set_id = $2 AND o.done_at IS NULL ORDER BY o.opened_at, o.id`, [site, set]);
  return rows;
}

/** One order of a site, open or closed. */
export async function readOrder(db: Reads, site: string, order: string): Promise<WorkOrder | null> {
  const { rows } = await db.reads.query<WorkOrder>(`SELECT ${ORDER} WHERE s.site_id = $1 AND o.id = $2`, [site, order]);
  return rows[0] ?? null;
}

export interface OpenMatch {
  readonly setId: string;
  readonly notice: string;
  readonly component: string;
  readonly title: string;
  readonly reference: string;
  readonly remedy: string;
  readonly state: "open" | "check";
  readonly matchedAt: Date;
}

/** Components in sets of a site that a notice holds; of one set when given. */
export async function listOpenMatches(db: Reads, site: string, set: string | null): Promise<readonly OpenMatch[]> {
  const { rows } = await db.reads.query<OpenMatch>(
    `SELECT f.set_id AS "setId", m.notice_id AS notice, m.component_id AS component, n.title, n.reference, n.remedy, m.state, m.matched_at AS "matchedAt"
     FROM notice_match m JOIN notice n ON n.id = m.notice_id JOIN fitting f ON f.component_id = m.component_id AND f.until_at IS NULL JOIN regulator_set s ON s.id = f.set_id
     WHERE m.cleared_at IS NULL AND s.site_id = $1 AND ($2::uuid IS NULL OR s.id = $2) ORDER BY m.matched_at, m.notice_id`,
    [site, set],
  );
  return rows;
}

/**
 * Sets of a site that may have something for the bench: with an open order, fault or notice, or with a component near
 * one of its limits, never seen, too long on the shelf, or fresh from a service. More than there are, never fewer: the
 * rules decide on each. Sets under evidence lock or retired are left out.
 */
export async function benchCandidates(db: Reads, site: string, soon: { readonly days: number; readonly dives: number }): Promise<readonly string[]> {
  const { rows } = await db.reads.query<{ id: string }>(
    `SELECT s.id FROM regulator_set s JOIN site t ON t.id = s.site_id CROSS JOIN LATERAL (SELECT (kitroom_clock() AT TIME ZONE t.time_zone)::date AS today) d
     WHERE s.site_id = $1 AND s.retired_seq IS NULL AND s.evidence_seq IS NULL AND (
       EXISTS (SELECT FROM work_order o WHERE o.set_id = s.id AND o.done_at IS NULL)
       OR EXISTS (SELECT FROM fault f WHERE f.set_id = s.id AND f.cleared_at IS NULL AND f.severity <> 'watch')
       OR EXISTS (SELECT FROM component_standing k JOIN component c ON c.id = k.component_id WHERE k.set_id = s.id AND (
            k.never_seen OR k.shelf_until < d.today
            OR least(k.service_due_on, k.inspection_due_on) <= d.today + $2::int
            OR least(k.service_dives_left, k.inspection_dives_left) <= $3::int
            OR least(k.service_minutes_left, k.inspection_minutes_left) <= 0
            OR EXISTS (SELECT FROM notice_match n WHERE n.component_id = k.component_id AND n.cleared_at IS NULL)
            OR (k.position IN ('first-stage', 'primary', 'alternate') AND (c.bedding_on IS NULL OR c.bedding_on < c.serviced_on)
                AND (c.dives_total - c.serviced_dives >= t.bedding_dives OR d.today - c.serviced_on >= t.bedding_days)))))
     ORDER BY s.tag`,
    [site, soon.days, soon.dives],
  );
  return rows.map(({ id }) => id);
}

export interface RecordedTest extends TestOfSet {
  readonly id: string;
  readonly order: string | null;
  readonly words: string;
  readonly testedOn: Day;
  readonly testedAt: Date;
  readonly testedBy: string;
}

export interface ReleaseBasis {
  readonly setId: string;
  /** Since the set was last opened or released, whichever is longer ago; `testedAt` as text with its offset. */
  readonly tests: readonly (Omit<RecordedTest, "testedAt"> & { readonly testedAt: string })[];
  /** When it was last opened, refitted or serviced; `null` = never since it is recorded here. */
  readonly openedSeq: number | null;
  readonly released: boolean;
  /** Who opened, refitted or serviced it since its last release; `null` = somebody nobody recorded. */
  readonly workedBy: readonly (string | null)[];
  readonly orders: readonly { readonly order: string; readonly state: WorkOrderState }[];
  readonly faults: readonly { readonly fault: string; readonly severity: "out" | "hold" | "watch" }[];
  readonly releaseBySecond: boolean;
}

/** What a release of these sets of a site rests on, beside their components. */
export async function readReleaseBasis(db: Reads, site: string, sets: readonly string[]): Promise<readonly ReleaseBasis[]> {
  const { rows } = await db.reads.query<ReleaseBasis>(
    `SELECT s.id AS "setId", nullif(s.retest_seq, 0) AS "openedSeq", s.released_seq > s.unreleased_seq AS released, t.release_by_second AS "releaseBySecond",
       coalesce((SELECT jsonb_agg(jsonb_build_object('id', b.id, 'seq', b.seq, 'phase', b.phase, 'verdict', b.verdict, 'order', b.order_id, 'words', b.words,
            'testedOn', b.tested_on, 'testedAt', b.tested_at, 'testedBy', p.name) ORDER BY b.seq)
          FROM bench_test b JOIN staff p ON p.id = b.tested_by WHERE b.set_id = s.id AND b.seq >= least(s.retest_seq, s.released_seq)), '[]') AS tests,
       coalesce((SELECT jsonb_agg(DISTINCT e.by) FROM record_entry e WHERE e.set_id = s.id AND e.seq > s.released_seq AND e.act IN ('opened', 'fitted', 'removed', 'serviced')), '[]') AS "workedBy",
       coalesce((SELECT jsonb_agg(jsonb_build_object('order', o.id, 'state', CASE WHEN o.taken_at IS NULL THEN 'waiting'
            WHEN EXISTS (SELECT FROM work_order_park k WHERE k.order_id = o.id AND k.until_at IS NULL) THEN 'parked' ELSE 'taken' END))
          FROM work_order o WHERE o.set_id = s.id AND o.done_at IS NULL), '[]') AS orders,
       coalesce((SELECT jsonb_agg(jsonb_build_object('fault', f.id, 'severity', f.severity) ORDER BY f.reported_at) FROM fault f WHERE f.set_id = s.id AND f.cleared_at IS NULL), '[]') AS faults
     FROM regulator_set s JOIN site t ON t.id = s.site_id WHERE s.id = ANY ($2) AND s.site_id = $1`,
    [site, sets],
  );
  return rows;
}

export interface RecordedWork {
  readonly kind: "service" | "inspection" | "bedding-check";
  readonly at: Date;
  readonly by: string | null;
  readonly words: string;
  readonly oxygenClean: boolean;
  readonly components: readonly string[];
  readonly kits: readonly { readonly component: string; readonly kit: string; readonly lot: string; readonly quantity: number }[];
}

/** The work recorded under an order, the first done first; what was done in one act stands together. */
export async function listWorkOfOrder(db: Reads, order: string): Promise<readonly RecordedWork[]> {
  const { rows } = await db.reads.query<RecordedWork>(
    `SELECT w.kind, w.at, p.name AS by, w.words, bool_or(coalesce(w.oxygen_clean, false)) AS "oxygenClean",
       jsonb_agg(coalesce(c.serial, 'unmarked') || ' (' || m.maker || ' ' || m.name || ')' ORDER BY m.kind, c.serial) AS components,
       coalesce((SELECT jsonb_agg(jsonb_build_object('component', coalesce(c2.serial, 'unmarked'), 'kit', t.maker || ' ' || t.name, 'lot', v.lot, 'quantity', -v.quantity) ORDER BY t.name, c2.serial)
          FROM kit_movement v JOIN kit t ON t.id = v.kit_id JOIN component c2 ON c2.id = v.component_id WHERE v.order_id = $1 AND v.at = w.at), '[]') AS kits
     FROM component_work w JOIN component c ON c.id = w.component_id JOIN model m ON m.id = c.model_id LEFT JOIN staff p ON p.id = w.done_by
     WHERE w.order_id = $1 GROUP BY w.seq, w.kind, w.at, p.name, w.words ORDER BY w.seq`,
    [order],
  );
  return rows;
}

/** Every bench test recorded under an order, the first done first. */
export async function listTestsOfOrder(db: Reads, order: string): Promise<readonly RecordedTest[]> {
  const { rows } = await db.reads.query<RecordedTest>(
    `SELECT b.id, b.seq, b.phase, b.verdict, b.order_id AS "order", b.words, b.tested_on::text AS "testedOn", b.tested_at AS "testedAt", p.name AS "testedBy"
     FROM bench_test b JOIN staff p ON p.id = b.tested_by WHERE b.order_id = $1 ORDER BY b.seq`,
    [order],
  );
  return rows;
}

export interface AuthorisationRow {
  readonly maker: string;
  readonly from: Day;
  readonly until: Day;
  readonly oxygenClean: boolean;
}

/** What a person is authorised for, whatever the day. */
export async function readAuthorisations(db: Reads, staff: string): Promise<readonly AuthorisationRow[]> {
  const { rows } = await db.reads.query<AuthorisationRow>(
    `SELECT maker, from_on::text AS from, until_on::text AS until, oxygen_clean AS "oxygenClean" FROM authorisation WHERE staff_id = $1`,
    [staff],
  );
  return rows;
}

export interface BookingAhead {
  readonly fromOn: Day;
  readonly untilOn: Day;
  /** The cylinder valve it asks for; `null` = any. */
  readonly connection: Connection | null;
  readonly cold: boolean;
  readonly o2Tenths: number;
}

/** Bookings of a site that begin by a day and have not ended before today. */
export async function listBookingsAhead(db: Reads, site: string, today: Day, by: Day): Promise<readonly BookingAhead[]> {
  const { rows } = await db.reads.query<BookingAhead>(
    `SELECT from_on::text AS "fromOn", until_on::text AS "untilOn", connection, cold, o2_tenths AS "o2Tenths" FROM booking
     WHERE site_id = $1 AND withdrawn_at IS NULL AND until_on >= $2::date AND from_on <= $3::date ORDER BY from_on, id LIMIT 2000`,
    [site, today, by],
  );
  return rows;
}
