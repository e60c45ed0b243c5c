/**
 * What the plan's screens get. Weeks are counted from 0, the week of today; `weeks[0]` is its Monday, and
 * every list by week is as long as `weeks`. Sets, technicians, kits, makers and kinds of booking are named
 * by the ids of their lists; wording is the screen's.
 *
 * outlook → Outlook · forecastsHeld → HeldAnswer · bookings → BookingView[] · bookingsFromSheet →
 * BookingSheetAnswer · bookingsFromPastHires → PastHiresAnswer · solve → SolveEvent, one after another ·
 * price → PriceAnswer · weekChoices → WeekChoicesAnswer · accept → AcceptAnswer · orderList → OrderLine[] ·
 * calendars → CalendarFeed[] · openCalendar → OpenCalendarAnswer. What is asked with stands in plan-inputs.ts.
 */
import type { Day } from "@hangrail/rules/calendar";
import type { Work } from "@hangrail/rules/due-dates";
import type { DueForecast, LeadingLimb } from "@hangrail/rules/forecast-due";
import type { HowWellItHeld, TooFewForecasts } from "@hangrail/rules/forecast-held";
import type { Connection, Role } from "@hangrail/rules/models";
import type { PlanViolation } from "@hangrail/rules/plan-check";
import type { PlanFault } from "@hangrail/rules/plan-faults";
import type { PlanScore } from "@hangrail/rules/plan-problem";
import type { SetReason, WeekChoice } from "@hangrail/rules/plan-reasons";
import type { Relief } from "@hangrail/rules/plan-shortfall";
import type { SetState } from "@hangrail/rules/set-state";
import type { SheetProblem, SheetQuestion } from "@hangrail/rules/sheet-report";
import type { BookingRow } from "@hangrail/db/plan";
import type { BookingInput } from "@hangrail/db/plan-acts";

// ── What there is ───────────────────────────────────────────────────────────────────────

export interface Outlook {
  readonly today: Day;
  /** Mondays, the first is this week's. */
  readonly weeks: readonly Day[];
  /** Whole days a set is off the desk for a service. */
  readonly benchDays: number;
  /** By due day, the earliest first; those that cannot be planned are in `unplanned`. */
  readonly sets: readonly PlannedSet[];
  readonly unplanned: readonly UnplannedSet[];
  readonly kinds: readonly BookingKind[];
  /** By day, then kind: bookings without a set in date, were nothing serviced from today on. Only days short. */
  readonly daysAtRisk: readonly DayAtRisk[];
  /** Open bookings and hires counted for each week before any plan. */
  readonly cover: readonly KindCover[];
  readonly technicians: readonly TechnicianHours[];
  /** Minutes of work the bench has room for in each week; of this week what is left of it, less the sets on it now. */
  readonly room: readonly number[];
  readonly kits: readonly KitOutlook[];
  /** The newest plan accepted; `null` = none yet. */
  readonly accepted: AcceptedPlan | null;
  /** Whether there is anything to plan by: bench hours set, bookings made, kit lists and bench minutes recorded. */
  readonly missing: readonly MissingFact[];
}

export type MissingFact =
  | { readonly missing: "bench-hours" | "bookings" }
  /** No minutes recorded for a service of these models: an usual time is taken. */
  | { readonly missing: "bench-minutes"; readonly models: readonly string[] }
  /** Nobody has recorded which kits a service of these models uses: none are counted. */
  | { readonly missing: "kit-list"; readonly models: readonly string[] }
  /** No lead time is recorded for these kits: only what is in hand and on order is counted on. */
  | { readonly missing: "lead-time"; readonly kits: readonly string[] }
  /** No technician of this site is authorised for these makers in any of the weeks. */
  | { readonly missing: "authorisation"; readonly makers: readonly string[] };

