import * as acts from "@hangrail/db/bench-acts";
import { readBoard } from "@hangrail/db/board";
import { refit } from "@hangrail/db/acts";
import { listOpenFaults } from "@hangrail/db/faults";
import { isKnownRequest } from "@hangrail/db/hires";
import { authorisedMakers } from "@hangrail/db/people";
import { loadSetsById } from "@hangrail/db/set-facts";
import { listShelf } from "@hangrail/db/sets";
import { readClock } from "@hangrail/db/sessions";
import { kindIn } from "@hangrail/rules/models";
import { TRPCError } from "@trpc/server";
import { z } from "zod";
import { severityAt } from "./faults.ts";
import { assemblyRefusal } from "./assembly-check.ts";
import { faultCode, id, position, words } from "./inputs.ts";
import { checkRelease } from "./release-check.ts";
import { setView } from "./set-view.ts";
import { procedureFor, requestId, router } from "./trpc.ts";

/** How many sets are signed for in one act. */
const MOST_TO_RELEASE = 200;

export const bench = router({
  /** Open faults of the site, and what this person may work on today. */
  queue: procedureFor("technician", "manager").query(async ({ ctx }) => {
    const clock = await readClock(ctx.db, ctx.site.timeZone);
    const [faults, makers] = await Promise.all([listOpenFaults(ctx.db, ctx.site.id, null), authorisedMakers(ctx.db, ctx.session.staff.id, clock.today)]);
    return { faults, makers };
  }),

  /** A fault only ever holds a set, so everybody may report one, also of a set that is out. */
  reportFault: procedureFor()
    .input(
      z.strictObject({
        requestId,
        setId: id,
        code: faultCode,
        component: id.nullable(),
        where: z.enum(["desk", "wash-room", "bench", "boat"]),
        words: words(1000),
      }),
    )
    .mutation(async ({ ctx, input: { requestId: request, setId, ...fault } }) => {
      const severity = await severityAt(ctx.db, ctx.site.id, fault.code);
      return acts.reportFault(ctx.db, ctx.who(request), setId, { ...fault, severity });
    }),

  /** `opened`: the set was taken apart for it, so it has to be released again. */
  clearFault: procedureFor("technician", "desk")
    .input(z.strictObject({ requestId, faultId: id, outcome: z.enum(["mended", "not-found"]), words: words(1000, 1), opened: z.boolean() }))
    .mutation(({ ctx, input }) => acts.clearFault(ctx.db, ctx.who(input.requestId), input.faultId, input.outcome, input.words, input.opened)),

  /** Service, inspection or bedding check of some or all components of a set. */
  recordWork: procedureFor("technician")
    .input(
      z.strictObject({
        requestId,
        setId: id,
        kind: z.enum(["service", "inspection", "bedding-check"]),
        components: z.array(id).min(1).max(12),
        oxygenClean: z.boolean(),
        words: words(1000, 1),
        order: id.nullable().default(null),
        kits: z.array(z.strictObject({ component: id, kit: id, lot: words(60, 1), quantity: z.int().min(1).max(100) })).max(60).default([]),
      }),
    )
    .mutation(({ ctx, input: { requestId: request, setId, ...work } }) => acts.recordWork(ctx.db, ctx.who(request), setId, work)),

  /** Sets that wait for a signature, each with what still stands against its release by this person. */
  toRelease: procedureFor("technician", "manager").query(async ({ ctx }) => {
    const board = await readBoard(ctx.db, { site: ctx.site.id, search: null, states: ["to-release"], model: null, sort: "tag", descending: false, offset: 0, limit: MOST_TO_RELEASE });
    const ids = board.rows.map((row) => row.id);
    const [sets, checks] = await Promise.all([loadSetsById(ctx.db, ctx.site.id, ids), checkRelease(ctx.db, ctx.site, ctx.session.staff.id, ids)]);
    return { sets: sets.map((set) => ({ ...setView(set, null), lacks: checks.find(({ setId }) => setId === set.id)?.lacks ?? [] })), total: board.total };
  }),

  /** What still stands against a release of one set by this person. */
  releaseCheck: procedureFor("technician", "manager")
    .input(z.strictObject({ setId: id }))
    .query(async ({ ctx, input }) => {
      const [check] = await checkRelease(ctx.db, ctx.site, ctx.session.staff.id, [input.setId]);
      if (check === undefined) throw new TRPCError({ code: "NOT_FOUND", message: "There is no such set here." });
      return { released: check.released, lacks: check.lacks };
    }),

  /** Releases sets for hire: a separate act from the work itself. All or none; or what each still lacks. */
  release: procedureFor("technician")
    .input(z.strictObject({ requestId, setIds: z.array(id).min(1).max(MOST_TO_RELEASE), words: words(1000, 1) }))
    .mutation(async ({ ctx, input }) => {
      const checks = await checkRelease(ctx.db, ctx.site, ctx.session.staff.id, input.setIds);
      const lacking = checks.filter(({ lacks }) => lacks.length > 0);
      // A set that is not here is the database's to refuse. So is a repeat: it finds its sets released, and perhaps moved on.
      if (lacking.length > 0 && checks.length === input.setIds.length && !(await isKnownRequest(ctx.db, input.requestId))) {
        return { answer: "lacks" as const, sets: lacking.map(({ setId, tag, lacks }) => ({ setId, tag, lacks })) };
      }
      return acts.releaseSets(ctx.db, ctx.who(input.requestId), input.setIds, input.words);
    }),

  /** Components on the shelf, for a swap. */
  shelf: procedureFor("technician", "manager").query(({ ctx }) => listShelf(ctx.db, ctx.site.id)),

  /** Takes one component off and fits another; either may be left out. Ends the release. */
  refit: procedureFor("technician")
    .input(z.strictObject({ requestId, setId: id, off: id.nullable(), on: id.nullable(), position, words: words(300, 1) }))
    .mutation(async ({ ctx, input }) => {
      if (input.off === null && input.on === null) throw new TRPCError({ code: "BAD_REQUEST", message: "Name what comes off, what goes on, or both." });
      if (input.on !== null) {
        const part = await ctx.db.prisma.component.findFirst({ where: { id: input.on, siteId: ctx.site.id }, select: { model: { select: { kind: true } } } });
        if (part?.model.kind !== kindIn(input.position)) throw new TRPCError({ code: "BAD_REQUEST", message: "That component does not belong in this position." });
      }
      const [set] = await loadSetsById(ctx.db, ctx.site.id, [input.setId]);
      if (set === undefined || !set.facts.here) throw new TRPCError({ code: "NOT_FOUND", message: "There is no such set here." });
      // Read after the sequence number: what happens to the set from there on, the act finds out.
      const misfit = await assemblyRefusal(ctx.db, ctx.site.id, input);
      if (misfit !== null) return misfit;
      return refit(ctx.db, ctx.who(input.requestId), set, input.off, input.on, input.position, input.words);
    }),
});
