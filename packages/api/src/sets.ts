import * as acts from "@hangrail/db/acts";
import { BOARD_SORTS, countStates, readBoard, type BoardRow } from "@hangrail/db/board";
import type { Database } from "@hangrail/db/database";
import { listOpenFaults } from "@hangrail/db/faults";
import { loadSetsById, loadSetsByTag } from "@hangrail/db/set-facts";
import { readLife } from "@hangrail/db/set-life";
import { listTags, readFittings, readPartHistory, sinceWhen } from "@hangrail/db/sets";
import { dueOf } from "@hangrail/rules/due-dates";
import { kindIn, type Role } from "@hangrail/rules/models";
import { SET_STATES, type SetState } from "@hangrail/rules/set-state";
import { TRPCError } from "@trpc/server";
import { z } from "zod";
import { day, id, position, tag, whole, words } from "./inputs.ts";
import { setView } from "./set-view.ts";
import { procedureFor, requestId, router } from "./trpc.ts";

const OUT_OF_SERVICE: readonly SetState[] = ["evidence-lock", "awaiting-parts", "on-the-bench", "tagged-out", "to-release", "held"];
const MOST_OUT_OF_SERVICE = 500;
const MOST_TAGS = 5_000;
/** Positions that hold one component at a time. */
const ONE_ONLY: readonly Role[] = ["first-stage", "primary"];

