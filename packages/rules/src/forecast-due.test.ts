import { expect, test } from "vitest";
import { aComponent, aPolicy, TODAY } from "../testing/index.ts";
import { addDays, addMonths } from "./calendar.ts";
import { forecastDue, forecastSetDue } from "./forecast-due.ts";
import type { ForecastComponent } from "./forecast-due.ts";
import type { ComponentFacts } from "./hand-out.ts";
import type { Limb } from "./models.ts";
import { FLAT_SEASON, seasonClock } from "./season.ts";
import { FORECAST_SETTINGS } from "./use-forecast.ts";
import type { UseHistory } from "./use-rate.ts";

const settings = FORECAST_SETTINGS;
const clock = seasonClock(FLAT_SEASON, TODAY, settings.horizonDays);
const policy = aPolicy();
const prior = { shape: 8, exposure: 16, dispersion: 2 };
const kindUse = { dives: prior, minutes: { shape: 400, exposure: 16, dispersion: 100 } };
const noLimit: Limb = { months: null, dives: null, minutes: null };

/** Two dives every fourth day for a year. */
const halfADive: UseHistory = {
  since: addDays(TODAY, -399),
  uses: Array.from({ length: 100 }, (_, index) => ({ on: addDays(TODAY, -4 * index), dives: 2, minutes: 100 })),
};

function a(id: string, service: Partial<Limb>, differing: Partial<ComponentFacts> = {}, history: UseHistory = halfADive): ForecastComponent {
  return { id, facts: aComponent({ id, limits: { service: { ...noLimit, ...service }, inspection: null }, ...differing }), history, kindUse };
}
const forecast = (one: ForecastComponent) => forecastDue(one, clock, policy, settings);
const ofSet = (...components: readonly ForecastComponent[]) => forecastSetDue(components, clock, policy, settings);

test("a limb of months alone is one day, exactly the calendar's", () => {
  const dueOn = addMonths(addDays(TODAY, -61), 12);
  expect(forecast(a("c1", { months: 12 }))).toEqual({
    answer: "falls-due",
    low: dueOn,
    middle: dueOn,
    high: dueOn,
    leads: { component: "c1", work: "service", limb: "months" },
    basis: [],
  });
});

test("dives left over dives a day, with an interval around it", () => {
  // 80 left at half a dive a day: 160 days.
  const told = forecast(a("c1", { dives: 100 }));
  expect(told).toMatchObject({ answer: "falls-due", leads: { limb: "dives", work: "service" } });
  if (told.answer !== "falls-due") throw new Error(told.answer);
  const middle = addDays(TODAY, 160);
  expect(told.middle! > addDays(middle, -12) && told.middle! < addDays(middle, 12)).toBe(true);
  expect(told.low > addDays(TODAY, 110) && told.low < addDays(TODAY, 150)).toBe(true);
  expect(told.high! > addDays(TODAY, 170) && told.high! < addDays(TODAY, 240)).toBe(true);
  expect(told.basis).toEqual([{ component: "c1", measure: "dives", perWeek: expect.closeTo(3.5, 0), borrowed: expect.any(Number) }]);
});

test("of service and inspection the one that comes first leads", () => {
  const limits = { service: { ...noLimit, dives: 100 }, inspection: { ...noLimit, dives: 50 } };
  expect(forecast(a("c1", {}, { limits }))).toMatchObject({ leads: { work: "inspection", limb: "dives" } });
  expect(forecast(a("c1", {}, { limits, divesSinceInspection: 0, divesSinceService: 90 }))).toMatchObject({ leads: { work: "service", limb: "dives" } });
  expect(forecast(a("c1", {}, { limits: { service: { ...noLimit, dives: 100 }, inspection: { ...noLimit, months: 3 } } }))).toMatchObject({ leads: { work: "inspection", limb: "months" } });
});

test("the calendar's day ends the interval of dives", () => {
  const told = forecast(a("c1", { dives: 100, months: 7 }));
  const dueOn = addMonths(addDays(TODAY, -61), 7);
  expect(told).toMatchObject({ answer: "falls-due", middle: dueOn, high: dueOn, leads: { limb: "months" } });
  if (told.answer === "falls-due") expect(told.low < dueOn).toBe(true);
});

