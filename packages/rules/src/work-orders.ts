/**
 * Work orders: what asks for bench work, in which order it is done, and how an order moves.
 */
import { addDays, addMonths, latestKnown } from "./calendar.ts";
import type { Day, Instant } from "./calendar.ts";
import { dueOf } from "./due-dates.ts";
import type { WorkDue } from "./due-dates.ts";
import { needsBeddingCheck } from "./hand-out.ts";
import type { ComponentFacts, Severity } from "./hand-out.ts";
import type { Policy } from "./policy.ts";

export const WORK_ORDER_KINDS = ["inspection", "service", "repair", "bedding-check", "notice", "new-component"] as const;
export type WorkOrderKind = (typeof WORK_ORDER_KINDS)[number];

export const WORK_ORDER_STATES = ["waiting", "taken", "parked", "done", "dropped"] as const;
/** "parked" = taken, and awaiting parts. */
export type WorkOrderState = (typeof WORK_ORDER_STATES)[number];

/** A set that was taken is open; it does not go back to waiting, its work is finished or given up. */
const MOVES: Readonly<Record<WorkOrderState, readonly WorkOrderState[]>> = {
  waiting: ["taken", "dropped"],
  taken: ["parked", "done", "dropped"],
  parked: ["taken", "dropped"],
  done: [],
  dropped: [],
};

/** Whether an order may go from one state to another. */
export function mayMove(from: WorkOrderState, to: WorkOrderState): boolean {
  return MOVES[from].includes(to);
}

/** Whether an order is still to be done. */
export function isOpen(state: WorkOrderState): boolean {
  return MOVES[state].length > 0;
}

/** What bench work may follow from. */
export interface BenchFacts {
  readonly evidenceLock: boolean;
  readonly retired: boolean;
  readonly components: readonly ComponentFacts[];
  readonly openFaults: readonly { readonly fault: string; readonly component: string | null; readonly severity: Severity }[];
  /** Matches not cleared yet, near misses too. */
  readonly notices: readonly { readonly notice: string; readonly component: string }[];
}

/** An order as far as it answers a reason: a repair names its fault, a notice its notice. */
export interface OrderOfSet {
  readonly kind: WorkOrderKind;
  readonly fault: string | null;
  readonly notice: string | null;
  readonly state: WorkOrderState;
}

/** Something that asks for bench work on a set. */
export interface BenchReason {
  readonly kind: WorkOrderKind;
  readonly fault: string | null;
  readonly notice: string | null;
  /** The components it is about; empty = the set as a whole. */
  readonly components: readonly string[];
  /** It holds the set already. */
  readonly holds: boolean;
  /** The earliest day it is due by, where a day decides. */
  readonly dueOn: Day | null;
}

/**
 * The reasons that ask for bench work on a set and have no open order yet, in the order notice,
 * repair, new component, service, inspection, bedding check.
 *
 * A service or an inspection asks from so many days before its due day, or with so few dives left, as
 * the policy says "soon". A component with a service to come asks for no inspection beside it: a
 * service is also an inspection. Where due dates cannot be judged nothing is asked for by them; limits
 * are missing, and no bench work supplies them. A set under evidence lock or retired asks for nothing.
 */
export function reasonsForBench(facts: BenchFacts, orders: readonly OrderOfSet[], policy: Policy, today: Day): readonly BenchReason[] {
  if (facts.evidenceLock !== false || facts.retired !== false) return [];
  const open = orders.filter(({ state }) => isOpen(state));
  return [...noticeReasons(facts), ...repairReasons(facts), ...dueReasons(facts.components, policy, today)].filter(
    (reason) => !open.some(({ kind, fault, notice }) => kind === reason.kind && fault === reason.fault && notice === reason.notice),
  );
}

const plain = { fault: null, notice: null, dueOn: null };

function noticeReasons({ notices }: BenchFacts): readonly BenchReason[] {
  return [...new Set(notices.map(({ notice }) => notice))].map((notice) => ({
    ...plain,
    kind: "notice",
    notice,
    components: notices.filter((one) => one.notice === notice).map(({ component }) => component),
    holds: true,
  }));
}

function repairReasons({ openFaults }: BenchFacts): readonly BenchReason[] {
  return openFaults
    .filter(({ severity }) => severity !== "watch")
    .map(({ fault, component }) => ({ ...plain, kind: "repair", fault, components: component === null ? [] : [component], holds: true }));
}

interface DueComponent {
  readonly component: string;
  readonly holds: boolean;
  readonly dueOn: Day | null;
}

