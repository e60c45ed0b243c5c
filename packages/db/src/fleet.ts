/** The fleet as sheets speak of it: what is recorded, and the way in for a whole sheet at once. */
import type { Day } from "@hangrail/rules/calendar";
import type { FleetFacts, FleetRow, HistoryFacts, HistoryRow, KnownPart } from "@hangrail/rules/fleet-sheet-parts";
import { kindIn, type Role } from "@hangrail/rules/models";
import { tellScreens, type Answer, type Who } from "./acts.ts";
import { longQuery, type Database } from "./database.ts";

type Reads = Pick<Database, "reads">;

/** A row that met something in the record which the sheet contradicts. Nothing was written. */
export interface Clash {
  readonly row: number;
  readonly tag?: string | null;
  readonly serial: string | null;
  readonly code: "tag-at-other-site" | "fitted-elsewhere" | "set-busy" | "set-recorded" | "position-taken" | "no-such-component" | "serial-twice" | "count-above-reading";
}

export class SheetClash extends Error {
  override readonly name = "SheetClash";
  constructor(readonly clashes: readonly Clash[]) {
    super("The sheet contradicts the record.");
  }
}

/** Every component of a site as a sheet would say it, in the order of sets and positions. */
export async function knownParts(db: Reads, site: string): Promise<readonly KnownPart[]> {
  const { rows } = await db.reads.query<FleetFacts & { imported: FleetFacts | null }>(
    `SELECT s.tag, coalesce(f.position, CASE m.kind WHEN 'second-stage' THEN 'primary' WHEN 'inflator' THEN 'inflator-hose' ELSE m.kind END) AS role, m.maker, m.name AS model, c.serial,
       c.bought_on::text AS "boughtOn", c.in_use_on::text AS "inUseOn", c.last_used_on::text AS "lastUsedOn", c.serviced_on::text AS "servicedOn", c.inspected_on::text AS "inspectedOn",
       CASE WHEN c.counts_known THEN c.dives_total - c.serviced_dives END AS "divesSinceService", CASE WHEN c.counts_known THEN c.minutes_total - c.serviced_minutes END AS "minutesSinceService",
       CASE WHEN c.counts_known AND c.inspected_on IS NOT NULL THEN c.dives_total - c.checked_dives END AS "divesSinceInspection",
       CASE WHEN c.counts_known AND c.inspected_on IS NOT NULL THEN c.minutes_total - c.checked_minutes END AS "minutesSinceInspection",
       c.dives_total AS "totalDives", i.facts->>'note' AS note, i.facts AS imported
     FROM component c JOIN model m ON m.id = c.model_id LEFT JOIN fitting f ON f.component_id = c.id AND f.until_at IS NULL LEFT JOIN regulator_set s ON s.id = f.set_id
       LEFT JOIN component_import i ON i.component_id = c.id
     WHERE c.site_id = $1 AND (s.id IS NULL OR s.retired_seq IS NULL)
     ORDER BY s.tag NULLS LAST, f.id, m.maker, m.name, c.serial`,
    [site],
  );
  return rows.map(({ imported, ...part }) => ({ ...part, imported: imported !== null && "role" in imported ? imported : null }));
}

/** The tags of every set of every site: a tag is one set's alone. */
export async function knownTags(db: Reads): Promise<readonly string[]> {
  const { rows } = await db.reads.query<{ tag: string }>("SELECT tag FROM regulator_set");
  return rows.map(({ tag }) => tag);
}

/** Work recorded of a site's components that carry a number. */
export async function knownWork(db: Reads, site: string): Promise<readonly HistoryFacts[]> {
  const { rows } = await db.reads.query<HistoryFacts>(
    `SELECT m.maker, c.serial, w.done_on::text AS "doneOn", w.kind AS work,
       CASE WHEN w.imported THEN (w.facts->>'divesAt')::int ELSE w.dives_at END AS "divesAt", w.facts->>'by' AS by, w.facts->>'note' AS note
     FROM component_work w JOIN component c ON c.id = w.component_id JOIN model m ON m.id = c.model_id
     WHERE c.site_id = $1 AND c.serial IS NOT NULL AND w.kind IN ('service', 'inspection')
       -- The bare day of a last service, from a sheet of parts, is no contradiction to a fuller row about it.
       AND (NOT w.imported OR w.facts IS NOT NULL)`,
    [site],
  );
  return rows;
}

