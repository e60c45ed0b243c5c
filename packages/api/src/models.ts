import * as acts from "@hangrail/db/acts";
import * as benchActs from "@hangrail/db/bench-acts";
import { listManualsInUse, readManual } from "@hangrail/db/bench-models";
import type { Database } from "@hangrail/db/database";
import { listModels, listPairings, readLimitsHistory } from "@hangrail/db/sets";
import { BENCH_LIMIT_NAMES, judgeBenchLimits } from "@hangrail/rules/bench-limits";
import type { ModelKind } from "@hangrail/rules/models";
import { PLUGS } from "@hangrail/rules/ports";
import { TRPCError } from "@trpc/server";
import { z } from "zod";
import { coldRating, connection, id, modelKind, whole, words } from "./inputs.ts";
import { manualGaps } from "./manual-gaps.ts";
import { newRequest, procedureFor, requestId, router } from "./trpc.ts";

const months = whole("Months", 1, 240).nullable();
const dives = whole("Dives", 1, 100_000).nullable();
const minutes = whole("Minutes", 1, 6_000_000).nullable();

/** Limits as they stand in the maker's manual. Every field is asked; null says "the maker sets none". */
const limits = z
  .strictObject({
    serviceMonths: months,
    serviceDives: dives,
    serviceMinutes: minutes,
    hasInspection: z.boolean(),
    inspectionMonths: months,
    inspectionDives: dives,
    inspectionMinutes: minutes,
    maxO2Tenths: whole("Most oxygen in tenths of a percent", 210, 1000).nullable(),
    coldRating,
    connection: connection.nullable(),
    maxSupplyBar: whole("Highest supply pressure in bar", 1, 1000).nullable(),
    manualPage: words(200, 1),
  })
  .refine((l) => l.hasInspection || (l.inspectionMonths === null && l.inspectionDives === null && l.inspectionMinutes === null), {
    path: ["hasInspection"],
    message: "Limits for an inspection are given, but no inspection is asked for.",
  });

const edge = whole("A limit in small units", -100_000, 100_000).nullable();
const benchLimit = z.strictObject({ name: z.enum(BENCH_LIMIT_NAMES), low: edge, high: edge, page: words(200, 1) });

const ports = (what: string) => whole(what, 0, 10).nullable();
const benchMinutes = (what: string) => whole(what, 1, 1_000).nullable();
/** How a model is built. Null says "not recorded", or "not of this kind". */
const build = z.strictObject({
  balance: z.enum(["balanced", "unbalanced-piston", "unbalanced-diaphragm"]).nullable(),
  hpPorts: ports("High-pressure ports"),
  lpPorts: ports("Low-pressure ports"),
  lpHalfInchPorts: ports("Low-pressure ports of half an inch"),
  plugsInto: z.enum(PLUGS).nullable(),
  serviceMinutes: benchMinutes("Minutes of a service"),
  inspectionMinutes: benchMinutes("Minutes of an inspection"),
  page: words(200, 1),
});

export const models = router({
  list: procedureFor().query(({ ctx }) => listModels(ctx.db, ctx.site.id)),

  history: procedureFor()
    .input(z.strictObject({ modelId: id }))
    .query(({ ctx, input }) => readLimitsHistory(ctx.db, input.modelId)),

  add: procedureFor("technician", "manager")
    .input(z.strictObject({ kind: modelKind, maker: words(80, 1), name: words(80, 1) }))
    .mutation(({ ctx, input }) => acts.addModel(ctx.db, ctx.who(newRequest()), input.kind, input.maker, input.name)),

  /** A technician has read the manual and accepts these limits for the centre. Due dates follow at once. */
  acceptLimits: procedureFor("technician")
    .input(z.strictObject({ requestId, modelId: id, limits }))
    .mutation(({ ctx, input }) => acts.acceptLimits(ctx.db, ctx.who(input.requestId), input.modelId, input.limits)),

  pairings: procedureFor().query(({ ctx }) => listPairings(ctx.db, ctx.site.id)),

  setPairing: procedureFor("technician")
    .input(z.strictObject({ firstModelId: id, secondModelId: id, approved: z.boolean(), manualPage: words(200, 1) }))
    .mutation(({ ctx, input }) => acts.setPairing(ctx.db, ctx.who(newRequest()), input.firstModelId, input.secondModelId, input.approved, input.manualPage)),

  /** What is recorded of a model's manual for the bench, with every version before. */
  manual: procedureFor()
    .input(z.strictObject({ modelId: id }))
    .query(({ ctx, input }) => readManual(ctx.db, input.modelId)),

  /** Models in use whose manual is not wholly recorded: what of it the bench cannot do without. */
  gaps: procedureFor().query(async ({ ctx }) => {
    const inUse = await listManualsInUse(ctx.db, ctx.site.id);
    const rows = inUse.map((model) => ({ id: model.id, kind: model.kind, maker: model.maker, name: model.name, ...manualGaps(model) }));
    return { inUse: rows.length, rows: rows.filter(({ limits, kits, build: noBuild }) => limits.length > 0 || kits || noBuild) };
  }),

  /** A technician has read limits of a bench test in the manual. Without either edge a limit is taken back. */
  acceptBenchLimits: procedureFor("technician")
    .input(z.strictObject({ requestId, modelId: id, limits: z.array(benchLimit).min(1).max(BENCH_LIMIT_NAMES.length) }))
    .mutation(async ({ ctx, input }) => {
      const kind = await kindOf(ctx.db, input.modelId);
      const [problem] = judgeBenchLimits(kind, input.limits);
      if (problem !== undefined) throw new TRPCError({ code: "BAD_REQUEST", message: `The limit ${problem.name} makes no sense: ${problem.problem}.` });
      return benchActs.acceptBenchLimits(ctx.db, ctx.who(input.requestId), input.modelId, input.limits);
    }),

  acceptBuild: procedureFor("technician")
    .input(z.strictObject({ requestId, modelId: id, build }))
    .mutation(async ({ ctx, input }) => {
      const first = (await kindOf(ctx.db, input.modelId)) === "first-stage";
      const { balance, hpPorts, lpPorts, lpHalfInchPorts, plugsInto } = input.build;
      const ofFirst = [balance, hpPorts, lpPorts, lpHalfInchPorts].some((fact) => fact !== null);
      if (first ? plugsInto !== null : ofFirst) {
        throw new TRPCError({ code: "BAD_REQUEST", message: first ? "A first stage screws into nothing but the cylinder." : "Only a first stage has ports and a balance." });
      }
      return benchActs.acceptBuild(ctx.db, ctx.who(input.requestId), input.modelId, input.build);
    }),

  /** The kits one service uses; an empty list says that it needs none. */
  acceptKits: procedureFor("technician")
    .input(
      z.strictObject({
        requestId,
        modelId: id,
        lines: z.array(z.strictObject({ kit: id, quantity: whole("How many", 1, 100) })).max(20).refine((lines) => new Set(lines.map(({ kit }) => kit)).size === lines.length, "The same kit is in the list twice."),
        page: words(200, 1),
      }),
    )
    .mutation(({ ctx, input }) => benchActs.acceptKits(ctx.db, ctx.who(input.requestId), input.modelId, input.lines, input.page)),
});

async function kindOf(db: Pick<Database, "prisma">, modelId: string): Promise<ModelKind> {
  const model = await db.prisma.model.findUnique({ where: { id: modelId }, select: { kind: true } });
  if (model === null) throw new TRPCError({ code: "NOT_FOUND", message: "There is no such model." });
  return model.kind as ModelKind;
}
