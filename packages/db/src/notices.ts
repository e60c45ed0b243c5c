/** Makers' and public safety notices: what they say, and how far a site is with them. */
import type { Day } from "@hangrail/rules/calendar";
import type { Role } from "@hangrail/rules/models";
import type { MatchReason, SerialRange } from "@hangrail/rules/notices";
import type { SetState } from "@hangrail/rules/set-state";
import type { Database } from "./database.ts";

type Reads = Pick<Database, "reads">;

export interface NoticeRow {
  readonly id: string;
  readonly title: string;
  readonly reference: string;
  readonly publishedOn: Day;
  readonly models: readonly string[];
  /** Components of the site: held until the remedy is done, to be looked at by hand, and cleared. */
  readonly open: number;
  readonly check: number;
  readonly cleared: number;
  /** Sets with a component that is not cleared and that are out with a hirer. */
  readonly out: number;
}

/** Every notice of the centre with what it still asks of a site; those with something to do first, then the newest. */
export async function listNotices(db: Reads, site: string): Promise<readonly NoticeRow[]> {
  const { rows } = await db.reads.query<NoticeRow>(
    `SELECT n.id, n.title, n.reference, n.published_on::text AS "publishedOn", k.open, k.check, k.cleared, k.out,
       coalesce((SELECT jsonb_agg(DISTINCT m.maker || ' ' || m.name) FROM notice_range r JOIN model m ON m.id = r.model_id WHERE r.notice_id = n.id), '[]') AS models
     FROM notice n CROSS JOIN LATERAL (
       SELECT count(*) FILTER (WHERE x.cleared_at IS NULL AND x.state = 'open')::int AS open,
              count(*) FILTER (WHERE x.cleared_at IS NULL AND x.state = 'check')::int AS "check",
              count(*) FILTER (WHERE x.cleared_at IS NOT NULL)::int AS cleared,
              count(DISTINCT l.set_id) FILTER (WHERE x.cleared_at IS NULL)::int AS out
       FROM notice_match x JOIN component c ON c.id = x.component_id AND c.site_id = $1
       LEFT JOIN fitting f ON f.component_id = c.id AND f.until_at IS NULL
       LEFT JOIN hire_line l ON l.set_id = f.set_id AND l.back_at IS NULL
       WHERE x.notice_id = n.id) k
     ORDER BY k.open + k.check = 0, n.entered_at DESC`,
    [site],
  );
  return rows;
}

/** The serials of one model a notice is about; `range` null = every one. */
export interface NoticeRange {
  readonly modelId: string;
  readonly model: string;
  readonly range: SerialRange | null;
}

/** A component a notice is about, and where it is now. Instants as the database writes them in JSON. */
export interface NoticeMatch {
  readonly component: string;
  readonly model: string;
  readonly serial: string | null;
  /** "open" holds until the remedy is done, "check" until somebody has looked. */
  readonly state: "open" | "check";
  readonly why: MatchReason;
  readonly cleared: { readonly at: string; readonly by: string; readonly remedy: string } | null;
  /** `null` = it lies on the shelf. */
  readonly set: PlaceOfPart | null;
}

export interface PlaceOfPart {
  readonly id: string;
  readonly tag: string;
  readonly position: Role;
  readonly state: SetState;
  readonly out: { readonly backOn: Day; readonly late: boolean; readonly hire: string; readonly hirer: string | null; readonly contact: string | null } | null;
}

export interface OneNotice {
  readonly id: string;
  readonly title: string;
  readonly reference: string;
  readonly hazard: string;
  readonly remedy: string;
  readonly publishedOn: Day;
  readonly enteredAt: Date;
  readonly enteredBy: string;
  readonly ranges: readonly NoticeRange[];
  /** Components of the site asked for. */
  readonly matches: readonly NoticeMatch[];
  /** Components of other sites that are not cleared. */
  readonly elsewhere: number;
}

