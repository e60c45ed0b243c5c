/** The acts of planning: bookings, bench hours, accepted plans, calendar feeds. */
import type { Day } from "@hangrail/rules/calendar";
import type { Connection } from "@hangrail/rules/models";
import { act, type Answer, type Who } from "./acts.ts";
import type { Database } from "./database.ts";

type Acts = Pick<Database, "acts">;

export interface BookingInput {
  readonly fromOn: Day;
  /** The last day, included. */
  readonly untilOn: Day;
  /** Null: any connection will do. */
  readonly connection: Connection | null;
  readonly cold: boolean;
  readonly o2Tenths: number;
  readonly teaching: boolean;
  readonly sets: number;
  readonly words: string;
  readonly source: "typed" | "sheet" | "past-hires";
}

export const makeBookings = (db: Acts, who: Who, bookings: readonly BookingInput[]) => act<Answer<{ bookings: number }>>(db, "make_bookings", [who, JSON.stringify(bookings)]);
export const withdrawBooking = (db: Acts, who: Who, booking: string) => act<Answer>(db, "withdraw_booking", [who, booking]);
/** `weekOn` null: every week without hours of its own. */
export const setBenchHours = (db: Acts, who: Who, hours: { readonly staff: string; readonly weekOn: Day | null; readonly minutes: number; readonly words: string }) =>
  act<Answer>(db, "set_bench_hours", [who, hours]);

export interface PlanInput {
  readonly fromOn: Day;
  readonly weeks: number;
  /** In whole thousandths of a point. */
  readonly cost: number;
  readonly bound: number;
  readonly gapPpm: number;
  readonly settings: unknown;
  readonly words: string;
  readonly lines: readonly { readonly set: string; readonly seq: number; readonly kind: "service" | "inspection"; readonly weekOn: Day; readonly locked: boolean; readonly why: unknown }[];
}

export type PlanAnswer =
  | Answer<{ readonly plan: string; readonly orders: number }>
  /** These sets have lived through something since the plan was made on them; look again. */
  | { readonly answer: "stale"; readonly sets: readonly { readonly id: string; readonly seq: number; readonly tag: string }[] };

export const acceptPlan = (db: Acts, who: Who, plan: PlanInput) => act<PlanAnswer>(db, "accept_plan", [who, plan]);
export const openCalendar = (db: Acts, who: Who, tokenHash: Buffer, words: string) => act<Answer<{ feed: string }>>(db, "open_calendar", [who, tokenHash, words]);
export const revokeCalendar = (db: Acts, who: Who, feed: string) => act<Answer>(db, "revoke_calendar", [who, feed]);
