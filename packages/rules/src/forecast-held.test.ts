import fc from "fast-check";
import { expect, test } from "vitest";
import { backtest } from "./backtest.ts";
import { addDays, day } from "./calendar.ts";
import { howWellItHeld } from "./forecast-held.ts";
import type { ServedComponent } from "./forecast-held.ts";
import { FORECAST_SETTINGS } from "./use-forecast.ts";

const today = day("2026-07-03");
const START = addDays(today, -1100);

/** Dives by seeded chance, twice as many in summer. */
function components(count: number, seed = 5): ServedComponent[] {
  let state = seed;
  const chance = () => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647;
  return Array.from({ length: count }, (_, index) => {
    const level = 0.1 + 0.2 * chance();
    const uses = Array.from({ length: 1101 }, (_, at) => addDays(START, at)).flatMap((on) => {
      const busy = on.slice(5, 7) >= "05" && on.slice(5, 7) <= "09" ? 2 : 1;
      return chance() < level * busy ? [{ on, dives: 1 + Math.floor(chance() * 3), minutes: 60 }] : [];
    });
    return { id: `c${index}`, kind: "first-stage", history: { since: START, uses }, limit: 100, servicedOn: [addDays(START, 300 + index), addDays(START, 600 + index)] };
  });
}

test("tells a manager how many of the past's forecasts held, beside what could be worked out by hand", () => {
  const told = howWellItHeld(components(30), today, FORECAST_SETTINGS);
  if (told.answer === "refused") throw new Error(told.why);
  expect(told.askedOn[0]).toBe(addDays(today, -365));
  expect(told.inside + told.early + told.late).toBe(told.forecasts);
  expect(told.coverage).toBeCloseTo(told.inside / told.forecasts, 12);
  expect(told.promised).toBe(0.8);
  expect(told.coverage).toBeGreaterThan(0.7);
  expect(told.loss.forecast).toBeLessThan(Math.min(told.loss.lifetimeMean, told.loss.lastFourWeeks, told.loss.sameDaysLastYear));
});

test("too few forecasts tell nothing, and say how few", () => {
  expect(howWellItHeld([], today, FORECAST_SETTINGS)).toEqual({ answer: "refused", why: "too-few", forecasts: 0 });
  const few = howWellItHeld(components(2), today, FORECAST_SETTINGS);
  expect(few).toMatchObject({ answer: "refused", why: "too-few" });
  if (few.answer === "refused") expect(few.forecasts).toBeGreaterThan(0);
  expect(howWellItHeld(components(30).map((one) => ({ ...one, limit: null })), today, FORECAST_SETTINGS)).toMatchObject({ forecasts: 0 });
});

test("the dives left are those since the last service known on the day", () => {
  const told = (servicedOn: readonly ReturnType<typeof day>[]) => howWellItHeld(components(30).map((one) => ({ ...one, limit: 60, servicedOn })), today, FORECAST_SETTINGS);
  const often = told(Array.from({ length: 50 }, (_, index) => addDays(START, 20 * index)));
  // Serviced every 20 days nobody is over 60 dives, so every component is asked about on every day.
  if (often.answer === "refused") throw new Error(often.why);
  expect(often.forecasts + often.saidBeyond).toBe(30 * often.askedOn.length);
  // With a service only after the days asked, all were over the limit and nothing is left to ask.
  expect(told([addDays(today, -10)])).toEqual({ answer: "refused", why: "too-few", forecasts: expect.any(Number) });
});

test("a limit nobody comes near is forecast as beyond, and counted by itself", () => {
  const told = howWellItHeld([...components(30), ...components(10, 9).map((one) => ({ ...one, limit: 5000 }))], today, FORECAST_SETTINGS);
  const without = howWellItHeld(components(30), today, FORECAST_SETTINGS);
  if (told.answer === "refused" || without.answer === "refused") throw new Error("both are told");
  expect(told.forecasts).toBe(without.forecasts);
  expect(told.saidBeyond).toBeGreaterThan(without.saidBeyond);
  expect(told.wasBeyond - without.wasBeyond).toBe(told.saidBeyond - without.saidBeyond);
});

test("a forecast of the past sees nothing that came after its day", () => {
  const asOf = addDays(today, -400);
  const fleet = components(6);
  const questions = fleet.map((_, component) => ({ component, asOf, remaining: 40 }));
  const settings = { ...FORECAST_SETTINGS, horizonDays: 300 };
  const said = (of: readonly ServedComponent[]) => {
    const told = backtest(of, questions, settings, today);
    if (told.answer === "refused") throw new Error(told.why);
    return told.marked.map((one) => [one.said, one.baselines]);
  };
  const before = said(fleet);
  fc.assert(
    fc.property(fc.array(fc.record({ after: fc.integer({ min: 1, max: 400 }), dives: fc.integer({ min: 1, max: 30 }) }), { minLength: 1, maxLength: 20 }), (extra) => {
      const more = extra.map(({ after, dives }) => ({ on: addDays(asOf, after), dives, minutes: 0 }));
      expect(said(fleet.map((one) => ({ ...one, history: { ...one.history, uses: [...more, ...one.history.uses] } })))).toEqual(before);
    }),
    { numRuns: 20 },
  );
});

test("a question without an answer yet stays open", () => {
  const one = { kind: "hose", history: { since: addDays(today, -200), uses: [{ on: addDays(today, -50), dives: 4, minutes: 0 }] } };
  const ask = (ago: number, remaining: number) => ({ component: 0, asOf: addDays(today, -ago), remaining });
  const settings = { ...FORECAST_SETTINGS, horizonDays: 100 };
  const told = backtest([one], [ask(60, 4), ask(60, 5), ask(100, 5), ask(50, 1)], settings, today);
  if (told.answer === "refused") throw new Error(told.why);
  expect(told.marked.map(({ actual }) => actual)).toEqual([10, 100]);
  expect(told.open).toBe(2);
  expect(backtest([one], [ask(60, 5)], settings, today)).toEqual({ answer: "refused", why: "no-forecasts" });
  expect(() => backtest([one], [{ ...ask(60, 5), component: 1 }], settings, today)).toThrow(/no component 1/);
  expect(() => backtest([one], [ask(60, 0)], settings, today)).toThrow(/nothing to forecast/);
});

test("the year that comes again and again", () => {
  // 10 dives a year, on one day in it: 25 dives take two years and the day in the third.
  const once = { kind: "hose", history: { since: addDays(today, -1000), uses: [365, 730, 1000].map((ago) => ({ on: addDays(today, -ago + 60), dives: 10, minutes: 0 })) } };
  const told = backtest([once], [{ component: 0, asOf: addDays(today, -200), remaining: 25 }], { ...FORECAST_SETTINGS, horizonDays: 200 }, today);
  expect(told).toMatchObject({ marked: [{ baselines: { sameDaysLastYear: { lower: 200 } } }] });
  const far = backtest([once], [{ component: 0, asOf: addDays(today, -940), remaining: 5 }], { ...FORECAST_SETTINGS, horizonDays: 900 }, today);
  expect(far).toMatchObject({ marked: [{ actual: 270, baselines: { sameDaysLastYear: { lower: 365 } } }] });
});
