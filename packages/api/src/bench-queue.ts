/** The bench's queue: open orders, and every reason for one that nobody has opened yet, judged by the rules and in their order. */
import type { Database } from "@hangrail/db/database";
import { listOpenFaults, type OpenFault } from "@hangrail/db/faults";
import { readClock } from "@hangrail/db/sessions";
import { loadSetsById, type LoadedSet } from "@hangrail/db/set-facts";
import { benchCandidates, listBookingsAhead, listOpenMatches, listOpenOrders, listOrdersOfSet, type BookingAhead, type OpenMatch, type WorkOrder } from "@hangrail/db/work-orders";
import { addDays, day, type Day } from "@hangrail/rules/calendar";
import { dueOf } from "@hangrail/rules/due-dates";
import type { Severity } from "@hangrail/rules/hand-out";
import { isStage } from "@hangrail/rules/models";
import { DEFAULT_POLICY } from "@hangrail/rules/policy";
import { fitsValve, mayCarryGas, mostOxygen } from "@hangrail/rules/suitability";
import { benchQueue, reasonsForBench, urgencyOf, type BenchFacts, type BenchReason, type QueuedOrder, type WorkOrderKind } from "@hangrail/rules/work-orders";
import { setView } from "./set-view.ts";

/** What a look at a set has to be done for, and what is known beside it. */
export interface BenchSituation {
  readonly set: LoadedSet;
  readonly orders: readonly WorkOrder[];
  readonly faults: readonly OpenFault[];
  readonly matches: readonly OpenMatch[];
}

type Asked = Pick<BenchReason, "kind" | "fault" | "notice">;
const sameAs = (one: Asked) => (other: Asked) => one.kind === other.kind && one.fault === other.fault && one.notice === other.notice;

/** Everything that waits for the bench at a site, the most urgent first. */
export async function readBenchQueue(db: Database, site: { readonly id: string; readonly timeZone: string }) {
  const { serviceSoonDays: days, serviceSoonDives: dives } = DEFAULT_POLICY;
  const clock = await readClock(db, site.timeZone);
  const today = day(clock.today);
  const [ids, orders, faults, matches, bookings] = await Promise.all([
    benchCandidates(db, site.id, { days, dives }),
    listOpenOrders(db, site.id),
    listOpenFaults(db, site.id, null),
    listOpenMatches(db, site.id, null),
    listBookingsAhead(db, site.id, today, addDays(today, days)),
  ]);
  const sets = await loadSetsById(db, site.id, ids);
  const ofSet = <Row extends { readonly setId: string }>(rows: readonly Row[], id: string) => rows.filter(({ setId }) => setId === id);
  const items = sets.flatMap((set) => {
    const situation = { set, orders: ofSet(orders, set.id), faults: ofSet(faults, set.id), matches: ofSet(matches, set.id) };
    const stakes = stakesOf(set, bookings);
    return waitingAt(situation, today, clock.now).map((item) => ({ ...item, ...stakes }));
  });
  return benchQueue(items, today, days).map((item) => ({ ...item, urgency: urgencyOf(item, today, days) }));
}

/** One set's part of the queue, in the same order. What bookings ahead could want of it is not asked. */
export async function readBenchOfSet(db: Database, site: { readonly id: string; readonly timeZone: string }, set: LoadedSet) {
  const { serviceSoonDays: days } = DEFAULT_POLICY;
  const [orders, faults, matches, clock] = await Promise.all([
    listOrdersOfSet(db, site.id, set.id),
    listOpenFaults(db, site.id, set.id),
    listOpenMatches(db, site.id, set.id),
    readClock(db, site.timeZone),
  ]);
  const today = day(clock.today);
  const items = waitingAt({ set, orders, faults, matches }, today, clock.now).map((item) => ({ ...item, bookingsAtStake: 0, neededOn: null }));
  return benchQueue(items, today, days).map((item) => ({ ...item, urgency: urgencyOf(item, today, days) }));
}

export type QueueItem = Awaited<ReturnType<typeof readBenchQueue>>[number];

