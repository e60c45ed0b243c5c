import * as acts from "@hangrail/db/acts";
import type { Database } from "@hangrail/db/database";
import { isKnownRequest } from "@hangrail/db/hires";
import { loadSetsByTag } from "@hangrail/db/set-facts";
import { approvedModels, listBaths, listRuns, listToClean } from "@hangrail/db/wash-room";
import { readClock } from "@hangrail/db/sessions";
import { decideFinish, decideStartRun } from "@hangrail/rules/cleaning";
import { day } from "@hangrail/rules/calendar";
import { z } from "zod";
import { id, tag, whole, words } from "./inputs.ts";
import { newRequest, procedureFor, requestId, router } from "./trpc.ts";

const TENTHS = 10;

export const washRoom = router({
  /** Everything the wash room looks at: what waits, what is wet and until when, what dries, which baths stand. */
  queue: procedureFor("wash-room", "technician", "manager").query(async ({ ctx }) => {
    const [toClean, runs, baths, clock] = await Promise.all([
      listToClean(ctx.db, ctx.site.id),
      listRuns(ctx.db, ctx.site.id),
      listBaths(ctx.db, ctx.site.id),
      readClock(ctx.db, ctx.site.timeZone),
    ]);
    return { toClean, runs, baths, now: clock.now };
  }),

  products: procedureFor("wash-room", "technician", "manager").query(({ ctx }) =>
    ctx.db.prisma.disinfectant.findMany({
      where: { withdrawnAt: null },
      orderBy: { name: "asc" },
      select: { id: true, name: true, strengthHundredths: true, minPpm: true, maxPpm: true, wetMinutes: true, bathHours: true, labelPage: true, disinfectantApprovals: { select: { modelId: true, manualPage: true } } },
    }),
  ),

  /** Mixes a bath from two volumes; the strength is computed, never typed. */
  mixBath: procedureFor("wash-room")
    .input(
      z.strictObject({
        requestId,
        productId: id,
        label: words(40, 1),
        lot: words(60).nullable(),
        productMl: whole("Product in ml", 1, 100_000),
        waterMl: whole("Water in ml", 0, 1_000_000),
      }),
    )
    .mutation(({ ctx, input }) =>
      acts.mixBath(ctx.db, ctx.who(input.requestId), { product: input.productId, label: input.label, lot: input.lot || null, productMl: input.productMl, waterMl: input.waterMl }),
    ),

  emptyBath: procedureFor("wash-room")
    .input(z.strictObject({ bathId: id }))
    .mutation(({ ctx, input }) => acts.emptyBath(ctx.db, ctx.who(newRequest()), input.bathId)),

  /** Whether one set may go into a bath now: asked at each scan, so that the word comes before the press. */
  mayGoIn: procedureFor("wash-room")
    .input(z.strictObject({ bathId: id, tag }))
    .query(async ({ ctx, input }) => {
      const found = await decideStart(ctx, input.bathId, [input.tag]);
      return found.answer === "start" ? { answer: "may" as const } : { answer: "refused" as const, reasons: found.reasons };
    }),

  /** Puts sets into a bath, all or none, or says every reason why not. */
  startRun: procedureFor("wash-room")
    .input(z.strictObject({ requestId, bathId: id, tags: z.array(tag).min(1).max(40) }))
    .mutation(async ({ ctx, input }) => {
      const found = await decideStart(ctx, input.bathId, input.tags);
      // A repeat finds its sets in the bath already: the database gives it the first answer.
      if (found.answer === "refuse" && (found.setIds === null || !(await isKnownRequest(ctx.db, input.requestId)))) {
        return { answer: "refused" as const, reasons: found.reasons };
      }
      const answer = await acts.startWash(ctx.db, ctx.who(input.requestId), input.bathId, found.setIds ?? []);
      return answer.answer === "refused" ? { answer: "refused" as const, reasons: [{ code: answer.code, ...answer.facts }] } : answer;
    }),

  /** Out of the bath: refused until the label's wet time has run. */
  endWet: procedureFor("wash-room")
    .input(z.strictObject({ requestId, runId: id }))
    .mutation(({ ctx, input }) => acts.endWet(ctx.db, ctx.who(input.requestId), input.runId)),

  /** Rinsed, purged under pressure and dry: clean. All three have to be said. */
  finish: procedureFor("wash-room")
    .input(z.strictObject({ requestId, runId: id, setIds: z.array(id).min(1).max(40), rinsed: z.boolean(), purgedUnderPressure: z.boolean(), dry: z.boolean() }))
    .mutation(async ({ ctx, input }) => {
      const run = (await listRuns(ctx.db, ctx.site.id)).find((one) => one.run === input.runId);
      const [policySet] = run?.sets[0] ? await loadSetsByTag(ctx.db, ctx.site.id, [run.sets[0].tag]) : [];
      if (run !== undefined && policySet !== undefined) {
        const clock = await readClock(ctx.db, ctx.site.timeZone);
        const decision = decideFinish({ wetEndedAt: run.wetEndedAt?.getTime() ?? null }, input, policySet.policy, clock.now.getTime());
        if (decision.answer === "refuse") return { answer: "refused" as const, reasons: decision.reasons };
      }
      const answer = await acts.finishWash(ctx.db, ctx.who(input.requestId), input.runId, input.setIds);
      return answer.answer === "refused" ? { answer: "refused" as const, reasons: [{ code: answer.code, ...answer.facts }] } : answer;
    }),

  /** A set taken out of the bath or off the rail unfinished: back to the queue. */
  abandon: procedureFor("wash-room")
    .input(z.strictObject({ requestId, setId: id, words: words(300, 1) }))
    .mutation(({ ctx, input }) => acts.soilSet(ctx.db, ctx.who(input.requestId), input.setId, "wash-abandoned", input.words)),

  /** Staff breathed from a set: it has to be washed again. */
  breathTested: procedureFor("desk", "wash-room", "technician")
    .input(z.strictObject({ requestId, setId: id, words: words(300) }))
    .mutation(({ ctx, input }) => acts.soilSet(ctx.db, ctx.who(input.requestId), input.setId, "breath-tested", input.words)),

  acceptProduct: procedureFor("technician", "manager")
    .input(
      z
        .strictObject({
          name: words(80, 1),
          strengthHundredths: whole("Strength in hundredths of a percent", 1, 10_000),
          minPpm: whole("Least ppm", 1, 1_000_000),
          maxPpm: whole("Most ppm", 1, 1_000_000),
          wetMinutes: whole("Wet time in minutes", 1, 1440),
          bathHours: whole("Life of a bath in hours", 1, 720),
          labelPage: words(200, 1),
        })
        .refine(({ minPpm, maxPpm }) => minPpm <= maxPpm, { path: ["maxPpm"], message: "The most lies below the least." }),
    )
    .mutation(({ ctx, input }) => acts.acceptProduct(ctx.db, ctx.who(newRequest()), input)),

  approveProduct: procedureFor("technician")
    .input(z.strictObject({ productId: id, modelIds: z.array(id).min(1).max(200), manualPage: words(200, 1) }))
    .mutation(({ ctx, input }) => acts.approveProduct(ctx.db, ctx.who(newRequest()), input.productId, input.modelIds, input.manualPage)),
});

