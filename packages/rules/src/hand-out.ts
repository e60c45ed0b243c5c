/**
 * The hand-out gate: may this set go out now, for this hire?
 *
 * The answer is yes, or every hold at once, in gate order and within one code in the order the
 * components were given. There is no override: a hold goes away when the work is done and recorded.
 * Cautions never hold; they are shown with either answer.
 *
 * Holds never weaken: a longer hire, more dives or one more fact against a set can only add holds.
 * All comparisons ask "does it surely pass?", so what is unknown or no number holds.
 */
import { judgeCompleteness } from "./assembly.ts";
import type { Completeness } from "./assembly.ts";
import { addDays, addMonths, daysBetween, latestKnown } from "./calendar.ts";
import type { Day } from "./calendar.ts";
import { dueOf, fallsDue, limbsFallingDue, overdueLimbs } from "./due-dates.ts";
import type { ComponentDue, DueFacts, LimbName, PlannedUse, Work, WorkDue } from "./due-dates.ts";
import type { Centibar, Decimetres, Dives, Minutes, O2Tenths, TenthsC } from "./measures.ts";
import { isStage } from "./models.ts";
import type { ColdRating, Connection, Role } from "./models.ts";
import type { Policy } from "./policy.ts";
import { fitsValve, mayCarryGas, mostOxygen, standsCold, standsPressure } from "./suitability.ts";

/** How far a fault goes: out = a technician clears it, hold = a fix at the desk may, watch = look again. */
export type Severity = "out" | "hold" | "watch";
/** A maker's or a public safety notice: "check" = the serial lies close to its range, a person must look. */
export type NoticeState = "none" | "open" | "check";
export type Cleaning = "clean" | "to-clean" | "in-bath" | "drying";

/** What is true today of one component of a set. */
export interface ComponentFacts extends DueFacts {
  readonly id: string;
  readonly role: Role;
  readonly beddingCheckedOn: Day | null;
  readonly lastUsedOn: Day | null;
  readonly notice: NoticeState;
  readonly openFaults: readonly Severity[];
  /** The most oxygen it may meet as it was last serviced (`oxygenLimit`); `null` = not recorded. */
  readonly maxO2Tenths: O2Tenths | null;
  readonly coldRating: ColdRating;
  /** First stages: what it screws on to; `null` = not recorded, or not a first stage. */
  readonly connection: Connection | null;
  /** First stages: the highest supply pressure; `null` = not recorded, or not a first stage. */
  readonly maxSupplyCentibar: Centibar | null;
  /** Second stages: whether its model is approved on this set's first stage; `null` = not recorded. */
  readonly pairingApproved: boolean | null;
}

/** What is true today of the set as a whole. */
export interface SetFacts {
  readonly evidenceLock: boolean;
  readonly retired: boolean;
  readonly out: boolean;
  /** At the site that is asking. */
  readonly here: boolean;
  /** Brought back from a backup, and nobody has said since that it was seen. */
  readonly restored: boolean;
  /** Released since it was last opened, refitted or serviced. */
  readonly released: boolean;
  readonly cleaning: Cleaning;
  /** Faults reported of the set, not of one component. */
  readonly openFaults: readonly Severity[];
}

/** What the hirer wants to do with the set. */
export interface HireTerms extends PlannedUse {
  readonly backOn: Day;
  readonly dives: Dives;
  readonly minutes: Minutes;
  readonly teaching: boolean;
  readonly cylinder: { readonly connection: Connection; readonly centibar: Centibar };
  readonly o2Tenths: O2Tenths;
  readonly waterTenthsC: TenthsC;
  readonly depthDecimetres: Decimetres;
}

/** Every hold, in gate order: the screen leads with the first. */
export const HOLD_ORDER = [
  "evidence-lock",
  "retired",
  "out",
  "elsewhere",
  "restored",
  "notice",
  "notice-check",
  "fault",
  "first-inspection",
  "service-overdue",
  "service-falls-due",
  "inspection-overdue",
  "inspection-falls-due",
  "shelf-inspection",
  "not-judged",
  "not-released",
  "not-clean",
  "incomplete",
  "pairing",
  "connection",
  "nitrox-connection",
  "pressure",
  "oxygen",
  "cold",
] as const;
export type HoldCode = (typeof HOLD_ORDER)[number];

/** Every caution, in the order they are shown. */
export const CAUTION_ORDER = ["watch-fault", "bedding-check", "service-soon", "two-diver-depth"] as const;
export type CautionCode = (typeof CAUTION_ORDER)[number];

