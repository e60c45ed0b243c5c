/** The wash room as it stands: what waits, what is in which bath, what dries. */
import type { SetState } from "@hangrail/rules/set-state";
import type { Database } from "./database.ts";

type Reads = Pick<Database, "reads">;

export interface BathRow {
  readonly id: string;
  readonly label: string;
  readonly product: string;
  readonly productId: string;
  readonly lot: string | null;
  readonly ppm: number;
  readonly productMl: number;
  readonly waterMl: number;
  readonly wetMinutes: number;
  readonly mixedAt: Date;
  readonly mixedBy: string;
  readonly expiresAt: Date;
  readonly expired: boolean;
  readonly strengthHundredths: number;
  readonly minPpm: number;
  readonly maxPpm: number;
}

/** Baths of a site that were not emptied, and expired ones until they are. */
export async function listBaths(db: Reads, site: string): Promise<readonly BathRow[]> {
  const { rows } = await db.reads.query<BathRow>(
    `SELECT b.id, b.label, d.name AS product, d.id AS "productId", b.lot, b.ppm, b.product_ml AS "productMl", b.water_ml AS "waterMl", d.wet_minutes AS "wetMinutes",
       b.mixed_at AS "mixedAt", p.name AS "mixedBy", b.expires_at AS "expiresAt", b.expires_at < kitroom_clock() AS expired,
       d.strength_hundredths AS "strengthHundredths", d.min_ppm AS "minPpm", d.max_ppm AS "maxPpm"
     FROM bath b JOIN disinfectant d ON d.id = b.disinfectant_id JOIN staff p ON p.id = b.mixed_by
     WHERE b.site_id = $1 AND b.emptied_at IS NULL ORDER BY b.expires_at DESC`,
    [site],
  );
  return rows;
}

export interface RunRow {
  readonly run: string;
  readonly bath: string;
  readonly product: string;
  readonly startedAt: Date;
  readonly startedBy: string;
  readonly wetUntil: Date;
  readonly wetEndedAt: Date | null;
  readonly dryAt: Date | null;
  readonly bathExpiresAt: Date;
  readonly wetMinutes: number;
  /** `seq`: how many acts the set has lived through. */
  readonly sets: readonly { readonly setId: string; readonly tag: string; readonly seq: number }[];
}

/** Runs with sets still in them. */
export async function listRuns(db: Reads, site: string): Promise<readonly RunRow[]> {
  const { rows } = await db.reads.query<RunRow>(
    `SELECT r.id AS run, b.label AS bath, d.name AS product, r.started_at AS "startedAt", p.name AS "startedBy", r.wet_until AS "wetUntil", r.wet_ended_at AS "wetEndedAt",
       r.dry_from + make_interval(mins => t.drying_minutes) AS "dryAt", b.expires_at AS "bathExpiresAt", d.wet_minutes AS "wetMinutes",
       (SELECT jsonb_agg(jsonb_build_object('setId', s.id, 'tag', s.tag, 'seq', s.seq) ORDER BY s.tag) FROM cleaning_run_set w JOIN regulator_set s ON s.id = w.set_id
         WHERE w.run_id = r.id AND w.clean_seq IS NULL AND w.abandoned_seq IS NULL) AS sets
     FROM cleaning_run r JOIN bath b ON b.id = r.bath_id JOIN disinfectant d ON d.id = b.disinfectant_id JOIN staff p ON p.id = r.started_by JOIN site t ON t.id = r.site_id
     WHERE r.site_id = $1 AND EXISTS (SELECT FROM cleaning_run_set w WHERE w.run_id = r.id AND w.clean_seq IS NULL AND w.abandoned_seq IS NULL)
     ORDER BY r.started_at`,
    [site],
  );
  return rows;
}

export interface WaitingRow {
  readonly setId: string;
  readonly tag: string;
  readonly seq: number;
  readonly since: Date;
  /** The act that soiled it. */
  readonly soiledBy: string;
  readonly state: SetState;
}

/** Sets to clean: here, not out, not sealed or retired, unclean and in no bath. The longest waiting first. */
export async function listToClean(db: Reads, site: string): Promise<readonly WaitingRow[]> {
  const { rows } = await db.reads.query<WaitingRow>(
    `SELECT s.id AS "setId", s.tag, s.seq, e.at AS since, e.act AS "soiledBy", b.state FROM regulator_set s JOIN set_board b ON b.id = s.id
       LEFT JOIN record_entry e ON e.set_id = s.id AND e.seq = s.soiled_seq
     WHERE s.site_id = $1 AND s.cleaned_seq <= s.soiled_seq AND b.state NOT IN ('evidence-lock', 'retired', 'out')
       AND NOT EXISTS (SELECT FROM cleaning_run_set w WHERE w.set_id = s.id AND w.clean_seq IS NULL AND w.abandoned_seq IS NULL)
     ORDER BY e.at, s.tag`,
    [site],
  );
  return rows;
}

/** Of these models, which the product may be used on. */
export async function approvedModels(db: Reads, product: string): Promise<ReadonlySet<string>> {
  const { rows } = await db.reads.query<{ model: string }>("SELECT model_id AS model FROM disinfectant_approval WHERE disinfectant_id = $1", [product]);
  return new Set(rows.map(({ model }) => model));
}
