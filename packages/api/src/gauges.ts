import * as acts from "@hangrail/db/bench-acts";
import { listGauges } from "@hangrail/db/gauges";
import { readClock } from "@hangrail/db/sessions";
import { day as toDay } from "@hangrail/rules/calendar";
import { calibrationOn, classErrorThousandths, judgeGauge } from "@hangrail/rules/test-gauges";
import { TRPCError } from "@trpc/server";
import { z } from "zod";
import { day, id, whole, words } from "./inputs.ts";
import { newRequest, procedureFor, requestId, router } from "./trpc.ts";

export const gauges = router({
  /** The gauges of the bench: how each one's calibration stands today, and how far it may be off. */
  list: procedureFor("technician", "manager").query(async ({ ctx }) => {
    const today = toDay((await readClock(ctx.db, ctx.site.timeZone)).today);
    const rows = await listGauges(ctx.db, ctx.site.id, today);
    return {
      today,
      gauges: rows.map((gauge) => ({ ...gauge, calibration: calibrationOn(gauge, today), errorThousandths: judgeGauge(gauge).length === 0 ? classErrorThousandths(gauge) : null })),
    };
  }),

  add: procedureFor("technician", "manager")
    .input(
      z.strictObject({
        name: words(80, 1),
        serial: words(60, 1),
        measures: z.enum(["pressure", "effort"]),
        spanLow: whole("The low end of the scale", -100_000, 100_000),
        spanHigh: whole("The high end of the scale", -100_000, 100_000),
        classTenths: whole("The class in tenths", 1, 100),
        calibratedOn: day,
        validUntil: day,
        certificate: words(120, 1),
      }),
    )
    .mutation(async ({ ctx, input }) => {
      const { today } = await readClock(ctx.db, ctx.site.timeZone);
      if (input.spanLow >= input.spanHigh) throw new TRPCError({ code: "BAD_REQUEST", message: "The scale ends at or below where it begins." });
      refuseDays(input.calibratedOn, input.validUntil, today);
      return acts.addGauge(ctx.db, ctx.who(newRequest()), input);
    }),

  /** A calibration with its certificate. */
  calibrate: procedureFor("technician", "manager")
    .input(z.strictObject({ requestId, gaugeId: id, on: day, until: day, certificate: words(120, 1) }))
    .mutation(async ({ ctx, input }) => {
      const { today } = await readClock(ctx.db, ctx.site.timeZone);
      refuseDays(input.on, input.until, today);
      return acts.calibrateGauge(ctx.db, ctx.who(input.requestId), input.gaugeId, input.on, input.until, input.certificate);
    }),

  /** It stays in the record of the tests it was used for. */
  retire: procedureFor("technician", "manager")
    .input(z.strictObject({ gaugeId: id, words: words(300, 1) }))
    .mutation(({ ctx, input }) => acts.retireGauge(ctx.db, ctx.who(newRequest()), input.gaugeId, input.words)),
});

function refuseDays(on: string, until: string, today: string): void {
  if (on > today) throw new TRPCError({ code: "BAD_REQUEST", message: "A calibration after today cannot have been done yet." });
  if (until < on) throw new TRPCError({ code: "BAD_REQUEST", message: "The certificate ends before the day of the calibration." });
}