/** A reason why a set stays, with the facts behind it. `component: null` = the set as a whole. */
export type Hold =
  | { readonly code: "evidence-lock" | "retired" | "out" | "elsewhere" | "restored" | "not-released"; readonly component: null }
  | { readonly code: "notice" | "notice-check" | "first-inspection" | "not-judged"; readonly component: string }
  | { readonly code: "fault"; readonly component: string | null; readonly severity: "out" | "hold" }
  | (DueHoldFacts & { readonly code: `${Work}-overdue` | `${Work}-falls-due`; readonly component: string })
  | { readonly code: "shelf-inspection"; readonly component: string; readonly idleSince: Day }
  | { readonly code: "not-clean"; readonly component: null; readonly cleaning: Cleaning }
  | (Completeness & { readonly code: "incomplete"; readonly component: null })
  | { readonly code: "pairing"; readonly component: string; readonly recorded: boolean }
  | { readonly code: "connection"; readonly component: string; readonly has: Connection | null; readonly valve: Connection }
  | { readonly code: "nitrox-connection"; readonly component: string; readonly has: Connection | null; readonly gas: O2Tenths }
  | { readonly code: "pressure"; readonly component: string; readonly most: Centibar | null; readonly cylinder: Centibar }
  | { readonly code: "oxygen"; readonly component: string; readonly most: O2Tenths; readonly recorded: boolean; readonly gas: O2Tenths }
  | { readonly code: "cold"; readonly component: string; readonly rating: ColdRating; readonly water: TenthsC };

/** What is due, and by which limbs it holds. */
export interface DueHoldFacts {
  readonly limbs: readonly LimbName[];
  readonly dueOn: Day | null;
  readonly divesLeft: Dives | null;
  readonly minutesLeft: Minutes | null;
}

/** Something to say at the desk that holds nothing. */
export type Caution =
  | { readonly code: "watch-fault"; readonly component: string | null }
  | { readonly code: "bedding-check"; readonly component: string; readonly servicedOn: Day; readonly dives: Dives }
  | { readonly code: "service-soon"; readonly component: string; readonly dueOn: Day | null; readonly divesLeft: Dives | null }
  | { readonly code: "two-diver-depth"; readonly component: string; readonly depth: Decimetres };

export type HandOutDecision =
  | { readonly answer: "hand-out"; readonly holds: readonly []; readonly cautions: readonly Caution[] }
  | { readonly answer: "hold"; readonly holds: readonly [Hold, ...Hold[]]; readonly cautions: readonly Caution[] };

/** Decides whether a set may go out today on these terms. */
export function decideHandOut(
  set: SetFacts,
  components: readonly ComponentFacts[],
  hire: HireTerms,
  policy: Policy,
  today: Day,
): HandOutDecision {
  const dues = components.map((component) => dueOf(component, policy, today, hire.teaching));
  const [first, ...others] = gatherHolds({ set, components, dues, hire, policy, today });
  const cautions = gatherCautions(set, components, dues, hire, policy, today);
  return first === undefined
    ? { answer: "hand-out", holds: [], cautions }
    : { answer: "hold", holds: [first, ...others], cautions };
}

/**
 * The holds that stand whatever the hire is, for boards and for "out of service". A set without any
 * is ready, though one hire or another may still not suit it.
 */
export function standingHolds(
  set: SetFacts,
  components: readonly ComponentFacts[],
  policy: Policy,
  today: Day,
): readonly Hold[] {
  const dues = components.map((component) => dueOf(component, policy, today));
  return gatherHolds({ set, components, dues, hire: null, policy, today });
}

interface Question {
  readonly set: SetFacts;
  readonly components: readonly ComponentFacts[];
  /** Beside `components`, place by place. */
  readonly dues: readonly (ComponentDue | null)[];
  /** `null` = no hire in question: only what stands anyway. */
  readonly hire: HireTerms | null;
  readonly policy: Policy;
  readonly today: Day;
}

/** Called one after the other in the order of HOLD_ORDER. */
function gatherHolds(question: Question): Hold[] {
  const holds: Hold[] = [];
  holdWhereItIs(question.set, holds);
  holdUnsafe(question, holds);
  holdWorkDue(question, "service", holds);
  holdWorkDue(question, "inspection", holds);
  holdUnjudged(question, holds);
  holdUnready(question, holds);
  if (question.hire !== null) holdUnsuited(question.components, question.hire, question.policy, holds);
  return holds;
}

