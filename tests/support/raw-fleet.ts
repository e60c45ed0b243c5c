/** Sets written straight into the tables by the owner: any mixture of facts, also ones that no act would lead to. */
import { randomUUID } from "node:crypto";
import type pg from "pg";

export interface RawLimits {
  readonly serviceMonths: number | null;
  readonly serviceDives: number | null;
  readonly serviceMinutes: number | null;
  readonly inspection: { readonly months: number | null; readonly dives: number | null; readonly minutes: number | null } | null;
  readonly maxO2Tenths?: number | null;
}

export interface RawComponent {
  readonly position: "first-stage" | "primary" | "alternate" | "gauge" | "inflator-hose" | "hose" | "transmitter";
  readonly limits: RawLimits | null;
  readonly boughtOn: string | null;
  readonly inUseOn: string | null;
  readonly servicedOn: string | null;
  readonly inspectedOn: string | null;
  readonly lastUsedOn: string | null;
  readonly divesSinceService: number;
  readonly minutesSinceService: number;
  readonly divesSinceInspection: number;
  readonly minutesSinceInspection: number;
  readonly taught: boolean;
  readonly notices: readonly { readonly state: "open" | "check"; readonly cleared: boolean }[];
  readonly paired: boolean;
  /** Services of the past, in the order they were written down. */
  readonly services?: readonly { readonly doneOn: string; readonly oxygenClean: boolean }[];
}

export interface RawSet {
  readonly components: readonly RawComponent[];
  /** `on` = the place of a component in the list, null = the set, -1 = a component that is not in the set any more. */
  readonly faults: readonly { readonly severity: "out" | "hold" | "watch"; readonly on: number | null; readonly cleared: boolean }[];
  readonly soiled: number;
  readonly cleaned: number;
  readonly unreleased: number;
  readonly released: number;
  readonly retired: boolean;
  readonly evidence: boolean;
  /** Held by a restore, or held once and seen since. */
  readonly restored?: "waits" | "seen" | undefined;
  readonly out: boolean;
  readonly wash: "none" | "in-bath" | "drying";
}

const KIND: Readonly<Record<RawComponent["position"], string>> = {
  "first-stage": "first-stage", primary: "second-stage", alternate: "second-stage", gauge: "gauge", "inflator-hose": "inflator", hose: "hose", transmitter: "transmitter",
};

