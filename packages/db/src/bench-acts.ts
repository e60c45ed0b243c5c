/** The acts of the bench: faults, work orders, work, tests, release, kits, test gauges, notices and evidence. */
import type { BenchLimitName } from "@hangrail/rules/bench-limits";
import type { Adjuster, Balance, Judgement, Venturi } from "@hangrail/rules/bench-readings";
import type { ItemName } from "@hangrail/rules/bench-test";
import type { Day } from "@hangrail/rules/calendar";
import type { Severity } from "@hangrail/rules/hand-out";
import type { Plug } from "@hangrail/rules/ports";
import type { WorkOrderKind } from "@hangrail/rules/work-orders";
import { act, type Answer, type Who } from "./acts.ts";
import type { Database } from "./database.ts";

type Acts = Pick<Database, "acts">;

// ── Faults ──

export interface FaultInput {
  readonly code: string;
  readonly severity: Severity;
  readonly component: string | null;
  readonly where: "desk" | "wash-room" | "bench" | "boat";
  readonly words: string;
}

export const reportFault = (db: Acts, who: Who, set: string, fault: FaultInput) => act<Answer<{ fault: string }>>(db, "report_fault", [who, set, fault]);
/** What the technician found; the component reported counts unless another is named. */
export const confirmFault = (db: Acts, who: Who, fault: string, found: { readonly code: string; readonly component: string | null; readonly words: string }) =>
  act<Answer>(db, "confirm_fault", [who, fault, found]);
export const clearFault = (db: Acts, who: Who, fault: string, outcome: "mended" | "not-found", words: string, opened: boolean) =>
  act<Answer>(db, "clear_fault", [who, fault, outcome, words, opened]);
export const addPhoto = (db: Acts, who: Who, fault: string, mediaType: "image/jpeg" | "image/png" | "image/webp", bytes: Buffer) =>
  act<Answer<{ photo: string }>>(db, "add_photo", [who, fault, mediaType, bytes]);
export const tuneFault = (db: Acts, who: Who, code: string, severity: Severity) => act<Answer>(db, "tune_fault", [who, code, severity]);

// ── Work orders ──

export interface OrderInput {
  readonly kind: WorkOrderKind;
  /** The open fault a repair is for; null otherwise. */
  readonly fault: string | null;
  /** The notice whose remedy is to be done; null otherwise. */
  readonly notice: string | null;
  /** The Monday of the week it is planned for. */
  readonly weekOn: Day | null;
  readonly words: string;
}

export const openWorkOrder = (db: Acts, who: Who, set: string, order: OrderInput) => act<Answer<{ order: string }>>(db, "open_work_order", [who, set, order]);
export const takeWorkOrder = (db: Acts, who: Who, order: string) => act<Answer>(db, "take_work_order", [who, order]);
export const parkWorkOrder = (db: Acts, who: Who, order: string, why: string, expectedOn: Day | null) => act<Answer>(db, "park_work_order", [who, order, why, expectedOn]);
export const resumeWorkOrder = (db: Acts, who: Who, order: string) => act<Answer>(db, "resume_work_order", [who, order]);
export const closeWorkOrder = (db: Acts, who: Who, order: string, close: { readonly outcome: "done" | "dropped"; readonly minutes: number | null; readonly words: string }) =>
  act<Answer>(db, "close_work_order", [who, order, close]);

// ── Work, tests, release ──

export interface KitUse {
  readonly component: string;
  readonly kit: string;
  readonly lot: string;
  readonly quantity: number;
}

export interface WorkInput {
  readonly kind: "service" | "inspection" | "bedding-check";
  readonly components: readonly string[];
  readonly oxygenClean: boolean;
  readonly words: string;
  /** The taken work order this belongs to. */
  readonly order?: string | null;
  /** What came off the shelf. A service of a first or second stage is refused without the kits its model's list names. */
  readonly kits?: readonly KitUse[];
}

export const recordWork = (db: Acts, who: Who, set: string, work: WorkInput) => act<Answer>(db, "record_work", [who, set, work]);

type Verdict = Judgement["verdict"];

/** A reading as judged: pressures in hundredths of a bar, efforts in hundredths of a millibar, yes and no as 1 and 0. */
export interface JudgedReading {
  readonly component: string;
  readonly name: ItemName;
  readonly supplyCbar: number | null;
  readonly atCbar: number | null;
  readonly value: number;
  readonly adjuster: Adjuster | null;
  readonly venturi: Venturi | null;
  readonly gauge: string | null;
  readonly verdict: Verdict;
  readonly why: string | null;
  readonly low: number | null;
  readonly high: number | null;
}

export interface BenchTestInput {
  readonly phase: "as-found" | "as-left";
  readonly verdict: Verdict;
  readonly words: string;
  readonly order: string | null;
  readonly readings: readonly JudgedReading[];
  /** Points are [seconds, hundredths of a bar]. */
  readonly curves: readonly { readonly component: string; readonly supplyCbar: number; readonly points: readonly (readonly [number, number])[] }[];
}

