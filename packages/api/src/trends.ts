import { sitesWith } from "@hangrail/db/people";
import { readClock } from "@hangrail/db/sessions";
import { listModels } from "@hangrail/db/sets";
import { countByMonth, countCodes, countFaults, faultsBehind, serviceSpells, type ServiceSpell, type TrendQuestion } from "@hangrail/db/trends";
import { addDays, addMonths, compareDays, day as toDay, type Day } from "@hangrail/rules/calendar";
import { EARLY_SETTINGS, earlyFaults } from "@hangrail/rules/early-faults";
import { compareModels, monthlyChart, paretoOfCodes } from "@hangrail/rules/fault-verdict";
import { TRPCError } from "@trpc/server";
import { z } from "zod";
import { faultCode, id, modelKind, whole, words } from "./inputs.ts";
import { procedureFor, router } from "./trpc.ts";

const MOST_MONTHS = 120;
const ROWS_BEHIND = 50;
const month = z.string().regex(/^\d{4}-(0[1-9]|1[0-2])$/, "A month is written YYYY-MM.");

/** What a figure is about. Nulls leave a thing open. */
const about = {
  from: month,
  until: month,
  /** "mine": every site where this person is a technician or a manager; or the id of one of them. */
  sites: z.union([z.enum(["here", "mine"]), id]),
  count: z.enum(["confirmed", "reported"]),
  kind: modelKind.nullable(),
  modelId: id.nullable(),
  maker: words(80, 1).nullable(),
  code: faultCode.nullable(),
  water: z.enum(["sea", "fresh", "pool"]).nullable(),
};
type About = z.infer<z.ZodObject<typeof about>>;

const readers = procedureFor("technician", "manager");

export const trends = router({
  /** What figures can be asked about: the models in use here, the asker's sites, and the site's own day. */
  choices: readers.query(async ({ ctx }) => {
    const [models, sites, clock] = await Promise.all([
      listModels(ctx.db, ctx.site.id),
      sitesWith(ctx.db, ctx.session.staff.id, ["technician", "manager"]),
      readClock(ctx.db, ctx.site.timeZone),
    ]);
    return { models: models.map(({ id: key, kind, maker, name }) => ({ id: key, kind, maker, name })), sites, today: clock.today };
  }),

  /** Faults per 100 dives by model, maker, kind of part or site: each against all others, with how sure that is. */
  rates: readers.input(z.strictObject({ ...about, by: z.enum(["model", "maker", "kind", "site"]) })).query(async ({ ctx, input }) => {
    const question = await asked(ctx, input);
    const rows = await countFaults(ctx.db, input.by, question);
    const names = new Map(rows.map(({ key, name }) => [key, name]));
    const { fleet, models } = compareModels(rows);
    return { fleet, rows: models.map((line) => ({ ...line, name: names.get(line.key) ?? line.key })), ...period(question) };
  }),

  /** Faults by month, with the limits chance keeps within and the sum that finds a lasting rise. */
  months: readers.input(z.strictObject(about)).query(async ({ ctx, input }) => {
    const question = await asked(ctx, input);
    return { chart: monthlyChart(await countByMonth(ctx.db, question)), ...period(question) };
  }),

  /** Which fault codes make up most of them. */
  codes: readers.input(z.strictObject(about)).query(async ({ ctx, input }) => {
    const question = await asked(ctx, input);
    return { pareto: paretoOfCodes((await countCodes(ctx.db, question)).map(({ code, faults }) => ({ code, count: faults }))), ...period(question) };
  }),

  /** How long parts last from a service to their first confirmed fault, by model or by kind of service; never by person. */
  afterService: readers.input(z.strictObject({ ...about, by: z.enum(["model", "service-kind"]), count: z.literal("confirmed"), unit: z.enum(["dives", "days"]) })).query(async ({ ctx, input }) => {
    const question = await asked(ctx, input);
    const spells = await serviceSpells(ctx.db, question, toDay((await readClock(ctx.db, ctx.site.timeZone)).today));
    const names = new Map(spells.map((spell) => [groupOf(spell, input.by), input.by === "model" ? spell.modelName : groupOf(spell, input.by)]));
    const found = earlyFaults(
      spells.map((spell) => ({ group: groupOf(spell, input.by), lasted: Math.max(0, input.unit === "dives" ? spell.dives : spell.days), fault: spell.fault })),
      { ...EARLY_SETTINGS, groupedBy: input.by, beddingWithin: BEDDING[input.unit] },
    );
    return { found, names: Object.fromEntries(names), beddingWithin: BEDDING[input.unit], ...period(question) };
  }),

  /** The faults behind a figure, newest first. */
  behind: readers.input(z.strictObject({ ...about, page: whole("Page", 0, 10_000) })).query(async ({ ctx, input }) => {
    const { rows, total } = await faultsBehind(ctx.db, await asked(ctx, input), input.page * ROWS_BEHIND, ROWS_BEHIND);
    return { rows, total, size: ROWS_BEHIND };
  }),
});

/** A fault within so many dives or days after a service is one of bedding in (common practice). */
const BEDDING = { dives: 10, days: 30 } as const;

/** "second-stage" and "second-stage oxygen-clean" are two kinds of service. */
function groupOf(spell: ServiceSpell, by: "model" | "service-kind"): string {
  return by === "model" ? spell.model : `${spell.kind}${spell.oxygenClean ? " oxygen-clean" : ""}`;
}

interface Asking {
  readonly db: Parameters<typeof readClock>[0];
  readonly site: { readonly id: string; readonly timeZone: string };
  readonly session: { readonly staff: { readonly id: string } };
}

/** The question in the database's terms: whole months, none of them to come, and no site that is not the asker's. */
async function asked(ctx: Asking, { from, until, sites, count, kind, modelId, maker, code, water }: About): Promise<TrendQuestion> {
  const [first, after] = [toDay(`${from}-01`), addMonths(toDay(`${until}-01`), 1)];
  if (compareDays(first, after) >= 0) throw new TRPCError({ code: "BAD_REQUEST", message: "The period ends before it begins." });
  if (compareDays(addMonths(first, MOST_MONTHS), after) < 0) throw new TRPCError({ code: "BAD_REQUEST", message: `At most ${MOST_MONTHS} months at once.` });
  const mine = (await sitesWith(ctx.db, ctx.session.staff.id, ["technician", "manager"])).map((one) => one.id);
  const wanted = sites === "mine" ? mine : [sites === "here" ? ctx.site.id : sites];
  if (!wanted.every((one) => mine.includes(one))) throw new TRPCError({ code: "FORBIDDEN", message: "Those are no figures of a site of yours." });
  const today = toDay((await readClock(ctx.db, ctx.site.timeZone)).today);
  return { sites: wanted, from: first, until: lastBefore(after, today), confirmedOnly: count === "confirmed", kind, model: modelId, maker, code, water };
}

/** The last day of the period, or today when it is not over. */
function lastBefore(after: Day, today: Day): Day {
  return compareDays(today, after) < 0 ? today : addDays(after, -1);
}

const period = ({ from, until }: TrendQuestion) => ({ from, until });