// Where component `c` is: in which set, in which state, and with whom.
const PLACE = `CASE WHEN b.id IS NOT NULL THEN jsonb_build_object('id', b.id, 'tag', b.tag, 'position', f.position, 'state', b.state,
    'out', CASE WHEN l.id IS NOT NULL THEN jsonb_build_object('backOn', l.back_on, 'late', l.back_on < b.today, 'hire', l.hire_id, 'hirer', w.name, 'contact', w.contact) END) END`;
const OF_PLACE = `LEFT JOIN fitting f ON f.component_id = c.id AND f.until_at IS NULL LEFT JOIN set_board b ON b.id = f.set_id
  LEFT JOIN hire_line l ON l.set_id = f.set_id AND l.back_at IS NULL LEFT JOIN hire h ON h.id = l.hire_id LEFT JOIN hirer w ON w.id = h.hirer_id`;

/** One notice with the components of a site it is about; `null` where there is none. */
export async function readNotice(db: Reads, site: string, notice: string): Promise<OneNotice | null> {
  const { rows } = await db.reads.query<Omit<OneNotice, "matches">>(
    `SELECT n.id, n.title, n.reference, n.hazard, n.remedy, n.published_on::text AS "publishedOn", n.entered_at AS "enteredAt", p.name AS "enteredBy",
       coalesce((SELECT jsonb_agg(jsonb_build_object('modelId', m.id, 'model', m.maker || ' ' || m.name,
           'range', CASE WHEN r.digits IS NOT NULL THEN jsonb_build_object('prefix', r.prefix, 'digits', r.digits, 'low', r.low::text, 'high', r.high::text) END) ORDER BY m.maker, m.name, r.id)
         FROM notice_range r JOIN model m ON m.id = r.model_id WHERE r.notice_id = n.id), '[]') AS ranges,
       (SELECT count(*)::int FROM notice_match x JOIN component c ON c.id = x.component_id WHERE x.notice_id = n.id AND x.cleared_at IS NULL AND c.site_id <> $1) AS elsewhere
     FROM notice n JOIN staff p ON p.id = n.entered_by WHERE n.id = $2`,
    [site, notice],
  );
  const [found] = rows;
  if (found === undefined) return null;
  const matches = await db.reads.query<NoticeMatch>(
    `SELECT c.id AS component, m.maker || ' ' || m.name AS model, c.serial, x.state, x.why,
       CASE WHEN x.cleared_at IS NOT NULL THEN jsonb_build_object('at', x.cleared_at, 'by', q.name, 'remedy', x.remedy_done) END AS cleared, ${PLACE} AS "set"
     FROM notice_match x JOIN component c ON c.id = x.component_id JOIN model m ON m.id = c.model_id ${OF_PLACE} LEFT JOIN staff q ON q.id = x.cleared_by
     WHERE x.notice_id = $2 AND c.site_id = $1 ORDER BY b.tag NULLS LAST, f.id, c.serial NULLS LAST, c.id`,
    [site, notice],
  );
  return { ...found, matches: matches.rows };
}

export interface ComponentOfModel {
  readonly component: string;
  readonly modelId: string;
  readonly model: string;
  readonly serial: string | null;
  readonly here: boolean;
  readonly set: PlaceOfPart | null;
}

/** Every component of these models in the whole centre, with where it is now. */
export async function listComponentsOfModels(db: Reads, site: string, models: readonly string[]): Promise<readonly ComponentOfModel[]> {
  const { rows } = await db.reads.query<ComponentOfModel>(
    `SELECT c.id AS component, c.model_id AS "modelId", m.maker || ' ' || m.name AS model, c.serial, c.site_id = $1 AS here, ${PLACE} AS "set"
     FROM component c JOIN model m ON m.id = c.model_id ${OF_PLACE}
     WHERE c.model_id = ANY ($2) ORDER BY b.tag NULLS LAST, f.id, c.serial NULLS LAST, c.id`,
    [site, models],
  );
  return rows;
}
