/** What the manuals of models say for the bench, with every version before, and how a set is built by it. */
import type { BenchLimitName } from "@hangrail/rules/bench-limits";
import type { ModelKind, Role } from "@hangrail/rules/models";
import type { AssembledPart, ModelBuild } from "@hangrail/rules/ports";
import type { BuildInput } from "./bench-acts.ts";
import type { Database } from "./database.ts";

type Reads = Pick<Database, "reads">;

/** Who answers for a version of what a manual says. The highest `nth` is in force. */
interface Accepted {
  readonly nth: number;
  readonly page: string;
  readonly acceptedBy: string;
  readonly acceptedAt: string;
}

/** Pressures in hundredths of a bar, efforts in hundredths of a millibar. Neither edge: the limit was taken back. */
export interface BenchLimitVersion extends Accepted {
  readonly name: BenchLimitName;
  readonly low: number | null;
  readonly high: number | null;
}

export interface BuildVersion extends Accepted, Omit<BuildInput, "page"> {}

/** No lines: a service needs no kit. */
export interface KitListVersion extends Accepted {
  readonly lines: readonly { readonly kit: string; readonly name: string; readonly quantity: number }[];
}

export interface ModelManual {
  /** Every version, the newest first; of the limits in the order of their names. */
  readonly limits: readonly BenchLimitVersion[];
  readonly builds: readonly BuildVersion[];
  readonly kitLists: readonly KitListVersion[];
  readonly disinfectants: readonly { readonly name: string; readonly page: string; readonly approvedBy: string; readonly approvedAt: string }[];
  /** The other model of each approved pair. */
  readonly pairings: readonly { readonly model: string; readonly name: string; readonly page: string }[];
}

const ACCEPTED = (row: string) => `'nth', ${row}.nth, 'page', ${row}.manual_page, 'acceptedBy', p.name, 'acceptedAt', ${row}.accepted_at`;

/** All that is recorded of a model's manual for the bench. A model nobody knows has nothing recorded. */
export async function readManual(db: Reads, model: string): Promise<ModelManual> {
  const { rows } = await db.reads.query<ModelManual>(
    `SELECT
       coalesce((SELECT jsonb_agg(jsonb_build_object('name', b.name, 'low', b.low, 'high', b.high, ${ACCEPTED("b")}) ORDER BY b.name, b.nth DESC)
         FROM bench_limit b JOIN staff p ON p.id = b.accepted_by WHERE b.model_id = $1), '[]') AS limits,
       coalesce((SELECT jsonb_agg(jsonb_build_object('balance', b.balance, 'hpPorts', b.hp_ports, 'lpPorts', b.lp_ports, 'lpHalfInchPorts', b.lp_half_inch_ports,
           'plugsInto', b.plugs_into, 'serviceMinutes', b.service_minutes, 'inspectionMinutes', b.inspection_minutes, ${ACCEPTED("b")}) ORDER BY b.nth DESC)
         FROM model_build b JOIN staff p ON p.id = b.accepted_by WHERE b.model_id = $1), '[]') AS builds,
       coalesce((SELECT jsonb_agg(jsonb_build_object('lines', coalesce((SELECT jsonb_agg(jsonb_build_object('kit', k.id, 'name', k.maker || ' ' || k.name, 'quantity', n.quantity) ORDER BY k.maker, k.name)
           FROM model_kit_line n JOIN kit k ON k.id = n.kit_id WHERE n.list_id = l.id), '[]'), ${ACCEPTED("l")}) ORDER BY l.nth DESC)
         FROM model_kit_list l JOIN staff p ON p.id = l.accepted_by WHERE l.model_id = $1), '[]') AS "kitLists",
       coalesce((SELECT jsonb_agg(jsonb_build_object('name', d.name, 'page', a.manual_page, 'approvedBy', p.name, 'approvedAt', a.approved_at) ORDER BY d.name)
         FROM disinfectant_approval a JOIN disinfectant d ON d.id = a.disinfectant_id JOIN staff p ON p.id = a.approved_by WHERE a.model_id = $1), '[]') AS disinfectants,
       coalesce((SELECT jsonb_agg(jsonb_build_object('model', m.id, 'name', m.maker || ' ' || m.name, 'page', r.manual_page) ORDER BY m.maker, m.name)
         FROM pairing r JOIN model m ON m.id = CASE WHEN r.first_model_id = $1 THEN r.second_model_id ELSE r.first_model_id END
        WHERE r.withdrawn_at IS NULL AND $1 IN (r.first_model_id, r.second_model_id)), '[]') AS pairings`,
    [model],
  );
  return rows[0]!;
}