export const sets = router({
  /** One page of the site's sets, filtered and sorted by the database, judged by the rules. */
  board: procedureFor()
    .input(
      z.strictObject({
        search: words(60).nullable(),
        states: z.array(z.enum(SET_STATES)).max(SET_STATES.length),
        modelId: id.nullable(),
        sort: z.enum(BOARD_SORTS),
        descending: z.boolean(),
        page: whole("Page", 0, 100_000),
        size: whole("Rows a page", 1, 100),
      }),
    )
    .query(async ({ ctx, input }) => {
      const [board, states] = await Promise.all([
        readBoard(ctx.db, {
          site: ctx.site.id,
          search: input.search || null,
          states: input.states,
          model: input.modelId,
          sort: input.sort,
          descending: input.descending,
          offset: input.page * input.size,
          limit: input.size,
        }),
        countStates(ctx.db, ctx.site.id),
      ]);
      return { rows: await rowsOf(ctx, board.rows), total: board.total, states };
    }),

  /** The tags of every set that is not retired, for labels. */
  tags: procedureFor().query(({ ctx }) => listTags(ctx.db, ctx.site.id, MOST_TAGS)),

  /** Every set that neither the desk nor the wash room can put right, why, and since when. */
  outOfService: procedureFor().query(async ({ ctx }) => {
    const board = await readBoard(ctx.db, {
      site: ctx.site.id,
      search: null,
      states: OUT_OF_SERVICE,
      model: null,
      sort: "state",
      descending: false,
      offset: 0,
      limit: MOST_OUT_OF_SERVICE,
    });
    const [rows, since] = await Promise.all([rowsOf(ctx, board.rows), sinceWhen(ctx.db, board.rows.map((row) => row.id))]);
    return { rows: rows.map((row) => ({ ...row, since: since.get(row.setId) ?? row.lastAt })), total: board.total };
  }),

  /** One set, down to its components: what holds it, what falls due, what each part has behind it. */
  one: procedureFor()
    .input(z.strictObject({ tag }))
    .query(async ({ ctx, input }) => {
      const [set] = await loadSetsByTag(ctx.db, ctx.site.id, [input.tag]);
      if (set === undefined || !set.facts.here) throw new TRPCError({ code: "NOT_FOUND", message: `There is no set ${input.tag} at ${ctx.site.name}.` });
      const [faults, history, fittings] = await Promise.all([
        listOpenFaults(ctx.db, ctx.site.id, set.id),
        readPartHistory(ctx.db, set.id),
        readFittings(ctx.db, set.id),
      ]);
      const parts = set.components.map((c) => {
        const behind = history.find((one) => one.id === c.id);
        return {
          id: c.id,
          role: c.role,
          serial: c.serial,
          maker: c.maker,
          model: c.modelName,
          modelId: c.modelId,
          due: dueOf(c, set.policy, set.today),
          boughtOn: c.boughtOn,
          inUseOn: c.inUseOn,
          servicedOn: c.servicedOn,
          inspectedOn: c.inspectedOn,
          lastUsedOn: c.lastUsedOn,
          divesSinceService: c.divesSinceService,
          maxO2Tenths: c.maxO2Tenths,
          modelMostO2: c.modelMostO2,
          coldRating: c.coldRating,
          connection: c.connection,
          maxSupplyCentibar: c.maxSupplyCentibar,
          totalDives: behind?.totalDives ?? 0,
          estimatedDives: behind?.estimatedDives ?? 0,
          fittedAt: behind?.fittedAt ?? null,
          work: behind?.work ?? [],
        };
      });
      return { ...setView(set, null), parts, faults, fittings };
    }),

  /** The record of a set, the newest acts first; `before` pages on. */
  life: procedureFor()
    .input(z.strictObject({ setId: id, before: whole("Before", 1, 2 ** 31 - 1).nullable() }))
    .query(async ({ ctx, input }) => {
      const [set] = await loadSetsById(ctx.db, ctx.site.id, [input.setId]);
      if (set === undefined || !set.facts.here) throw new TRPCError({ code: "NOT_FOUND", message: "There is no such set here." });
      const entries = await readLife(ctx.db, set.id, input.before, 50);
      return { entries, more: (entries.at(-1)?.seq ?? 1) > 1 };
    }),

  /** A new set from new components, put together under a new tag. */
  register: procedureFor("technician", "manager")
    .input(
      z.strictObject({
        requestId,
        tag,
        parts: z.array(z.strictObject({ modelId: id, serial: words(60, 1), position, boughtOn: day.nullable(), inUseOn: day.nullable() })).min(1).max(12),
      }),
    )
    .mutation(async ({ ctx, input }) => {
      const models = await ctx.db.prisma.model.findMany({ where: { id: { in: input.parts.map((part) => part.modelId) } }, select: { id: true, kind: true, maker: true, name: true } });
      for (const [at, part] of input.parts.entries()) {
        const model = models.find((one) => one.id === part.modelId);
        if (model === undefined || model.kind !== kindIn(part.position)) {
          throw new TRPCError({ code: "BAD_REQUEST", message: `Part ${at + 1}: ${model ? `${model.maker} ${model.name} cannot sit` : "an unknown model sits"} as ${part.position}.` });
        }
        if (ONE_ONLY.includes(part.position) && input.parts.findIndex((one) => one.position === part.position) < at) {
          throw new TRPCError({ code: "BAD_REQUEST", message: `Part ${at + 1}: a set has one ${part.position} only.` });
        }
      }
      return acts.registerSet(
        ctx.db,
        ctx.who(input.requestId),
        input.tag,
        input.parts.map(({ modelId, serial, position, boughtOn, inUseOn }) => ({ model: modelId, serial, position, boughtOn, inUseOn })),
      );
    }),

  retire: procedureFor("manager")
    .input(z.strictObject({ requestId, setId: id, words: words(300, 1) }))
    .mutation(({ ctx, input }) => acts.retireSet(ctx.db, ctx.who(input.requestId), input.setId, input.words)),

  transfer: procedureFor("manager")
    .input(z.strictObject({ requestId, setId: id, toSiteId: id }))
    .mutation(({ ctx, input }) => acts.transferSet(ctx.db, ctx.who(input.requestId), input.setId, input.toSiteId)),
});

async function rowsOf(ctx: { readonly db: Database; readonly site: { readonly id: string } }, rows: readonly BoardRow[]) {
  const loaded = await loadSetsById(ctx.db, ctx.site.id, rows.map((row) => row.id));
  return loaded.map((set, at) => ({ ...setView(set, null), backOn: rows[at]?.backOn ?? null, lastAt: rows[at]?.lastAt ?? new Date(0) }));
}
