import * as acts from "@hangrail/db/bench-acts";
import { listTestsOfSet, readSetOnBench, type SetOnBench } from "@hangrail/db/bench-tests";
import { listGauges } from "@hangrail/db/gauges";
import { listOrdersOfSet } from "@hangrail/db/work-orders";
import { readClock } from "@hangrail/db/sessions";
import type { BenchReading, Judgement } from "@hangrail/rules/bench-readings";
import { READING_NAMES } from "@hangrail/rules/bench-readings";
import { judgeTest, type BenchItem } from "@hangrail/rules/bench-test";
import { day as toDay, type Day } from "@hangrail/rules/calendar";
import { drawnPoints, readingsOfCurve, type BenchCurve } from "@hangrail/rules/curve-readings";
import { MOST_POINTS } from "@hangrail/rules/pressure-column";
import { readPressureCurve } from "@hangrail/rules/pressure-curve";
import { calibrationOn, classErrorThousandths, resolutionThousandths } from "@hangrail/rules/test-gauges";
import { TRPCError } from "@trpc/server";
import { z } from "zod";
import { id, tag, whole, words } from "./inputs.ts";
import { procedureFor, requestId, router } from "./trpc.ts";

const MOST_READINGS = 200;
const MOST_CURVES = 4;
/** Enough for a line as wide as a screen. */
const DRAWN_POINTS = 600;
const TESTS_A_PAGE = 8;

const pressure = (what: string) => whole(what, 0, 100_000).nullable();

const reading = z.strictObject({
  component: id,
  name: z.enum(READING_NAMES),
  supplyCbar: pressure("The supply pressure"),
  value: whole("A reading", -100_000, 100_000),
  at: pressure("What the master shows"),
  gauge: id.nullable(),
  adjuster: z.enum(["in", "middle", "out", "none"]),
  venturi: z.enum(["dive", "pre-dive", "none"]),
});

const curve = z.strictObject({
  component: id,
  supplyCbar: whole("The supply pressure", 0, 100_000),
  gauge: id.nullable(),
  points: z
    .array(z.tuple([z.number().min(0).max(10_000_000), whole("A pressure of the curve", -100, 100_000)]))
    .min(1, "A curve without a point is none.")
    .max(MOST_POINTS, `At most ${MOST_POINTS} points a curve.`)
    .refine((points) => points.every(([seconds], at) => at === 0 || seconds >= points[at - 1]![0]), "The times of a curve must not go back."),
});

const test = z
  .strictObject({
    requestId,
    setId: id,
    phase: z.enum(["as-found", "as-left"]),
    words: words(1000),
    orderId: id.nullable(),
    readings: z.array(reading).max(MOST_READINGS, `At most ${MOST_READINGS} readings.`),
    curves: z.array(curve).max(MOST_CURVES, `At most ${MOST_CURVES} curves.`),
  })
  .refine(({ readings, curves }) => readings.length + curves.length > 0, "Nothing was read: enter a reading first.");

