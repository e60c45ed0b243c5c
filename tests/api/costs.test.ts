/** What a model costs, from what was entered and what was counted; and that nothing unknown is taken for nought. */
import { acceptBuild, clearFault, reportFault } from "@hangrail/db/bench-acts";
import { handOut, takeBack } from "@hangrail/db/acts";
import { readPartAges } from "@hangrail/db/costs";
import { addMonths, day } from "@hangrail/rules/calendar";
import { modelCost } from "@hangrail/rules/model-costs";
import { modelYearToReplace } from "@hangrail/rules/model-replacement";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { aRequest, makeApiRoom, type ApiRoom } from "../support/api.ts";
import { aHire, backDry, done } from "../support/kit-room.ts";

let at: ApiRoom;
beforeAll(async () => {
  at = await makeApiRoom({ sets: 2, stoppedAt: "2026-03-20T08:00:00Z" });
});
afterAll(() => at.close());

const models = async () => (await at.as("manager")).api.costs.models();
const first = async () => (await models()).models.find(({ id }) => id === at.room.models.first)!;

test("as long as something is not known, it is named and there is no cost", async () => {
  const { cost } = await first();
  expect(cost).toEqual({ answer: "refused", why: "not-known", which: ["priceCents", "resaleCents", "lifeYears", "benchMinutesPerService", "benchHourCents"] });
});

test("with everything known the cost is the rule's own, for one part, from a year of dives and hires", async () => {
  const { room } = at;
  const manager = (await at.as("manager")).api;
  const today = await room.today();
  done(await handOut(room.db, room.by("desk"), aHire(today, { dives: 6, minutes: 240 }), await room.seen([room.sets[0]!])));
  done(await takeBack(room.db, room.by("desk"), [backDry(room.sets[0]!.id, { dives: 6, minutes: 240, waterKind: "sea" })]));
  done(await acceptBuild(room.db, room.by("technician"), room.models.first, { balance: "balanced", hpPorts: 2, lpPorts: 4, lpHalfInchPorts: 0, plugsInto: null, serviceMinutes: 60, inspectionMinutes: 15, page: "Page 2" }));
  expect(await manager.costs.setMoney({ requestId: aRequest(), currency: "EUR", benchHourCents: 4_000, hireCents: 1_500, interestPermille: 0 })).toMatchObject({ answer: "done" });
  expect(await manager.costs.setModel({ requestId: aRequest(), modelId: room.models.first, priceCents: 30_000, resaleCents: 6_000, lifeYears: 8 })).toMatchObject({ answer: "done" });
  const model = await first();
  expect(model).toMatchObject({ parts: 2, divesInYear: 6, faultsInYear: 0, hiresInYear: 1, kitsCents: 1_250 });
  expect(model.figures).toMatchObject({ divesPerYear: 3, serviceMonths: 24, serviceDives: 300, kitCents: 1_250, benchMinutesPerService: 60, hireCentsPerYear: 750 });
  expect(model.cost).toEqual(modelCost(model.figures, { interestPermille: 0, netOfIncome: false }));
  // By hand: (30 000 - 6 000) / 8 a year to own, and three services in eight years (the fourth falls on the last day) of 1 250 + 4 000.
  expect(model.cost).toMatchObject({ parts: { capital: 3_000, service: Math.round((3 * 5_250) / 8) }, annualCents: Math.round(3_000 + (3 * 5_250) / 8) });
});

describe("the year to replace", () => {
  const onDay = async (sql: string, values: readonly unknown[]) => (await at.owner.query<{ on: string }>(sql, [...values])).rows.map(({ on }) => day(on));
  const agesOf = async () => (await readPartAges(at.room.db, at.room.site, day(await at.room.today()))).find(({ model }) => model === at.room.models.first)!;

  test("before any part was watched for a year, nothing is said", async () => {
    expect((await first()).replacement).toEqual({ answer: "refused", why: "no-years" });
    // Fitted today at an age of a year and some weeks: one day each.
    expect((await agesOf()).ages).toEqual([{ age: 1, partDays: 2, faults: 0 }]);
  });

  test("each day a part was fitted is a day of its age, and a fault is one of the age it came in", async () => {
    const { room } = at;
    const since = await room.today();
    const [inUseOn] = await onDay("SELECT in_use_on::text AS on FROM component WHERE id = $1", [room.sets[0]!.parts["first-stage"]]);
    // Acts along the way: a clock that leaps is in doubt.
    for (let fortnight = 0; fortnight < 40; fortnight += 1) {
      await room.clock.advance(13 * 24 * 60);
      const { fault } = done(await reportFault(room.db, room.by("desk"), room.sets[0]!.id, { code: "FS-05", severity: "watch", component: room.sets[0]!.parts["first-stage"], where: "desk", words: "Small hiss" }));
      done(await clearFault(room.db, room.by("technician"), fault, fortnight < 30 ? "not-found" : "mended", "Ring changed", false));
    }
    const today = await room.today();
    const days = (from: string, until: string) => (Date.parse(until) - Date.parse(from)) / 86_400_000;
    const second = addMonths(inUseOn!, 24);
    const { ages, ageless } = await agesOf();
    expect(ageless).toBe(0);
    expect(ages.map(({ age, partDays }) => ({ age, partDays }))).toEqual([{ age: 1, partDays: 2 * days(since, second) }, { age: 2, partDays: 2 * (days(second, today) + 1) }]);
    // Only the ten that were mended are confirmed, and all of them came in the third year.
    expect(ages.map(({ faults }) => faults)).toEqual([0, 10]);
    const model = await first();
    expect(model.replacement).toEqual(modelYearToReplace(model.figures, [{ faults: 0, partDays: 0 }, ...ages], { interestPermille: 0 }));
    expect(model.replacement).toMatchObject({ answer: "replace", faultsDiffer: true });
  });

  test("a part whose first day nobody recorded is in no age, and is counted", async () => {
    await at.owner.query("UPDATE component SET in_use_on = NULL, bought_on = NULL WHERE id = $1", [at.room.sets[1]!.parts["first-stage"]]);
    const before = (await agesOf()).ages;
    expect((await first()).ageless).toBe(1);
    expect(before.map(({ faults }) => faults)).toEqual([0, 10]);
  });

  test("another site's parts and faults are in no age here", async () => {
    const lagoon = await at.room.openSite("Lagoon of old parts");
    expect(await readPartAges(at.room.db, lagoon, day(await at.room.today()))).toEqual([]);
  });
});

test("another site's prices are its own", async () => {
  const lagoon = await at.room.openSite("Lagoon");
  const { rows } = await at.owner.query("SELECT currency, bench_hour_cents, hire_cents FROM site WHERE id = $1", [lagoon]);
  expect(rows).toEqual([{ currency: "EUR", bench_hour_cents: null, hire_cents: null }]);
});
