import * as acts from "@hangrail/db/acts";
import type { Database } from "@hangrail/db/database";
import { isKnownRequest } from "@hangrail/db/hires";
import { loadSetsById, loadSetsByTag } from "@hangrail/db/set-facts";
import { approvedModels, listBaths, listRuns, listToClean } from "@hangrail/db/wash-room";
import { readClock } from "@hangrail/db/sessions";
import { decideFinish, decideStartRun, type FinishingWord } from "@hangrail/rules/cleaning";
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

  /**
   * A scan made while the network was away, entered now: recorded at this hour and judged by it. The tablet's own time
   * goes into the record and decides nothing; a set that lived through anything else meanwhile is refused.
   */
  enterLate: procedureFor("wash-room")
    .input(
      z.strictObject({
        requestId,
        setId: id,
        after: z.union([z.strictObject({ seq: whole("Number of acts", 0, 1_000_000_000) }), z.strictObject({ request: z.uuid("That is no scan of ours.") })]),
        scannedAt: z.iso.datetime("The time of the scan is not readable."),
        scan: z.discriminatedUnion("step", [
          z.strictObject({ step: z.literal("in"), bathId: id }),
          z.strictObject({ step: z.literal("out") }),
          z.strictObject({ step: z.literal("dry"), rinsed: z.boolean(), purgedUnderPressure: z.boolean(), dry: z.boolean() }),
        ]),
      }),
    )
    .mutation(async ({ ctx, input }) => {
      const { scan, setId } = input;
      const reasons = await refusalsOfLate(ctx, setId, scan);
      // A repeat finds its set where the first one brought it: asked afterwards, so that a twin still on its way is known by then.
      if (reasons.length > 0 && !(await isKnownRequest(ctx.db, input.requestId))) return { answer: "refused" as const, reasons };
      const answer = await acts.enterWashLate(ctx.db, ctx.who(input.requestId), { step: scan.step, set: setId, bath: scan.step === "in" ? scan.bathId : null, after: input.after, scannedAt: input.scannedAt });
      return answer.answer === "refused" ? { answer: "refused" as const, reasons: [{ code: answer.code, ...answer.facts }] } : { answer: "done" as const };
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

type Here = { readonly db: Database; readonly site: { readonly id: string; readonly timeZone: string } };
type LateScan = { readonly step: "in"; readonly bathId: string } | { readonly step: "out" } | ({ readonly step: "dry" } & FinishingWord);

/** What the rules have against a late scan at this hour; the record looks under its lock at what the set has lived through since. */
async function refusalsOfLate({ db, site }: Here, setId: string, scan: LateScan) {
  const set = (await loadSetsById(db, site.id, [setId])).find((one) => one.facts.here);
  if (set === undefined) return [{ code: "no-such-set" as const }];
  switch (scan.step) {
    case "in": {
      const found = await decideStart({ db, site }, scan.bathId, [set.tag]);
      return found.answer === "refuse" ? found.reasons : [];
    }
    case "out":
      return [];
    case "dry": {
      const run = (await listRuns(db, site.id)).find(({ sets }) => sets.some((one) => one.setId === setId));
      if (run === undefined) return [];
      const clock = await readClock(db, site.timeZone);
      const decision = decideFinish({ wetEndedAt: run.wetEndedAt?.getTime() ?? null }, scan, set.policy, clock.now.getTime());
      return decision.answer === "refuse" ? decision.reasons : [];
    }
  }
}

/** The rules' word on these sets and this bath, on what is true now; `setIds` is null when a set or the bath is not there. */
async function decideStart({ db, site }: Here, bathId: string, tags: readonly string[]) {
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
