import { expect, test } from "vitest";
import { SHOCK_ABSORBERS, SIX_MP, STOPPED_AT_500 } from "./survival.cases.ts";
import type { Spell } from "./survival.ts";
import { fitWeibull } from "./weibull.ts";
import type { WeibullFit } from "./weibull.ts";

const fitted = (spells: readonly Spell[], confidence = 0.95): WeibullFit => {
  const told = fitWeibull(spells, confidence);
  if (told.answer === "refused") throw new Error(told.why);
  return told;
};
const failed = (time: number): Spell => ({ time, fault: true });
const sound = (time: number): Spell => ({ time, fault: false });

test("finds shape, scale and likelihood of NIST/SEMATECH e-Handbook 8.4.1.3", () => {
  const { shape, scale, logLik } = fitted(STOPPED_AT_500);
  expect([shape.toFixed(4), scale!.toFixed(3), logLik.toFixed(3)]).toEqual(["1.7208", "606.528", "-75.135"]);
});

test("finds scale and spread of the shock absorbers (27 719 and 0.3164: Meeker and Escobar 1998)", () => {
  const { shape, scale, faults } = fitted(SHOCK_ABSORBERS);
  expect([faults, scale!.toFixed(0), (1 / shape).toFixed(4)]).toEqual([11, "27719", "0.3164"]);
});

test("gives R's interval of the shape and its chance against 1", () => {
  const fit = fitted(SIX_MP);
  expect(fit.shapeLower).toBeCloseTo(0.784441924067193, 6);
  expect(fit.shapeUpper).toBeCloseTo(2.33617952428819, 6);
  expect(fit.lrtP).toBeCloseTo(0.309594788006607, 6);
});

test("keeps its feet where the shape is huge, the times far apart, or one part alone has failed", () => {
  expect(fitted([failed(499), failed(500), failed(499)]).shape).toBeGreaterThan(500);
  expect(fitted([failed(1e-6), failed(1e12)]).shape).toBeLessThan(0.1);
  const alone = fitted([failed(10), ...Array.from({ length: 40 }, () => sound(100))]);
  expect(Object.values(alone).every((value) => typeof value !== "number" || Number.isFinite(value))).toBe(true);
  expect(alone.shapeLower).toBeLessThan(1);
});

test("leaves out what lasted no time and had no fault", () => {
  expect(fitted([...SIX_MP, sound(0)])).toEqual(fitted(SIX_MP));
});

test("says why there is no shape", () => {
  const why = (...spells: Spell[]) => fitWeibull(spells, 0.95);
  expect(why()).toEqual({ answer: "refused", why: "no-spells" });
  expect(why(sound(10), sound(20))).toEqual({ answer: "refused", why: "no-events" });
  expect(why(failed(25), failed(25))).toEqual({ answer: "refused", why: "all-at-end" });
  expect(why(failed(25), sound(20))).toEqual({ answer: "refused", why: "all-at-end" });
  expect(why(failed(7))).toEqual({ answer: "refused", why: "all-at-end" });
  expect(why(failed(0), failed(7))).toEqual({ answer: "refused", why: "fault-at-start" });
  expect(() => why(failed(Infinity))).toThrow("Infinity will not do for the time of spell 1");
  expect(() => fitWeibull([failed(1), failed(2)], 1)).toThrow("the confidence");
});
