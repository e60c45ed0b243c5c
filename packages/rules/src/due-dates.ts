/**
 * When a component's service and inspection fall due: months, dives or minutes, whichever comes first.
 *
 * The due day itself is still allowed. There is no grace: from the next day on the component is
 * overdue, as it is with no dive or minute left.
 *
 * Every comparison below asks "is it surely still good?", so that a number that is none (NaN from a
 * broken import) counts against the component and never for it.
 *
 * Source: common practice, where no other is named.
 */
import { addMonths, earlier, latestKnown } from "./calendar.ts";
import type { Day } from "./calendar.ts";
import type { Dives, Minutes } from "./measures.ts";
import type { Limb, ModelLimits } from "./models.ts";
import type { Policy } from "./policy.ts";

/** What the due dates of one component rest on. Counts belong to the component, whichever set it was in. */
export interface DueFacts {
  /** The model's accepted limits; `null` = not recorded, so not judged. */
  readonly limits: ModelLimits | null;
  /** `null` = not known. */
  readonly boughtOn: Day | null;
  /** `null` = not put into use yet. */
  readonly inUseOn: Day | null;
  readonly servicedOn: Day | null;
  /** The last inspection that was not part of a service. */
  readonly inspectedOn: Day | null;
  readonly divesSinceService: Dives;
  readonly minutesSinceService: Minutes;
  readonly divesSinceInspection: Dives;
  readonly minutesSinceInspection: Minutes;
  /** Used for teaching at any time since the last service. */
  readonly taughtSinceService: boolean;
}

export type DueState = "in-date" | "overdue";

/** One kind of work on one component. `null` in a limb = the maker sets no such limit. */
export interface WorkDue {
  /** The last day the component may be used. */
  readonly dueOn: Day | null;
  /** What is left of the limit; 0 or below = overdue. */
  readonly divesLeft: Dives | null;
  readonly minutesLeft: Minutes | null;
  readonly state: DueState;
}

export interface ComponentDue {
  readonly service: WorkDue;
  /** `null` = the maker asks for no inspection between two services. */
  readonly inspection: WorkDue | null;
}

export type Work = "service" | "inspection";
export type LimbName = "months" | "dives" | "minutes";

/** The part of a hire that uses up limits. */
export interface PlannedUse {
  readonly backOn: Day;
  readonly dives: Dives;
  readonly minutes: Minutes;
}

/**
 * The day the limits of a component never serviced count from: the day it was put into use, but no
 * later than 12 months after it was bought, because seals age on the shelf.
 *
 * Answer: `null` while nobody knows when it was bought: it may have lain for years before its first use.
 */
export function firstDayOfUse(facts: Pick<DueFacts, "boughtOn" | "inUseOn">): Day | null {
  if (facts.boughtOn === null) return null;
  const latest = addMonths(facts.boughtOn, 12);
  return facts.inUseOn === null ? latest : earlier(facts.inUseOn, latest);
}

/**
 * What is due on a component, and whether it is overdue today.
 *
 * A service counts as an inspection too; an inspection resets nothing but the inspection. Teaching,
 * in this hire or since the last service, caps the months of a service that has such a limit.
 *
 * Answer: `null` when it cannot be judged: no limits are recorded for the model, or a limit counts
 * in months from a day that nobody knows. Not judged is never a pass.
 */
export function dueOf(
  facts: DueFacts,
  policy: Pick<Policy, "teachingMonths">,
  today: Day,
  teachingHire = false,
): ComponentDue | null {
  const { limits } = facts;
  if (limits === null) return null;

  const serviceFrom = facts.servicedOn ?? firstDayOfUse(facts);
  const serviceMonths = teachingHire || facts.taughtSinceService
    ? capped(limits.service.months, policy.teachingMonths)
    : limits.service.months;
  if (serviceMonths !== null && serviceFrom === null) return null;
  const service = workDue(
    serviceMonths === null || serviceFrom === null ? null : addMonths(serviceFrom, serviceMonths),
    left(limits.service.dives, facts.divesSinceService),
    left(limits.service.minutes, facts.minutesSinceService),
    today,
  );

  if (limits.inspection === null) return { service, inspection: null };
  const inspection = inspectionDue(limits.inspection, facts, today);
  return inspection === null ? null : { service, inspection };
}

