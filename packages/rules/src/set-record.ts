/**
 * Folds what happened into the counts of each component. Dives follow the component: a return adds
 * to whatever was fitted to the set at that time, and a swap moves no history.
 */
import type { Dives, Minutes } from "./measures.ts";

/** What can change a count, in the order it happened. */
export type CountedEvent =
  | { readonly kind: "fitted" | "removed"; readonly set: string; readonly component: string }
  | { readonly kind: "returned"; readonly set: string; readonly dives: Dives; readonly minutes: Minutes; readonly teaching: boolean }
  | { readonly kind: "serviced" | "inspected"; readonly component: string };

/** The counts of one component. */
export interface Counts {
  /** In its whole life here. */
  readonly dives: Dives;
  readonly minutes: Minutes;
  readonly divesSinceService: Dives;
  readonly minutesSinceService: Minutes;
  readonly divesSinceInspection: Dives;
  readonly minutesSinceInspection: Minutes;
  readonly taughtSinceService: boolean;
}

export const NEVER_USED: Counts = {
  dives: 0,
  minutes: 0,
  divesSinceService: 0,
  minutesSinceService: 0,
  divesSinceInspection: 0,
  minutesSinceInspection: 0,
  taughtSinceService: false,
};

/** Adds one return to a component's counts. */
export function afterReturn(
  counts: Counts,
  hire: { readonly dives: Dives; readonly minutes: Minutes; readonly teaching: boolean },
): Counts {
  return {
    dives: counts.dives + hire.dives,
    minutes: counts.minutes + hire.minutes,
    divesSinceService: counts.divesSinceService + hire.dives,
    minutesSinceService: counts.minutesSinceService + hire.minutes,
    divesSinceInspection: counts.divesSinceInspection + hire.dives,
    minutesSinceInspection: counts.minutesSinceInspection + hire.minutes,
    taughtSinceService: counts.taughtSinceService || hire.teaching,
  };
}

/** A service resets every limb. */
export function afterService(counts: Counts): Counts {
  return { ...NEVER_USED, dives: counts.dives, minutes: counts.minutes };
}

/** An inspection resets its own limb and nothing else. */
export function afterInspection(counts: Counts): Counts {
  return { ...counts, divesSinceInspection: 0, minutesSinceInspection: 0 };
}

/**
 * The counts of every component that occurs in the events.
 *
 * Errors: a RangeError when the events contradict each other (fitted twice, removed from a set it is
 * not in): they were not in order, or not all there.
 */
export function countsAfter(events: Iterable<CountedEvent>): ReadonlyMap<string, Counts> {
  const counts = new Map<string, Counts>();
  const inSet = new Map<string, string>();
  const change = (component: string, by: (before: Counts) => Counts): void => {
    counts.set(component, by(counts.get(component) ?? NEVER_USED));
  };
  for (const event of events) {
    switch (event.kind) {
      case "fitted":
        move(inSet, event.component, null, event.set);
        change(event.component, (before) => before);
        break;
      case "removed":
        move(inSet, event.component, event.set, null);
        break;
      case "returned":
        for (const [component, set] of inSet) {
          if (set === event.set) change(component, (before) => afterReturn(before, event));
        }
        break;
      case "serviced":
        change(event.component, afterService);
        break;
      case "inspected":
        change(event.component, afterInspection);
        break;
    }
  }
  return counts;
}

function move(inSet: Map<string, string>, component: string, from: string | null, to: string | null): void {
  const is = inSet.get(component) ?? null;
  if (is !== from) {
    const where = is === null ? "in no set" : `in set ${is}`;
    throw new RangeError(`Component ${component} is ${where}, so it cannot be ${to === null ? "removed from" : "fitted to"} set ${to ?? from}.`);
  }
  if (to === null) inSet.delete(component);
  else inSet.set(component, to);
}
