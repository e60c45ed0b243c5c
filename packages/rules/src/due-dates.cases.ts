import { day } from "./calendar.ts";
import type { DueFacts, WorkDue } from "./due-dates.ts";

const monthsOnly = (months: number): DueFacts["limits"] => ({ service: { months, dives: null, minutes: null }, inspection: null });
const yearOrHundred: DueFacts["limits"] = { service: { months: 12, dives: 100, minutes: null }, inspection: null };
const inspectedBetween: DueFacts["limits"] = {
  service: { months: 24, dives: null, minutes: null },
  inspection: { months: 12, dives: null, minutes: null },
};

export interface DueCase {
  readonly name: string;
  readonly facts: Partial<DueFacts>;
  readonly today: string;
  readonly service?: Partial<WorkDue>;
  readonly inspection?: Partial<WorkDue> | null;
  readonly source: string;
}

/** Check values of due dates. What a case does not state is as in `aComponent`. */
export const DUE_CASES: readonly DueCase[] = [
  {
    name: "serviced on 29 February, 12 months",
    facts: { limits: monthsOnly(12), servicedOn: day("2024-02-29") },
    today: "2025-02-28",
    service: { dueOn: day("2025-02-28"), state: "in-date" },
    source: "common practice",
  },
  {
    name: "serviced on 29 February, 12 months, the day after",
    facts: { limits: monthsOnly(12), servicedOn: day("2024-02-29") },
    today: "2025-03-01",
    service: { dueOn: day("2025-02-28"), state: "overdue" },
    source: "common practice",
  },
  {
    name: "serviced on 31 August, 6 months",
    facts: { limits: monthsOnly(6), servicedOn: day("2025-08-31") },
    today: "2026-02-28",
    service: { dueOn: day("2026-02-28"), state: "in-date" },
    source: "common practice",
  },
  {
    name: "the due day itself",
    facts: { limits: monthsOnly(12), servicedOn: day("2025-03-10") },
    today: "2026-03-10",
    service: { dueOn: day("2026-03-10"), state: "in-date" },
    source: "common practice: no grace, and the due day is the last one allowed",
  },
  {
    name: "the day after the due day",
    facts: { limits: monthsOnly(12), servicedOn: day("2025-03-10") },
    today: "2026-03-11",
    service: { state: "overdue" },
    source: "common practice: no grace, and the due day is the last one allowed",
  },
  {
    name: "the 100th dive long before the year is over",
    facts: { limits: yearOrHundred, servicedOn: day("2025-03-01"), divesSinceService: 100 },
    today: "2025-11-15",
    service: { dueOn: day("2026-03-01"), divesLeft: 0, state: "overdue" },
    source: "NZ Underwater: 12 months or 100 dives, whichever comes first",
  },
  {
    name: "99 dives of 100 (counter 412 at the service, 511 now)",
    facts: { limits: yearOrHundred, servicedOn: day("2025-03-01"), divesSinceService: 511 - 412 },
    today: "2025-11-15",
    service: { divesLeft: 1, state: "in-date" },
    source: "common practice",
  },
  {
    name: "301 hours of 300 in the 9th month of 24",
    facts: {
      limits: { service: { months: 24, dives: null, minutes: 300 * 60 }, inspection: null },
      servicedOn: day("2025-03-01"),
      minutesSinceService: 301 * 60,
    },
    today: "2025-12-01",
    service: { dueOn: day("2027-03-01"), minutesLeft: -60, state: "overdue" },
    source: "a maker's interval of 2 years or 300 hours under water",
  },
  {
    name: "an inspection resets the inspection and leaves the service where it was",
    facts: { limits: inspectedBetween, servicedOn: day("2025-01-10"), inspectedOn: day("2026-01-05") },
    today: "2026-07-03",
    service: { dueOn: day("2027-01-10"), state: "in-date" },
    inspection: { dueOn: day("2027-01-05"), state: "in-date" },
    source: "a maker's scheme of inspection and service by turns",
  },
  {
    name: "a service is an inspection too",
    facts: { limits: inspectedBetween, servicedOn: day("2026-02-01"), inspectedOn: day("2025-08-01") },
    today: "2026-07-03",
    inspection: { dueOn: day("2027-02-01"), state: "in-date" },
    source: "common practice",
  },
  {
    name: "never serviced, used soon after it was bought: counts from its first use",
    facts: { limits: monthsOnly(12), boughtOn: day("2025-01-05"), inUseOn: day("2025-09-01"), servicedOn: null },
    today: "2026-07-03",
    service: { dueOn: day("2026-09-01") },
    source: "common practice",
  },
  {
    name: "never serviced, long on the shelf: counts from a year after it was bought",
    facts: { limits: monthsOnly(12), boughtOn: day("2024-01-05"), inUseOn: day("2026-06-01"), servicedOn: null },
    today: "2026-07-03",
    service: { dueOn: day("2026-01-05"), state: "overdue" },
    source: "common practice",
  },
  {
    name: "never put into use: counts from a year after it was bought",
    facts: { limits: monthsOnly(12), boughtOn: day("2025-02-28"), inUseOn: null, servicedOn: null },
    today: "2026-07-03",
    service: { dueOn: day("2027-02-28"), state: "in-date" },
    source: "common practice",
  },
  {
    name: "used for teaching: at most 6 months",
    facts: { limits: monthsOnly(12), servicedOn: day("2026-01-31"), taughtSinceService: true },
    today: "2026-07-03",
    service: { dueOn: day("2026-07-31"), state: "in-date" },
    source: "common practice",
  },
  {
    name: "used for teaching, with a maker stricter than the policy",
    facts: { limits: monthsOnly(3), servicedOn: day("2026-04-15"), taughtSinceService: true },
    today: "2026-07-03",
    service: { dueOn: day("2026-07-15"), state: "in-date" },
    source: "common practice",
  },
  {
    name: "used for teaching, where the maker limits only dives: no months appear",
    facts: {
      limits: { service: { months: null, dives: 200, minutes: null }, inspection: null },
      servicedOn: day("2024-01-01"),
      taughtSinceService: true,
    },
    today: "2026-07-03",
    service: { dueOn: null, divesLeft: 180, state: "in-date" },
    source: "common practice",
  },
  {
    name: "a maker who says: no limit",
    facts: { limits: { service: { months: null, dives: null, minutes: null }, inspection: null }, boughtOn: null },
    today: "2026-07-03",
    service: { dueOn: null, divesLeft: null, minutesLeft: null, state: "in-date" },
    inspection: null,
    source: "common practice",
  },
];
