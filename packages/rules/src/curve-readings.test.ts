import fc from "fast-check";
import { expect, test } from "vitest";
import { drawnPoints, readingsOfCurve } from "./curve-readings.ts";
import type { PressurePoint } from "./pressure-column.ts";

/** Opened at 5 s, locks up at 9.50 bar, creeps by so much evenly over five minutes. */
function curve(seconds: number, creep: number): PressurePoint[] {
  return Array.from({ length: seconds + 1 }, (_, at) => ({
    seconds: at,
    centibar: at < 5 ? 0 : at < 8 ? [400, 800, 940][at - 5]! : 950 + Math.round((Math.min(at - 8, 300) * creep) / 300),
  }));
}

const of = (points: readonly PressurePoint[]) => readingsOfCurve({ component: "F", supplyCbar: 20_000, gauge: "G", points }).map(({ name, value, supplyCbar, gauge }) => ({ name, value, supplyCbar, gauge }));

test("a whole curve gives lock-up and creep, at its supply and on its gauge", () => {
  const [pressure, creep] = of(curve(320, 12));
  expect(pressure).toEqual({ name: "intermediate-pressure", value: 950, supplyCbar: 20_000, gauge: "G" });
  expect(creep).toMatchObject({ name: "creep", gauge: "G" });
  expect(Math.abs(creep!.value - 12)).toBeLessThanOrEqual(1);
});

test("one that ends early gives the lock-up alone; one that never came up gives nothing", () => {
  expect(of(curve(120, 12))).toEqual([{ name: "intermediate-pressure", value: 950, supplyCbar: 20_000, gauge: "G" }]);
  expect(of([])).toEqual([]);
  expect(of(Array.from({ length: 60 }, (_, at) => ({ seconds: at, centibar: 0 })))).toEqual([]);
});

test("of many points few are drawn, the ends, the lowest and the highest among them, in order", () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: -100, max: 2_000 }), { minLength: 1, maxLength: 400 }), fc.integer({ min: 4, max: 60 }), (bars, most) => {
      const points = bars.map((centibar, seconds) => ({ seconds, centibar }));
      const drawn = drawnPoints(points, most);
      expect(drawn.length).toBeLessThanOrEqual(most);
      expect(drawn.map(({ seconds }) => seconds)).toEqual(drawn.map(({ seconds }) => seconds).toSorted((a, b) => a - b));
      expect([drawn[0], drawn.at(-1)]).toEqual([points[0], points.at(-1)]);
      expect(Math.max(...drawn.map(({ centibar }) => centibar))).toBe(Math.max(...bars));
      expect(Math.min(...drawn.map(({ centibar }) => centibar))).toBe(Math.min(...bars));
    }),
  );
});