function holdWhereItIs(set: SetFacts, holds: Hold[]): void {
  if (set.evidenceLock !== false) holds.push({ code: "evidence-lock", component: null });
  if (set.retired !== false) holds.push({ code: "retired", component: null });
  if (set.out !== false) holds.push({ code: "out", component: null });
  if (set.here !== true) holds.push({ code: "elsewhere", component: null });
  if (set.restored !== false) holds.push({ code: "restored", component: null });
}

function holdUnsafe({ set, components }: Question, holds: Hold[]): void {
  for (const { id, notice } of components) {
    if (notice !== "none" && notice !== "check") holds.push({ code: "notice", component: id });
  }
  for (const { id, notice } of components) {
    if (notice === "check") holds.push({ code: "notice-check", component: id });
  }
  holdFaults(null, set.openFaults, holds);
  for (const { id, openFaults } of components) holdFaults(id, openFaults, holds);
  for (const { id, lastUsedOn, servicedOn, inspectedOn } of components) {
    if (lastUsedOn === null && servicedOn === null && inspectedOn === null) {
      holds.push({ code: "first-inspection", component: id });
    }
  }
}

/** One hold however many faults are open, with the worst severity among them. */
function holdFaults(component: string | null, openFaults: readonly Severity[], holds: Hold[]): void {
  if (openFaults.every((severity) => severity === "watch")) return;
  const onlyHolds = openFaults.every((severity) => severity === "watch" || severity === "hold");
  holds.push({ code: "fault", component, severity: onlyHolds ? "hold" : "out" });
}

function holdWorkDue({ components, dues, hire, today }: Question, work: Work, holds: Hold[]): void {
  for (let at = 0; at < components.length; at += 1) {
    const due = dues[at]?.[work];
    if (due?.state === "overdue") {
      holds.push(dueHold(`${work}-overdue`, components[at]!.id, due, overdueLimbs(due, today)));
    }
  }
  if (hire === null) return;
  for (let at = 0; at < components.length; at += 1) {
    const due = dues[at]?.[work];
    if (due && fallsDue(due, hire)) {
      holds.push(dueHold(`${work}-falls-due`, components[at]!.id, due, limbsFallingDue(due, hire)));
    }
  }
}

function dueHold(
  code: `${Work}-overdue` | `${Work}-falls-due`,
  component: string,
  { dueOn, divesLeft, minutesLeft }: WorkDue,
  limbs: readonly LimbName[],
): Hold {
  return { code, component, limbs, dueOn, divesLeft, minutesLeft };
}

function holdUnjudged({ components, dues, policy, today }: Question, holds: Hold[]): void {
  for (const { id, inUseOn, lastUsedOn, servicedOn, inspectedOn } of components) {
    const idleSince = latestKnown(inUseOn, lastUsedOn, servicedOn, inspectedOn);
    // With none of the four known the first inspection holds already.
    if (idleSince !== null && !(today <= addMonths(idleSince, policy.shelfMonths))) {
      holds.push({ code: "shelf-inspection", component: id, idleSince });
    }
  }
  for (let at = 0; at < components.length; at += 1) {
    if (dues[at] === null) holds.push({ code: "not-judged", component: components[at]!.id });
  }
}

function holdUnready({ set, components }: Question, holds: Hold[]): void {
  if (set.released !== true) holds.push({ code: "not-released", component: null });
  if (set.cleaning !== "clean") holds.push({ code: "not-clean", component: null, cleaning: set.cleaning });
  const { missing, tooMany } = judgeCompleteness(components);
  if (missing.length + tooMany.length > 0) holds.push({ code: "incomplete", component: null, missing, tooMany });
  for (const { id, role, pairingApproved } of components) {
    if ((role === "primary" || role === "alternate") && pairingApproved !== true) {
      holds.push({ code: "pairing", component: id, recorded: pairingApproved === false });
    }
  }
}

