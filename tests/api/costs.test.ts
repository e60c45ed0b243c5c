/** What a model costs, from what was entered and what was counted; and that nothing unknown is taken for nought. */
import { acceptBuild } from "@hangrail/db/bench-acts";
import { handOut, takeBack } from "@hangrail/db/acts";
import { modelCost } from "@hangrail/rules/model-costs";
import { afterAll, beforeAll, expect, test } from "vitest";
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

test("another site's prices are its own", async () => {
  const lagoon = await at.room.openSite("Lagoon");
  const { rows } = await at.owner.query("SELECT currency, bench_hour_cents, hire_cents FROM site WHERE id = $1", [lagoon]);
  expect(rows).toEqual([{ currency: "EUR", bench_hour_cents: null, hire_cents: null }]);
});
