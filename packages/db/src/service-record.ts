/** Everything a set's service record on paper is made of. */
import type { Day } from "@hangrail/rules/calendar";
import type { Role } from "@hangrail/rules/models";
import type { Database } from "./database.ts";

/** At most so many lines of each kind, the newest first. */
export const MOST_RECORD_LINES = 500;

/** Instants as the database writes them in JSON. Parts are named "serial (maker model)". */
export interface ServiceRecord {
  readonly tag: string;
  readonly retiredAt: string | null;
  readonly handOuts: number;
  readonly cleanings: number;
  readonly parts: readonly {
    readonly part: string;
    readonly position: Role;
    readonly boughtOn: Day | null;
    readonly inUseOn: Day | null;
    readonly dives: number;
    readonly fittedAt: string;
    readonly takenOffAt: string | null;
    /** Where its limits stand in the maker's manual; `null` where none are accepted. */
    readonly manualPage: string | null;
  }[];
  readonly works: readonly { readonly kind: "service" | "inspection" | "bedding-check"; readonly on: Day; readonly part: string; readonly by: string | null; readonly words: string }[];
  readonly kits: readonly { readonly at: string; readonly kit: string; readonly quantity: number; readonly lot: string | null; readonly part: string; readonly by: string }[];
  readonly tests: readonly { readonly at: string; readonly phase: "as-found" | "as-left"; readonly verdict: "pass" | "fail" | "not-judged"; readonly by: string; readonly words: string }[];
  readonly faults: readonly {
    readonly at: string;
    readonly code: string;
    readonly part: string | null;
    readonly words: string;
    readonly by: string;
    readonly clearedAt: string | null;
    readonly clearedBy: string | null;
    readonly outcome: "mended" | "not-found" | null;
    readonly clearWords: string | null;
  }[];
  readonly releases: readonly { readonly at: string; readonly by: string; readonly words: string }[];
  readonly washes: readonly { readonly at: string; readonly by: string | null; readonly disinfectant: string; readonly lot: string | null; readonly ppm: number }[];
}

const PART = "coalesce(c.serial, 'unmarked') || ' (' || m.maker || ' ' || m.name || ')'";
const OF_PART = "component c JOIN model m ON m.id = c.model_id";
/** Lines of one kind as JSON, at most so many. */
const list = (fields: string, rows: string) => `coalesce((SELECT jsonb_agg(to_jsonb(x)) FROM (SELECT ${fields} FROM ${rows} LIMIT ${MOST_RECORD_LINES}) x), '[]')`;

/** The record of a set of this site by its tag, retired ones too; `null` where there is none. */
export async function readServiceRecord(db: Pick<Database, "reads">, site: string, tag: string): Promise<ServiceRecord | null> {
  const { rows } = await db.reads.query<ServiceRecord>(
    `SELECT s.tag,
       (SELECT to_jsonb(e.at) #>> '{}' FROM record_entry e WHERE e.set_id = s.id AND e.seq = s.retired_seq) AS "retiredAt",
       (SELECT count(*)::int FROM record_entry e WHERE e.set_id = s.id AND e.act = 'handed-out') AS "handOuts",
       (SELECT count(*)::int FROM cleaning_run_set r WHERE r.set_id = s.id AND r.clean_seq IS NOT NULL) AS cleanings,
       ${list(
         `${PART} AS part, f.position, c.bought_on AS "boughtOn", c.in_use_on AS "inUseOn", c.dives_total AS dives, f.from_at AS "fittedAt", f.until_at AS "takenOffAt",
          (SELECT l.manual_page FROM model_limits l WHERE l.model_id = m.id ORDER BY l.nth DESC LIMIT 1) AS "manualPage"`,
         `fitting f JOIN ${OF_PART} ON c.id = f.component_id WHERE f.set_id = s.id ORDER BY f.until_at DESC NULLS FIRST, f.id`,
       )} AS parts,
       ${list(
         `w.kind, w.done_on AS "on", ${PART} AS part, p.name AS by, w.words`,
         `component_work w JOIN ${OF_PART} ON c.id = w.component_id LEFT JOIN staff p ON p.id = w.done_by
          WHERE w.set_id = s.id OR (w.set_id IS NULL AND EXISTS (SELECT FROM fitting f WHERE f.set_id = s.id AND f.component_id = c.id)) ORDER BY w.done_on DESC, w.id DESC`,
       )} AS works,
       ${list(
         `k.at, t.maker || ' ' || t.name AS kit, -k.quantity AS quantity, k.lot, ${PART} AS part, p.name AS by`,
         `kit_movement k JOIN kit t ON t.id = k.kit_id JOIN ${OF_PART} ON c.id = k.component_id JOIN staff p ON p.id = k.by WHERE k.kind = 'used'
          AND EXISTS (SELECT FROM fitting f WHERE f.set_id = s.id AND f.component_id = c.id AND f.from_at <= k.at AND (f.until_at IS NULL OR f.until_at >= k.at)) ORDER BY k.id DESC`,
       )} AS kits,
       ${list(`b.tested_at AS at, b.phase, b.verdict, p.name AS by, b.words`, `bench_test b JOIN staff p ON p.id = b.tested_by WHERE b.set_id = s.id ORDER BY b.seq DESC`)} AS tests,
       ${list(
         `x.reported_at AS at, x.code, (SELECT ${PART} FROM ${OF_PART} WHERE c.id = x.component_id) AS part, x.words, p.name AS by, x.cleared_at AS "clearedAt", q.name AS "clearedBy", x.outcome, x.clear_words AS "clearWords"`,
         `fault x JOIN staff p ON p.id = x.reported_by LEFT JOIN staff q ON q.id = x.cleared_by WHERE x.set_id = s.id ORDER BY x.report_seq DESC`,
       )} AS faults,
       ${list(`r.released_at AS at, p.name AS by, r.words`, `release r JOIN staff p ON p.id = r.released_by WHERE r.set_id = s.id ORDER BY r.seq DESC`)} AS releases,
       ${list(
         `e.at, p.name AS by, d.name AS disinfectant, b.lot, b.ppm`,
         `cleaning_run_set r JOIN cleaning_run n ON n.id = r.run_id JOIN bath b ON b.id = n.bath_id JOIN disinfectant d ON d.id = b.disinfectant_id
          JOIN record_entry e ON e.set_id = r.set_id AND e.seq = r.clean_seq LEFT JOIN staff p ON p.id = e.by WHERE r.set_id = s.id ORDER BY r.clean_seq DESC`,
       )} AS washes
     FROM regulator_set s WHERE s.site_id = $1 AND s.tag = $2`,
    [site, tag],
  );
  return rows[0] ?? null;
}
