import { expect, test } from "vitest";
import { aPressureCurve } from "../testing/index.ts";
import { CURVE_CASES } from "./pressure-curve.cases.ts";
import { readPressureCurve } from "./pressure-curve.ts";

test.each(CURVE_CASES)("$what ($source)", ({ points, lockUp, creep, still }) => {
  expect(readPressureCurve(points)).toMatchObject({ answer: "found", lockUp, creep, afterFiveMinutes: lockUp + creep, stillCreeping: still });
});

test("the valve is opened, the needle stops, and the end of the log is no creep", () => {
  expect(readPressureCurve(aPressureCurve({ before: 20, creep: 20, shut: true }))).toMatchObject({ answer: "found", lockUp: 950, creep: 20, lockUps: 1, stillCreeping: true });
  expect(readPressureCurve(aPressureCurve({ before: 60, every: 0.5, shut: true }))).toMatchObject({ answer: "found", lockUp: 950, creep: 0, stillCreeping: false });
});

test("after purges the needle is read again", () => {
  const found = readPressureCurve(aPressureCurve({ before: 5, purges: 10, creep: 30, every: 0.2 }));
  expect(found).toMatchObject({ answer: "found", lockUp: 950, lockUps: 11 });
  expect(found.answer === "found" && Math.abs(found.creep - 30)).toBeLessThanOrEqual(1);
  expect(found.lockUpAt).toBeGreaterThanOrEqual(105);
  expect(found.lockUpAt).toBeLessThan(107);
});

test("creep that a purge let off does not count as less", () => {
  const creeping = aPressureCurve({ creep: 60, left: 200 });
  const after = aPressureCurve({ creep: 60, left: 120 }).map(({ seconds, centibar }) => ({ seconds: seconds + 203, centibar }));
  expect(readPressureCurve([...creeping, ...after])).toEqual({ answer: "incomplete", why: "too-short", lockUp: 950, lockUpAt: 0, secondsMissing: 100 });
});

test("one point lower is a purge: what it let off is not known, so the five minutes begin again", () => {
  const dipped = aPressureCurve({ creep: 20 }).map((point) => (point.seconds === 200 ? { ...point, centibar: 800 } : point));
  expect(readPressureCurve(dipped)).toMatchObject({ answer: "incomplete", why: "too-short", lockUp: 950 });
  const longer = aPressureCurve({ creep: 20, left: 520 }).map((point) => (point.seconds === 200 ? { ...point, centibar: 800 } : point));
  expect(readPressureCurve(longer)).toMatchObject({ answer: "found", creep: 20, lockUps: 2 });
});

test("of two whole five minutes the worse one counts", () => {
  const good = aPressureCurve({ creep: 5 }).map(({ seconds, centibar }) => ({ seconds: seconds + 330, centibar }));
  expect(readPressureCurve([...aPressureCurve({ creep: 40 }), ...good])).toMatchObject({ answer: "found", creep: 40, lockUps: 2 });
});

test("a purge held for a moment, or a valve opened in steps, is no lock-up", () => {
  const held = [0, 300, 300, 300, 300, 300, 880, 880, 880, 880, 880].map((centibar, seconds) => ({ seconds, centibar }));
  const then = aPressureCurve({ creep: 10 }).map(({ seconds, centibar }) => ({ seconds: seconds + 11, centibar }));
  expect(readPressureCurve([...held, ...then])).toMatchObject({ answer: "found", lockUp: 950, lockUpAt: 11, creep: 10, lockUps: 1 });
});

test.each([
  ["no-points", []],
  ["not-in-order", [{ seconds: 1, centibar: 950 }, { seconds: 0, centibar: 950 }]],
  ["not-in-order", [{ seconds: Number.NaN, centibar: 950 }]],
  ["not-in-order", [{ seconds: 0, centibar: 9.5 }]],
  ["no-lock-up", [{ seconds: 0, centibar: 950 }]],
  ["no-lock-up", aPressureCurve({ lockUp: 0 })],
  ["no-lock-up", Array.from({ length: 400 }, (_, seconds) => ({ seconds, centibar: 500 + 3 * seconds }))],
  ["too-short", aPressureCurve({ left: 299 })],
  ["too-sparse", [0, 61, 122, 183, 244, 305].map((seconds) => ({ seconds, centibar: 950 }))],
  ["too-sparse", [{ seconds: 0, centibar: 0 }, ...aPressureCurve({ every: 60, left: 360 }).slice(1)]],
] as const)("incomplete, %s", (why, points) => {
  expect(readPressureCurve(points)).toMatchObject({ answer: "incomplete", why });
});

test("a curve cut short says how much is missing, and what it has seen so far", () => {
  expect(readPressureCurve(aPressureCurve({ left: 240 }))).toEqual({ answer: "incomplete", why: "too-short", lockUp: 950, lockUpAt: 0, secondsMissing: 60 });
});

test("a pressure that falls slowly is a creep below nought", () => {
  expect(readPressureCurve(aPressureCurve({ creep: -8 }))).toMatchObject({ answer: "found", creep: -8, stillCreeping: false });
});
