/** Loads what is true of sets now, in the shapes that packages/rules judges. One statement, so one moment. */
import type { Day } from "@hangrail/rules/calendar";
import type { ComponentFacts, SetFacts, Severity } from "@hangrail/rules/hand-out";
import type { ColdRating, Connection, Limb, ModelKind, Role } from "@hangrail/rules/models";
import { oxygenLimit, type LastService } from "@hangrail/rules/oxygen-clean";
import { DEFAULT_POLICY, type Policy } from "@hangrail/rules/policy";
import type { BenchPlace } from "@hangrail/rules/set-state";
import type { Database } from "./database.ts";

/** A component's facts and what a screen calls it by. */
export interface FittedComponent extends ComponentFacts {
  /** "unmarked" for a part without a number. */
  readonly serial: string;
  /** False: nobody knows how much it was used since its last service, so limits that count use are left out. */
  readonly countsKnown: boolean;
  readonly modelId: string;
  readonly maker: string;
  readonly modelName: string;
  readonly modelKind: ModelKind;
  /** The most oxygen its model may meet. What the component itself may meet hangs on its last service too. */
  readonly modelMostO2: number | null;
  /** `null` = no service is recorded. */
  readonly lastService: LastService | null;
}

/** An open fault and what was said of it. A fault of a part that is no longer fitted stays with the set. */
export interface OpenFaultFacts {
  readonly component: string | null;
  readonly severity: Severity;
  readonly code: string;
  readonly words: string;
}

export interface LoadedSet {
  readonly id: string;
  readonly tag: string;
  readonly siteId: string;
  readonly siteName: string;
  /** Number of acts so far: send it along with a decision, so that the database knows what was decided on. */
  readonly seq: number;
  /** The site's today by the database's clock. */
  readonly today: Day;
  readonly policy: Policy;
  readonly facts: SetFacts;
  /** Where its work order stands, when one was taken. */
  readonly bench: BenchPlace;
  readonly components: readonly FittedComponent[];
  readonly faults: readonly OpenFaultFacts[];
  readonly out: { readonly line: string; readonly hire: string; readonly backOn: Day; readonly outAt: Date; readonly plannedDives: number } | null;
}

interface Row {
  readonly id: string;
  readonly tag: string;
  readonly site_id: string;
  readonly site_name: string;
  readonly seq: number;
  readonly today: Day;
  readonly policy: SitePolicyRow;
  readonly evidence: boolean;
  readonly retired: boolean;
  readonly restored: boolean;
  readonly released: boolean;
  readonly cleaning: SetFacts["cleaning"];
  readonly bench: BenchPlace;
  readonly faults: readonly OpenFaultFacts[] | null;
  readonly components: readonly ComponentRow[] | null;
  readonly out: LoadedSet["out"] & { readonly outAt: string } | null;
}

export interface SitePolicyRow {
  readonly teaching_months: number;
  readonly shelf_months: number;
  readonly bedding_dives: number;
  readonly bedding_days: number;
  readonly nitrox_above_tenths: number;
  readonly nitrox_needs_m26: boolean;
  readonly minutes_per_dive: number;
  readonly drying_minutes: number;
}

interface ComponentRow {
  readonly id: string;
  readonly role: Role;
  readonly serial: string | null;
  readonly counts_known: boolean;
  readonly model_id: string;
  readonly maker: string;
  readonly model_name: string;
  readonly model_kind: ModelKind;
  readonly bought_on: Day | null;
  readonly in_use_on: Day | null;
  readonly serviced_on: Day | null;
  readonly inspected_on: Day | null;
  readonly bedding_on: Day | null;
  readonly last_used_on: Day | null;
  readonly dives_since_service: number;
  readonly minutes_since_service: number;
  readonly dives_since_inspection: number;
  readonly minutes_since_inspection: number;
  readonly taught: boolean;
  readonly notice: "open" | "check" | null;
  readonly paired: boolean;
  /** Whether the last service was done oxygen-clean; `null` = none is recorded. */
  readonly oxygen_clean: boolean | null;
  readonly limits: {
    readonly service_months: number | null;
    readonly service_dives: number | null;
    readonly service_minutes: number | null;
    readonly has_inspection: boolean;
    readonly inspection_months: number | null;
    readonly inspection_dives: number | null;
    readonly inspection_minutes: number | null;
    readonly max_o2_tenths: number | null;
    readonly cold_rating: ColdRating;
    readonly connection: Connection | null;
    readonly max_supply_bar: number | null;
  } | null;
}