/** The forecast with the component that leads named. Days are the last on which the set may still be used. */
export interface DueView {
  readonly answer: DueForecast["answer"];
  readonly low: Day | null;
  readonly middle: Day | null;
  readonly high: Day | null;
  readonly leads: readonly NamedLimb[];
  /** Dives or minutes a week over a year round, of the component that leads; `null` = the calendar leads. */
  readonly perWeek: number | null;
  /** The share of that which rests on its kind rather than on itself: 1 = all. */
  readonly borrowed: number | null;
}

export interface NamedLimb extends Omit<LeadingLimb, "component"> {
  readonly component: string;
  readonly role: Role;
  /** Maker, model and serial. */
  readonly name: string;
}

export interface PlannedSet {
  readonly id: string;
  readonly tag: string;
  readonly seq: number;
  readonly state: SetState;
  readonly due: DueView;
  /** The last week that is wholly in date by the earliest day of the forecast; -1 = overdue, `weeks.length` or more = after the plan. */
  readonly dueWeek: number;
  /** Why `dueWeek` is not the forecast's: its use is not known, so the latest it can be counts. */
  readonly doubt: "count-unknown" | "limits-missing" | "too-little-known" | null;
  /** What is planned: an inspection where that falls due well before the service. */
  readonly work: Work;
  readonly awayWeeks: number;
  readonly minutes: number;
  readonly byMaker: readonly { readonly maker: string; readonly minutes: number }[];
  /** Some of the minutes are a usual time, for the model has none recorded. */
  readonly minutesAssumed: boolean;
  readonly kits: readonly { readonly kit: string; readonly count: number }[];
  /** Ids of the kinds of booking it can serve. */
  readonly serves: readonly string[];
  readonly outUntil: Day | null;
  /** Weeks it is out with a hirer, and on the bench already. */
  readonly out: readonly number[];
  readonly onBench: readonly number[];
  /** An order for the same work that is open and not taken, with the week it names. */
  readonly order: { readonly id: string; readonly weekOn: Day | null } | null;
}

export interface UnplannedSet {
  readonly id: string;
  readonly tag: string;
  readonly state: SetState;
  readonly why: "evidence-lock" | "limits-missing" | "count-unknown" | "too-little-known" | "no-components";
  /** The components it is about, with the limb where one is. */
  readonly components: readonly { readonly component: string; readonly role: Role; readonly name: string }[];
}

/** Sets asked for alike. The id is the same for the same wishes. */
export interface BookingKind {
  readonly id: string;
  readonly connection: Connection | null;
  readonly cold: boolean;
  readonly o2Tenths: number;
  readonly teaching: boolean;
  /** By week, of its days the busiest. */
  readonly sets: readonly number[];
}

export interface DayAtRisk {
  readonly on: Day;
  readonly kind: string;
  readonly booked: number;
  /** Sets in date that could serve this kind; some may be needed for another. */
  readonly able: number;
  readonly short: number;
}

/** By week: booked, sets that could serve it, and bookings without a set. */
export interface KindCover {
  readonly kind: string;
  readonly booked: readonly number[];
  readonly able: readonly number[];
  readonly short: readonly number[];
}

export interface TechnicianHours {
  readonly id: string;
  readonly name: string;
  /** Minutes in every week without hours of its own; `null` = never set, counted as none. */
  readonly usual: number | null;
  readonly weeks: readonly { readonly minutes: number; readonly own: boolean; readonly words: string }[];
  readonly authorisations: readonly { readonly maker: string; readonly from: Day; readonly until: Day }[];
}

export interface KitOutlook {
  readonly id: string;
  readonly name: string;
  readonly stock: number;
  readonly onOrder: number;
  /** What is on order, by the first week that begins with it here; what is late counts from next week on. */
  readonly arrivals: readonly number[];
  readonly leadDays: number | null;
  /** Kits used in a year past without counting these plans; `null` = none used yet. */
  readonly usedLastYear: number | null;
  /** `null` = no lead time recorded, so nobody can say when to order. */
  readonly advice: KitAdvice | null;
}

