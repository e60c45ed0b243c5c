/** The same second opinion on the bench: orders, tests, kits. Each answer is a refusal's code, or null for "done". */
import { asksTest, componentsIn, isReleased, isRetired, matches, openFaults, siteOf, untouchable, type Log, type OrderKind } from "./oracle.ts";

export interface Order {
  readonly order: string;
  readonly set: string;
  readonly asks: OrderKind;
  /** The fault or the notice it is about. */
  readonly about: string | null;
  readonly taken: boolean;
  readonly parked: boolean;
  readonly closed: boolean;
}

export function orders(log: Log): Order[] {
  const had = (order: string, kind: string) => log.filter((f) => f.kind === kind && "order" in f && f.order === order).length;
  return log.flatMap((f) =>
    f.kind !== "order-opened" ? [] : [{
      order: f.order, set: f.set, asks: f.asks, about: f.about,
      taken: had(f.order, "order-taken") > 0, parked: had(f.order, "order-parked") > had(f.order, "order-resumed"), closed: had(f.order, "order-closed") > 0,
    }],
  );
}

/** The order a set lies on the bench for. */
export const takenOrder = (log: Log, set: string) => orders(log).find((one) => one.set === set && one.taken && !one.closed) ?? null;

export function stopsOpening(log: Log, set: string, site: string, asks: OrderKind, about: string | null): string | null {
  if (siteOf(log, set) !== site || isRetired(log, set)) return "no-such-set";
  return orders(log).some((one) => one.set === set && one.asks === asks && one.about === about && !one.closed) ? "order-exists" : null;
}

export function stopsTaking(log: Log, one: Order, site: string): string | null {
  if (siteOf(log, one.set) !== site) return "no-such-order";
  const stop = untouchable(log, one.set, site);
  if (stop !== null) return stop;
  if (one.closed) return "order-closed";
  if (one.taken) return "order-taken";
  return takenOrder(log, one.set) === null ? null : "other-order-taken";
}

function stopsWorking(log: Log, one: Order, site: string): string | null {
  if (siteOf(log, one.set) !== site) return "no-such-order";
  return untouchable(log, one.set, site) ?? (one.closed ? "order-closed" : one.taken ? null : "order-not-taken");
}

export const stopsParking = (log: Log, one: Order, site: string) => stopsWorking(log, one, site) ?? (one.parked ? "order-parked" : null);
export const stopsResuming = (log: Log, one: Order, site: string) => stopsWorking(log, one, site) ?? (one.parked ? null : "order-not-parked");

export function stopsClosing(log: Log, one: Order, site: string, outcome: "done" | "dropped"): string | null {
  if (siteOf(log, one.set) !== site) return "no-such-order";
  if (one.closed) return "order-closed";
  if (outcome === "dropped") return null;
  return stopsParking(log, one, site) ?? (isWorkDone(log, one) ? null : "order-work-missing");
}

function isWorkDone(log: Log, { order, set, asks, about }: Order): boolean {
  const since = log.slice(log.findIndex((f) => f.kind === "order-taken" && f.order === order));
  switch (asks) {
    case "repair":
      return log.some((f) => f.kind === "fault-cleared" && f.fault === about);
    case "notice":
      return !openNotices(log, set).some((one) => one.notice === about);
    case "new-component":
      return since.some((f) => (f.kind === "bench-tested" || f.kind === "test-failed") && f.set === set && f.asLeft);
    default:
      return log.some((f) => f.kind === (asks === "service" ? "serviced" : "inspected") && f.order === order);
  }
}

/** What notices hold of a set as it is put together now. */
export function openNotices(log: Log, set: string) {
  const fitted = componentsIn(log, set).map(({ component }) => component);
  return matches(log).filter((one) => one.open && fitted.includes(one.component));
}

export function stopsRelease(log: Log, set: string, site: string): string | null {
  const stop = untouchable(log, set, site);
  if (stop !== null) return stop;
  if (isReleased(log, set)) return "already-released";
  if (asksTest(log, set)) return "not-tested";
  return takenOrder(log, set) === null ? null : "on-the-bench";
}

/** Every stage serviced uses up one kit; what is laid out for a gauge goes with it. */
export function stopsService(log: Log, site: string, components: readonly string[], laidOut: readonly string[], set: string): string | null {
  const stages = componentsIn(log, set).filter(({ component, position }) => components.includes(component) && position !== "gauge");
  if (stages.some(({ component }) => !laidOut.includes(component))) return "kits-missing";
  return laidOut.length > onTheShelf(log, site) ? "kit-not-in-stock" : null;
}

export function onTheShelf(log: Log, site: string): number {
  return log.reduce((kits, f) => {
    if (f.kind === "kits-counted" && f.site === site) return f.kits;
    return f.kind === "kits-used" && f.site === site ? kits - f.kits : kits;
  }, 0);
}

export function stopsConfirming(log: Log, fault: string, site: string, known: boolean): string | null {
  const reported = log.find((f) => f.kind === "fault" && f.fault === fault);
  if (reported?.kind !== "fault") return "no-such-fault";
  const stop = untouchable(log, reported.set, site);
  if (stop !== null) return stop;
  if (!openFaults(log).some((one) => one.fault === fault)) return "already-cleared";
  if (log.some((f) => f.kind === "fault-confirmed" && f.fault === fault)) return "already-confirmed";
  return known ? null : "not-fitted";
}
