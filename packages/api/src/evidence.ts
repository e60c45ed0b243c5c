import { liftEvidence, noteCustody } from "@hangrail/db/bench-acts";
import { readEvidence } from "@hangrail/db/custody";
import { TRPCError } from "@trpc/server";
import { z } from "zod";
import { id, tag, words } from "./inputs.ts";
import { procedureFor, requestId, router } from "./trpc.ts";

export const evidence = router({
  /** What is recorded of a set's seal: since when, from hand to hand, and who allowed it to be lifted. */
  ofSet: procedureFor()
    .input(z.strictObject({ tag }))
    .query(async ({ ctx, input }) => {
      const found = await readEvidence(ctx.db, ctx.site.id, input.tag);
      if (found === null) throw new TRPCError({ code: "NOT_FOUND", message: `There is no set ${input.tag} at ${ctx.site.name}.` });
      return found;
    }),

  /** The sealed set went from one hand to another. */
  noteCustody: procedureFor("technician", "manager")
    .input(z.strictObject({ requestId, setId: id, from: words(120, 1), to: words(120, 1), place: words(200, 1), words: words(600) }))
    .mutation(({ ctx, input: { requestId: request, setId, ...note } }) => noteCustody(ctx.db, ctx.who(request), setId, note)),

  /** The manager lifts the seal, with who allowed it. The set is then to be washed, tested and released; its faults stay open. */
  lift: procedureFor("manager")
    .input(z.strictObject({ requestId, setId: id, allowedBy: words(200, 1), words: words(600, 1) }))
    .mutation(({ ctx, input }) => liftEvidence(ctx.db, ctx.who(input.requestId), input.setId, input.allowedBy, input.words)),
});