const LOAD = `
SELECT s.id, s.tag, s.site_id, t.name AS site_name, s.seq, (kitroom_clock() AT TIME ZONE t.time_zone)::date::text AS today,
  to_jsonb(t) AS policy,
  s.evidence_seq IS NOT NULL AS evidence, s.retired_seq IS NOT NULL AS retired, EXISTS (SELECT FROM restored_set r WHERE r.set_id = s.id AND r.seen_seq IS NULL) AS restored,
  s.released_seq > s.unreleased_seq AS released,
  CASE WHEN s.cleaned_seq > s.soiled_seq THEN 'clean'
       ELSE coalesce((SELECT CASE WHEN w.wet_seq IS NULL THEN 'in-bath' ELSE 'drying' END FROM cleaning_run_set w
                       WHERE w.set_id = s.id AND w.clean_seq IS NULL AND w.abandoned_seq IS NULL), 'to-clean') END AS cleaning,
  coalesce((SELECT CASE WHEN EXISTS (SELECT FROM work_order_park k WHERE k.order_id = o.id AND k.until_at IS NULL) THEN 'awaiting-parts' ELSE 'on-the-bench' END
      FROM work_order o WHERE o.set_id = s.id AND o.taken_at IS NOT NULL AND o.done_at IS NULL), 'none') AS bench,
  (SELECT jsonb_agg(jsonb_build_object('component', f.component_id, 'severity', f.severity, 'code', f.code, 'words', f.words) ORDER BY f.reported_at) FROM fault f WHERE f.set_id = s.id AND f.cleared_at IS NULL) AS faults,
  (SELECT jsonb_build_object('line', h.id::text, 'hire', h.hire_id, 'backOn', h.back_on, 'outAt', h.out_at, 'plannedDives', p.dives)
     FROM hire_line h JOIN hire p ON p.id = h.hire_id WHERE h.set_id = s.id AND h.back_at IS NULL) AS out,
  (SELECT jsonb_agg(to_jsonb(k) ORDER BY k.place, k.serial) FROM (
     SELECT c.id, f.position AS role, array_position(ARRAY['first-stage','primary','alternate','gauge','inflator-hose','hose','transmitter'], f.position) AS place,
       c.serial, c.counts_known, c.model_id, m.maker, m.name AS model_name, m.kind AS model_kind, c.bought_on, c.in_use_on, c.serviced_on, c.inspected_on, c.bedding_on, c.last_used_on,
       c.dives_total - c.serviced_dives AS dives_since_service, c.minutes_total - c.serviced_minutes AS minutes_since_service,
       c.dives_total - c.checked_dives AS dives_since_inspection, c.minutes_total - c.checked_minutes AS minutes_since_inspection,
       c.taught_total > c.serviced_taught AS taught,
       (SELECT max(n.state) FROM notice_match n WHERE n.component_id = c.id AND n.cleared_at IS NULL) AS notice,
       EXISTS (SELECT FROM pairing p JOIN component c1 ON c1.model_id = p.first_model_id
                 JOIN fitting f1 ON f1.component_id = c1.id AND f1.set_id = s.id AND f1.position = 'first-stage' AND f1.until_at IS NULL
                WHERE p.second_model_id = c.model_id AND p.withdrawn_at IS NULL) AS paired,
       (SELECT w.oxygen_clean FROM component_work w WHERE w.component_id = c.id AND w.kind = 'service' ORDER BY w.done_on DESC, w.id DESC LIMIT 1) AS oxygen_clean,
       (SELECT to_jsonb(l) FROM model_limits l WHERE l.model_id = c.model_id ORDER BY l.nth DESC LIMIT 1) AS limits
     FROM fitting f JOIN component c ON c.id = f.component_id JOIN model m ON m.id = c.model_id
     WHERE f.set_id = s.id AND f.until_at IS NULL) k) AS components
FROM regulator_set s JOIN site t ON t.id = s.site_id`;

/**
 * The sets with these tags, seen from one site (a set of another site is loaded with `here: false`).
 * Tags nobody knows are simply not in the answer. In the order of the tags given.
 */
export async function loadSetsByTag(db: Pick<Database, "reads">, here: string, tags: readonly string[]): Promise<LoadedSet[]> {
  const { rows } = await db.reads.query<Row>({ name: "load_by_tag", text: `${LOAD} WHERE s.tag = ANY ($1)`, values: [tags] });
  const byTag = new Map(rows.map((row) => [row.tag, loaded(row, here)]));
  return tags.flatMap((tag) => byTag.get(tag) ?? []);
}