/** By what the newest accepted plan still takes, or, without one, by what falls due. */
export interface KitAdvice {
  readonly reorderPoint: number;
  /** To order today; 0 = enough. */
  readonly order: number;
}

export interface AcceptedPlan {
  readonly id: string;
  readonly fromOn: Day;
  readonly weeks: number;
  readonly acceptedAt: Date;
  readonly acceptedBy: string;
  readonly words: string;
  readonly total: number;
  readonly gap: number;
  readonly lines: readonly AcceptedLine[];
}

export interface AcceptedLine {
  readonly setId: string;
  readonly tag: string;
  readonly weekOn: Day;
  readonly work: Work;
  readonly locked: boolean;
  readonly why: SetReason["reason"]["why"];
  readonly order: { readonly id: string; readonly state: "waiting" | "taken" | "parked" | "done" | "dropped" };
  /** Acts on the set since, by their codes, the first first; empty = untouched. */
  readonly since: readonly string[];
  /** Its due week now is before the week planned. */
  readonly nowLate: boolean;
}

// ── Bookings ────────────────────────────────────────────────────────────────────────────

export type BookingView = BookingRow;

export type BookingSheetAnswer =
  /** The file cannot be read; a sentence for the person. */
  | { readonly answer: "unreadable"; readonly code: string; readonly sentence: string }
  /** Every bad cell, and how many problems there are beyond those sent; nothing is recorded. `rows`: how many were read. */
  | { readonly answer: "problems"; readonly rows: number; readonly problems: readonly SheetProblem[]; readonly more: number }
  /** What the sheet does not say and nobody may guess: ask again with `answers`. */
  | { readonly answer: "questions"; readonly rows: number; readonly questions: readonly SheetQuestion[] }
  /** Shown only; `makeBookings` records them. */
  | { readonly answer: "good"; readonly bookings: readonly BookingInput[] };

/** The same weeks a year (364 days) ago, by kind, times a percentage; to look at, then to record with `makeBookings`. */
export interface PastHiresAnswer {
  /** Sets handed out in those weeks. 0 = nothing to go by. */
  readonly hires: number;
  /** Bookings from past hires that are recorded for these weeks already: these would come on top. */
  readonly recorded: number;
  readonly bookings: readonly BookingInput[];
}

// ── The plan ────────────────────────────────────────────────────────────────────────────

export interface PlanLineView {
  readonly setId: string;
  /** `null` = not within these weeks. */
  readonly week: number | null;
}

export interface WeekView {
  readonly going: number;
  /** Minutes of work, and of room. */
  readonly load: number;
  readonly room: number;
  /** Kits used, by kit, in this week. */
  readonly kits: readonly { readonly kit: string; readonly count: number }[];
}

/** A plan as judged: every rule it breaks, its score and what it gives. */
export interface JudgedPlan {
  readonly lines: readonly PlanLineView[];
  readonly violations: readonly PlanViolation[];
  readonly score: PlanScore;
  readonly reasons: readonly SetReason[];
  readonly weeks: readonly WeekView[];
  readonly cover: readonly KindCover[];
  /** Kits to order beside what is on the way: by when they must be here, and by when to order. */
  readonly toOrder: readonly OrderLine[];
}

export interface OrderLine {
  readonly kit: string;
  readonly name: string;
  readonly count: number;
  /** The Monday of the week that first needs them. */
  readonly neededOn: Day;
  /** `null` = no lead time recorded. A day before today = too late by the usual lead time. */
  readonly orderBy: Day | null;
}

export interface FoundView extends JudgedPlan {
  readonly bound: number;
  /** 0 = proven best; 0.004 = no plan can be better by more than 0.4 %. */
  readonly gap: number;
  readonly by: "solver" | "greedy";
  readonly end: "optimal" | "time" | "stopped" | "died";
}

