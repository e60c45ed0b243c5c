import { readBackupNews } from "@hangrail/db/backup-news";
import type { Database } from "@hangrail/db/database";
import { confirmClock, openSite, setPolicy } from "@hangrail/db/people-acts";
import { policyOf } from "@hangrail/db/set-facts";
import { judgeBackups } from "@hangrail/rules/backups";
import { isTimeZone } from "@hangrail/rules/calendar";
import { judgePolicy } from "@hangrail/rules/policy";
import { TRPCError } from "@trpc/server";
import { z } from "zod";
import { whole, words } from "./inputs.ts";
import { newRequest, procedureFor, router } from "./trpc.ts";

const policyInput = z.strictObject({
  teachingMonths: whole("Months between services when teaching", 1, 120).optional(),
  shelfMonths: whole("Months on the shelf", 1, 120).optional(),
  beddingDives: whole("Dives before the bedding check", 1, 1000).optional(),
  beddingDays: whole("Days before the bedding check", 1, 1000).optional(),
  nitroxAboveTenths: whole("The nitrox line in tenths of a percent", 210, 1000).optional(),
  nitroxNeedsM26: z.boolean().optional(),
  minutesPerDive: whole("Minutes counted for a dive", 1, 600).optional(),
  dryingMinutes: whole("Drying time in minutes", 0, 2880).optional(),
  retentionMonths: whole("Months a hirer's name is kept", 1, 240).optional(),
  units: z.enum(["metric", "us"]).optional(),
  /** Whoever did the work does not release it. */
  releaseBySecond: z.boolean().optional(),
});

/** The site's own settings. */
export const site = router({
  get: procedureFor().query(({ ctx }) => readSite(ctx)),

  setPolicy: procedureFor("manager")
    .input(policyInput)
    .mutation(async ({ ctx, input }) => {
      const { policy } = await readSite(ctx);
      const given = Object.fromEntries(Object.entries(input).filter(([, value]) => value !== undefined));
      const [problem] = judgePolicy({ ...policy, ...given });
      if (problem) throw new TRPCError({ code: "BAD_REQUEST", message: `${problem.field}: from ${problem.least} to ${problem.most}.` });
      return setPolicy(ctx.db, ctx.who(newRequest()), given);
    }),

  /** How the whole centre's backups stand, the same for every site of it. */
  backups: procedureFor("manager").query(async ({ ctx }) => {
    const { now, openedAt, good, failure } = await readBackupNews(ctx.db);
    const verdict = judgeBackups({ now: now.getTime(), openedAt: openedAt?.getTime() ?? null, goodAt: good?.at.getTime() ?? null, newestFailed: failure !== null });
    return { verdict, good, failure };
  }),

  confirmClock: procedureFor("manager")
    .input(z.strictObject({ words: words(300, 1) }))
    .mutation(({ ctx, input }) => confirmClock(ctx.db, ctx.who(newRequest()), input.words)),

  open: procedureFor("manager")
    .input(z.strictObject({ name: words(80, 1), timeZone: z.string().refine(isTimeZone, "That is no time zone we know."), units: z.enum(["metric", "us"]) }))
    .mutation(({ ctx, input }) => openSite(ctx.db, ctx.who(newRequest()), input)),
});

async function readSite(ctx: { readonly db: Pick<Database, "prisma">; readonly site: { readonly id: string } }) {
  const row = await ctx.db.prisma.site.findUniqueOrThrow({ where: { id: ctx.site.id } });
  return {
    id: row.id,
    name: row.name,
    timeZone: row.timeZone,
    units: row.units as "metric" | "us",
    retentionMonths: row.retentionMonths,
    releaseBySecond: row.releaseBySecond,
    policy: policyOf({
      teaching_months: row.teachingMonths,
      shelf_months: row.shelfMonths,
      bedding_dives: row.beddingDives,
      bedding_days: row.beddingDays,
      nitrox_above_tenths: row.nitroxAboveTenths,
      nitrox_needs_m26: row.nitroxNeedsM26,
      minutes_per_dive: row.minutesPerDive,
      drying_minutes: row.dryingMinutes,
    }),
  };
}