/** Writes the sets and answers their ids, and the ids of their components, in order. */
export async function writeSets(owner: pg.Pool, site: string, staff: string, sets: readonly RawSet[]): Promise<{ id: string; components: string[] }[]> {
  const rows = { model: [] as object[], limits: [] as object[], component: [] as object[], regulator_set: [] as object[], fitting: [] as object[], fault: [] as object[], notice: [] as object[], match: [] as object[], pairing: [] as object[], line: [] as object[], wash: [] as object[], restored: [] as object[], work: [] as object[] };
  const made = sets.map((set) => {
    const id = randomUUID();
    rows.regulator_set.push({
      id, tag: `Z${id.slice(0, 8).toUpperCase()}`, site_id: site, seq: 9, soiled_seq: set.soiled, cleaned_seq: set.cleaned, unreleased_seq: set.unreleased, released_seq: set.released,
      retired_seq: set.retired ? 9 : null, evidence_seq: set.evidence ? 9 : null,
    });
    const components = set.components.map(() => randomUUID());
    const models = set.components.map(() => randomUUID());
    const firstStage = set.components.findIndex((c) => c.position === "first-stage");
    set.components.forEach((c, at) => {
      rows.model.push({ id: models[at], kind: KIND[c.position], maker: "Tarnfell", name: models[at] });
      if (c.limits !== null) {
        rows.limits.push({
          model_id: models[at], nth: 1, service_months: c.limits.serviceMonths, service_dives: c.limits.serviceDives, service_minutes: c.limits.serviceMinutes,
          has_inspection: c.limits.inspection !== null, inspection_months: c.limits.inspection?.months ?? null, inspection_dives: c.limits.inspection?.dives ?? null,
          inspection_minutes: c.limits.inspection?.minutes ?? null, max_o2_tenths: c.limits.maxO2Tenths ?? null, cold_rating: "unknown", manual_page: "p", accepted_by: staff,
        });
      }
      const dives = Math.max(c.divesSinceService, c.divesSinceInspection) + 7;
      const minutes = Math.max(c.minutesSinceService, c.minutesSinceInspection) + 70;
      rows.component.push({
        id: components[at], model_id: models[at], site_id: site, serial: components[at], bought_on: c.boughtOn, in_use_on: c.inUseOn, last_used_on: c.lastUsedOn,
        dives_total: dives, minutes_total: minutes, taught_total: 3, serviced_on: c.servicedOn, serviced_dives: dives - c.divesSinceService,
        serviced_minutes: minutes - c.minutesSinceService, serviced_taught: c.taught ? 2 : 3, inspected_on: c.inspectedOn,
        checked_on: [c.servicedOn, c.inspectedOn].filter((one) => one !== null).sort().at(-1) ?? null,
        checked_dives: dives - c.divesSinceInspection, checked_minutes: minutes - c.minutesSinceInspection,
      });
      rows.fitting.push({ set_id: id, component_id: components[at], position: c.position, from_seq: 1, from_at: "2000-01-01T00:00:00Z" });
      for (const { doneOn, oxygenClean } of c.services ?? []) {
        rows.work.push({ component_id: components[at], kind: "service", done_on: doneOn, dives_at: 0, minutes_at: 0, taught_at: 0, oxygen_clean: oxygenClean, imported: false, words: "w", done_by: staff, at: "2020-01-01T00:00:00Z" });
      }
      for (const notice of c.notices) {
        const notice_id = randomUUID();
        rows.notice.push({ id: notice_id, title: "t", reference: notice_id, hazard: "h", remedy: "r", published_on: "2020-01-01", entered_by: staff });
        rows.match.push({ notice_id, component_id: components[at], state: notice.state, matched_at: "2020-01-01T00:00:00Z", ...(notice.cleared ? { cleared_at: "2020-02-01T00:00:00Z", cleared_by: staff, remedy_done: "d" } : {}) });
      }
      if (c.paired && firstStage >= 0 && KIND[c.position] === "second-stage") {
        rows.pairing.push({ first_model_id: models[firstStage], second_model_id: models[at], manual_page: "p", approved_by: staff });
      }
    });
    for (const fault of set.faults) {
      rows.fault.push({
        set_id: id, component_id: fault.on === null ? null : components[fault.on] ?? null, code: "SS-02", severity: fault.severity, found_where: "desk", words: "", report_seq: 2,
        reported_at: "2020-01-01T00:00:00Z", reported_by: staff,
        ...(fault.cleared ? { clear_seq: 3, cleared_at: "2020-02-01T00:00:00Z", cleared_by: staff, outcome: "mended", clear_words: "" } : {}),
      });
    }
    if (set.out) rows.line.push({ set_id: id });
    if (set.restored) rows.restored.push({ set_id: id, restored_seq: 8, ...(set.restored === "seen" ? { seen_seq: 9, seen_at: "2020-02-01T00:00:00Z", seen_by: staff } : {}) });
    if (set.wash !== "none") rows.wash.push({ set_id: id, wet_seq: set.wash === "drying" ? 6 : null });
    return { id, components };
  });
  await owner.query(
    `WITH j AS (SELECT $1::jsonb AS all_rows),
       m AS (INSERT INTO model (id, kind, maker, name) SELECT id, kind, maker, name FROM j, jsonb_populate_recordset(NULL::model, all_rows->'model') RETURNING 1),
       h AS (INSERT INTO hirer (name) VALUES (NULL) RETURNING id),
       hi AS (INSERT INTO hire (site_id, hirer_id, back_on, dives, minutes, teaching, cylinder_connection, cylinder_bar, o2_tenths, water_tenths_c, depth_m, out_at, out_by, request_id)
              SELECT $2, h.id, '2030-01-01', 1, 1, false, 'yoke', 200, 210, 200, 10, now(), $3, gen_random_uuid() FROM h RETURNING id)
     SELECT count(*) FROM m, h, hi`,
    [JSON.stringify(rows), site, staff],
  );
  const into = (table: string, columns: string, from: string) =>
    owner.query(`INSERT INTO ${table} (${columns}) SELECT ${columns} FROM jsonb_populate_recordset(NULL::${table}, $1)`, [JSON.stringify(rows[from as keyof typeof rows])]);
  await into("model_limits", "model_id, nth, service_months, service_dives, service_minutes, has_inspection, inspection_months, inspection_dives, inspection_minutes, max_o2_tenths, cold_rating, manual_page, accepted_by", "limits");
  await into("component", "id, model_id, site_id, serial, bought_on, in_use_on, last_used_on, dives_total, minutes_total, taught_total, serviced_on, serviced_dives, serviced_minutes, serviced_taught, inspected_on, checked_on, checked_dives, checked_minutes", "component");
  await into("component_work", "component_id, kind, done_on, dives_at, minutes_at, taught_at, oxygen_clean, imported, words, done_by, at", "work");
  await into("regulator_set", "id, tag, site_id, seq, soiled_seq, cleaned_seq, unreleased_seq, released_seq, retired_seq, evidence_seq", "regulator_set");
  await into("fitting", "set_id, component_id, position, from_seq, from_at", "fitting");
  await into("fault", "set_id, component_id, code, severity, found_where, words, report_seq, reported_at, reported_by, clear_seq, cleared_at, cleared_by, outcome, clear_words", "fault");
  await into("notice", "id, title, reference, hazard, remedy, published_on, entered_by", "notice");
  await into("notice_match", "notice_id, component_id, state, matched_at, cleared_at, cleared_by, remedy_done", "match");
  await into("pairing", "first_model_id, second_model_id, manual_page, approved_by", "pairing");
  await owner.query(
    `WITH r AS (INSERT INTO restore (taken_at, restored_at, digest) VALUES (now(), now(), repeat('0', 64)) RETURNING id)
     INSERT INTO restored_set (restore_id, set_id, restored_seq, seen_seq, seen_at, seen_by) SELECT r.id, x.set_id, x.restored_seq, x.seen_seq, x.seen_at, x.seen_by FROM r, jsonb_populate_recordset(NULL::restored_set, $1) x`,
    [JSON.stringify(rows.restored)],
  );
  await owner.query(
    "INSERT INTO hire_line (hire_id, set_id, out_seq, out_at, back_on) SELECT (SELECT id FROM hire LIMIT 1), x.set_id, 8, now(), '2030-01-01' FROM jsonb_to_recordset($1) AS x(set_id uuid)",
    [JSON.stringify(rows.line)],
  );
  await owner.query(
    `INSERT INTO cleaning_run_set (run_id, set_id, start_seq, wet_seq) SELECT (SELECT id FROM cleaning_run LIMIT 1), x.set_id, 5, x.wet_seq FROM jsonb_to_recordset($1) AS x(set_id uuid, wet_seq int)`,
    [JSON.stringify(rows.wash)],
  );
  return made;
}
