import { clearNotice, openNotice, type NoticeInput } from "@hangrail/db/bench-acts";
import { listComponentsOfModels, listNotices, readNotice, type PlaceOfPart } from "@hangrail/db/notices";
import { readClock } from "@hangrail/db/sessions";
import { readSerialRanges, serialMatchReason, type RangeRefusal, type SerialRange } from "@hangrail/rules/notices";
import { TRPCError } from "@trpc/server";
import { z } from "zod";
import { day, id, words } from "./inputs.ts";
import { procedureFor, requestId, router } from "./trpc.ts";

const MOST_MODELS = 40;
/** Ranges of one model; the longest notices print some dozens. */
const MOST_RANGES = 400;

/** What a notice is about: models, each with its serials as typed. `every` = every serial; nothing is typed then. */
const affected = z
  .array(z.strictObject({ modelId: id, every: z.boolean(), serials: words(20_000) }))
  .min(1, "Name at least one model.")
  .max(MOST_MODELS, `At most ${MOST_MODELS} models.`)
  .refine((models) => new Set(models.map(({ modelId }) => modelId)).size === models.length, "The same model is named twice.");

type Affected = z.infer<typeof affected>;

/** A range that could not be read, under the model it was typed for. */
interface RangeRefused {
  readonly modelId: string;
  readonly text: string;
  /** "none": nothing was typed. Nothing typed is never taken for every serial. */
  readonly reason: RangeRefusal | { readonly code: "none" | "too-many" };
}

interface RangesRefused {
  readonly answer: "ranges-refused";
  readonly refused: readonly RangeRefused[];
}

export const notices = router({
  /** Every notice, and how far this site is with it. */
  list: procedureFor("technician", "manager").query(({ ctx }) => listNotices(ctx.db, ctx.site.id)),

  /** One notice with every component of this site it is about. Hirers are named to those who hand out and to the manager. */
  one: procedureFor("technician", "manager")
    .input(z.strictObject({ noticeId: id }))
    .query(async ({ ctx, input }) => {
      const notice = await readNotice(ctx.db, ctx.site.id, input.noticeId);
      if (notice === null) throw new TRPCError({ code: "NOT_FOUND", message: "There is no such notice." });
      const seesHirers = ctx.session.staff.roles.some((role) => role === "desk" || role === "manager");
      return { ...notice, seesHirers, matches: notice.matches.map((match) => ({ ...match, set: seesHirers ? match.set : withoutHirer(match.set) })) };
    }),

  /** What a notice would match if it were recorded now. Nothing is recorded. */
  preview: procedureFor("technician", "manager")
    .input(z.strictObject({ models: affected }))
    .query(async ({ ctx, input }) => {
      const read = readRanges(input.models);
      if (read.answer === "ranges-refused") return read;
      const components = await listComponentsOfModels(ctx.db, ctx.site.id, input.models.map(({ modelId }) => modelId));
      const matched = components.flatMap(({ modelId, ...component }) => {
        const why = serialMatchReason(component.serial, read.ranges.get(modelId) ?? []);
        return why === null ? [] : [{ ...component, why, set: withoutHirer(component.set) }];
      });
      return {
        answer: "preview" as const,
        looked: components.filter(({ here }) => here).length,
        matches: matched.filter(({ here }) => here),
        elsewhere: matched.filter(({ here }) => !here).length,
      };
    }),

  /** Records a notice. Everything it is about is held from this moment, in this site and in every other. */
  open: procedureFor("technician", "manager")
    .input(z.strictObject({ requestId, title: words(160, 1), reference: words(120, 1), hazard: words(2_000, 1), remedy: words(2_000, 1), publishedOn: day, models: affected }))
    .mutation(async ({ ctx, input: { requestId: request, models, ...notice } }) => {
      const { today } = await readClock(ctx.db, ctx.site.timeZone);
      if (notice.publishedOn > today) throw new TRPCError({ code: "BAD_REQUEST", message: "The day it was published lies after today." });
      const read = readRanges(models);
      if (read.answer === "ranges-refused") return read;
      return openNotice(ctx.db, ctx.who(request), { ...notice, ranges: [...read.ranges].flatMap(([model, ranges]) => asRecorded(model, ranges)) });
    }),

  /** The remedy is done on one component, or it was looked at by hand and the notice is not about it. */
  clear: procedureFor("technician")
    .input(z.strictObject({ requestId, noticeId: id, componentId: id, remedy: words(600, 1) }))
    .mutation(({ ctx, input }) => clearNotice(ctx.db, ctx.who(input.requestId), input.noticeId, input.componentId, input.remedy)),
});

/** Who has it is told to those who hand out, and to nobody else. */
function withoutHirer(set: PlaceOfPart | null): PlaceOfPart | null {
  return set?.out ? { ...set, out: { ...set.out, hirer: null, contact: null } } : set;
}

/** The ranges of each model, none for every serial; or everything that could not be read. */
function readRanges(models: Affected): { readonly answer: "ranges"; readonly ranges: ReadonlyMap<string, readonly SerialRange[]> } | RangesRefused {
  const ranges = new Map<string, readonly SerialRange[]>();
  const refused: RangeRefused[] = [];
  for (const { modelId, every, serials } of models) {
    if (every) {
      ranges.set(modelId, []);
      continue;
    }
    const read = readSerialRanges(serials);
    if (read.answer === "refused") refused.push(...read.refused.map(({ text, reason }) => ({ modelId, text, reason })));
    else if (read.ranges.length === 0) refused.push({ modelId, text: "", reason: { code: "none" } });
    else if (read.ranges.length > MOST_RANGES) refused.push({ modelId, text: "", reason: { code: "too-many" } });
    else ranges.set(modelId, read.ranges);
  }
  return refused.length > 0 ? { answer: "ranges-refused", refused } : { answer: "ranges", ranges };
}

function asRecorded(model: string, ranges: readonly SerialRange[]): NoticeInput["ranges"] {
  if (ranges.length === 0) return [{ model, prefix: "", digits: null, low: null, high: null }];
  return ranges.map(({ prefix, digits, low, high }) => ({ model, prefix, digits, low, high }));
}