function dueReasons(components: readonly ComponentFacts[], policy: Policy, today: Day): readonly BenchReason[] {
  const fresh: DueComponent[] = [];
  const service: DueComponent[] = [];
  const inspection: DueComponent[] = [];
  const bedding: DueComponent[] = [];
  for (const facts of components) {
    const { id: component, servicedOn } = facts;
    const due = dueOf(facts, policy, today);
    const serviceAsks = due !== null && asks(due.service, policy, today);
    if (serviceAsks) service.push({ component, ...standing(due.service) });
    const never = facts.lastUsedOn === null && servicedOn === null && facts.inspectedOn === null;
    if (never) fresh.push({ component, holds: true, dueOn: null });
    else if (!serviceAsks) {
      const lain = layTooLong(facts, policy, today);
      const inspectionDue = due?.inspection ?? null;
      if (lain) inspection.push({ component, holds: true, dueOn: inspectionDue?.dueOn ?? null });
      else if (inspectionDue !== null && asks(inspectionDue, policy, today)) inspection.push({ component, ...standing(inspectionDue) });
    }
    if (servicedOn !== null && !serviceAsks && needsBeddingCheck(facts, servicedOn, policy, today)) bedding.push({ component, holds: false, dueOn: null });
  }
  return [
    ...together("new-component", fresh),
    ...together("service", service),
    ...together("inspection", inspection),
    ...together("bedding-check", bedding),
  ];
}

function asks(due: WorkDue, policy: Policy, today: Day): boolean {
  if (due.state === "overdue") return true;
  const soonByDay = due.dueOn !== null && due.dueOn <= addDays(today, policy.serviceSoonDays);
  return soonByDay || (due.divesLeft !== null && due.divesLeft <= policy.serviceSoonDives);
}

function standing({ state, dueOn }: WorkDue): { readonly holds: boolean; readonly dueOn: Day | null } {
  return { holds: state === "overdue", dueOn };
}

function layTooLong({ inUseOn, lastUsedOn, servicedOn, inspectedOn }: ComponentFacts, { shelfMonths }: Policy, today: Day): boolean {
  const idleSince = latestKnown(inUseOn, lastUsedOn, servicedOn, inspectedOn);
  return idleSince !== null && !(today <= addMonths(idleSince, shelfMonths));
}

/** One set lies on one bench: the same work on several components is one order. */
function together(kind: WorkOrderKind, due: readonly DueComponent[]): readonly BenchReason[] {
  if (due.length === 0) return [];
  const days = due.flatMap(({ dueOn }) => (dueOn === null ? [] : [dueOn])).toSorted();
  return [{ ...plain, kind, components: due.map(({ component }) => component), holds: due.some(({ holds }) => holds), dueOn: days[0] ?? null }];
}

/** An order in the queue of the bench. */
export interface QueuedOrder {
  readonly id: string;
  readonly kind: WorkOrderKind;
  readonly evidenceLock: boolean;
  /** The worst fault open on the set. */
  readonly worstFault: Severity | null;
  /** The first day a booking needs the set; `null` = none does. */
  readonly neededOn: Day | null;
  /** The day its work is due by; `null` = no day decides. */
  readonly dueOn: Day | null;
  /** Overdue by whichever limb. */
  readonly overdue: boolean;
  readonly bookingsAtStake: number;
  readonly openedAt: Instant;
}

/** How urgent an order is, the most urgent first. */
export const URGENCIES = ["stopped", "overdue", "falls-due", "later"] as const;
export type Urgency = (typeof URGENCIES)[number];

/**
 * "stopped" = a notice, or an "out" fault: nobody may dive it, and it may be dangerous;
 * "overdue" = held by its due date or by a "hold" fault; "falls-due" = due within so many days;
 * "later" = all else.
 */
export function urgencyOf(order: QueuedOrder, today: Day, soonDays: number): Urgency {
  if (order.kind === "notice" || order.worstFault === "out") return "stopped";
  if (order.overdue || order.worstFault === "hold") return "overdue";
  return order.dueOn !== null && order.dueOn <= addDays(today, soonDays) ? "falls-due" : "later";
}

/**
 * The queue of the bench: a total order, so that two people see the same list. By urgency; then the
 * day a booking needs the set, then the day it is due, the earlier first and none last; then the more
 * bookings at stake; then the older order; then by id. Sets under evidence lock are never in it.
 */
export function benchQueue<Order extends QueuedOrder>(orders: readonly Order[], today: Day, soonDays: number): readonly Order[] {
  return orders.filter(({ evidenceLock }) => evidenceLock === false).toSorted((a, b) => compareOrders(a, b, today, soonDays));
}

function compareOrders(a: QueuedOrder, b: QueuedOrder, today: Day, soonDays: number): number {
  return (
    URGENCIES.indexOf(urgencyOf(a, today, soonDays)) - URGENCIES.indexOf(urgencyOf(b, today, soonDays)) ||
    nullsLast(a.neededOn, b.neededOn) ||
    nullsLast(a.dueOn, b.dueOn) ||
    atStake(b) - atStake(a) ||
    a.openedAt - b.openedAt ||
    order(a.id, b.id)
  );
}

/** What is no number stakes nothing, so that the order stays total. */
const atStake = ({ bookingsAtStake }: QueuedOrder): number => (Number.isFinite(bookingsAtStake) ? bookingsAtStake : 0);

function nullsLast(a: Day | null, b: Day | null): number {
  if (a === null || b === null) return Number(a === null) - Number(b === null);
  return order(a, b);
}

const order = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);