function inspectionDue(limb: Limb, facts: DueFacts, today: Day): WorkDue | null {
  const from = latestKnown(facts.servicedOn, facts.inspectedOn) ?? firstDayOfUse(facts);
  if (limb.months !== null && from === null) return null;
  return workDue(
    limb.months === null || from === null ? null : addMonths(from, limb.months),
    left(limb.dives, facts.divesSinceInspection),
    left(limb.minutes, facts.minutesSinceInspection),
    today,
  );
}

function workDue(dueOn: Day | null, divesLeft: number | null, minutesLeft: number | null, today: Day): WorkDue {
  const inDate =
    (dueOn === null || today <= dueOn) &&
    (divesLeft === null || divesLeft > 0) &&
    (minutesLeft === null || minutesLeft > 0);
  return { dueOn, divesLeft, minutesLeft, state: inDate ? "in-date" : "overdue" };
}

function capped(months: number | null, cap: number): number | null {
  return months === null ? null : Math.min(months, cap);
}

function left(limit: number | null, used: number): number | null {
  return limit === null ? null : limit - used;
}

/** The limbs by which the work is overdue today; empty when it is in date. */
export function overdueLimbs(due: WorkDue, today: Day): readonly LimbName[] {
  return limbsWhere(
    due.dueOn !== null && !(today <= due.dueOn),
    due.divesLeft !== null && !(due.divesLeft > 0),
    due.minutesLeft !== null && !(due.minutesLeft > 0),
  );
}

/** Whether work still in date falls due before the set is planned back. */
export function fallsDue(due: WorkDue, use: PlannedUse): boolean {
  if (due.state === "overdue") return false;
  return !(
    (due.dueOn === null || use.backOn <= due.dueOn) &&
    (due.divesLeft === null || use.dives <= due.divesLeft) &&
    (due.minutesLeft === null || use.minutes <= due.minutesLeft)
  );
}

/** The limbs by which work still in date would fall due during a hire. */
export function limbsFallingDue(due: WorkDue, use: PlannedUse): readonly LimbName[] {
  if (!fallsDue(due, use)) return [];
  return limbsWhere(
    due.dueOn !== null && !(use.backOn <= due.dueOn),
    due.divesLeft !== null && !(use.dives <= due.divesLeft),
    due.minutesLeft !== null && !(use.minutes <= due.minutesLeft),
  );
}

function limbsWhere(months: boolean, dives: boolean, minutes: boolean): readonly LimbName[] {
  const limbs: LimbName[] = [];
  if (months) limbs.push("months");
  if (dives) limbs.push("dives");
  if (minutes) limbs.push("minutes");
  return limbs;
}

/** One limb of one component, as what decides for the whole set. */
export interface Deciding<Value> {
  readonly component: string;
  readonly work: Work;
  readonly value: Value;
}

/** What falls due first on a whole set, limb by limb. `null` = no component has such a limit. */
export interface SetDue {
  readonly dueOn: Deciding<Day> | null;
  readonly divesLeft: Deciding<Dives> | null;
  readonly minutesLeft: Deciding<Minutes> | null;
  /** Components that cannot be judged; with one in it, the rest is not the whole truth. */
  readonly notJudged: readonly string[];
  readonly state: DueState | "not-judged";
}

/**
 * Finds which limb of which component decides for a set: the earliest due day, the fewest dives and
 * the fewest minutes left. Of equals the first component in the list, and service before inspection.
 */
export function decidingLimb(
  components: readonly { readonly id: string; readonly due: ComponentDue | null }[],
): SetDue {
  let dueOn: Deciding<Day> | null = null;
  let divesLeft: Deciding<Dives> | null = null;
  let minutesLeft: Deciding<Minutes> | null = null;
  let overdue = false;
  const notJudged: string[] = [];
  for (const { id: component, due } of components) {
    if (due === null) {
      notJudged.push(component);
      continue;
    }
    for (const work of ["service", "inspection"] as const) {
      const limbs = due[work];
      if (limbs === null) continue;
      overdue ||= limbs.state === "overdue";
      dueOn = sooner(dueOn, component, work, limbs.dueOn);
      divesLeft = sooner(divesLeft, component, work, limbs.divesLeft);
      minutesLeft = sooner(minutesLeft, component, work, limbs.minutesLeft);
    }
  }
  const state = overdue ? "overdue" : notJudged.length > 0 ? "not-judged" : "in-date";
  return { dueOn, divesLeft, minutesLeft, notJudged, state };
}

function sooner<Value extends string | number>(
  best: Deciding<Value> | null,
  component: string,
  work: Work,
  value: Value | null,
): Deciding<Value> | null {
  if (value === null || (best !== null && best.value <= value)) return best;
  return { component, work, value };
}
