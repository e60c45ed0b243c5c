/**
 * The facts held against the record: whatever the screens and the gate read must be what the entries tell.
 * A fact that somebody changed behind the acts' back differs from its entry, or has none, or an entry lacks its fact.
 */
import { ACTS, type Act, type ActEffect } from "@hangrail/rules/acts";
import { longQuery, type Database } from "./database.ts";

/** What was compared. */
export type FactKind =
  | "set" | "hire" | "return" | "hirer" | "fault" | "fault-cleared" | "fault-confirmed" | "work" | "release" | "fitting" | "removal" | "bench-test" | "wash" | "dives"
  | "component" | "bath" | "limits" | "bench-limits" | "authorisation" | "policy" | "notice" | "photo" | "work-order" | "custody" | "act-kind";

/** A fact and the record do not say the same. */
export interface FactDifference {
  readonly fact: FactKind;
  /** The set, or the site for what concerns no set; null for what concerns the whole centre. */
  readonly chain: string | null;
  /** The entry it should follow from; null where there is none to point at. */
  readonly seq: number | null;
  /** What differs, by its name; "missing" = the entry is there and the fact is not, "act" alone = no entry tells of it. */
  readonly differs: readonly string[];
}

interface FactCheck {
  readonly fact: FactKind;
  readonly from: string;
  readonly chain: string;
  readonly seq: string;
  readonly where?: string;
  /** By name: what the fact says, and what the record says. */
  readonly pairs: Readonly<Record<string, readonly [fact: string, told: string]>>;
}

/** At most so many differences of a kind are told. */
const MOST = 20;

const actsThat = (effect: keyof ActEffect): string => `ARRAY[${(Object.keys(ACTS) as Act[]).filter((act) => ACTS[act][effect]).map((act) => `'${act}'`).join(",")}]`;

/** The entry a fact's sequence number points at. */
const entry = (set: string, seq: string): string => `LEFT JOIN record_entry e ON e.set_id = ${set} AND e.seq = ${seq}`;
const told = (key: string): string => `e.content->>'${key}'`;
/** An entry of this act without the fact that should follow from it. */
const lacking = (fact: FactKind, act: string, join: string, there: string): FactCheck => ({
  fact, from: `record_entry e LEFT JOIN ${join}`, chain: "e.set_id", seq: "e.seq", where: `e.set_id IS NOT NULL AND e.act = '${act}'`, pairs: { missing: [`${there} IS NOT NULL`, "true"] },
});
const done = (act: string, at: string, by: string): FactCheck["pairs"] => ({ act: [`'${act}'`, "e.act"], at: [at, "e.at"], by: [by, "e.by"] });

