import fc from "fast-check";
import { expect, test } from "vitest";
import { aComponent, aPolicy, TODAY } from "../testing/index.ts";
import { addDays } from "./calendar.ts";
import type { Day } from "./calendar.ts";
import { forecastDue, forecastSetDue } from "./forecast-due.ts";
import type { DueForecast, ForecastComponent } from "./forecast-due.ts";
import { seasonClock } from "./season.ts";
import { FORECAST_SETTINGS } from "./use-forecast.ts";

const settings = FORECAST_SETTINGS;
const clock = seasonClock([0.2, 0.25, 0.5, 0.9, 1.4, 1.8, 2.2, 2.1, 1.3, 0.8, 0.35, 0.2], TODAY, settings.horizonDays);
const policy = aPolicy();
const kindUse = { dives: { shape: 8, exposure: 20, dispersion: 2 }, minutes: { shape: 400, exposure: 20, dispersion: 100 } };
const LIMIT = 200;

const uses = fc.array(fc.record({ ago: fc.nat(500), dives: fc.integer({ min: 1, max: 5 }) }), { maxLength: 80 });

interface Drawn {
  readonly uses: readonly { readonly ago: number; readonly dives: number }[];
  readonly left: number;
  readonly inspectionLeft: number;
  readonly months: number | null;
}

const drawn: fc.Arbitrary<Drawn> = fc.record({
  uses,
  left: fc.integer({ min: 1, max: 120 }),
  inspectionLeft: fc.integer({ min: 1, max: 120 }),
  months: fc.option(fc.integer({ min: 3, max: 14 })),
});

function component(one: Drawn, id = "c1"): ForecastComponent {
  return {
    id,
    facts: aComponent({
      limits: { service: { months: one.months, dives: LIMIT, minutes: null }, inspection: { months: null, dives: LIMIT, minutes: null } },
      divesSinceService: LIMIT - one.left,
      divesSinceInspection: LIMIT - one.inspectionLeft,
    }),
    history: { since: addDays(TODAY, -500), uses: one.uses.map(({ ago, dives }) => ({ on: addDays(TODAY, -ago), dives, minutes: 50 * dives })) },
    kindUse,
  };
}

const forecast = (one: Drawn) => forecastDue(component(one), clock, policy, settings);

/** Low, middle and high as text that sorts; what is beyond comes last. */
function ends(told: DueForecast): readonly string[] {
  if (told.answer === "beyond") return ["beyond", "beyond", "beyond"];
  if (told.answer !== "falls-due") throw new Error(told.answer);
  return [told.low, told.middle, told.high].map((on: Day | null) => on ?? "beyond");
}

function noneLater(some: readonly string[], others: readonly string[]): void {
  expect(some.every((on, index) => on <= others[index]!), `${some.join(" ")} against ${others.join(" ")}`).toBe(true);
}

test("the interval holds its middle, and nothing lies before today or after the calendar's day", () => {
  fc.assert(
    fc.property(drawn, (one) => {
      const [low, middle, high] = ends(forecast(one));
      expect(TODAY <= low! && low! <= middle! && middle! <= high!).toBe(true);
      const calendar = forecastDue({ ...component(one), facts: aComponent({ limits: { service: { months: one.months, dives: null, minutes: null }, inspection: null } }) }, clock, policy, settings);
      noneLater([low!, middle!, high!], ends(calendar));
    }),
    { numRuns: 300 },
  );
});

test("more dives left is never earlier", () => {
  fc.assert(
    fc.property(drawn, fc.integer({ min: 1, max: 10 }), (one, more) => {
      const before = ends(forecast(one));
      noneLater(before, ends(forecast({ ...one, left: one.left + more })));
      noneLater(before, ends(forecast({ ...one, inspectionLeft: one.inspectionLeft + more })));
    }),
    { numRuns: 300 },
  );
});

test("more use of late is never later", () => {
  fc.assert(
    fc.property(drawn, fc.integer({ min: 0, max: 27 }), fc.integer({ min: 3, max: 12 }), (one, ago, dives) => {
      noneLater(ends(forecast({ ...one, uses: [...one.uses, { ago, dives }] })), ends(forecast(one)));
    }),
    { numRuns: 300 },
  );
});

test("the order of the history, and of the components, changes no day", () => {
  fc.assert(
    fc.property(drawn, drawn, (one, other) => {
      expect(forecast({ ...one, uses: [...one.uses].reverse() })).toEqual(forecast(one));
      const [a, b] = [component(one, "a"), component(other, "b")];
      expect(ends(forecastSetDue([a, b], clock, policy, settings))).toEqual(ends(forecastSetDue([b, a], clock, policy, settings)));
    }),
    { numRuns: 200 },
  );
});

test("a set is never later than any of its components, and one more component never makes it later", () => {
  fc.assert(
    fc.property(fc.array(drawn, { minLength: 2, maxLength: 5 }), (set) => {
      const components = set.map((one, index) => component(one, `c${index}`));
      const whole = ends(forecastSetDue(components, clock, policy, settings));
      for (const one of components) noneLater(whole, ends(forecastDue(one, clock, policy, settings)));
      noneLater(whole, ends(forecastSetDue(components.slice(1), clock, policy, settings)));
    }),
    { numRuns: 200 },
  );
});
