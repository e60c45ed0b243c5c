/** Kits on the shelf: what lies there, what came and went, what is ordered, and what due services will ask for. */
import type { Day } from "@hangrail/rules/calendar";
import type { Database } from "./database.ts";

type Reads = Pick<Database, "reads">;

export interface KitRow {
  readonly id: string;
  readonly maker: string;
  readonly name: string;
  readonly priceCents: number | null;
  readonly leadDays: number | null;
  /** On the shelf of this site. */
  readonly stock: number;
  readonly models: readonly { readonly id: string; readonly name: string; readonly quantity: number }[];
  readonly orders: readonly KitOrderRow[];
}

/** An order that is not closed. */
export interface KitOrderRow {
  readonly id: string;
  readonly quantity: number;
  readonly orderedOn: Day;
  readonly expectedOn: Day;
  readonly orderedBy: string;
}

// The lists in force: the newest of each model.
const LINES_IN_FORCE = `SELECT g.model_id, l.kit_id, l.quantity FROM model_kit_list g JOIN model_kit_line l ON l.list_id = g.id
  WHERE g.nth = (SELECT max(nth) FROM model_kit_list x WHERE x.model_id = g.model_id)`;

/** Every kit with its stock at a site, the models whose service uses it, and its open orders. */
export async function listKits(db: Reads, site: string): Promise<readonly KitRow[]> {
  const { rows } = await db.reads.query<KitRow>(
    `SELECT k.id, k.maker, k.name, k.price_cents AS "priceCents", k.lead_days AS "leadDays",
       (SELECT coalesce(sum(v.quantity), 0)::int FROM kit_movement v WHERE v.kit_id = k.id AND v.site_id = $1) AS stock,
       coalesce((SELECT jsonb_agg(jsonb_build_object('id', m.id, 'name', m.maker || ' ' || m.name, 'quantity', i.quantity) ORDER BY m.maker, m.name)
         FROM (${LINES_IN_FORCE}) i JOIN model m ON m.id = i.model_id WHERE i.kit_id = k.id), '[]') AS models,
       coalesce((SELECT jsonb_agg(jsonb_build_object('id', o.id, 'quantity', o.quantity, 'orderedOn', o.ordered_on, 'expectedOn', o.expected_on, 'orderedBy', p.name) ORDER BY o.expected_on, o.ordered_at)
         FROM kit_order o JOIN staff p ON p.id = o.ordered_by WHERE o.kit_id = k.id AND o.site_id = $1 AND o.closed_at IS NULL), '[]') AS orders
     FROM kit k ORDER BY k.maker, k.name`,
    [site],
  );
  return rows;
}

export interface KitNeed {
  readonly kit: string;
  /** Kits that one service each of the due components uses. */
  readonly quantity: number;
  readonly components: number;
}

/**
 * What the services due by a day will use: one service of every fitted component whose service is
 * due by then, or that has so few dives left. A component without a kit list adds nothing.
 */
export async function readKitNeeds(db: Reads, site: string, until: Day, divesLeft: number): Promise<readonly KitNeed[]> {
  const { rows } = await db.reads.query<KitNeed>(
    `SELECT i.kit_id AS kit, sum(i.quantity)::int AS quantity, count(*)::int AS components
     FROM component_standing k JOIN regulator_set s ON s.id = k.set_id AND s.retired_seq IS NULL JOIN (${LINES_IN_FORCE}) i ON i.model_id = k.model_id
     WHERE k.site_id = $1 AND (k.service_due_on <= $2 OR k.service_dives_left <= $3 OR k.service_minutes_left <= 0) GROUP BY i.kit_id`,
    [site, until, divesLeft],
  );
  return rows;
}

export interface KitMovementRow {
  readonly id: string;
  readonly kind: "received" | "counted" | "used";
  /** Below nought: taken off the shelf. Of a count: the difference it found. */
  readonly quantity: number;
  readonly lot: string | null;
  readonly words: string;
  readonly at: Date;
  readonly by: string;
  /** The component it went into, and the set that sits in now. */
  readonly component: string | null;
  readonly tag: string | null;
}

