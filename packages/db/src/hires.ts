/** Hires as the desk asks for them. */
import type { Day } from "@hangrail/rules/calendar";
import type { Connection } from "@hangrail/rules/models";
import type { Database } from "./database.ts";

type Reads = Pick<Database, "reads">;

export interface OutRow {
  readonly setId: string;
  readonly tag: string;
  readonly hire: string;
  readonly hirer: string | null;
  readonly contact: string | null;
  readonly outAt: Date;
  readonly backOn: Day;
  readonly late: boolean;
  readonly plannedDives: number;
  readonly teaching: boolean;
}

/** The sets of a site that are out, late ones first. */
export async function listOut(db: Reads, site: string): Promise<readonly OutRow[]> {
  const { rows } = await db.reads.query<OutRow>(
    `SELECT s.id AS "setId", s.tag, h.id AS hire, n.name AS hirer, n.contact, l.out_at AS "outAt", l.back_on::text AS "backOn",
       l.back_on < (kitroom_clock() AT TIME ZONE t.time_zone)::date AS late, h.dives AS "plannedDives", h.teaching
     FROM hire_line l JOIN regulator_set s ON s.id = l.set_id JOIN hire h ON h.id = l.hire_id JOIN hirer n ON n.id = h.hirer_id JOIN site t ON t.id = s.site_id
     WHERE l.back_at IS NULL AND s.site_id = $1 ORDER BY l.back_on, s.tag`,
    [site],
  );
  return rows;
}

/** The plan an unsaid return is reckoned from: of each set the line that this very request has returned already, else the newest. */
export async function returningLines(db: Reads, sets: readonly string[], request: string): Promise<ReadonlyMap<string, { readonly plannedDives: number }>> {
  const { rows } = await db.reads.query<{ set: string; dives: number }>(
    `SELECT DISTINCT ON (l.set_id) l.set_id AS set, h.dives FROM hire_line l JOIN hire h ON h.id = l.hire_id
       LEFT JOIN record_entry e ON e.set_id = l.set_id AND e.seq = l.back_seq AND e.request_id = $2
     WHERE l.set_id = ANY ($1) ORDER BY l.set_id, e.id IS NULL, l.id DESC`,
    [sets, request],
  );
  return new Map(rows.map(({ set, dives }) => [set, { plannedDives: dives }]));
}

/** Whether a request was answered before. */
export async function isKnownRequest(db: Reads, request: string): Promise<boolean> {
  const { rowCount } = await db.reads.query("SELECT FROM command WHERE request_id = $1", [request]);
  return rowCount === 1;
}

export interface SlipRow {
  readonly hire: string;
  readonly site: string;
  readonly hirer: string | null;
  readonly contact: string | null;
  readonly outAt: Date;
  readonly outBy: string;
  readonly backOn: Day;
  readonly dives: number;
  readonly teaching: boolean;
  readonly cylinderConnection: Connection;
  readonly cylinderBar: number;
  readonly o2Tenths: number;
  readonly waterTenthsC: number;
  readonly depthM: number;
  readonly sets: readonly { readonly tag: string; readonly back: boolean; readonly parts: readonly { readonly role: string; readonly serial: string; readonly model: string; readonly servicedOn: Day | null }[] }[];
}

/** One hire for its printed slip, with the components each set was handed out with. Null when the site has no such hire. */
export async function readSlip(db: Reads, site: string, hire: string): Promise<SlipRow | null> {
  const { rows } = await db.reads.query<SlipRow>(
    `SELECT h.id AS hire, t.name AS site, n.name AS hirer, n.contact, h.out_at AS "outAt", p.name AS "outBy", h.back_on::text AS "backOn", h.dives, h.teaching,
       h.cylinder_connection AS "cylinderConnection", h.cylinder_bar AS "cylinderBar", h.o2_tenths AS "o2Tenths", h.water_tenths_c AS "waterTenthsC", h.depth_m AS "depthM",
       (SELECT jsonb_agg(jsonb_build_object('tag', s.tag, 'back', l.back_at IS NOT NULL, 'parts',
          (SELECT jsonb_agg(jsonb_build_object('role', f.position, 'serial', coalesce(c.serial, 'unmarked'), 'model', m.maker || ' ' || m.name, 'servicedOn', c.serviced_on) ORDER BY f.id)
             FROM fitting f JOIN component c ON c.id = f.component_id JOIN model m ON m.id = c.model_id
            WHERE f.set_id = s.id AND f.from_seq < l.out_seq AND (f.until_seq IS NULL OR f.until_seq > l.out_seq))) ORDER BY s.tag)
          FROM hire_line l JOIN regulator_set s ON s.id = l.set_id WHERE l.hire_id = h.id) AS sets
     FROM hire h JOIN hirer n ON n.id = h.hirer_id JOIN staff p ON p.id = h.out_by JOIN site t ON t.id = h.site_id WHERE h.id = $2 AND h.site_id = $1`,
    [site, hire],
  );
  return rows[0] ?? null;
}
