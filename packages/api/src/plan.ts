import { randomUUID } from "node:crypto";
import { isKnownRequest } from "@hangrail/db/hires";
import * as acts from "@hangrail/db/plan-acts";
import * as planDb from "@hangrail/db/plan";
import { readClock } from "@hangrail/db/sessions";
import { addDays, day as toDay } from "@hangrail/rules/calendar";
import { howWellItHeld } from "@hangrail/rules/forecast-held";
import { checkPlan } from "@hangrail/rules/plan-check";
import { planFaults } from "@hangrail/rules/plan-faults";
import { simpleBound } from "@hangrail/rules/plan-greedy";
import { planReasons, weekChoices } from "@hangrail/rules/plan-reasons";
import { FORECAST_SETTINGS } from "@hangrail/rules/use-forecast";
import { z } from "zod";
import { id, words } from "./inputs.ts";
import { bookingsInSheet, bookingsLikeLastYear } from "./plan-bookings.ts";
import { readPlanFacts } from "./plan-facts.ts";
import { acceptInput, bookingInput, bookingSheetInput, choicesInput, hoursInput, pastHiresInput, priceInput, solveInput, weeksAhead } from "./plan-inputs.ts";
import { changeOf, coverOf, judgedPlan, kitOutlook, kitUses, planOfLines, shortChange, toOrder } from "./plan-judged.ts";
import { daysAtRisk, planGround, type PlanGround } from "./plan-problem-of.ts";
import { morningSheet } from "./plan-morning.ts";
import { acceptedView, missingFacts } from "./plan-outlook.ts";
import { searchFor } from "./plan-solving.ts";
import type { AcceptAnswer, BookingSheetAnswer, BookingView, CalendarFeed, HeldAnswer, MorningSheet, OpenCalendarAnswer, OrderLine, Outlook, PastHiresAnswer, PriceAnswer, SolveEvent, WeekChoicesAnswer } from "./plan-view.ts";
import { newToken, tokenHash } from "./secrets.ts";
import { writeSheet } from "./spreadsheet.ts";
import { newRequest, procedureFor, requestId, router } from "./trpc.ts";

const USUAL_WEEKS = 26;
/** How far back a question of the past may look: the window it waits for, the years it learns from, and the days it is asked on. */
const HELD_BACK_DAYS = 365 + 1_092 + 7 * 91;
const MOST_HELD_COMPONENTS = 2_000;
/** Bookings made at once. */
const MOST_AT_ONCE = 1_000;