/** What came and went of one kit at a site, the newest first. */
export async function listKitMovements(db: Reads, site: string, kit: string, limit = 200): Promise<readonly KitMovementRow[]> {
  const { rows } = await db.reads.query<KitMovementRow>(
    `SELECT v.id::text AS id, v.kind, v.quantity, v.lot, v.words, v.at, p.name AS "by",
       m.maker || ' ' || m.name || ', ' || coalesce(c.serial, 'unmarked') AS component,
       (SELECT s.tag FROM fitting f JOIN regulator_set s ON s.id = f.set_id WHERE f.component_id = v.component_id AND f.until_at IS NULL) AS tag
     FROM kit_movement v JOIN staff p ON p.id = v.by LEFT JOIN component c ON c.id = v.component_id LEFT JOIN model m ON m.id = c.model_id
     WHERE v.site_id = $1 AND v.kit_id = $2 ORDER BY v.id DESC LIMIT $3`,
    [site, kit, limit],
  );
  return rows;
}

export interface ClosedKitOrder {
  readonly id: string;
  readonly quantity: number;
  readonly received: number;
  readonly orderedOn: Day;
  readonly expectedOn: Day;
  readonly closedAt: Date;
  readonly closedBy: string;
}

/** Orders of one kit that are closed, with what came; the newest first. */
export async function listClosedKitOrders(db: Reads, site: string, kit: string): Promise<readonly ClosedKitOrder[]> {
  const { rows } = await db.reads.query<ClosedKitOrder>(
    `SELECT o.id, o.quantity, o.received, o.ordered_on::text AS "orderedOn", o.expected_on::text AS "expectedOn", o.closed_at AS "closedAt", p.name AS "closedBy"
     FROM kit_order o JOIN staff p ON p.id = o.closed_by WHERE o.site_id = $1 AND o.kit_id = $2 AND o.closed_at IS NOT NULL ORDER BY o.closed_at DESC LIMIT 100`,
    [site, kit],
  );
  return rows;
}

export interface ServiceKits {
  readonly component: string;
  readonly modelId: string;
  /** `null` = nobody has recorded what a service of this model uses. */
  readonly lines: readonly { readonly kit: string; readonly quantity: number }[] | null;
  readonly maxO2Tenths: number | null;
  /** How it was last serviced; `null` = no service is recorded. */
  readonly lastOxygenClean: boolean | null;
}

/** What one service of each component of a set uses, by the kit lists in force. */
export async function readServiceKits(db: Reads, site: string, set: string): Promise<readonly ServiceKits[]> {
  const { rows } = await db.reads.query<ServiceKits>(
    `SELECT c.id AS component, c.model_id AS "modelId",
       CASE WHEN EXISTS (SELECT FROM model_kit_list l WHERE l.model_id = c.model_id)
         THEN coalesce((SELECT jsonb_agg(jsonb_build_object('kit', i.kit_id, 'quantity', i.quantity)) FROM (${LINES_IN_FORCE}) i WHERE i.model_id = c.model_id), '[]') END AS lines,
       (SELECT l.max_o2_tenths FROM model_limits l WHERE l.model_id = c.model_id ORDER BY l.nth DESC LIMIT 1) AS "maxO2Tenths",
       (SELECT w.oxygen_clean FROM component_work w WHERE w.component_id = c.id AND w.kind = 'service' ORDER BY w.done_on DESC, w.id DESC LIMIT 1) AS "lastOxygenClean"
     FROM fitting f JOIN component c ON c.id = f.component_id JOIN regulator_set s ON s.id = f.set_id
     WHERE f.set_id = $2 AND s.site_id = $1 AND f.until_at IS NULL`,
    [site, set],
  );
  return rows;
}

export interface ShelfKit {
  readonly id: string;
  readonly name: string;
  readonly stock: number;
  /** Lots of which more came than went, the oldest first. A lot nobody wrote down is not among them. */
  readonly lots: readonly { readonly lot: string; readonly quantity: number }[];
}

/** Every kit with what lies on the shelf of a site, by lot. */
export async function listShelfKits(db: Reads, site: string): Promise<readonly ShelfKit[]> {
  const { rows } = await db.reads.query<ShelfKit>(
    `SELECT k.id, k.maker || ' ' || k.name AS name,
       (SELECT coalesce(sum(v.quantity), 0)::int FROM kit_movement v WHERE v.kit_id = k.id AND v.site_id = $1) AS stock,
       coalesce((SELECT jsonb_agg(jsonb_build_object('lot', l.lot, 'quantity', l.quantity) ORDER BY l.first) FROM (
         SELECT v.lot, sum(v.quantity)::int AS quantity, min(v.id) AS first FROM kit_movement v WHERE v.kit_id = k.id AND v.site_id = $1 AND v.lot <> ''
          GROUP BY v.lot HAVING sum(v.quantity) > 0) l), '[]') AS lots
     FROM kit k ORDER BY k.maker, k.name`,
    [site],
  );
  return rows;
}