export const recordBenchTest = (db: Acts, who: Who, set: string, test: BenchTestInput) => act<Answer<{ test: string }>>(db, "record_bench_test", [who, set, test]);
export const releaseSets = (db: Acts, who: Who, sets: readonly string[], words: string) => act<Answer>(db, "release_sets", [who, [...sets], words]);

// ── What a model's manual says for the bench ──

export interface BenchLimitInput {
  readonly name: BenchLimitName;
  readonly low: number | null;
  readonly high: number | null;
  readonly page: string;
}

export const acceptBenchLimits = (db: Acts, who: Who, model: string, limits: readonly BenchLimitInput[]) =>
  act<Answer>(db, "accept_bench_limits", [who, model, JSON.stringify(limits)]);

export interface BuildInput {
  readonly balance: Balance | null;
  readonly hpPorts: number | null;
  readonly lpPorts: number | null;
  readonly lpHalfInchPorts: number | null;
  readonly plugsInto: Plug | null;
  readonly serviceMinutes: number | null;
  readonly inspectionMinutes: number | null;
  readonly page: string;
}

export const acceptBuild = (db: Acts, who: Who, model: string, build: BuildInput) => act<Answer>(db, "accept_build", [who, model, build]);
/** The kits one service of the model uses; an empty list says that it needs none. */
export const acceptKits = (db: Acts, who: Who, model: string, lines: readonly { readonly kit: string; readonly quantity: number }[], page: string) =>
  act<Answer>(db, "accept_kits", [who, model, JSON.stringify(lines), page]);

// ── Kits and test gauges ──

export interface KitInput {
  readonly maker: string;
  readonly name: string;
  readonly priceCents: number | null;
  readonly leadDays: number | null;
}

export const keepKit = (db: Acts, who: Who, kit: KitInput) => act<Answer<{ kit: string }>>(db, "keep_kit", [who, kit]);
export const moveKit = (db: Acts, who: Who, kit: string, move: { readonly kind: "received" | "counted"; readonly quantity: number; readonly lot: string | null; readonly words: string }) =>
  act<Answer<{ stock: number }>>(db, "move_kit", [who, kit, move]);
export const orderKit = (db: Acts, who: Who, kit: string, quantity: number, expectedOn: Day) => act<Answer<{ order: string }>>(db, "order_kit", [who, kit, quantity, expectedOn]);
export const closeKitOrder = (db: Acts, who: Who, order: string, received: number, lot: string | null) => act<Answer>(db, "close_kit_order", [who, order, received, lot]);

export interface GaugeInput {
  readonly name: string;
  readonly serial: string;
  readonly measures: "pressure" | "effort";
  /** Hundredths of a bar, or of a millibar. */
  readonly spanLow: number;
  readonly spanHigh: number;
  /** EN 837-1 class in tenths of a percent of the span. */
  readonly classTenths: number;
  readonly calibratedOn: Day;
  readonly validUntil: Day;
  readonly certificate: string;
}

export const addGauge = (db: Acts, who: Who, gauge: GaugeInput) => act<Answer<{ gauge: string }>>(db, "add_gauge", [who, gauge]);
export const calibrateGauge = (db: Acts, who: Who, gauge: string, on: Day, until: Day, certificate: string) => act<Answer>(db, "calibrate_gauge", [who, gauge, on, until, certificate]);
export const retireGauge = (db: Acts, who: Who, gauge: string, words: string) => act<Answer>(db, "retire_gauge", [who, gauge, words]);

// ── Notices and evidence ──

export interface NoticeInput {
  readonly title: string;
  readonly reference: string;
  readonly hazard: string;
  readonly remedy: string;
  readonly publishedOn: Day;
  /** `digits`, `low` and `high` all null: every serial of the model. */
  readonly ranges: readonly { readonly model: string; readonly prefix: string; readonly digits: number | null; readonly low: string | null; readonly high: string | null }[];
}

export const openNotice = (db: Acts, who: Who, notice: NoticeInput) => act<Answer<{ notice: string; sets: number; components: number }>>(db, "open_notice", [who, notice]);
export const clearNotice = (db: Acts, who: Who, notice: string, component: string, remedy: string) => act<Answer>(db, "clear_notice", [who, notice, component, remedy]);
export const noteCustody = (db: Acts, who: Who, set: string, note: { readonly from: string; readonly to: string; readonly place: string; readonly words: string }) =>
  act<Answer>(db, "note_custody", [who, set, note]);
export const liftEvidence = (db: Acts, who: Who, set: string, allowedBy: string, words: string) => act<Answer>(db, "lift_evidence", [who, set, allowedBy, words]);

// ── Money ──

export interface MoneyInput {
  readonly currency: string;
  readonly benchHourCents: number | null;
  readonly hireCents: number | null;
  readonly interestPermille: number;
}

export const setMoney = (db: Acts, who: Who, money: MoneyInput) => act<Answer>(db, "set_money", [who, money]);
export const setModelMoney = (db: Acts, who: Who, model: string, money: { readonly priceCents: number | null; readonly resaleCents: number | null; readonly lifeYears: number | null }) =>
  act<Answer>(db, "set_model_money", [who, model, money]);
