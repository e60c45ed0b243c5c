import fc from "fast-check";
import { expect, test } from "vitest";
import { addDays, day } from "./calendar.ts";
import { FLAT_SEASON, LOOK_BACK_DAYS, seasonClock } from "./season.ts";
import { blockExposures, fitUse, pastUse, useOfKind } from "./use-rate.ts";
import type { UseHistory } from "./use-rate.ts";

const today = day("2026-07-03");
const use = (ago: number, dives: number) => ({ on: addDays(today, -ago), dives, minutes: dives * 50 });

test("lays the past out in blocks of four weeks, today in the first", () => {
  const past = pastUse({ since: addDays(today, -60), uses: [use(0, 1), use(27, 2), use(28, 4), use(60, 8)] }, today);
  expect(past).toEqual({ days: 61, dives: Float64Array.of(3, 4, 8), minutes: Float64Array.of(150, 200, 400) });
  expect([...blockExposures(past, seasonClock(FLAT_SEASON, today, 1))]).toEqual([28, 28, 5]);
});

test("a use before the first day counts as the first day; what is to come, or too long ago, does not count", () => {
  expect(pastUse({ since: addDays(today, -3), uses: [use(9, 2)] }, today).days).toBe(10);
  expect(pastUse({ since: null, uses: [] }, today).days).toBe(0);
  expect(pastUse({ since: addDays(today, 5), uses: [use(-1, 4)] }, today).days).toBe(0);
  const old = pastUse({ since: addDays(today, -5000), uses: [use(LOOK_BACK_DAYS, 3), use(LOOK_BACK_DAYS - 1, 5)] }, today);
  expect(old.days).toBe(LOOK_BACK_DAYS);
  expect(old.dives.reduce((total, dives) => total + dives)).toBe(5);
});

const history = fc.array(fc.record({ ago: fc.integer({ min: -5, max: 700 }), dives: fc.integer({ min: 1, max: 6 }) }), { maxLength: 60 });

test("the order of the history changes nothing", () => {
  fc.assert(
    fc.property(fc.array(history, { minLength: 1, maxLength: 4 }), (fleet) => {
      const components = (turned: boolean) =>
        fleet.map((uses, index) => {
          const rows = uses.map(({ ago, dives }) => use(ago, dives));
          return { kind: index % 2 ? "gauge" : "first-stage", history: { since: addDays(today, -700), uses: turned ? rows.reverse() : rows } };
        });
      expect(fitUse(components(true), today)).toEqual(fitUse(components(false), today));
    }),
    { numRuns: 100 },
  );
});

/** So many dives a week, one return a week. */
const weekly = (dives: number, weeks = 100): UseHistory => ({ since: addDays(today, -7 * weeks + 1), uses: Array.from({ length: weeks }, (_, week) => use(week * 7, dives)) });

test("a kind is known by its components, and one with none by all of them", () => {
  const fleet = fitUse(
    [...[3, 4, 5, 4, 4].map((dives) => ({ kind: "first-stage", history: weekly(dives) })), ...[1, 1, 1].map((dives) => ({ kind: "gauge", history: weekly(dives) }))],
    today,
  );
  const perWeek = (kind: string) => (useOfKind(fleet, kind).dives!.shape / useOfKind(fleet, kind).dives!.exposure) * 7;
  expect(perWeek("first-stage")).toBeGreaterThan(3.7);
  expect(perWeek("first-stage")).toBeLessThan(4.1);
  expect(perWeek("gauge")).toBeLessThan(1.4);
  expect(perWeek("hose")).toBeGreaterThan(perWeek("gauge"));
  expect(perWeek("hose")).toBeLessThan(perWeek("first-stage"));
  expect(useOfKind(fleet, "gauge").minutes!.shape / useOfKind(fleet, "gauge").minutes!.exposure).toBeCloseTo((perWeek("gauge") / 7) * 50, 6);
});

test("a kind of one new component borrows from the rest", () => {
  const fleet = fitUse([...Array.from({ length: 8 }, () => ({ kind: "first-stage", history: weekly(4) })), { kind: "hose", history: { since: today, uses: [] } }], today);
  const { shape, exposure } = useOfKind(fleet, "hose").dives!;
  expect((shape / exposure) * 7).toBeGreaterThan(3.5);
});

test("with no use at all nothing is said; with no minutes ever written down, nothing of minutes", () => {
  expect(fitUse([], today)).toMatchObject({ season: FLAT_SEASON, anyKind: { dives: null, minutes: null } });
  const idle = fitUse([{ kind: "hose", history: { since: addDays(today, -400), uses: [] } }], today);
  expect(useOfKind(idle, "hose")).toEqual({ dives: null, minutes: null });
  const dry = fitUse([{ kind: "hose", history: { since: addDays(today, -90), uses: [{ on: today, dives: 3, minutes: 0 }] } }], today);
  expect(useOfKind(dry, "hose")).toMatchObject({ dives: { dispersion: expect.any(Number) }, minutes: null });
});

test("dives that come by fours are seen to: variance over mean", () => {
  const scattered = (bunch: number, seed: number): UseHistory => {
    let state = seed;
    const chance = () => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647;
    const uses = Array.from({ length: 1000 }, (_, ago) => ago).filter(() => chance() < 0.4 / bunch).map((ago) => use(ago, bunch));
    return { since: addDays(today, -999), uses };
  };
  const dispersion = (bunch: number) => fitUse(Array.from({ length: 30 }, (_, index) => ({ kind: "first-stage", history: scattered(bunch, 77 + index * 1009) })), today).anyKind.dives!.dispersion;
  expect(dispersion(1)).toBeGreaterThanOrEqual(1);
  expect(dispersion(1)).toBeLessThan(1.2);
  expect(dispersion(4)).toBeGreaterThan(3.3);
  expect(dispersion(4)).toBeLessThan(4.5);
});

test("a kind whose components are alike is trusted for more than one whose are not", () => {
  const evidence = (rates: readonly number[]) => {
    const { shape, dispersion } = fitUse(rates.map((dives) => ({ kind: "first-stage", history: weekly(dives) })), today).anyKind.dives!;
    return shape / dispersion;
  };
  // 1 over the squared spread between components, which is kept from 0.1 to 2.
  const [alike, unlike] = [evidence(Array.from({ length: 30 }, () => 4)), evidence(Array.from({ length: 30 }, (_, index) => 1 + (index % 10) * 2))];
  expect(alike).toBeCloseTo(10, 6);
  // 1, 3, ... 19: mean 10, variance 33, so 0.33, drawn a little to the usual 0.4.
  expect(unlike).toBeGreaterThan(2.6);
  expect(unlike).toBeLessThan(3.4);
});