export const benchTests = router({
  /** What a test of this set is entered and judged with: parts, limits in force, test gauges as they stand today, orders. */
  form: procedureFor("technician", "manager")
    .input(z.strictObject({ tag }))
    .query(async ({ ctx, input }) => {
      const clock = await readClock(ctx.db, ctx.site.timeZone);
      const today = toDay(clock.today);
      const set = found(await readSetOnBench(ctx.db, ctx.site.id, { tag: input.tag }), ctx.site.name);
      const [gauges, orders] = await Promise.all([gaugesInUse(ctx.db, ctx.site.id, today), listOrdersOfSet(ctx.db, ctx.site.id, set.setId)]);
      return { today, ...set, gauges, orders };
    }),

  /** A test as it was read. What it comes to is judged here, whatever the screen showed. */
  record: procedureFor("technician")
    .input(test)
    .mutation(async ({ ctx, input }) => {
      const today = toDay((await readClock(ctx.db, ctx.site.timeZone)).today);
      const set = found(await readSetOnBench(ctx.db, ctx.site.id, { id: input.setId }), ctx.site.name);
      const gauges = await gaugesInUse(ctx.db, ctx.site.id, today);
      const curves: BenchCurve[] = input.curves.map((one) => ({ ...one, points: one.points.map(([seconds, centibar]) => ({ seconds, centibar })) }));
      refuseStrangeCurves(curves, set);
      const readings: BenchReading[] = [...input.readings, ...curves.flatMap((one) => readingsOfCurve(one))];
      const judged = judgeTest(set.parts, readings, gauges, today);
      const answer = await acts.recordBenchTest(ctx.db, ctx.who(input.requestId), set.setId, {
        phase: input.phase,
        verdict: judged.verdict,
        words: input.words,
        order: input.orderId,
        readings: judged.items.flatMap((item) => recordedItem(item, readings)),
        curves: input.curves.map(({ component, supplyCbar, points }) => ({ component, supplyCbar, points })),
      });
      return answer.answer === "done" ? { ...answer, verdict: judged.verdict, complete: judged.complete } : answer;
    }),

  /** The tests recorded of a set, the newest first, with their curves as they are drawn. */
  past: procedureFor("technician", "manager")
    .input(z.strictObject({ tag, before: whole("A place in the record", 1, 2_147_483_647).nullable() }))
    .query(async ({ ctx, input }) => {
      const set = found(await readSetOnBench(ctx.db, ctx.site.id, { tag: input.tag }), ctx.site.name);
      const tests = await listTestsOfSet(ctx.db, ctx.site.id, set.setId, input.before, TESTS_A_PAGE + 1);
      return {
        setId: set.setId,
        tag: set.tag,
        more: tests.length > TESTS_A_PAGE,
        tests: tests.slice(0, TESTS_A_PAGE).map((one) => ({
          ...one,
          curves: one.curves.map((drawn) => {
            const points = drawn.points.map(([seconds, centibar]) => ({ seconds, centibar }));
            return { ...drawn, points: drawnPoints(points, DRAWN_POINTS), count: points.length, found: readPressureCurve(points) };
          }),
        })),
      };
    }),
});

function found(set: SetOnBench | null, site: string): SetOnBench {
  if (set === null) throw new TRPCError({ code: "NOT_FOUND", message: `There is no such set at ${site}.` });
  return set;
}

/** Every gauge that is not retired: how it stands today, how far it may be off, and how finely it shows a change. */
async function gaugesInUse(db: Parameters<typeof listGauges>[0], site: string, today: Day) {
  const gauges = await listGauges(db, site, today);
  return gauges
    .filter(({ retiredAt }) => retiredAt === null)
    .map(({ calibrations: _, retiredAt: __, ...gauge }) => ({
      ...gauge,
      calibration: calibrationOn(gauge, today),
      errorThousandths: classErrorThousandths(gauge),
      resolutionThousandths: resolutionThousandths(gauge),
    }));
}

/** A curve is of a first stage on the bench, or it is of nothing. */
function refuseStrangeCurves(curves: readonly BenchCurve[], set: SetOnBench): void {
  const strange = curves.some(({ component }) => !set.parts.some((part) => part.component === component && part.role === "first-stage"));
  if (strange) throw new TRPCError({ code: "BAD_REQUEST", message: `A curve was sent for something that is no first stage of ${set.tag}. Load the page again.` });
}

/** A judged line as it is kept; what is missing has no line. */
function recordedItem({ component, name, reading: at, value, limit, judgement }: BenchItem, readings: readonly BenchReading[]): acts.JudgedReading[] {
  if (value === null) return [];
  const read = at === null ? null : readings[at]!;
  const withPosition = name === "cracking-effort" && read !== null;
  return [
    {
      component,
      name,
      supplyCbar: read?.supplyCbar ?? null,
      atCbar: read?.at ?? null,
      value,
      adjuster: withPosition ? read.adjuster : null,
      venturi: withPosition ? read.venturi : null,
      gauge: read?.gauge ?? null,
      verdict: judgement.verdict,
      why: whyOf(judgement),
      low: limit?.low ?? null,
      high: limit?.high ?? null,
    },
  ];
}

/** The reasons as codes, parted by blanks; of a failure the edge it is past. */
function whyOf(judgement: Judgement): string | null {
  if (judgement.verdict === "pass") return null;
  return judgement.verdict === "fail" ? judgement.edge : judgement.why.join(" ");
}
