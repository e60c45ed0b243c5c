import { MOST_RECORD_LINES, readServiceRecord } from "@hangrail/db/service-record";
import { readReadings, readTimeline, type ReadingSeries } from "@hangrail/db/set-timeline";
import { readingDrift } from "@hangrail/rules/reading-drift";
import { TRPCError } from "@trpc/server";
import { z } from "zod";
import { tag } from "./inputs.ts";
import { procedureFor, router } from "./trpc.ts";

export const setLife = router({
  /** A set's service record as it is printed: parts, works, tests, incidents, releases, hygiene. */
  record: procedureFor()
    .input(z.strictObject({ tag }))
    .query(async ({ ctx, input }) => {
      const record = await readServiceRecord(ctx.db, ctx.site.id, input.tag);
      if (record === null) throw new TRPCError({ code: "NOT_FOUND", message: `There is no set ${input.tag} at ${ctx.site.name}.` });
      return { ...record, most: MOST_RECORD_LINES };
    }),

  /** Its whole life as a line of time, and the readings of its parts with what drifts. */
  picture: procedureFor()
    .input(z.strictObject({ tag }))
    .query(async ({ ctx, input }) => {
      const timeline = await readTimeline(ctx.db, ctx.site.id, input.tag);
      if (timeline === null) throw new TRPCError({ code: "NOT_FOUND", message: `There is no set ${input.tag} at ${ctx.site.name}.` });
      const series = await readReadings(ctx.db, timeline.set);
      return { timeline, series: series.map((one) => ({ ...one, drift: driftOf(one) })) };
    }),
});

/** A service sets a reading anew, so only what was left since then can drift. */
function driftOf({ readings, servicedOn, low, high }: ReadingSeries) {
  return readingDrift(readings.filter((one) => one.phase === "as-left" && (servicedOn === null || one.on >= servicedOn)), { low, high });
}