test("not judged stays not judged, and says what the others allow at the latest", () => {
  const unknown = a("c2", {}, { limits: null });
  expect(forecast(unknown)).toEqual({ answer: "not-judged", components: ["c2"], atLatest: null });
  expect(ofSet(a("c1", { months: 12 }), unknown)).toEqual({ answer: "not-judged", components: ["c2"], atLatest: addMonths(addDays(TODAY, -61), 12) });
  expect(ofSet()).toEqual({ answer: "not-judged", components: [], atLatest: null });
});

test("overdue says so, by which limbs, before anything else", () => {
  const late = a("c3", { months: 1, dives: 100 }, { divesSinceService: 100 });
  const limbs = [{ component: "c3", work: "service", limb: "months" }, { component: "c3", work: "service", limb: "dives" }];
  expect(forecast(late)).toEqual({ answer: "overdue", limbs });
  expect(ofSet(a("c2", {}, { limits: null }), late)).toEqual({ answer: "overdue", limbs });
});

test("what cannot fall due within the horizon is beyond, never a date", () => {
  const horizon = addDays(TODAY, settings.horizonDays);
  expect(forecast(a("c1", {}))).toMatchObject({ answer: "beyond", horizon });
  expect(forecast(a("c1", { months: 60 }))).toMatchObject({ answer: "beyond", horizon });
  expect(forecast(a("c1", { dives: 100_000 }))).toMatchObject({ answer: "beyond", horizon });
});

test("an end that lies beyond the horizon is no date, though the rest is", () => {
  expect(forecast(a("c1", { dives: 20 + 350 }))).toMatchObject({ answer: "falls-due", low: expect.any(String), high: null });
});

test("a component without a history goes by its kind, and says that it does", () => {
  const told = forecast(a("new", { dives: 100 }, { divesSinceService: 0 }, { since: null, uses: [] }));
  expect(told).toMatchObject({ answer: "falls-due", basis: [{ perWeek: 3.5, borrowed: 1 }] });
  const known = forecast(a("old", { dives: 100 }, { divesSinceService: 0 }));
  if (told.answer !== "falls-due" || known.answer !== "falls-due") throw new Error("both fall due");
  expect(told.low < known.low && (told.high === null || told.high > known.high!)).toBe(true);
});

test("where the site never saw such use, nothing is made up", () => {
  const blank = { ...a("c1", { dives: 100, months: 12 }), kindUse: { dives: null, minutes: null } };
  expect(forecast(blank)).toEqual({
    answer: "too-little-known",
    limbs: [{ component: "c1", work: "service", limb: "dives" }],
    atLatest: addMonths(addDays(TODAY, -61), 12),
  });
  expect(forecast({ ...a("c1", { months: 12 }), kindUse: { dives: null, minutes: null } })).toMatchObject({ answer: "falls-due" });
});

test("a set falls due with its earliest component, which is named", () => {
  const first = a("first", { dives: 100 });
  const hose = a("hose", { dives: 60 });
  const gauge = a("gauge", { months: 24 });
  const told = ofSet(first, gauge, hose);
  const alone = forecast(hose);
  expect(told).toMatchObject({ answer: "falls-due", leads: { component: "hose", work: "service", limb: "dives" } });
  if (told.answer !== "falls-due" || alone.answer !== "falls-due") throw new Error("both fall due");
  expect([told.middle, told.high]).toEqual([alone.middle, alone.high]);
  expect(told.low <= alone.low).toBe(true);
});

test("hours count as well as dives", () => {
  expect(forecast(a("c1", { minutes: 3000 }))).toMatchObject({ answer: "falls-due", leads: { limb: "minutes" }, basis: [{ measure: "minutes" }] });
});

test("the clock and the settings must look equally far", () => {
  expect(() => forecastDue(a("c1", { months: 12 }), clock, policy, { ...settings, horizonDays: 100 })).toThrow(/one horizon/);
});