/** Which sets to service in which week, so that what is booked can be handed out. */
export const plan = router({
  /** What there is to plan by, and where it leads if nothing is sent to the bench. */
  outlook: procedureFor("manager", "technician")
    .input(z.strictObject({ weeks: weeksAhead.default(USUAL_WEEKS) }))
    .query(async ({ ctx, input }): Promise<Outlook> => outlookOf(await planGround(await readPlanFacts(ctx.db, ctx.site, input.weeks), "low"))),

  /** How well forecasts like these would have held on this site's own past. */
  forecastsHeld: procedureFor("manager", "technician").query(async ({ ctx }): Promise<HeldAnswer> => {
    const today = toDay((await readClock(ctx.db, ctx.site.timeZone)).today);
    const pasts = await planDb.listServedPasts(ctx.db, ctx.site.id, today, HELD_BACK_DAYS, MOST_HELD_COMPONENTS);
    const { horizonDays: _, ...settings } = FORECAST_SETTINGS;
    return howWellItHeld(pasts.map(({ component, model, since, uses, limit, servicedOn }) => ({ id: component, kind: model, history: { since, uses }, limit, servicedOn })), today, settings);
  }),

  bookings: procedureFor("desk", "manager", "technician").query(async ({ ctx }): Promise<readonly BookingView[]> => {
    const today = toDay((await readClock(ctx.db, ctx.site.timeZone)).today);
    return planDb.listBookings(ctx.db, ctx.site.id, today, addDays(today, 3 * 366));
  }),

  makeBookings: procedureFor("desk", "manager")
    .input(z.strictObject({ requestId, bookings: z.array(bookingInput).min(1).max(MOST_AT_ONCE) }))
    .mutation(({ ctx, input }) => acts.makeBookings(ctx.db, ctx.who(input.requestId), input.bookings)),

  /** Reads a sheet; records nothing. */
  bookingsFromSheet: procedureFor("desk", "manager")
    .input(bookingSheetInput)
    .mutation(async ({ ctx, input }): Promise<BookingSheetAnswer> => bookingsInSheet(input, toDay((await readClock(ctx.db, ctx.site.timeZone)).today))),

  /** What was out in the same weeks a year before, as bookings; records nothing. */
  bookingsFromPastHires: procedureFor("desk", "manager")
    .input(pastHiresInput)
    .query(({ ctx, input }): Promise<PastHiresAnswer> => bookingsLikeLastYear(ctx.db, ctx.site.id, input)),

  withdrawBooking: procedureFor("desk", "manager")
    .input(z.strictObject({ bookingId: id }))
    .mutation(({ ctx, input }) => acts.withdrawBooking(ctx.db, ctx.who(newRequest()), input.bookingId)),

  setBenchHours: procedureFor("manager")
    .input(hoursInput)
    .mutation(({ ctx, input: { staffId, ...hours } }) => acts.setBenchHours(ctx.db, ctx.who(newRequest()), { staff: staffId, ...hours })),

  /** Looks for the best plan: tells how far it is, one event after another, then the answer. Closing the request stops the search. */
  solve: procedureFor("manager")
    .input(solveInput)
    .mutation(({ ctx, input, signal }): AsyncGenerator<SolveEvent, void> =>
      searchFor(ctx.session.staff.id, async () => planGround(await readPlanFacts(ctx.db, ctx.site, input.weeks), input.dueBy, input.locks, input.whatIf), { ...input, signal })),

  /** What a plan moved by hand is worth, at once. */
  price: procedureFor("manager")
    .input(priceInput)
    .mutation(async ({ ctx, input }): Promise<PriceAnswer> => {
      const ground = await planGround(await readPlanFacts(ctx.db, ctx.site, input.weeks), input.dueBy, input.locks, input.whatIf);
      const { problem } = ground;
      const faults = planFaults(problem);
      if (faults.length > 0) return { answer: "no-problem", faults };
      const priced = judgedPlan(ground, planOfLines(problem, input.lines));
      const was = planOfLines(problem, input.before ?? input.lines);
      const before = checkPlan(problem, was);
      return { answer: "priced", plan: priced, change: changeOf(priced.score, before.score), short: shortChange(priced.cover, coverOf(problem, was, before)) };
    }),

  /** What every week would cost one set, the others staying where they are. */
  weekChoices: procedureFor("manager")
    .input(choicesInput)
    .mutation(async ({ ctx, input }): Promise<WeekChoicesAnswer> => {
      const { problem } = await planGround(await readPlanFacts(ctx.db, ctx.site, input.weeks), input.dueBy, input.locks, input.whatIf);
      const choices = planFaults(problem).length > 0 ? null : weekChoices(problem, planOfLines(problem, input.lines), input.setId);
      return choices === null ? { answer: "no-such-set" } : { answer: "choices", setId: input.setId, choices };
    }),

  /** Records a plan as orders for the bench, if by the facts as they are now it breaks no rule. */
  accept: procedureFor("manager")
    .input(acceptInput)
    .mutation(async ({ ctx, input }): Promise<AcceptAnswer> => {
      const facts = await readPlanFacts(ctx.db, ctx.site, input.weeks);
      // A repeat is answered as the first time, whatever has become of the sets since.
      const isRepeat = await isKnownRequest(ctx.db, input.requestId);
      if (!isRepeat && facts.weeks[0] !== input.fromOn) return { answer: "week-passed" };
      const ground = await planGround(facts, input.dueBy);
      const { problem } = ground;
      const seen = new Map(facts.sets.map(({ id: set, seq }) => [set, seq]));
      const moved = input.lines.filter(({ setId, week, seq }) => week !== null && seen.has(setId) && seen.get(setId) !== seq);
      if (!isRepeat && moved.length > 0) return staleAnswer(moved.map(({ setId, seq }) => ({ id: setId, seq })));
      const lines = planOfLines(problem, input.lines);
      const check = checkPlan(problem, lines);
      if (!isRepeat && check.violations.length > 0) return { answer: "breaks", violations: check.violations };
      const { total } = check.score;
      const bound = Math.min(total, Math.max(simpleBound(problem), input.bound ?? 0));
      const why = new Map(planReasons(problem, lines).map(({ set, reason }) => [set, "weeks" in reason ? { why: reason.why, weeks: reason.weeks } : { why: reason.why }]));
      const works = new Map(ground.planned.map((set) => [set.id, set.work]));
      const answer = await acts.acceptPlan(ctx.db, ctx.who(input.requestId), {
        fromOn: input.fromOn, weeks: input.weeks, words: input.words,
        cost: Math.round(total * 1000), bound: Math.floor(bound * 1000), gapPpm: total > 0 ? Math.ceil(((total - bound) / total) * 1e6) : 0,
        settings: { dueBy: input.dueBy, weights: problem.weights },
        // What is no line of the problem broke a rule above, or is repeated.
        lines: input.lines.flatMap(({ setId, week, seq, locked }) =>
          week === null ? [] : [{ set: setId, seq, kind: works.get(setId) ?? "service", weekOn: addDays(input.fromOn, week * 7), locked, why: locked ? { why: "locked" } : (why.get(setId) ?? {}) }]),
      });
      return answer.answer === "stale" ? staleAnswer(input.lines.flatMap(({ setId, seq }) => (answer.sets.some(({ id: set }) => set === setId) ? [{ id: setId, seq }] : []))) : answer;

      async function staleAnswer(sets: readonly { readonly id: string; readonly seq: number }[]): Promise<AcceptAnswer> {
        const since = await planDb.listActsSince(ctx.db, ctx.site.id, sets);
        const tags = new Map(facts.sets.map((set) => [set.id, set.tag]));
        return { answer: "stale", sets: sets.map(({ id: set, seq }) => ({ id: set, tag: tags.get(set) ?? "", seq: seq + (since.get(set)?.length ?? 0), since: since.get(set) ?? [] })) };
      }
    }),

  /** Kits the newest plan still needs beyond the shelf and what is on the way; without a plan, what falls due needs. */
  orderList: procedureFor("manager", "technician").query(async ({ ctx }): Promise<readonly OrderLine[]> => orderLines(await usualGround(ctx))),

  /** The same as a file. */
  orderListSheet: procedureFor("manager", "technician").query(async ({ ctx }) => {
    const ground = await usualGround(ctx);
    const rows = orderLines(ground).map(({ name, count, neededOn, orderBy }) => [name, count, neededOn, orderBy]);
    return { fileName: `kits-to-order-${ground.facts.today}.csv`, rows: rows.length, file: Buffer.from(writeSheet(["Kit", "How many", "Needed on", "Order by"], rows)).toString("base64") };
  }),

  /** What may go out today while no server can be asked. */
  morningSheet: procedureFor("desk", "manager").query(({ ctx }): Promise<MorningSheet> => morningSheet(ctx.db, ctx.site)),

  calendars: procedureFor("manager", "technician").query(({ ctx }): Promise<readonly CalendarFeed[]> => planDb.listCalendars(ctx.db, ctx.site.id)),

  /** An address at which a calendar program reads the plan. Its secret is in this answer and nowhere else. */
  openCalendar: procedureFor("manager", "technician")
    .input(z.strictObject({ words: words(100, 1) }))
    .mutation(async ({ ctx, input }): Promise<OpenCalendarAnswer> => {
      const token = newToken();
      const answer = await acts.openCalendar(ctx.db, ctx.who(randomUUID()), tokenHash(token), input.words);
      return answer.answer === "done" ? { answer: "done", feed: answer.feed, path: `/api/calendar/${token}` } : answer;
    }),

  revokeCalendar: procedureFor("manager", "technician")
    .input(z.strictObject({ feedId: id }))
    .mutation(({ ctx, input }) => acts.revokeCalendar(ctx.db, ctx.who(newRequest()), input.feedId)),
});

type Asking = { readonly db: Parameters<typeof readPlanFacts>[0]; readonly site: Parameters<typeof readPlanFacts>[1] };
const usualGround = async ({ db, site }: Asking): Promise<PlanGround> => planGround(await readPlanFacts(db, site, USUAL_WEEKS), "low");
const orderLines = (ground: PlanGround): readonly OrderLine[] => toOrder(ground.facts, kitUses(ground));

function outlookOf(ground: PlanGround): Outlook {
  const { facts, problem, planned, unplanned, kinds, technicians } = ground;
  const nothing = planOfLines(problem, []);
  return {
    today: facts.today, weeks: facts.weeks, benchDays: facts.benchDays,
    sets: planned, unplanned, kinds, technicians,
    daysAtRisk: daysAtRisk(ground),
    cover: coverOf(problem, nothing),
    room: problem.benchMinutes,
    kits: kitOutlook(facts, kitUses(ground)),
    accepted: acceptedView(ground),
    missing: missingFacts(ground),
  };
}