function holdUnsuited(components: readonly ComponentFacts[], hire: HireTerms, policy: Policy, holds: Hold[]): void {
  const { cylinder, o2Tenths: gas, waterTenthsC: water } = hire;
  const firstStages = components.filter(({ role }) => role === "first-stage");
  for (const { id, connection: has } of firstStages) {
    if (!fitsValve(has, cylinder.connection)) {
      holds.push({ code: "connection", component: id, has, valve: cylinder.connection });
    }
  }
  for (const { id, connection: has } of firstStages) {
    if (!mayCarryGas(has, gas, policy)) holds.push({ code: "nitrox-connection", component: id, has, gas });
  }
  for (const { id, maxSupplyCentibar: most } of firstStages) {
    if (!standsPressure(most, cylinder.centibar)) {
      holds.push({ code: "pressure", component: id, most, cylinder: cylinder.centibar });
    }
  }
  for (const { id, maxO2Tenths } of components) {
    const most = mostOxygen(maxO2Tenths, policy.nitroxAboveTenths);
    if (!(gas <= most)) holds.push({ code: "oxygen", component: id, most, recorded: maxO2Tenths !== null, gas });
  }
  for (const { id, role, coldRating: rating } of components) {
    if (isStage(role) && !standsCold(rating, water)) holds.push({ code: "cold", component: id, rating, water });
  }
}

/** Called in the order of CAUTION_ORDER. */
function gatherCautions(
  set: SetFacts,
  components: readonly ComponentFacts[],
  dues: readonly (ComponentDue | null)[],
  hire: HireTerms,
  policy: Policy,
  today: Day,
): readonly Caution[] {
  const cautions: Caution[] = [];
  if (set.openFaults.includes("watch")) cautions.push({ code: "watch-fault", component: null });
  for (const { id, openFaults } of components) {
    if (openFaults.includes("watch")) cautions.push({ code: "watch-fault", component: id });
  }
  for (const component of components) {
    const { id, servicedOn, divesSinceService: dives } = component;
    if (servicedOn !== null && needsBeddingCheck(component, servicedOn, policy, today)) {
      cautions.push({ code: "bedding-check", component: id, servicedOn, dives });
    }
  }
  const soonBy = addDays(today, policy.serviceSoonDays);
  for (let at = 0; at < components.length; at += 1) {
    const service = dues[at]?.service;
    // Where the service holds there is nothing soon about it any more.
    if (service?.state === "in-date" && !fallsDue(service, hire) && isSoon(service, soonBy, policy)) {
      const { dueOn, divesLeft } = service;
      cautions.push({ code: "service-soon", component: components[at]!.id, dueOn, divesLeft });
    }
  }
  if (!(hire.depthDecimetres <= policy.twoDiverDepthDecimetres)) {
    for (const { id, role } of components) {
      if (role === "first-stage") cautions.push({ code: "two-diver-depth", component: id, depth: hire.depthDecimetres });
    }
  }
  return cautions;
}

/** A stage is looked at once more when the new seats have settled (common practice). */
export function needsBeddingCheck(component: ComponentFacts, servicedOn: Day, policy: Policy, today: Day): boolean {
  if (!isStage(component.role)) return false;
  if (component.beddingCheckedOn !== null && component.beddingCheckedOn >= servicedOn) return false;
  return (
    component.divesSinceService >= policy.beddingDives || daysBetween(servicedOn, today) >= policy.beddingDays
  );
}

function isSoon({ dueOn, divesLeft }: WorkDue, soonBy: Day, policy: Policy): boolean {
  return (dueOn !== null && dueOn <= soonBy) || (divesLeft !== null && divesLeft <= policy.serviceSoonDives);
}

/** Who does the work that makes a hold go away. */
export type ClearedBy = "desk" | "wash-room" | "technician" | "manager";

const CLEARED_BY: Readonly<Record<HoldCode, readonly ClearedBy[]>> = {
  "evidence-lock": ["manager"],
  retired: ["manager"],
  out: ["desk"],
  elsewhere: ["manager"],
  restored: ["manager"],
  notice: ["technician"],
  "notice-check": ["technician"],
  fault: ["technician"],
  "first-inspection": ["technician"],
  "service-overdue": ["technician"],
  "service-falls-due": ["technician"],
  "inspection-overdue": ["technician"],
  "inspection-falls-due": ["technician"],
  "shelf-inspection": ["technician"],
  "not-judged": ["technician"],
  "not-released": ["technician"],
  "not-clean": ["wash-room"],
  incomplete: ["technician"],
  pairing: ["technician"],
  // Nobody's work makes a yoke fit a DIN valve: the desk picks another set or another cylinder.
  connection: ["desk"],
  "nitrox-connection": ["desk"],
  pressure: ["desk"],
  oxygen: ["desk"],
  cold: ["desk"],
};

/** Who clears a hold. A fault of severity "hold" may also be put right at the desk. */
export function clearedBy(code: HoldCode, severity?: "out" | "hold"): readonly ClearedBy[] {
  return code === "fault" && severity === "hold" ? ["desk", "technician"] : CLEARED_BY[code];
}
