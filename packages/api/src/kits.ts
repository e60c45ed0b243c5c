import * as acts from "@hangrail/db/bench-acts";
import { readMoney } from "@hangrail/db/costs";
import { listClosedKitOrders, listKitMovements, listKits, listShelfKits, readKitNeeds, readServiceKits } from "@hangrail/db/kits";
import { listOrdersOfSet } from "@hangrail/db/work-orders";
import { readClock } from "@hangrail/db/sessions";
import { addDays, day as toDay } from "@hangrail/rules/calendar";
import { asksOxygenClean, CLEAN_ABOVE } from "@hangrail/rules/oxygen-clean";
import { TRPCError } from "@trpc/server";
import { z } from "zod";
import { day, id, whole, words } from "./inputs.ts";
import { mustBeHere } from "./set-here.ts";
import { newRequest, procedureFor, requestId, router } from "./trpc.ts";

/** How far ahead due services are counted: as far as an order placed today usually takes to come. */
const WEEKS_AHEAD = 6;
const DIVES_AHEAD = 10;

export const kits = router({
  /** Every kit: what lies on the shelf, what is ordered, which models use it, and what due services will take. */
  list: procedureFor("technician", "manager").query(async ({ ctx }) => {
    const { today } = await readClock(ctx.db, ctx.site.timeZone);
    const until = addDays(toDay(today), WEEKS_AHEAD * 7);
    const [rows, needs, { currency }] = await Promise.all([
      listKits(ctx.db, ctx.site.id),
      readKitNeeds(ctx.db, ctx.site.id, until, DIVES_AHEAD),
      readMoney(ctx.db, ctx.site.id),
    ]);
    return {
      weeks: WEEKS_AHEAD,
      dives: DIVES_AHEAD,
      until,
      currency,
      kits: rows.map((kit) => {
        const need = needs.find((one) => one.kit === kit.id);
        const ordered = kit.orders.reduce((sum, order) => sum + order.quantity, 0);
        return { ...kit, need: need?.quantity ?? 0, needComponents: need?.components ?? 0, ordered, late: kit.orders.some((order) => order.expectedOn < today) };
      }),
    };
  }),

  /** What came and went of one kit, and the orders that are closed. */
  movements: procedureFor("technician", "manager")
    .input(z.strictObject({ kitId: id }))
    .query(async ({ ctx, input }) => {
      const [movements, closed] = await Promise.all([listKitMovements(ctx.db, ctx.site.id, input.kitId), listClosedKitOrders(ctx.db, ctx.site.id, input.kitId)]);
      return { movements, closed };
    }),

  /** What a service of a set's components takes off the shelf, what lies there, and the orders it may belong to. */
  forService: procedureFor("technician", "manager")
    .input(z.strictObject({ setId: id }))
    .query(async ({ ctx, input }) => {
      await mustBeHere(ctx.db, ctx.site.id, input.setId);
      const [components, shelf, orders] = await Promise.all([readServiceKits(ctx.db, ctx.site.id, input.setId), listShelfKits(ctx.db, ctx.site.id), listOrdersOfSet(ctx.db, ctx.site.id, input.setId)]);
      return {
        components: components.map(({ maxO2Tenths, lastOxygenClean, ...component }) => ({
          ...component,
          /** It may meet rich gas now, and loses that by any service that is not oxygen-clean. */
          losesOxygen: asksOxygenClean(maxO2Tenths, lastOxygenClean === null ? null : { oxygenClean: lastOxygenClean }),
          /** It could meet rich gas after an oxygen-clean service. */
          gainsOxygen: maxO2Tenths !== null && maxO2Tenths > CLEAN_ABOVE,
        })),
        shelf,
        orders,
      };
    }),

  /** A kit new to the centre; or, of one it knows by maker and name, its price and lead time. */
  keep: procedureFor("technician", "manager")
    .input(
      z.strictObject({
        maker: words(80, 1),
        name: words(80, 1),
        priceCents: whole("The price in cents", 0, 10_000_000).nullable(),
        leadDays: whole("Days until an order comes", 0, 1_000).nullable(),
      }),
    )
    .mutation(({ ctx, input }) => acts.keepKit(ctx.db, ctx.who(newRequest()), input)),

  /** "received" gives what came, "counted" what lies there now. */
  move: procedureFor("technician", "manager")
    .input(
      z.strictObject({
        requestId,
        kitId: id,
        kind: z.enum(["received", "counted"]),
        quantity: whole("How many", 0, 100_000),
        lot: words(60, 1).nullable(),
        words: words(300),
      }).refine((move) => move.kind === "counted" || move.quantity > 0, { path: ["quantity"], message: "At least one must have come." }),
    )
    .mutation(({ ctx, input: { requestId: request, kitId, ...move } }) => acts.moveKit(ctx.db, ctx.who(request), kitId, move)),

  order: procedureFor("technician", "manager")
    .input(z.strictObject({ requestId, kitId: id, quantity: whole("How many", 1, 100_000), expectedOn: day }))
    .mutation(async ({ ctx, input }) => {
      const { today } = await readClock(ctx.db, ctx.site.timeZone);
      if (input.expectedOn < today) throw new TRPCError({ code: "BAD_REQUEST", message: "The day it is expected lies before today." });
      return acts.orderKit(ctx.db, ctx.who(input.requestId), input.kitId, input.quantity, input.expectedOn);
    }),

  /** What of an order came; the rest will not come any more. */
  closeOrder: procedureFor("technician", "manager")
    .input(z.strictObject({ requestId, orderId: id, received: whole("How many came", 0, 100_000), lot: words(60, 1).nullable() }))
    .mutation(({ ctx, input }) => acts.closeKitOrder(ctx.db, ctx.who(input.requestId), input.orderId, input.received, input.lot)),
});
