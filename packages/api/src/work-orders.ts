import * as acts from "@hangrail/db/bench-acts";
import { listOpenFaults, readFault } from "@hangrail/db/faults";
import { authorisedMakers } from "@hangrail/db/people";
import { readClock } from "@hangrail/db/sessions";
import { loadSetsById } from "@hangrail/db/set-facts";
import { listOpenMatches, listOrdersOfSet, listTestsOfOrder, listWorkOfOrder, readOrder } from "@hangrail/db/work-orders";
import { day as toDay } from "@hangrail/rules/calendar";
import { needsBeddingCheck } from "@hangrail/rules/hand-out";
import { WORK_ORDER_KINDS } from "@hangrail/rules/work-orders";
import { TRPCError } from "@trpc/server";
import { z } from "zod";
import { readBenchOfSet, readBenchQueue, waitingAt } from "./bench-queue.ts";
import { day, id, whole, words } from "./inputs.ts";
import { checkRelease } from "./release-check.ts";
import { setView } from "./set-view.ts";
import { procedureFor, requestId, router } from "./trpc.ts";

const orderOnly = z.strictObject({ requestId, orderId: id });

/** Work orders: from the queue to the bench, and off it again. */
export const workOrders = router({
  /** Open orders and the reasons without one, the most urgent first; and what this person may work on today. */
  queue: procedureFor("technician", "manager").query(async ({ ctx }) => {
    const clock = await readClock(ctx.db, ctx.site.timeZone);
    const [items, makers] = await Promise.all([readBenchQueue(ctx.db, ctx.site), authorisedMakers(ctx.db, ctx.session.staff.id, clock.today)]);
    return { items, makers, today: clock.today };
  }),

  /** One order with all that was recorded under it, and what its set's release still lacks. */
  one: procedureFor("technician", "manager")
    .input(z.strictObject({ orderId: id }))
    .query(async ({ ctx, input }) => {
      const order = await readOrder(ctx.db, ctx.site.id, input.orderId);
      if (order === null) throw new TRPCError({ code: "NOT_FOUND", message: `There is no such work order at ${ctx.site.name}.` });
      const clock = await readClock(ctx.db, ctx.site.timeZone);
      const [[set], orders, faults, matches, fault, work, tests, [release], makers] = await Promise.all([
        loadSetsById(ctx.db, ctx.site.id, [order.setId]),
        listOrdersOfSet(ctx.db, ctx.site.id, order.setId),
        listOpenFaults(ctx.db, ctx.site.id, order.setId),
        listOpenMatches(ctx.db, ctx.site.id, order.setId),
        order.fault === null ? null : readFault(ctx.db, ctx.site.id, order.fault),
        listWorkOfOrder(ctx.db, order.id),
        listTestsOfOrder(ctx.db, order.id),
        checkRelease(ctx.db, ctx.site, ctx.session.staff.id, [order.setId]),
        authorisedMakers(ctx.db, ctx.session.staff.id, clock.today),
      ]);
      // A set that was moved away since took its release along.
      if (set === undefined || release === undefined) throw new TRPCError({ code: "NOT_FOUND", message: `The set of this order is not at ${ctx.site.name} any more.` });
      const today = toDay(clock.today);
      const waiting = waitingAt({ set, orders, faults, matches }, today, clock.now);
      const why = waiting.find((item) => item.order?.id === order.id);
      return {
        order,
        set: setView(set, null),
        /** What it is about; nothing once the reason is gone. */
        why: { components: why?.components ?? [], dueOn: why?.dueOn ?? null, overdue: why?.overdue ?? false },
        fault,
        notices: matches.filter(({ notice }) => notice === order.notice),
        otherFaults: faults.filter((one) => one.id !== order.fault && one.severity !== "watch"),
        beddingDue: set.components.filter((one) => one.servicedOn !== null && needsBeddingCheck(one, one.servicedOn, set.policy, today)).map((one) => one.id),
        others: waiting.filter((item) => item.order?.id !== order.id).map(({ kind, order: other }) => ({ kind, orderId: other?.id ?? null })),
        work,
        tests,
        release,
        makers,
      };
    }),

  /** What of the queue is about one set, for its page at the bench. */
  ofSet: procedureFor("technician", "manager")
    .input(z.strictObject({ setId: id }))
    .query(async ({ ctx, input }) => {
      const [set] = await loadSetsById(ctx.db, ctx.site.id, [input.setId]);
      if (set === undefined || !set.facts.here) throw new TRPCError({ code: "NOT_FOUND", message: "There is no such set here." });
      return readBenchOfSet(ctx.db, ctx.site, set);
    }),

  /** Asks for work on a set; the same reason asks once. */
  open: procedureFor("technician", "manager")
    .input(
      z
        .strictObject({ requestId, setId: id, kind: z.enum(WORK_ORDER_KINDS), fault: id.nullable(), notice: id.nullable(), words: words(1000) })
        .refine(({ kind, fault }) => (kind === "repair") === (fault !== null), { path: ["fault"], message: "A repair names its fault, and nothing else does." })
        .refine(({ kind, notice }) => (kind === "notice") === (notice !== null), { path: ["notice"], message: "Work for a notice names the notice, and nothing else does." }),
    )
    .mutation(({ ctx, input: { requestId: request, setId, ...order } }) => acts.openWorkOrder(ctx.db, ctx.who(request), setId, { ...order, weekOn: null })),

  /** The set goes to the bench. From here on it comes back only by a release. */
  take: procedureFor("technician")
    .input(orderOnly)
    .mutation(({ ctx, input }) => acts.takeWorkOrder(ctx.db, ctx.who(input.requestId), input.orderId)),

  /** Laid aside until parts come. */
  park: procedureFor("technician")
    .input(orderOnly.extend({ why: words(300, 1), expectedOn: day.nullable() }))
    .mutation(({ ctx, input }) => acts.parkWorkOrder(ctx.db, ctx.who(input.requestId), input.orderId, input.why, input.expectedOn)),

  resume: procedureFor("technician")
    .input(orderOnly)
    .mutation(({ ctx, input }) => acts.resumeWorkOrder(ctx.db, ctx.who(input.requestId), input.orderId)),

  /** Done, once the work it was opened for is recorded. The release is an act of its own. */
  finish: procedureFor("technician")
    .input(orderOnly.extend({ minutes: whole("Minutes at the bench", 0, 10_000), words: words(1000, 1) }))
    .mutation(({ ctx, input }) => acts.closeWorkOrder(ctx.db, ctx.who(input.requestId), input.orderId, { outcome: "done", minutes: input.minutes, words: input.words })),

  /** Given up: the reason stays, and asks anew. */
  drop: procedureFor("technician", "manager")
    .input(orderOnly.extend({ words: words(1000, 1) }))
    .mutation(({ ctx, input }) => acts.closeWorkOrder(ctx.db, ctx.who(input.requestId), input.orderId, { outcome: "dropped", minutes: null, words: input.words })),
});
