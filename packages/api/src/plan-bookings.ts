/** Bookings read from a sheet, and bookings like last year's hires. Both are only shown; a person records them. */
import type { Database } from "@hangrail/db/database";
import { listBookings, listPastHires, type PastHire } from "@hangrail/db/plan";
import type { BookingInput } from "@hangrail/db/plan-acts";
import { judgeBookingSheet } from "@hangrail/rules/booking-sheet";
import { addDays, daysBetween, type Day } from "@hangrail/rules/calendar";
import { standsCold } from "@hangrail/rules/suitability";
import type { z } from "zod";
import type { bookingSheetInput, pastHiresInput } from "./plan-inputs.ts";
import type { BookingSheetAnswer, PastHiresAnswer } from "./plan-view.ts";
import { readSheet } from "./spreadsheet.ts";

/** Problems sent to a screen. */
const SHOWN_PROBLEMS = 300;

export function bookingsInSheet({ fileName, file, delimiter, answers }: z.infer<typeof bookingSheetInput>, today: Day): BookingSheetAnswer {
  const read = readSheet(Buffer.from(file, "base64"), { name: fileName, ...(delimiter && { delimiter }) });
  if (!read.ok) return { answer: "unreadable", code: read.code, sentence: read.sentence };
  const told = Object.fromEntries(Object.entries(answers).filter(([, value]) => value !== undefined));
  const { rows, problems, questions, counts } = judgeBookingSheet(read.sheet, { answers: told, today });
  const all = [...read.problems, ...problems];
  if (all.length > 0) return { answer: "problems", rows: counts.rows, problems: all.slice(0, SHOWN_PROBLEMS), more: Math.max(0, read.problems.length + counts.problems - SHOWN_PROBLEMS) };
  if (questions.length > 0) return { answer: "questions", rows: counts.rows, questions };
  return { answer: "good", bookings: rows.map(({ row: _, ...booking }) => ({ ...booking, source: "sheet" as const })) };
}

/** A year of whole weeks, so that Saturdays meet Saturdays. */
const YEAR = 364;
const AIR = 210;
const WEEK = 7;

/** One booking for each kind and week: as many sets as were out on its busiest day, times the percentage. */
export async function bookingsLikeLastYear(db: Database, site: string, { fromOn, weeks, percent }: z.infer<typeof pastHiresInput>): Promise<PastHiresAnswer> {
  const days = weeks * WEEK;
  const first = addDays(fromOn, -YEAR);
  const [hires, recorded] = await Promise.all([listPastHires(db, site, first, addDays(first, days - 1)), listBookings(db, site, fromOn, addDays(fromOn, days - 1))]);
  const kinds = new Map<string, { wishes: ReturnType<typeof wishesOf>; out: number[] }>();
  for (const hire of hires) {
    const wishes = wishesOf(hire);
    const key = JSON.stringify(wishes);
    const kind = kinds.get(key) ?? { wishes, out: Array.from({ length: days }, () => 0) };
    kinds.set(key, kind);
    const until = Math.min(days - 1, daysBetween(first, hire.untilOn));
    for (let at = Math.max(0, daysBetween(first, hire.fromOn)); at <= until; at += 1) kind.out[at]! += hire.sets;
  }
  const bookings = [...kinds].sort(([a], [b]) => (a < b ? -1 : 1)).flatMap(([, { wishes, out }]) =>
    Array.from({ length: weeks }, (_, week): BookingInput[] => {
      const sets = Math.ceil((Math.max(...out.slice(week * WEEK, (week + 1) * WEEK)) * percent) / 100);
      const monday = addDays(fromOn, week * WEEK);
      return sets === 0 ? [] : [{ fromOn: monday, untilOn: addDays(monday, WEEK - 1), ...wishes, sets, words: "", source: "past-hires" }];
    }).flat());
  return {
    hires: hires.reduce((sum, { sets }) => sum + sets, 0),
    recorded: recorded.filter(({ source }) => source === "past-hires").length,
    bookings: bookings.sort((a, b) => (a.fromOn < b.fromOn ? -1 : a.fromOn > b.fromOn ? 1 : 0)),
  };
}

/** What a hire would have been booked as: cold is water that a set marked for warm water may not go into. */
function wishesOf({ connection, waterTenthsC, o2Tenths, teaching }: PastHire): Pick<BookingInput, "connection" | "cold" | "o2Tenths" | "teaching"> {
  return { connection, cold: !standsCold("warm-only", waterTenthsC), o2Tenths: Math.max(AIR, o2Tenths), teaching };
}