/** One set's open orders and the reasons without one. */
export function waitingAt(situation: BenchSituation, today: Day, now: Date) {
  const { set, orders, faults } = situation;
  // Every reason there is, whether or not an order answers it: an order borrows its due day from there.
  const reasons = reasonsForBench(factsOf(situation), [], set.policy, today);
  const worstFault = worst(faults.map(({ severity }) => severity));
  const shown = setView(set, null);
  const item = (asked: Asked, order: WorkOrder | null) => {
    const reason = reasons.find(sameAs(asked)) ?? null;
    return {
      id: order?.id ?? [set.id, asked.kind, asked.fault ?? asked.notice ?? ""].join(" "),
      kind: asked.kind,
      evidenceLock: set.facts.evidenceLock,
      worstFault,
      dueOn: reason?.dueOn ?? dueDayOf(set, asked.kind, today),
      overdue: reason?.holds === true,
      openedAt: sinceOf(asked, order, situation, now).getTime(),
      order,
      fault: faults.find(({ id }) => id === asked.fault) ?? null,
      notice: situation.matches.find(({ notice }) => notice === asked.notice) ?? null,
      /** The components it is about; empty = the set as a whole. */
      components: reason?.components ?? [],
      set: shown,
    };
  };
  const open = orders.map((order) => item(order, order));
  const asking = reasons.filter((reason) => !orders.some(sameAs(reason))).map((reason) => item(reason, null));
  return [...open, ...asking].map((one): typeof one & Omit<QueuedOrder, "neededOn" | "bookingsAtStake"> => one);
}

/** What the rules weigh of a set for the bench. */
function factsOf({ set, faults, matches }: BenchSituation): BenchFacts {
  return {
    evidenceLock: set.facts.evidenceLock,
    retired: set.facts.retired,
    components: set.components,
    openFaults: faults.map(({ id, component, severity }) => ({ fault: id, component, severity })),
    notices: matches.map(({ notice, component }) => ({ notice, component })),
  };
}

/** Since when it waits; a due day has no hour of its own, so what is only due waits since now. */
function sinceOf({ fault, notice }: Asked, order: WorkOrder | null, { faults, matches }: BenchSituation, now: Date): Date {
  return order?.openedAt ?? faults.find(({ id }) => id === fault)?.reportedAt ?? matches.find((match) => match.notice === notice)?.matchedAt ?? now;
}

/** The first day a service or an inspection of the set is due by, also when that is still far off. */
function dueDayOf(set: LoadedSet, kind: WorkOrderKind, today: Day): Day | null {
  if (kind !== "service" && kind !== "inspection") return null;
  const days = set.components.flatMap((component) => dueOf(component, set.policy, today)?.[kind]?.dueOn ?? []);
  return days.toSorted()[0] ?? null;
}

const WORST_FIRST: readonly Severity[] = ["out", "hold", "watch"];
const worst = (severities: readonly Severity[]): Severity | null => WORST_FIRST.find((one) => severities.includes(one)) ?? null;

/** The bookings ahead that this set could serve, were it ready. */
function stakesOf(set: LoadedSet, bookings: readonly BookingAhead[]) {
  const served = bookings.filter((booking) => couldServe(set, booking));
  const first = served[0]?.fromOn ?? null;
  return { bookingsAtStake: served.length, neededOn: first !== null && first < set.today ? set.today : first };
}

/** Whether a set, were it ready, would suit what is booked. */
export function couldServe({ components, policy }: LoadedSet, { connection, cold, o2Tenths }: Pick<BookingAhead, "connection" | "cold" | "o2Tenths">): boolean {
  const firstStage = components.find(({ role }) => role === "first-stage");
  return (
    mayCarryGas(firstStage?.connection ?? null, o2Tenths, policy) &&
    (connection === null || fitsValve(firstStage?.connection ?? null, connection)) &&
    components.every(({ role, coldRating }) => !cold || !isStage(role) || coldRating === "tested-4C") &&
    components.every(({ maxO2Tenths }) => mostOxygen(maxO2Tenths, policy.nitroxAboveTenths) >= o2Tenths)
  );
}
