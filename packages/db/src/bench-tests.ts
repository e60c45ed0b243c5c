/** What a bench test needs to know of a set, and the tests that are recorded of it. */
import type { BenchPart } from "@hangrail/rules/bench-readings";
import type { Role } from "@hangrail/rules/models";
import type { BenchTestInput, JudgedReading } from "./bench-acts.ts";
import type { Database } from "./database.ts";

type Reads = Pick<Database, "reads">;

const IN_ORDER = "array_position(ARRAY['first-stage','primary','alternate','gauge','inflator-hose','hose','transmitter'], f.position)";

/** A part in its place, with the limits in force for its model and what to call it. */
export interface PartOnBench extends BenchPart {
  /** `null` = unmarked. */
  readonly serial: string | null;
  readonly modelId: string;
  readonly maker: string;
  readonly model: string;
}

export interface SetOnBench {
  readonly setId: string;
  readonly tag: string;
  readonly parts: readonly PartOnBench[];
}

/** A set of a site with its parts as they are now, by its tag or its id; `null` where there is none. */
export async function readSetOnBench(db: Reads, site: string, set: { readonly tag: string } | { readonly id: string }): Promise<SetOnBench | null> {
  const { rows } = await db.reads.query<SetOnBench>(
    `SELECT s.id AS "setId", s.tag, coalesce((
       SELECT jsonb_agg(jsonb_build_object('component', c.id, 'role', f.position, 'serial', c.serial, 'modelId', m.id, 'maker', m.maker, 'model', m.name,
           'balance', (SELECT b.balance FROM model_build b WHERE b.model_id = m.id ORDER BY b.nth DESC LIMIT 1),
           'limits', coalesce((SELECT jsonb_agg(jsonb_build_object('name', l.name, 'low', l.low, 'high', l.high) ORDER BY l.name) FROM bench_limit l
              WHERE l.model_id = m.id AND l.nth = (SELECT max(nth) FROM bench_limit x WHERE x.model_id = m.id AND x.name = l.name)), '[]')) ORDER BY ${IN_ORDER}, c.serial)
         FROM fitting f JOIN component c ON c.id = f.component_id JOIN model m ON m.id = c.model_id WHERE f.set_id = s.id AND f.until_at IS NULL), '[]') AS parts
     FROM regulator_set s WHERE s.site_id = $1 AND ($2::text IS NULL OR s.tag = $2) AND ($3::uuid IS NULL OR s.id = $3) AND num_nonnulls($2, $3) = 1`,
    [site, "tag" in set ? set.tag : null, "id" in set ? set.id : null],
  );
  return rows[0] ?? null;
}

/** A reading as it was judged then, with the name of the gauge it was read on. */
export interface PastReading extends Omit<JudgedReading, "gauge"> {
  readonly gauge: string | null;
}

export interface PastTest {
  readonly id: string;
  /** Its place in the record of the set. */
  readonly seq: number;
  readonly phase: BenchTestInput["phase"];
  readonly verdict: BenchTestInput["verdict"];
  readonly words: string;
  readonly order: string | null;
  readonly testedAt: Date;
  readonly testedBy: string;
  /** What was on the bench, in the positions of that day. */
  readonly parts: readonly { readonly component: string; readonly role: Role | null; readonly serial: string | null; readonly model: string }[];
  readonly readings: readonly PastReading[];
  readonly curves: readonly {
    readonly component: string;
    readonly supplyCbar: number;
    readonly points: readonly (readonly [number, number])[];
  }[];
}

/** The bench tests of a set, the newest first: at most so many, all of them before a place in its record where one is given. */
export async function listTestsOfSet(db: Reads, site: string, set: string, before: number | null, most: number): Promise<readonly PastTest[]> {
  const { rows } = await db.reads.query<PastTest>(
    `SELECT b.id, b.seq, b.phase, b.verdict, b.words, b.order_id AS "order", b.tested_at AS "testedAt", p.name AS "testedBy",
       coalesce((SELECT jsonb_agg(jsonb_build_object('component', c.id, 'role', f.position, 'serial', c.serial, 'model', m.maker || ' ' || m.name) ORDER BY ${IN_ORDER}, c.serial)
          FROM (SELECT DISTINCT component_id FROM bench_reading WHERE test_id = b.id) r JOIN component c ON c.id = r.component_id JOIN model m ON m.id = c.model_id
          LEFT JOIN fitting f ON f.component_id = c.id AND f.set_id = b.set_id AND f.from_seq < b.seq AND (f.until_seq IS NULL OR f.until_seq > b.seq)), '[]') AS parts,
       coalesce((SELECT jsonb_agg(jsonb_build_object('component', r.component_id, 'name', r.name, 'supplyCbar', r.supply_cbar, 'atCbar', r.at_cbar, 'value', r.value,
            'adjuster', r.adjuster, 'venturi', r.venturi, 'gauge', g.name, 'verdict', r.verdict, 'why', r.why, 'low', r.low, 'high', r.high) ORDER BY r.id)
          FROM bench_reading r LEFT JOIN test_gauge g ON g.id = r.gauge_id WHERE r.test_id = b.id), '[]') AS readings,
       coalesce((SELECT jsonb_agg(jsonb_build_object('component', v.component_id, 'supplyCbar', v.supply_cbar, 'points', v.points) ORDER BY v.id)
          FROM bench_curve v WHERE v.test_id = b.id), '[]') AS curves
     FROM bench_test b JOIN regulator_set s ON s.id = b.set_id JOIN staff p ON p.id = b.tested_by
     WHERE s.site_id = $1 AND b.set_id = $2 AND ($3::int IS NULL OR b.seq < $3) ORDER BY b.seq DESC LIMIT $4`,
    [site, set, before, most],
  );
  return rows;
}
