/** Reads about single sets and the parts on the shelf. */
import type { Day } from "@hangrail/rules/calendar";
import type { ModelKind, Role } from "@hangrail/rules/models";
import type { LimitsInput } from "./acts.ts";
import type { Database } from "./database.ts";

type Reads = Pick<Database, "reads">;

/** Since when each set stands as it stands: the oldest open fault, else the act that ended its release, else its newest act. */
export async function sinceWhen(db: Reads, sets: readonly string[]): Promise<ReadonlyMap<string, Date>> {
  const { rows } = await db.reads.query<{ id: string; since: Date }>(
    `SELECT s.id, coalesce(
        (SELECT at FROM record_entry e WHERE e.set_id = s.id AND e.seq = s.evidence_seq),
        (SELECT min(reported_at) FROM fault f WHERE f.set_id = s.id AND f.cleared_at IS NULL AND f.severity <> 'watch'),
        (SELECT at FROM record_entry e WHERE e.set_id = s.id AND e.seq = s.unreleased_seq AND s.unreleased_seq > s.released_seq),
        s.last_at) AS since
     FROM regulator_set s WHERE s.id = ANY ($1)`,
    [sets],
  );
  return new Map(rows.map(({ id, since }) => [id, since]));
}

/** The tags of a site's sets that are not retired, as they are sorted on the board. */
export async function listTags(db: Reads, site: string, limit: number): Promise<readonly string[]> {
  const { rows } = await db.reads.query<{ tag: string }>("SELECT tag FROM regulator_set WHERE site_id = $1 AND retired_seq IS NULL ORDER BY tag LIMIT $2", [site, limit]);
  return rows.map(({ tag }) => tag);
}

export interface ShelfPart {
  readonly id: string;
  readonly serial: string;
  readonly kind: ModelKind;
  readonly maker: string;
  readonly model: string;
  readonly dives: number;
}

/** Components of a site that are in no set. */
export async function listShelf(db: Reads, site: string): Promise<readonly ShelfPart[]> {
  const { rows } = await db.reads.query<ShelfPart>(
    `SELECT c.id, coalesce(c.serial, 'unmarked') AS serial, m.kind, m.maker, m.name AS model, c.dives_total AS dives FROM component c JOIN model m ON m.id = c.model_id
     WHERE c.site_id = $1 AND NOT EXISTS (SELECT FROM fitting f WHERE f.component_id = c.id AND f.until_at IS NULL)
     ORDER BY m.kind, m.maker, m.name, c.serial LIMIT 500`,
    [site],
  );
  return rows;
}

export interface PartHistory {
  readonly id: string;
  readonly totalDives: number;
  readonly totalMinutes: number;
  readonly estimatedDives: number;
  readonly fittedAt: Date;
  readonly work: readonly { readonly kind: "service" | "inspection" | "bedding-check"; readonly doneOn: Day; readonly divesAt: number; readonly by: string | null; readonly words: string; readonly imported: boolean }[];
}

/** What each component of a set has behind it. */
export async function readPartHistory(db: Reads, set: string): Promise<readonly PartHistory[]> {
  const { rows } = await db.reads.query<PartHistory>(
    `SELECT c.id, c.dives_total AS "totalDives", c.minutes_total AS "totalMinutes", f.from_at AS "fittedAt",
       (SELECT coalesce(sum(u.dives) FILTER (WHERE u.estimated), 0)::int FROM component_use u WHERE u.component_id = c.id) AS "estimatedDives",
       coalesce((SELECT jsonb_agg(jsonb_build_object('kind', w.kind, 'doneOn', w.done_on, 'divesAt', w.dives_at, 'by', p.name, 'words', w.words, 'imported', w.imported) ORDER BY w.done_on DESC, w.id DESC)
          FROM component_work w LEFT JOIN staff p ON p.id = w.done_by WHERE w.component_id = c.id), '[]') AS work
     FROM fitting f JOIN component c ON c.id = f.component_id WHERE f.set_id = $1 AND f.until_at IS NULL`,
    [set],
  );
  return rows;
}

export interface ModelRow {
  readonly id: string;
  readonly kind: ModelKind;
  readonly maker: string;
  readonly name: string;
  readonly components: number;
  /** Sets of this site that hold one of its components. */
  readonly sets: number;
  readonly limits: ModelLimitsRow | null;
}

/** Limits as they were accepted, by whom and when; the highest `nth` is in force. */
export interface ModelLimitsRow extends LimitsInput {
  readonly nth: number;
  readonly acceptedBy: string;
  readonly acceptedAt: string;
}

