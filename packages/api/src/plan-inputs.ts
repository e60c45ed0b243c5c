/** What the plan's procedures are asked with. */
import { day as toDay, daysBetween } from "@hangrail/rules/calendar";
import { z } from "zod";
import { connection, day, id, whole, words } from "./inputs.ts";
import { MOST_BYTES } from "./spreadsheet.ts";

/** How far ahead; 52 weeks at most. */
export const weeksAhead = whole("Weeks", 4, 52);
/** A week of the plan, 0 = this week. */
const week = whole("The week", 0, 51);

/** More sets than a site has are refused at the door. */
const MOST_SETS = 5_000;

/** A Monday. */
export const monday = day.refine((on) => daysBetween(toDay("2024-01-01"), on) % 7 === 0, "A week is named by its Monday.");
/** Weeks from and until, both included. */
const span = { fromWeek: week, untilWeek: week };

/** What would be different; empty lists = as it is. */
const whatIf = z.strictObject({
  /** Technicians away. */
  away: z.array(z.strictObject({ staffId: id, ...span })).max(50),
  /** What is on order of a kit comes so many weeks later. */
  lateKits: z.array(z.strictObject({ kitId: id, weeks: whole("Weeks late", 1, 52) })).max(100),
  /** All bookings of those weeks, in percent of what they are. */
  demand: z.array(z.strictObject({ ...span, percent: whole("Percent", 0, 1000) })).max(50),
});

const planLine = z.strictObject({ setId: id, week: week.nullable() });
type Line = Pick<z.infer<typeof planLine>, "week">;

/** A set's week must be one of those asked for. What is fixed beyond them is for the plan's own judgement to say. */
const withinWeeks = ({ weeks, lines, before }: { weeks: number; lines: Line[]; before?: Line[] | null }): boolean =>
  [...lines, ...(before ?? [])].every(({ week: at }) => at === null || at < weeks);
const NO_SUCH_WEEK = "A set goes in one of the weeks of the plan.";

const planSettings = z.strictObject({
  weeks: weeksAhead,
  locks: z.array(planLine).max(MOST_SETS),
  whatIf,
  /** Which day of the forecast counts as due: its earliest, or its middle. */
  dueBy: z.enum(["low", "middle"]).default("low"),
});

export const solveInput = planSettings.extend({
  seconds: whole("Seconds", 1, 30).default(20),
  /** 0.005 stops when no plan can be more than half a percent better. */
  relativeGap: z.number().min(0).max(0.5).default(0.001),
});

const lines = z.array(planLine).max(MOST_SETS);

export const priceInput = planSettings.extend({ lines, before: lines.nullable() }).refine(withinWeeks, NO_SUCH_WEEK);
export const choicesInput = planSettings.extend({ lines, setId: id }).refine(withinWeeks, NO_SUCH_WEEK);

export const acceptInput = z.strictObject({
  requestId: id,
  weeks: weeksAhead,
  /** The first week's Monday as it was shown: a plan shown last week is not accepted this week. */
  fromOn: monday,
  dueBy: planSettings.shape.dueBy,
  lines: z.array(planLine.extend({ seq: whole("The sequence", 0, 1_000_000_000), locked: z.boolean() })).max(MOST_SETS),
  /** As the search gave them; kept beside the plan. `null` = moved by hand, no proof. */
  bound: z.number().min(0).max(1e12).nullable(),
  words: words(500),
}).refine(withinWeeks, NO_SUCH_WEEK);

const sheetAnswers = z.strictObject({
  dateOrder: z.enum(["day-first", "month-first"]).optional(),
  dayNumbers: z.enum(["from-1900", "from-1904"]).optional(),
  decimalMark: z.enum(["comma", "point"]).optional(),
  shortRows: z.literal("empty").optional(),
  ignoreUnknown: z.boolean().optional(),
});

export const bookingSheetInput = z.strictObject({
  fileName: words(200, 1),
  /** The file as it is, base64. */
  file: z.base64().max(Math.ceil((MOST_BYTES + 1) / 3) * 4, "The file is larger than 5 MB."),
  delimiter: z.enum([",", ";", "\t"]).optional(),
  answers: sheetAnswers,
});

export const pastHiresInput = z.strictObject({
  fromOn: monday,
  weeks: whole("Weeks", 1, 26),
  /** 120 = a fifth more than last year; rounded up to whole sets. */
  percent: whole("Percent", 1, 500),
});

/** Hours of a technician; a week named has its own, `null` = every week without. Nought is a holiday. */
export const hoursInput = z.strictObject({ staffId: id, weekOn: monday.nullable(), minutes: whole("Minutes", 0, 6_000), words: words(200) });

/** One booking typed. */
export const bookingInput = z
  .strictObject({
    fromOn: day,
    untilOn: day,
    connection: connection.nullable(),
    cold: z.boolean(),
    o2Tenths: whole("Oxygen in tenths of a percent", 210, 1000),
    teaching: z.boolean(),
    sets: whole("Sets", 1, 1000),
    words: words(200),
    source: z.enum(["typed", "sheet", "past-hires"]),
  })
  .refine((one) => one.untilOn >= one.fromOn, "The last day is before the first.")
  .refine((one) => one.untilOn < one.fromOn || daysBetween(one.fromOn, one.untilOn) <= 366, "A booking lasts a year at the most.");