const CHECKS: readonly FactCheck[] = [
  {
    fact: "set",
    from: `regulator_set s LEFT JOIN (
        SELECT set_id, count(*)::int AS entries, max(seq) FILTER (WHERE act = ANY (${actsThat("soils")})) AS soiled, max(seq) FILTER (WHERE act = 'cleaned') AS cleaned,
               max(seq) FILTER (WHERE act = ANY (${actsThat("endsRelease")})) AS unreleased, max(seq) FILTER (WHERE act = 'released') AS released,
               max(seq) FILTER (WHERE act = ANY (${actsThat("asksTest")})) AS retest, max(seq) FILTER (WHERE act = 'bench-tested' AND content->>'phase' = 'as-left') AS tested,
               max(seq) FILTER (WHERE act = 'retired') AS retired, max(seq) FILTER (WHERE act = 'evidence-locked') AS locked, max(seq) FILTER (WHERE act = 'evidence-lifted') AS lifted
          FROM record_entry WHERE set_id IS NOT NULL GROUP BY set_id) m ON m.set_id = s.id ${entry("s.id", "s.seq")}`,
    chain: "s.id",
    seq: "s.seq",
    where: "s.seq > 0 OR m.set_id IS NOT NULL",
    pairs: {
      entries: ["s.seq", "coalesce(m.entries, 0)"], soiled: ["s.soiled_seq", "coalesce(m.soiled, 0)"], cleaned: ["s.cleaned_seq", "coalesce(m.cleaned, 0)"],
      unreleased: ["s.unreleased_seq", "coalesce(m.unreleased, 0)"], released: ["s.released_seq", "coalesce(m.released, 0)"], retest: ["s.retest_seq", "coalesce(m.retest, 0)"],
      tested: ["s.tested_seq", "coalesce(m.tested, 0)"], retired: ["s.retired_seq", "m.retired"], at: ["s.last_at", "e.at"], site: ["s.site_id", "e.site_id"],
      evidence: ["s.evidence_seq", "CASE WHEN m.locked > coalesce(m.lifted, 0) THEN (SELECT min(l.seq) FROM record_entry l WHERE l.set_id = s.id AND l.act = 'evidence-locked' AND l.seq > coalesce(m.lifted, 0)) END"],
    },
  },
  {
    fact: "hire",
    from: `hire_line l JOIN hire h ON h.id = l.hire_id ${entry("l.set_id", "l.out_seq")}`,
    chain: "l.set_id",
    seq: "l.out_seq",
    pairs: {
      ...done("handed-out", "l.out_at", "h.out_by"), hireAt: ["h.out_at", "e.at"], device: ["h.device_id", "e.device_id"], request: ["h.request_id", "e.request_id"], site: ["h.site_id", "e.site_id"],
      hire: ["l.hire_id::text", told("hire")], backOn: ["l.back_on::text", told("backOn")], partyBackOn: ["h.back_on::text", told("backOn")], dives: ["h.dives::text", told("dives")],
      minutes: ["h.minutes::text", told("minutes")], teaching: ["h.teaching::text", told("teaching")], cylinderConnection: ["h.cylinder_connection", told("cylinderConnection")],
      cylinderBar: ["h.cylinder_bar::text", told("cylinderBar")], o2Tenths: ["h.o2_tenths::text", told("o2Tenths")], waterTenthsC: ["h.water_tenths_c::text", told("waterTenthsC")], depthM: ["h.depth_m::text", told("depthM")],
    },
  },
  lacking("hire", "handed-out", "hire_line l ON l.set_id = e.set_id AND l.out_seq = e.seq", "l.id"),
  {
    fact: "return",
    from: `hire_line l ${entry("l.set_id", "l.back_seq")}`,
    chain: "l.set_id",
    seq: "l.back_seq",
    where: "l.back_seq IS NOT NULL",
    pairs: {
      ...done("taken-back", "l.back_at", "l.back_by"), line: ["l.id::text", told("line")], dives: ["l.dives::text", told("dives")], minutes: ["l.minutes::text", told("minutes")],
      estimated: ["l.estimated::text", told("estimated")], waterKind: ["l.water_kind", told("waterKind")], problem: ["l.problem::text", told("problem")],
    },
  },
  lacking("return", "taken-back", "hire_line l ON l.set_id = e.set_id AND l.back_seq = e.seq", "l.id"),
  {
    fact: "hirer",
    from: `hire_line l JOIN hire h ON h.id = l.hire_id JOIN hirer n ON n.id = h.hirer_id ${entry("l.set_id", "l.out_seq")}`,
    chain: "l.set_id",
    seq: "l.out_seq",
    // Hires from before there were commitments have none to hold the name against; an erased name opens none any more.
    where: "n.erased_at IS NULL AND e.content ? 'hirerCommitment'",
    pairs: { hirer: ["hirer_commitment(n.salt, n.name, n.contact)", told("hirerCommitment")] },
  },
  {
    fact: "fault",
    from: `fault f ${entry("f.set_id", "f.report_seq")}`,
    chain: "f.set_id",
    seq: "f.report_seq",
    pairs: { ...done("fault-reported", "f.reported_at", "f.reported_by"), code: ["f.code", told("code")], severity: ["f.severity", told("severity")], component: ["f.component_id::text", told("component")], where: ["f.found_where", told("where")], line: ["f.line_id::text", told("line")] },
  },
  lacking("fault", "fault-reported", "fault f ON f.set_id = e.set_id AND f.report_seq = e.seq", "f.id"),
  {
    fact: "fault-cleared",
    from: `fault f ${entry("f.set_id", "f.clear_seq")}`,
    chain: "f.set_id",
    seq: "f.clear_seq",
    where: "f.clear_seq IS NOT NULL",
    pairs: { ...done("fault-cleared", "f.cleared_at", "f.cleared_by"), fault: ["f.id::text", told("fault")], outcome: ["f.outcome", told("outcome")] },
  },
  lacking("fault-cleared", "fault-cleared", "fault f ON f.set_id = e.set_id AND f.clear_seq = e.seq", "f.id"),
  {
    fact: "fault-confirmed",
    from: `fault f ${entry("f.set_id", "f.confirm_seq")}`,
    chain: "f.set_id",
    seq: "f.confirm_seq",
    where: "f.confirm_seq IS NOT NULL",
    pairs: { ...done("fault-confirmed", "f.confirmed_at", "f.confirmed_by"), fault: ["f.id::text", told("fault")], code: ["f.found_code", told("code")], component: ["f.found_component::text", `coalesce(${told("component")}, f.component_id::text)`] },
  },
  lacking("fault-confirmed", "fault-confirmed", "fault f ON f.set_id = e.set_id AND f.confirm_seq = e.seq", "f.id"),
  {
    fact: "work",
    from: `component_work w ${entry("w.set_id", "w.seq")} LEFT JOIN site t ON t.id = e.site_id`,
    chain: "w.set_id",
    seq: "w.seq",
    where: "NOT w.imported",
    pairs: {
      act: ["CASE w.kind WHEN 'service' THEN 'serviced' WHEN 'inspection' THEN 'inspected' ELSE 'bedding-checked' END", "e.act"], at: ["w.at", "e.at"], by: ["w.done_by", "e.by"],
      component: ["e.content->'components' ? w.component_id::text", "true"], oxygenClean: ["w.oxygen_clean::text", told("oxygenClean")], words: ["w.words", told("words")],
      doneOn: ["w.done_on", "(e.at AT TIME ZONE t.time_zone)::date"],
      // A return in the same instant may stand before or after the work.
      dives: ["w.dives_at BETWEEN (SELECT coalesce(sum(u.dives), 0) FROM component_use u WHERE u.component_id = w.component_id AND u.at < w.at) AND (SELECT coalesce(sum(u.dives), 0) FROM component_use u WHERE u.component_id = w.component_id AND u.at <= w.at)", "true"],
    },
  },
  {
    fact: "work",
    from: "record_entry e CROSS JOIN LATERAL jsonb_array_elements_text(e.content->'components') x LEFT JOIN component_work w ON w.set_id = e.set_id AND w.seq = e.seq AND w.component_id = x::uuid",
    chain: "e.set_id",
    seq: "e.seq",
    where: "e.act IN ('serviced', 'inspected', 'bedding-checked')",
    pairs: { missing: ["w.id IS NOT NULL", "true"] },
  },
  {
    fact: "release",
    from: `release r ${entry("r.set_id", "r.seq")}`,
    chain: "r.set_id",
    seq: "r.seq",
    pairs: { ...done("released", "r.released_at", "r.released_by"), words: ["r.words", told("words")] },
  },
  lacking("release", "released", "release r ON r.set_id = e.set_id AND r.seq = e.seq", "r.id"),
  {
    fact: "fitting",
    from: `fitting f JOIN component c ON c.id = f.component_id ${entry("f.set_id", "f.from_seq")}`,
    chain: "f.set_id",
    seq: "f.from_seq",
    pairs: {
      component: [
        `CASE e.act WHEN 'fitted' THEN ${told("on")} = c.id::text AND ${told("position")} = f.position AND f.from_at >= e.at
           WHEN 'imported' THEN coalesce(e.content->'components' ? c.id::text, false) AND f.from_at = e.at
           WHEN 'registered' THEN f.from_at = e.at AND EXISTS (SELECT FROM jsonb_array_elements(e.content->'parts') p WHERE p->>'model' = c.model_id::text AND p->>'position' = f.position AND p->>'serial' IS NOT DISTINCT FROM c.serial)
           ELSE false END`,
        "true",
      ],
    },
  },
  lacking("fitting", "fitted", "fitting f ON f.set_id = e.set_id AND f.from_seq = e.seq", "f.id"),
  {
    fact: "removal",
    from: `fitting f ${entry("f.set_id", "f.until_seq")}`,
    chain: "f.set_id",
    seq: "f.until_seq",
    where: "f.until_seq IS NOT NULL",
    pairs: { act: ["'removed'", "e.act"], at: ["f.until_at", "greatest(e.at, f.from_at)"], component: ["f.component_id::text", told("component")], position: ["f.position", told("position")] },
  },
  lacking("removal", "removed", "fitting f ON f.set_id = e.set_id AND f.until_seq = e.seq", "f.id"),
  {
    fact: "bench-test",
    from: `bench_test b ${entry("b.set_id", "b.seq")} LEFT JOIN site t ON t.id = e.site_id`,
    chain: "b.set_id",
    seq: "b.seq",
    pairs: {
      act: ["CASE WHEN b.verdict = 'fail' OR (b.phase = 'as-left' AND b.verdict <> 'pass') THEN 'bench-test-failed' ELSE 'bench-tested' END", "e.act"], at: ["b.tested_at", "e.at"], by: ["b.tested_by", "e.by"],
      test: ["b.id::text", told("test")], phase: ["b.phase", told("phase")], verdict: ["b.verdict", told("verdict")], words: ["b.words", told("words")], testedOn: ["b.tested_on", "(e.at AT TIME ZONE t.time_zone)::date"],
      readings: [
        "(SELECT jsonb_agg(jsonb_build_array(r.component_id, r.name, r.value, r.supply_cbar, r.at_cbar, r.verdict, r.low, r.high, r.gauge_id) ORDER BY r.id) FROM bench_reading r WHERE r.test_id = b.id)",
        "(SELECT jsonb_agg(jsonb_build_array(x->'component', x->'name', x->'value', x->'supplyCbar', x->'atCbar', x->'verdict', x->'low', x->'high', x->'gauge') ORDER BY n) FROM jsonb_array_elements(e.content->'readings') WITH ORDINALITY AS y (x, n))",
      ],
    },
  },
  {
    fact: "bench-test",
    from: "record_entry e LEFT JOIN bench_test b ON b.set_id = e.set_id AND b.seq = e.seq",
    chain: "e.set_id",
    seq: "e.seq",
    where: "e.act IN ('bench-tested', 'bench-test-failed')",
    pairs: { missing: ["b.id IS NOT NULL", "true"] },
  },
  ...(["start_seq wash-started", "wet_seq wet-ended", "clean_seq cleaned"] as const).map((one): FactCheck => {
    const [column, act] = one.split(" ") as [string, string];
    return { fact: "wash", from: `cleaning_run_set w ${entry("w.set_id", `w.${column}`)}`, chain: "w.set_id", seq: `w.${column}`, where: `w.${column} IS NOT NULL`, pairs: { act: [`'${act}'`, "e.act"], run: ["w.run_id::text", told("run")] } };
  }),
  {
    fact: "wash",
    from: `cleaning_run_set w ${entry("w.set_id", "w.abandoned_seq")}`,
    chain: "w.set_id",
    seq: "w.abandoned_seq",
    where: "w.abandoned_seq IS NOT NULL",
    pairs: { act: [`e.act = ANY (${actsThat("soils")}) OR e.act IN ('evidence-locked', 'retired')`, "true"] },
  },
  lacking("wash", "cleaned", "cleaning_run_set w ON w.set_id = e.set_id AND w.clean_seq = e.seq", "w.run_id"),
  {
    fact: "wash",
    from: `cleaning_run_set w JOIN cleaning_run r ON r.id = w.run_id JOIN bath b ON b.id = r.bath_id ${entry("w.set_id", "w.start_seq")}`,
    chain: "w.set_id",
    seq: "w.start_seq",
    pairs: { at: ["r.started_at", "e.at"], by: ["r.started_by", "e.by"], bath: ["r.bath_id::text", told("bath")], ppm: ["b.ppm::text", told("ppm")] },
  },
  {
    fact: "dives",
    from: "hire_line l JOIN fitting f ON f.set_id = l.set_id AND f.from_seq < l.back_seq AND (f.until_seq IS NULL OR f.until_seq > l.back_seq) LEFT JOIN component_use u ON u.line_id = l.id AND u.component_id = f.component_id",
    chain: "l.set_id",
    seq: "l.back_seq",
    where: "l.back_seq IS NOT NULL",
    pairs: { dives: ["u.dives", "l.dives"], minutes: ["u.minutes", "l.minutes"], estimated: ["u.estimated", "l.estimated"], at: ["u.at", "l.back_at"] },
  },
  {
    fact: "component",
    from: `component c LEFT JOIN (SELECT component_id, sum(dives) AS dives, sum(minutes) AS minutes, sum(taught::int) AS taught, max(used_on) FILTER (WHERE line_id IS NOT NULL) AS used_on FROM component_use GROUP BY 1) u ON u.component_id = c.id
      LEFT JOIN (SELECT component_id, max(done_on) FILTER (WHERE kind = 'service') AS serviced, max(done_on) FILTER (WHERE kind = 'inspection') AS inspected, max(done_on) FILTER (WHERE kind IN ('service', 'inspection')) AS checked,
                        max(done_on) FILTER (WHERE kind = 'bedding-check') AS bedding FROM component_work GROUP BY 1) w ON w.component_id = c.id
      LEFT JOIN fitting f ON f.component_id = c.id AND f.until_at IS NULL`,
    chain: "f.set_id",
    seq: "NULL::int",
    pairs: {
      dives: ["c.dives_total", "coalesce(u.dives, 0)"], minutes: ["c.minutes_total", "coalesce(u.minutes, 0)"], taught: ["c.taught_total", "coalesce(u.taught, 0)"],
      servicedOn: ["c.serviced_on", "w.serviced"], inspectedOn: ["c.inspected_on", "w.inspected"], checkedOn: ["c.checked_on", "w.checked"], beddingOn: ["c.bedding_on", "w.bedding"],
      lastUsedOn: ["coalesce(c.last_used_on >= u.used_on, u.used_on IS NULL)", "true"],
      servicedDives: ["c.serviced_on IS NULL OR EXISTS (SELECT FROM component_work x WHERE x.component_id = c.id AND x.kind = 'service' AND x.done_on = c.serviced_on AND (x.dives_at, x.minutes_at, x.taught_at) = (c.serviced_dives, c.serviced_minutes, c.serviced_taught))", "true"],
      checkedDives: ["c.checked_on IS NULL OR EXISTS (SELECT FROM component_work x WHERE x.component_id = c.id AND x.done_on = c.checked_on AND (x.dives_at, x.minutes_at) = (c.checked_dives, c.checked_minutes))", "true"],
    },
  },
  {
    fact: "bath",
    from: `bath b LEFT JOIN record_entry e ON e.set_id IS NULL AND e.act = 'bath-mixed' AND ${told("bath")} = b.id::text`,
    chain: "b.site_id",
    seq: "e.site_seq",
    pairs: { ...done("bath-mixed", "b.mixed_at", "b.mixed_by"), ppm: ["b.ppm::text", told("ppm")], productMl: ["b.product_ml::text", told("productMl")], waterMl: ["b.water_ml::text", told("waterMl")], product: ["b.disinfectant_id::text", told("product")] },
  },
  {
    fact: "limits",
    from: `model_limits l LEFT JOIN (SELECT e.*, row_number() OVER (PARTITION BY ${told("model")} ORDER BY e.id) AS nth FROM record_entry e WHERE e.set_id IS NULL AND e.act = 'limits-accepted') e ON ${told("model")} = l.model_id::text AND e.nth = l.nth`,
    chain: "e.site_id",
    seq: "e.site_seq",
    pairs: {
      act: ["'limits-accepted'", "e.act"], by: ["l.accepted_by", "e.by"], manualPage: ["l.manual_page", told("manualPage")],
      serviceMonths: ["l.service_months::text", told("serviceMonths")], serviceDives: ["l.service_dives::text", told("serviceDives")], serviceMinutes: ["l.service_minutes::text", told("serviceMinutes")],
      hasInspection: ["l.has_inspection::text", told("hasInspection")], inspectionMonths: ["l.inspection_months::text", told("inspectionMonths")], inspectionDives: ["l.inspection_dives::text", told("inspectionDives")],
      inspectionMinutes: ["l.inspection_minutes::text", told("inspectionMinutes")], maxO2Tenths: ["l.max_o2_tenths::text", told("maxO2Tenths")], coldRating: ["l.cold_rating", told("coldRating")],
      connection: ["l.connection", told("connection")], maxSupplyBar: ["l.max_supply_bar::text", told("maxSupplyBar")],
    },
  },
  {
    fact: "bench-limits",
    from: `bench_limit l LEFT JOIN (SELECT e.site_id, e.site_seq, e.by, e.content->>'model' AS model, x AS content, row_number() OVER (PARTITION BY e.content->>'model', x->>'name' ORDER BY e.id) AS nth
             FROM record_entry e CROSS JOIN LATERAL jsonb_array_elements(e.content->'limits') x WHERE e.set_id IS NULL AND e.act = 'bench-limit-accepted') e ON e.model = l.model_id::text AND ${told("name")} = l.name AND e.nth = l.nth`,
    chain: "e.site_id",
    seq: "e.site_seq",
    pairs: { act: ["true", "e.content IS NOT NULL"], low: ["l.low::text", told("low")], high: ["l.high::text", told("high")], by: ["l.accepted_by", "e.by"] },
  },
  {
    fact: "authorisation",
    from: `authorisation a LEFT JOIN record_entry e ON e.set_id IS NULL AND e.act = 'authorised' AND ${told("staff")} = a.staff_id::text AND ${told("maker")} = a.maker AND ${told("from")} = a.from_on::text AND ${told("until")} = a.until_on::text
             AND ${told("oxygenClean")} = a.oxygen_clean::text AND e.by = a.given_by`,
    chain: "e.site_id",
    seq: "e.site_seq",
    pairs: { act: ["'authorised'", "e.act"] },
  },
  {
    fact: "policy",
    from: `(SELECT DISTINCT ON (p.site_id, k.key) p.site_id, p.site_seq, k.key, k.value FROM record_entry p CROSS JOIN LATERAL jsonb_each_text(p.content) k
             WHERE p.set_id IS NULL AND p.act = 'policy-changed' AND k.value IS NOT NULL ORDER BY p.site_id, k.key, p.site_seq DESC) e JOIN site t ON t.id = e.site_id`,
    chain: "e.site_id",
    seq: "e.site_seq",
    pairs: {
      setting: [
        `CASE e.key WHEN 'teachingMonths' THEN t.teaching_months::text WHEN 'shelfMonths' THEN t.shelf_months::text WHEN 'beddingDives' THEN t.bedding_dives::text WHEN 'beddingDays' THEN t.bedding_days::text
           WHEN 'nitroxAboveTenths' THEN t.nitrox_above_tenths::text WHEN 'nitroxNeedsM26' THEN t.nitrox_needs_m26::text WHEN 'minutesPerDive' THEN t.minutes_per_dive::text WHEN 'dryingMinutes' THEN t.drying_minutes::text
           WHEN 'retentionMonths' THEN t.retention_months::text WHEN 'units' THEN t.units WHEN 'releaseBySecond' THEN t.release_by_second::text WHEN 'benchDays' THEN t.bench_days::text ELSE e.value END`,
        "e.value",
      ],
    },
  },
  {
    fact: "notice",
    from: `notice_match n JOIN fitting f ON f.component_id = n.component_id AND f.from_at <= n.cleared_at AND (f.until_at IS NULL OR f.until_at > n.cleared_at)
             LEFT JOIN record_entry e ON e.set_id = f.set_id AND e.act = 'notice-cleared' AND ${told("notice")} = n.notice_id::text AND ${told("component")} = n.component_id::text`,
    chain: "f.set_id",
    seq: "e.seq",
    where: "n.cleared_at IS NOT NULL",
    pairs: done("notice-cleared", "n.cleared_at", "n.cleared_by"),
  },
  {
    fact: "photo",
    from: `fault_photo p JOIN fault f ON f.id = p.fault_id LEFT JOIN record_entry e ON e.set_id = f.set_id AND e.act = 'photo-added' AND ${told("fault")} = f.id::text AND e.at = p.taken_at AND ${told("sha256")} = encode(sha256(p.bytes), 'hex')`,
    chain: "f.set_id",
    seq: "e.seq",
    pairs: done("photo-added", "p.taken_at", "p.taken_by"),
  },
  lacking("photo", "photo-added", `fault_photo p ON p.fault_id = (${told("fault")})::uuid AND p.taken_at = e.at AND ${told("sha256")} = encode(sha256(p.bytes), 'hex')`, "p.id"),
  ...(["opened order-opened", "taken order-taken", "done order-done"] as const).map((one): FactCheck => {
    const [step, act] = one.split(" ") as [string, string];
    return {
      fact: "work-order", from: `work_order o ${entry("o.set_id", `o.${step}_seq`)}`, chain: "o.set_id", seq: `o.${step}_seq`, where: `o.${step}_seq IS NOT NULL`,
      pairs: { ...done(act, `o.${step}_at`, `o.${step}_by`), order: ["o.id::text", told("order")], ...(step === "done" ? { outcome: ["o.outcome", told("outcome")], minutes: ["o.minutes::text", told("minutes")] } : {}) },
    };
  }),
  {
    fact: "custody",
    from: `custody_note k ${entry("k.set_id", "k.seq")}`,
    chain: "k.set_id",
    seq: "k.seq",
    pairs: { ...done("custody-noted", "k.noted_at", "k.noted_by"), from: ["k.from_hand", told("from")], to: ["k.to_hand", told("to")], place: ["k.place", told("place")], words: ["k.words", told("words")] },
  },
  lacking("custody", "custody-noted", "custody_note k ON k.set_id = e.set_id AND k.seq = e.seq", "k.id"),
  {
    // What an act does to a set stands in the program too; the database's own list must not say otherwise.
    fact: "act-kind",
    from: "act_kind a",
    chain: "NULL::uuid",
    seq: "NULL::int",
    pairs: { soils: ["a.soils", `a.act = ANY (${actsThat("soils")})`], endsRelease: ["a.ends_release", `a.act = ANY (${actsThat("endsRelease")})`], asksTest: ["a.asks_test", `a.act = ANY (${actsThat("asksTest")})`] },
  },
];

/** Every difference between the facts and the record, at most twenty of a kind; of one site's sets and its own entries, or of all. */
export async function readFactDifferences(db: Database, site: string | null): Promise<FactDifference[]> {
  const found: FactDifference[] = [];
  for (const check of CHECKS) found.push(...(await longQuery<FactDifference>(db, sqlOf(check), [site])));
  return found;
}

function sqlOf({ fact, from, chain, seq, where, pairs }: FactCheck): string {
  const named = Object.entries(pairs);
  const differs = named.map(([name, [one, other]]) => `CASE WHEN (${one}) IS DISTINCT FROM (${other}) THEN '${name}' END`);
  return `SELECT '${fact}' AS fact, ${chain} AS chain, ${seq} AS seq, array_remove(ARRAY[${differs.join(", ")}], NULL) AS differs FROM ${from}
    WHERE ${where === undefined ? "" : `(${where}) AND `}(${named.map(([, [one, other]]) => `(${one}) IS DISTINCT FROM (${other})`).join(" OR ")})
      AND ($1::uuid IS NULL OR ${chain} = $1 OR (${chain}) IN (SELECT id FROM regulator_set WHERE site_id = $1))
    ORDER BY 2, 3 LIMIT ${MOST}`;
}
