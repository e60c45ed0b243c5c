import * as acts from "@hangrail/db/acts";
import { listModels, listPairings, readLimitsHistory } from "@hangrail/db/sets";
import { z } from "zod";
import { coldRating, connection, id, modelKind, whole, words } from "./inputs.ts";
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
});