export interface ModelInUse {
  readonly id: string;
  readonly kind: ModelKind;
  readonly maker: string;
  readonly name: string;
  /** The positions its components sit in now. */
  readonly positions: readonly Role[];
  /** The limits in force that say something. */
  readonly limits: readonly BenchLimitName[];
  readonly hasBuild: boolean;
  /** Of a first stage with its build recorded. */
  readonly balance: BuildInput["balance"];
  readonly hasKitList: boolean;
}

/** Models with a component in a set of this site, and which of their manual is recorded. */
export async function listManualsInUse(db: Reads, site: string): Promise<readonly ModelInUse[]> {
  const { rows } = await db.reads.query<ModelInUse>(
    `SELECT m.id, m.kind, m.maker, m.name, array_agg(DISTINCT f.position) AS positions,
       coalesce((SELECT array_agg(b.name) FROM bench_limit b WHERE b.model_id = m.id AND num_nonnulls(b.low, b.high) > 0
         AND b.nth = (SELECT max(nth) FROM bench_limit x WHERE x.model_id = m.id AND x.name = b.name)), '{}') AS limits,
       EXISTS (SELECT FROM model_build b WHERE b.model_id = m.id) AS "hasBuild", (SELECT b.balance FROM model_build b WHERE b.model_id = m.id ORDER BY b.nth DESC LIMIT 1) AS balance,
       EXISTS (SELECT FROM model_kit_list l WHERE l.model_id = m.id) AS "hasKitList"
     FROM fitting f JOIN regulator_set s ON s.id = f.set_id JOIN component c ON c.id = f.component_id JOIN model m ON m.id = c.model_id
     WHERE f.until_at IS NULL AND s.site_id = $1 AND s.retired_seq IS NULL GROUP BY m.id ORDER BY m.maker, m.name`,
    [site],
  );
  return rows;
}

/** A part of a set as its assembly is judged, and what to call it. */
export interface NamedPart extends AssembledPart {
  readonly model: string;
  readonly modelId: string;
  readonly name: string;
}

const BUILD = `(SELECT jsonb_build_object('balance', b.balance, 'hpPorts', b.hp_ports, 'lpPorts', b.lp_ports, 'lpHalfInchPorts', b.lp_half_inch_ports, 'plugsInto', b.plugs_into,
    'serviceMinutes', b.service_minutes, 'inspectionMinutes', b.inspection_minutes) FROM model_build b WHERE b.model_id = c.model_id ORDER BY b.nth DESC LIMIT 1)`;

/**
 * The parts of a set of this site as they are now, or, with a swap, as they would be after it.
 *
 * `swap.on` is taken from the site's own components; one of another site is left out.
 */
export async function readAssembly(
  db: Reads,
  site: string,
  set: string,
  swap: { readonly off: string | null; readonly on: string | null; readonly position: Role | null } = { off: null, on: null, position: null },
): Promise<readonly NamedPart[]> {
  const { rows } = await db.reads.query<Omit<NamedPart, "pairingApproved" | "build"> & { paired: boolean; build: ModelBuild | null }>(
    `WITH part AS (
       SELECT f.component_id AS component, f.position AS role FROM fitting f JOIN regulator_set s ON s.id = f.set_id
        WHERE f.set_id = $2 AND s.site_id = $1 AND f.until_at IS NULL AND f.component_id IS DISTINCT FROM $3
       UNION SELECT c.id, $5 FROM component c WHERE c.id = $4 AND c.site_id = $1 AND NOT EXISTS (SELECT FROM fitting f WHERE f.set_id = $2 AND f.component_id = $4 AND f.until_at IS NULL))
     SELECT part.component, part.role, m.maker || ' ' || m.name AS model, m.id AS "modelId", m.maker || ' ' || m.name || ', ' || coalesce(c.serial, 'unmarked') AS name, ${BUILD} AS build,
       EXISTS (SELECT FROM pairing r JOIN part p1 ON p1.role = 'first-stage' JOIN component c1 ON c1.id = p1.component AND c1.model_id = r.first_model_id
                WHERE r.second_model_id = c.model_id AND r.withdrawn_at IS NULL) AS paired
     FROM part JOIN component c ON c.id = part.component JOIN model m ON m.id = c.model_id
     ORDER BY array_position(ARRAY['first-stage','primary','alternate','gauge','inflator-hose','hose','transmitter'], part.role), c.serial`,
    [site, set, swap.off, swap.on, swap.position],
  );
  // An approval is recorded or it is not; nobody records that a pair is forbidden.
  return rows.map(({ paired, ...part }) => ({ ...part, pairingApproved: paired || null }));
}