export type SolveAnswer =
  | { readonly answer: "plan"; readonly found: FoundView }
  /** Some bookings have no set. `leastShort`: proven that no plan covers more. */
  | { readonly answer: "short"; readonly found: FoundView; readonly leastShort: boolean; readonly relief: Relief | null }
  | { readonly answer: "locks-conflict"; readonly violations: readonly PlanViolation[]; readonly relief: Relief | null }
  | { readonly answer: "no-problem"; readonly faults: readonly PlanFault[] };

/** What `plan.solve` sends, one after another; the last is an answer or a refusal. */
export type SolveEvent =
  | { readonly event: "progress"; readonly looking: "plan" | "cover" | "relief"; readonly seconds: number; readonly best: number | null; readonly bound: number | null }
  | ({ readonly event: "answer"; readonly seqs: Readonly<Record<string, number>> } & SolveAnswer)
  /** This person has a search running already, or this server has enough of them. */
  | { readonly event: "refused"; readonly code: "solving-already" | "too-many-solving" };

/** What `plan.price` answers: the plan moved by hand, and how it differs from the one before. */
export type PriceAnswer =
  | {
      readonly answer: "priced";
      readonly plan: JudgedPlan;
      /** Score parts of this plan less those of the one before. */
      readonly change: PlanScore;
      /** Weeks in which this plan leaves more, or fewer, bookings without a set. */
      readonly short: readonly { readonly week: number; readonly kind: string; readonly sets: number }[];
    }
  | { readonly answer: "no-problem"; readonly faults: readonly PlanFault[] };

export type WeekChoicesAnswer = { readonly answer: "choices"; readonly setId: string; readonly choices: readonly WeekChoice[] } | { readonly answer: "no-such-set" };

export type AcceptAnswer =
  | { readonly answer: "done"; readonly plan: string; readonly orders: number; readonly repeat?: true }
  /** Sets that have lived through something since the plan was made on them. */
  | { readonly answer: "stale"; readonly sets: readonly { readonly id: string; readonly tag: string; readonly seq: number; readonly since: readonly string[] }[] }
  /** The plan begins in a week that is over. */
  | { readonly answer: "week-passed" }
  /** By the facts as they are now the plan breaks these rules. */
  | { readonly answer: "breaks"; readonly violations: readonly PlanViolation[] }
  | { readonly answer: "refused"; readonly code: string; readonly facts: Readonly<Record<string, unknown>> };

export type HeldAnswer = HowWellItHeld | TooFewForecasts;

export interface CalendarFeed {
  readonly id: string;
  readonly words: string;
  readonly madeBy: string;
  readonly madeAt: Date;
  readonly revokedAt: Date | null;
}

export type OpenCalendarAnswer =
  /** The address is shown this once; only a hash of its secret is kept. */
  | { readonly answer: "done"; readonly feed: string; readonly path: string }
  | { readonly answer: "refused"; readonly code: string; readonly facts: Readonly<Record<string, unknown>> };

// ── The morning sheet ───────────────────────────────────────────────────────────────────

/** What may go out while no server can be asked: today, each set once. */
export interface MorningSheet {
  readonly today: Day;
  /** The hour it was made. */
  readonly at: Date;
  readonly sets: readonly MorningSet[];
  /** What is booked for today. */
  readonly bookings: readonly Pick<BookingView, "connection" | "cold" | "o2Tenths" | "teaching" | "sets" | "words">[];
}

export interface MorningSet {
  readonly setId: string;
  readonly tag: string;
  readonly connection: Connection | null;
  /** The highest cylinder pressure its first stage stands. */
  readonly maxBar: number | null;
  readonly maxO2Tenths: number;
  /** Whether it may go into water down to 4 °C. */
  readonly cold: boolean;
  /** The last day it may be used by the calendar, and what is left by dives; `null` = no such limit. */
  readonly dueOn: Day | null;
  readonly divesLeft: number | null;
}