/** The sets with these ids, in the order given. */
export async function loadSetsById(db: Pick<Database, "reads">, here: string, ids: readonly string[]): Promise<LoadedSet[]> {
  const { rows } = await db.reads.query<Row>({ name: "load_by_id", text: `${LOAD} WHERE s.id = ANY ($1)`, values: [ids] });
  const byId = new Map(rows.map((row) => [row.id, loaded(row, here)]));
  return ids.flatMap((id) => byId.get(id) ?? []);
}

function loaded(row: Row, here: string): LoadedSet {
  const faults = row.faults ?? [];
  return {
    id: row.id,
    tag: row.tag,
    siteId: row.site_id,
    siteName: row.site_name,
    seq: row.seq,
    today: row.today,
    policy: policyOf(row.policy),
    facts: {
      evidenceLock: row.evidence,
      retired: row.retired,
      out: row.out !== null,
      here: row.site_id === here,
      restored: row.restored,
      released: row.released,
      cleaning: row.cleaning,
      openFaults: faults.filter((f) => !row.components?.some((c) => c.id === f.component)).map((f) => f.severity),
    },
    bench: row.bench,
    components: (row.components ?? []).map((c) => component(c, faults)),
    faults: faults.map((fault) => (row.components?.some((c) => c.id === fault.component) ? fault : { ...fault, component: null })),
    out: row.out === null ? null : { ...row.out, outAt: new Date(row.out.outAt) },
  };
}

/** A site's own settings over the defaults of those it cannot set. */
export function policyOf(site: SitePolicyRow): Policy {
  return {
    ...DEFAULT_POLICY,
    teachingMonths: site.teaching_months,
    shelfMonths: site.shelf_months,
    beddingDives: site.bedding_dives,
    beddingDays: site.bedding_days,
    nitroxAboveTenths: site.nitrox_above_tenths,
    nitroxNeedsM26: site.nitrox_needs_m26,
    minutesPerDive: site.minutes_per_dive,
    dryingMinutes: site.drying_minutes,
  };
}

function component(row: ComponentRow, faults: NonNullable<Row["faults"]>): FittedComponent {
  const { limits } = row;
  const counted = limits && [limits.service_dives, limits.service_minutes, limits.inspection_dives, limits.inspection_minutes].some((limb) => limb !== null);
  const limb = (months: number | null, dives: number | null, minutes: number | null): Limb => ({ months, dives, minutes });
  const modelMostO2 = limits?.max_o2_tenths ?? null;
  const lastService = row.oxygen_clean === null ? null : { oxygenClean: row.oxygen_clean };
  return {
    id: row.id,
    role: row.role,
    serial: row.serial ?? "unmarked",
    countsKnown: row.counts_known,
    modelId: row.model_id,
    maker: row.maker,
    modelName: row.model_name,
    modelKind: row.model_kind,
    modelMostO2,
    lastService,
    // With its use since the last service unknown, limits that count use cannot be judged at all.
    limits: limits && (row.counts_known || !counted) ? {
      service: limb(limits.service_months, limits.service_dives, limits.service_minutes),
      inspection: limits.has_inspection ? limb(limits.inspection_months, limits.inspection_dives, limits.inspection_minutes) : null,
    } : null,
    boughtOn: row.bought_on,
    inUseOn: row.in_use_on,
    servicedOn: row.serviced_on,
    inspectedOn: row.inspected_on,
    beddingCheckedOn: row.bedding_on,
    lastUsedOn: row.last_used_on,
    divesSinceService: row.dives_since_service,
    minutesSinceService: row.minutes_since_service,
    divesSinceInspection: row.dives_since_inspection,
    minutesSinceInspection: row.minutes_since_inspection,
    taughtSinceService: row.taught,
    // "open" sorts after "check": of two notices the harder one counts.
    notice: row.notice ?? "none",
    openFaults: faults.filter((f) => f.component === row.id).map((f) => f.severity),
    maxO2Tenths: oxygenLimit(modelMostO2, lastService),
    coldRating: limits?.cold_rating ?? "unknown",
    connection: limits?.connection ?? null,
    maxSupplyCentibar: limits?.max_supply_bar == null ? null : limits.max_supply_bar * 100,
    // An approval is recorded or it is not; nobody records that a pair is forbidden.
    pairingApproved: row.paired || null,
  };
}
