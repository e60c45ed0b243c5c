/** What falls due on a set or a component, limb by limb, in words. */
import type { ComponentDue, LimbName, SetDue, Work, WorkDue } from "@hangrail/rules/due-dates";
import { overdueLimbs } from "@hangrail/rules/due-dates";
import type { Day } from "@hangrail/rules/calendar";
import { daysLeftText, dayText, divesText, hoursText, listText } from "../../../format.ts";

export type LimbLine = {
  limb: LimbName;
  /** "12 Mar 2027 (in 107 days)", "38 dives left", "3 dives over the limit". */
  value: string;
  overdue: boolean;
  /** "service of the first stage K-2210, by date": what decides this limb. */
  decides: string;
};

/** One line for each limb that some component of the set has; the first overdue one leads. */
export function setDueLines(due: SetDue, today: Day, componentName: (id: string) => string): LimbLine[] {
  const by = (work: Work, component: string, limb: LimbName) => `${work} of the ${componentName(component)}, by ${limbWords(limb)}`;
  const lines: LimbLine[] = [];
  if (due.dueOn !== null) lines.push({ limb: "months", value: dateLeft(due.dueOn.value, today), overdue: today > due.dueOn.value, decides: by(due.dueOn.work, due.dueOn.component, "months") });
  if (due.divesLeft !== null) lines.push({ limb: "dives", value: divesLeft(due.divesLeft.value), overdue: due.divesLeft.value <= 0, decides: by(due.divesLeft.work, due.divesLeft.component, "dives") });
  if (due.minutesLeft !== null) lines.push({ limb: "minutes", value: hoursLeft(due.minutesLeft.value), overdue: due.minutesLeft.value <= 0, decides: by(due.minutesLeft.work, due.minutesLeft.component, "minutes") });
  return lines.sort((a, b) => Number(b.overdue) - Number(a.overdue));
}

/** "Service 12 Mar 2027 (in 107 days), 38 dives left" for one kind of work on one component. */
export function workDueText(due: WorkDue, today: Day): string {
  const parts = [
    due.dueOn === null ? null : dateLeft(due.dueOn, today),
    due.divesLeft === null ? null : divesLeft(due.divesLeft),
    due.minutesLeft === null ? null : hoursLeft(due.minutesLeft),
  ].filter((part) => part !== null);
  if (parts.length === 0) return "the maker sets no limit";
  const over = overdueLimbs(due, today);
  return `${over.length === 0 ? "" : `overdue by ${listText(over.map(limbWords))}: `}${parts.join(", ")}`;
}

/** Whether anything on a component is overdue. Not judged is not "in date" either. */
export function isOverdue(due: ComponentDue | null): boolean {
  return due !== null && (due.service.state === "overdue" || due.inspection?.state === "overdue");
}

export function limbWords(limb: LimbName): string {
  switch (limb) {
    case "months":
      return "date";
    case "dives":
      return "dives";
    case "minutes":
      return "hours";
  }
}

function dateLeft(day: Day, today: Day): string {
  return `${dayText(day)} (${daysLeftText(today, day)})`;
}

function divesLeft(left: number): string {
  return left >= 0 ? `${divesText(left)} left` : `${divesText(-left)} over the limit`;
}

function hoursLeft(left: number): string {
  return left >= 0 ? `${hoursText(left)} left` : `${hoursText(-left)} over the limit`;
}