/** The rules' word on these sets and this bath, on what is true now; `setIds` is null when a set or the bath is not there. */
async function decideStart({ db, site }: { readonly db: Database; readonly site: { readonly id: string; readonly timeZone: string } }, bathId: string, tags: readonly string[]) {
  const [baths, sets, clock] = await Promise.all([listBaths(db, site.id), loadSetsByTag(db, site.id, tags), readClock(db, site.timeZone)]);
  const unknown = tags.filter((one) => !sets.some((set) => set.tag === one && set.facts.here));
  if (unknown.length > 0) return { answer: "refuse" as const, setIds: null, reasons: unknown.map((one) => ({ code: "no-such-set" as const, tag: one })) };
  const bath = baths.find((one) => one.id === bathId);
  if (bath === undefined) return { answer: "refuse" as const, setIds: null, reasons: [{ code: "no-such-bath" as const }] };
  const allowed = await approvedModels(db, bath.productId);
  const decision = decideStartRun(
    { mixture: bath, madeAt: bath.mixedAt.getTime(), expiresAt: bath.expiresAt.getTime() },
    { leastPpmTenths: bath.minPpm * TENTHS, mostPpmTenths: bath.maxPpm * TENTHS, wetMinutes: bath.wetMinutes, bestBefore: null },
    sets.map((set) => ({
      tag: set.tag,
      cleaning: set.facts.cleaning,
      out: set.facts.out,
      retired: set.facts.retired,
      evidenceLock: set.facts.evidenceLock,
      components: set.components.map((c) => ({ id: `${c.maker} ${c.modelName}`, productAllowed: allowed.has(c.modelId) || null })),
    })),
    clock.now.getTime(),
    day(clock.today),
  );
  return { ...decision, setIds: sets.map((set) => set.id) };
}
