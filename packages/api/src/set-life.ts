import { MOST_RECORD_LINES, readServiceRecord } from "@hangrail/db/service-record";
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
});
