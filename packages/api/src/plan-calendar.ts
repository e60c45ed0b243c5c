/**
 * The newest accepted plan as a calendar (RFC 5545), for programs that ask for it at an address with a
 * secret in it. Sets, weeks and work; no hirer's name is read, so none can be in it.
 */
import { findCalendar, readAcceptedPlan, type AcceptedPlanRow } from "@hangrail/db/plan";
import { takeAttempt } from "@hangrail/db/people-acts";
import type { Database } from "@hangrail/db/database";
import { addDays, type Day } from "@hangrail/rules/calendar";
import ical, { ICalEventTransparency } from "ical-generator";
import { tokenHash } from "./secrets.ts";

export type CalendarAnswer =
  | { readonly answer: "calendar"; readonly text: string }
  /** Never there, or revoked: the two look the same. */
  | { readonly answer: "none" }
  | { readonly answer: "too-many-tries" };

/** What a token of ours looks like: 32 bytes in base64url. */
const TOKEN = /^[A-Za-z0-9_-]{43}$/;

/** Wrong addresses are counted together, as wrong passwords are; a right one is answered whatever others try. */
const TRIES = "calendar";

export async function calendarFor(db: Database, token: string): Promise<CalendarAnswer> {
  const site = TOKEN.test(token) ? await findCalendar(db, tokenHash(token)) : null;
  if (site === null) return (await takeAttempt(db, TRIES)).answer === "done" ? { answer: "none" } : { answer: "too-many-tries" };
  return { answer: "calendar", text: calendarText(site, await readAcceptedPlan(db, site.site)) };
}

/** Every set of a plan that is not dropped, as an event over all days of its week. An order keeps its event when a later plan moves it. */
export function calendarText(site: { readonly site: string; readonly name: string }, plan: AcceptedPlanRow | null): string {
  // The writer escapes the texts of events, not the name of the calendar.
  const calendar = ical({ name: `Bench plan\\, ${site.name.replace(/[\\;,]/g, "\\$&")}`, prodId: { company: "Hangrail", product: "Plan", language: "EN" } });
  for (const { order, tag, weekOn, kind, state } of plan?.lines ?? []) {
    if (state === "dropped") continue;
    calendar.createEvent({
      id: `${order}@hangrail`,
      start: atMidnight(weekOn),
      end: atMidnight(addDays(weekOn, 7)),
      allDay: true,
      timezone: null,
      stamp: plan!.acceptedAt,
      summary: `${kind === "service" ? "Service" : "Inspection"} ${tag}${state === "done" ? ", done" : ""}`,
      transparency: ICalEventTransparency.TRANSPARENT,
    });
  }
  return calendar.toString();
}

/** The writer takes the day of an all-day event in UTC, whatever the server's zone. */
const atMidnight = (on: Day): Date => new Date(`${on}T00:00:00Z`);
