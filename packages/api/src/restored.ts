import { confirmSeen } from "@hangrail/db/people-acts";
import { countWaiting, idOfTag, lastRestore, listWaiting } from "@hangrail/db/restored";
import { TRPCError } from "@trpc/server";
import { z } from "zod";
import { tag, whole, words } from "./inputs.ts";
import { procedureFor, requestId, router } from "./trpc.ts";

const SHOWN = 100;

/** After a restore: what waits to be seen, and a manager's word that it was. */
export const restored = router({
  waiting: procedureFor("manager").query(async ({ ctx }) => {
    const [restore, counts, sets] = await Promise.all([lastRestore(ctx.db), countWaiting(ctx.db, ctx.site.id), listWaiting(ctx.db, ctx.site.id, SHOWN)]);
    return { restore, ...counts, sets };
  }),

  /** One set was looked at. */
  confirm: procedureFor("manager")
    .input(z.strictObject({ requestId, tag, words: words(300, 1) }))
    .mutation(async ({ ctx, input }) => {
      const set = await idOfTag(ctx.db, input.tag);
      if (set === null) throw new TRPCError({ code: "NOT_FOUND", message: "There is no such set here." });
      const answer = await confirmSeen(ctx.db, ctx.who(input.requestId), [set], null, input.words);
      if (answer.answer === "refused" && answer.code === "no-such-set") throw new TRPCError({ code: "NOT_FOUND", message: "There is no such set here." });
      return answer;
    }),

  /** All that wait here were counted. */
  confirmAll: procedureFor("manager")
    .input(z.strictObject({ requestId, counted: whole("The count", 0, 100_000), words: words(300, 1) }))
    .mutation(({ ctx, input }) => confirmSeen(ctx.db, ctx.who(input.requestId), null, input.counted, input.words)),
});