/** Records every row of a judged sheet, or none. Throws SheetClash when the record has moved on meanwhile. */
export async function importFleet(db: Database, who: Who, rows: readonly FleetRow[]): Promise<Answer<{ newSets: number; newComponents: number }>> {
  const given = rows.map((row) => ({
    row: row.row,
    tag: row.tag,
    position: row.role,
    kind: kindIn(row.role as Role),
    maker: row.maker,
    model: row.model,
    serial: row.serial,
    boughtOn: row.boughtOn,
    inUseOn: row.inUseOn,
    lastUsedOn: row.lastUsedOn,
    servicedOn: row.servicedOn,
    inspectedOn: row.inspectedOn,
    divesTotal: row.totalDives,
    divesSinceService: row.divesSinceService,
    minutesSinceService: row.minutesSinceService,
    divesSinceInspection: row.divesSinceInspection,
    minutesSinceInspection: row.minutesSinceInspection,
    taught: false,
    facts: row,
  }));
  return record(db, "import_fleet", who, given);
}

/** Records every row of a judged sheet of past work, or none. */
export async function importHistory(db: Database, who: Who, rows: readonly HistoryRow[]): Promise<Answer<{ newWork: number }>> {
  const words = (row: HistoryRow): string => [row.by && `by ${row.by}`, row.note].filter(Boolean).join(": ") || "From an imported sheet";
  return record(db, "import_history", who, rows.map((row) => ({ row: row.row, maker: row.maker, serial: row.serial, doneOn: row.doneOn, work: row.work, divesAt: row.divesAt, words: words(row), facts: { divesAt: row.divesAt, by: row.by, note: row.note } })));
}

async function record<A>(db: Database, act: "import_fleet" | "import_history", who: Who, rows: readonly object[]): Promise<A> {
  try {
    const [row] = await longQuery<{ answer: A & object }>(db, `SELECT ${act}($1, $2) AS answer`, [JSON.stringify(who), JSON.stringify(rows)]);
    tellScreens(db, act, [who]);
    return row!.answer;
  } catch (error) {
    const { code, detail } = error as { code?: string; detail?: string };
    if (code === "HR422" && detail !== undefined) throw new SheetClash(JSON.parse(detail) as Clash[]);
    throw error;
  }
}

export interface ImportJob {
  readonly id: string;
  readonly fileName: string;
  readonly phase: "reading" | "checking" | "recording" | "done" | "refused" | "failed";
  readonly rowsTotal: number;
  readonly rowsDone: number;
  readonly words: string | null;
  readonly startedAt: Date;
  readonly finishedAt: Date | null;
}

/** The newest imports of a site. */
export async function listImports(db: Reads, site: string, limit: number): Promise<readonly ImportJob[]> {
  const { rows } = await db.reads.query<ImportJob>(
    `SELECT id, file_name AS "fileName", phase, rows_total AS "rowsTotal", rows_done AS "rowsDone", words, started_at AS "startedAt", finished_at AS "finishedAt"
     FROM import_job WHERE site_id = $1 ORDER BY started_at DESC LIMIT $2`,
    [site, limit],
  );
  return rows;
}

export async function openImport(db: Pick<Database, "acts">, who: Who, fileName: string): Promise<string> {
  const { rows } = await db.acts.query<{ id: string }>("SELECT open_import($1, $2) AS id", [JSON.stringify(who), fileName]);
  return rows[0]!.id;
}

export async function stepImport(db: Pick<Database, "acts">, job: string, phase: ImportJob["phase"], total: number, done: number, words: string | null): Promise<void> {
  await db.acts.query("SELECT step_import($1, $2, $3, $4, $5)", [job, phase, total, done, words]);
}

/** The site's today, for judging a sheet. */
export async function siteToday(db: Reads, site: string): Promise<Day> {
  const { rows } = await db.reads.query<{ today: Day }>("SELECT (kitroom_clock() AT TIME ZONE time_zone)::date::text AS today FROM site WHERE id = $1", [site]);
  return rows[0]!.today;
}
