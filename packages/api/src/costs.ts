import { setModelMoney, setMoney } from "@hangrail/db/bench-acts";
import { readModelCosts, readMoney, readPartAges, type ModelCostFacts, type PartAge, type SiteMoney } from "@hangrail/db/costs";
import { readClock } from "@hangrail/db/sessions";
import { day } from "@hangrail/rules/calendar";
import { modelCost } from "@hangrail/rules/model-costs";
import type { ModelFigures } from "@hangrail/rules/model-figures";
import { modelYearToReplace, type AgeYear } from "@hangrail/rules/model-replacement";
import { z } from "zod";
import { id, whole } from "./inputs.ts";
import { procedureFor, requestId, router } from "./trpc.ts";

const cents = (what: string, most = 10_000_000) => whole(what, 0, most).nullable();
/** Nobody has closed a repair in the year: half an hour is common practice for one. */
const USUAL_REPAIR_MINUTES = 30;

export const costs = router({
  /** What each model here costs a year and a dive, from what was entered and what a year counted; and the year to replace one, from what its parts cost at each age. */
  models: procedureFor("technician", "manager").query(async ({ ctx }) => {
    const { today } = await readClock(ctx.db, ctx.site.timeZone);
    const [money, facts, ages] = await Promise.all([readMoney(ctx.db, ctx.site.id), readModelCosts(ctx.db, ctx.site.id, day(today)), readPartAges(ctx.db, ctx.site.id, day(today))]);
    const agesOf = new Map(ages.map((one) => [one.model, one]));
    const settings = { interestPermille: money.interestPermille, netOfIncome: false };
    return {
      today,
      money,
      models: facts.map((model) => {
        const figures = figuresOf(model, money);
        const aged = agesOf.get(model.id);
        return { ...model, figures, cost: modelCost(figures, settings), replacement: modelYearToReplace(figures, yearByYear(aged?.ages ?? []), settings), ageless: aged?.ageless ?? 0 };
      }),
    };
  }),

  /** What the site's own work and hire are worth. */
  setMoney: procedureFor("manager")
    .input(
      z.strictObject({
        requestId,
        currency: z.string().regex(/^[A-Z]{3}$/, "A currency is three capital letters, such as EUR."),
        benchHourCents: cents("A bench hour"),
        hireCents: cents("A hire"),
        interestPermille: whole("Interest in thousandths a year", 0, 1000),
      }),
    )
    .mutation(({ ctx, input: { requestId: request, ...money } }) => setMoney(ctx.db, ctx.who(request), money)),

  /** What the site pays and gets for a model, and how long it keeps one. */
  setModel: procedureFor("manager")
    .input(z.strictObject({ requestId, modelId: id, priceCents: cents("The price", 100_000_000), resaleCents: cents("What it sells for", 100_000_000), lifeYears: whole("Years of life", 1, 50).nullable() }))
    .mutation(({ ctx, input: { requestId: request, modelId, ...money } }) => setModelMoney(ctx.db, ctx.who(request), modelId, money)),
});

/** One part of a model in a year: what was counted of all of them, divided by how many there are. */
function figuresOf(model: ModelCostFacts, money: SiteMoney): ModelFigures {
  const each = (count: number) => count / model.parts;
  const never = model.limits !== null && model.limits.months === null && model.limits.dives === null;
  return {
    priceCents: model.priceCents,
    resaleCents: model.resaleCents,
    lifeYears: model.lifeYears,
    // A model that is never serviced needs neither kits nor minutes.
    kitsPerService: 1,
    kitCents: never ? 0 : model.kitsCents ?? (model.kind === "first-stage" || model.kind === "second-stage" ? null : 0),
    benchMinutesPerService: never ? 0 : model.serviceMinutes,
    benchHourCents: money.benchHourCents,
    serviceMonths: model.limits === null ? null : model.limits.months ?? "no-limit",
    serviceDives: model.limits === null ? null : model.limits.dives ?? "no-limit",
    divesPerYear: each(model.divesInYear),
    faultsPerYear: each(model.faultsInYear),
    repairMinutesPerFault: model.repairMinutes ?? USUAL_REPAIR_MINUTES,
    // A set is hired, not a part: the first stage stands for it.
    hireCentsPerYear: model.kind === "first-stage" && money.hireCents !== null ? Math.round(each(model.hiresInYear) * money.hireCents) : 0,
  };
}

/** Every age from the first year on: one in which nothing was fitted was watched for no day. */
function yearByYear(ages: readonly PartAge[]): readonly AgeYear[] {
  const oldest = ages.at(-1)?.age ?? -1;
  const byAge = new Map(ages.map((one) => [one.age, one]));
  return Array.from({ length: oldest + 1 }, (_, age) => ({ faults: byAge.get(age)?.faults ?? 0, partDays: byAge.get(age)?.partDays ?? 0 }));
}