const LIMITS = `jsonb_build_object('nth', l.nth, 'serviceMonths', l.service_months, 'serviceDives', l.service_dives, 'serviceMinutes', l.service_minutes,
  'hasInspection', l.has_inspection, 'inspectionMonths', l.inspection_months, 'inspectionDives', l.inspection_dives, 'inspectionMinutes', l.inspection_minutes,
  'maxO2Tenths', l.max_o2_tenths, 'coldRating', l.cold_rating, 'connection', l.connection, 'maxSupplyBar', l.max_supply_bar, 'manualPage', l.manual_page,
  'acceptedBy', p.name, 'acceptedAt', l.accepted_at)`;

/** Every model with the limits in force; those without limits first, since their sets wait. */
export async function listModels(db: Reads, site: string): Promise<readonly ModelRow[]> {
  const { rows } = await db.reads.query<ModelRow>(
    `SELECT m.id, m.kind, m.maker, m.name,
       (SELECT count(*)::int FROM component c WHERE c.model_id = m.id AND c.site_id = $1) AS components,
       (SELECT count(DISTINCT f.set_id)::int FROM component c JOIN fitting f ON f.component_id = c.id AND f.until_at IS NULL JOIN regulator_set s ON s.id = f.set_id
         WHERE c.model_id = m.id AND s.site_id = $1) AS sets,
       (SELECT ${LIMITS} FROM model_limits l JOIN staff p ON p.id = l.accepted_by WHERE l.model_id = m.id ORDER BY l.nth DESC LIMIT 1) AS limits
     FROM model m ORDER BY (EXISTS (SELECT FROM model_limits l WHERE l.model_id = m.id)), m.maker, m.name`,
    [site],
  );
  return rows;
}

/** Every version of a model's limits, the newest first. */
export async function readLimitsHistory(db: Reads, model: string): Promise<readonly ModelLimitsRow[]> {
  const { rows } = await db.reads.query<{ limits: ModelLimitsRow }>(
    `SELECT ${LIMITS} AS limits FROM model_limits l JOIN staff p ON p.id = l.accepted_by WHERE l.model_id = $1 ORDER BY l.nth DESC`,
    [model],
  );
  return rows.map(({ limits }) => limits);
}

export interface PairingRow {
  readonly first: string;
  readonly firstName: string;
  readonly second: string;
  readonly secondName: string;
  readonly manualPage: string | null;
  /** Sets of this site with this pair in them. */
  readonly sets: number;
}

/** Approved pairings, and pairs that sit together in a set of this site without an approval (`manualPage` null). */
export async function listPairings(db: Reads, site: string): Promise<readonly PairingRow[]> {
  const { rows } = await db.reads.query<PairingRow>(
    `WITH fitted AS (
       SELECT c1.model_id AS first, c2.model_id AS second, count(DISTINCT s.id)::int AS sets FROM regulator_set s
         JOIN fitting f1 ON f1.set_id = s.id AND f1.until_at IS NULL AND f1.position = 'first-stage' JOIN component c1 ON c1.id = f1.component_id
         JOIN fitting f2 ON f2.set_id = s.id AND f2.until_at IS NULL AND f2.position IN ('primary', 'alternate') JOIN component c2 ON c2.id = f2.component_id
        WHERE s.site_id = $1 GROUP BY 1, 2),
     approved AS (SELECT first_model_id AS first, second_model_id AS second, manual_page FROM pairing WHERE withdrawn_at IS NULL)
     SELECT coalesce(f.first, a.first) AS first, m1.maker || ' ' || m1.name AS "firstName", coalesce(f.second, a.second) AS second, m2.maker || ' ' || m2.name AS "secondName",
       a.manual_page AS "manualPage", coalesce(f.sets, 0) AS sets
     FROM fitted f FULL JOIN approved a ON a.first = f.first AND a.second = f.second
     JOIN model m1 ON m1.id = coalesce(f.first, a.first) JOIN model m2 ON m2.id = coalesce(f.second, a.second)
     ORDER BY a.manual_page IS NOT NULL, 2, 4`,
    [site],
  );
  return rows;
}

/** Positions a component has held, for the page of a set. */
export interface PastFitting {
  readonly component: string;
  readonly serial: string;
  readonly model: string;
  readonly position: Role;
  readonly fromAt: Date;
  readonly untilAt: Date | null;
}

export async function readFittings(db: Reads, set: string): Promise<readonly PastFitting[]> {
  const { rows } = await db.reads.query<PastFitting>(
    `SELECT f.component_id AS component, coalesce(c.serial, 'unmarked') AS serial, m.maker || ' ' || m.name AS model, f.position, f.from_at AS "fromAt", f.until_at AS "untilAt"
     FROM fitting f JOIN component c ON c.id = f.component_id JOIN model m ON m.id = c.model_id WHERE f.set_id = $1 ORDER BY f.from_at DESC, f.id DESC LIMIT 200`,
    [set],
  );
  return rows;
}
