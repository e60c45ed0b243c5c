import fc from "fast-check";
import { expect, test } from "vitest";
import { aPressureCurve } from "../testing/index.ts";
import { readPressureCurve } from "./pressure-curve.ts";

const RUNS = { numRuns: 400 };
const script = fc.record({
  lockUp: fc.integer({ min: 800, max: 1100 }),
  creep: fc.integer({ min: 0, max: 80 }),
  shape: fc.constantFrom("steady", "settling"),
  every: fc.constantFrom(0.2, 0.5, 1, 2),
  before: fc.constantFrom(0, 5, 40),
  purges: fc.constantFrom(0, 0, 1, 4),
  shut: fc.boolean(),
  noise: fc.constantFrom(0, 1, 3),
  seed: fc.nat(1_000_000),
});

test("lock-up and creep are found within the noise, whatever came before and after", () => {
  fc.assert(
    fc.property(script, (script) => {
      const found = readPressureCurve(aPressureCurve(script));
      expect(found.answer).toBe("found");
      if (found.answer !== "found") return;
      // A settling creep moves a good hundredth a second while the lock-up is being read.
      const within = 2 + 2 * script.noise + (script.shape === "settling" ? script.creep * 0.04 : script.creep * 0.015);
      expect(Math.abs(found.lockUp - script.lockUp)).toBeLessThanOrEqual(within);
      expect(Math.abs(found.creep - script.creep)).toBeLessThanOrEqual(within);
    }),
    RUNS,
  );
});

test("less than five minutes after lock-up is never an answer", () => {
  fc.assert(
    fc.property(script, fc.integer({ min: 0, max: 299 }), (script, left) => {
      expect(readPressureCurve(aPressureCurve({ ...script, left })).answer).toBe("incomplete");
    }),
    RUNS,
  );
});

test("it still creeps at the end only when it does", () => {
  fc.assert(
    fc.property(script, fc.constantFrom(0, 60), (script, creep) => {
      const found = readPressureCurve(aPressureCurve({ ...script, creep, shape: "steady" }));
      expect(found.answer === "found" && found.stillCreeping).toBe(creep > 0);
    }),
    RUNS,
  );
});

test("one misreading upwards changes nothing, and one downwards hides no steady creep", () => {
  fc.assert(
    fc.property(script, fc.nat(1000), fc.integer({ min: -900, max: 900 }), (script, place, off) => {
      const points = aPressureCurve({ ...script, shape: off > 0 ? script.shape : "steady", left: 640, noise: 0, purges: 0, before: 0, shut: false });
      const at = 1 + (place % (points.length - 2));
      const spoilt = points.map((point, here) => (here === at ? { ...point, centibar: point.centibar + off } : point));
      const [clean, found] = [readPressureCurve(points), readPressureCurve(spoilt)];
      // Left for more than ten minutes, so that whole five are left before or after.
      expect([clean.answer, found.answer]).toEqual(["found", "found"]);
      if (clean.answer === "found" && found.answer === "found") expect(Math.abs(found.creep - clean.creep)).toBeLessThanOrEqual(2);
    }),
    RUNS,
  );
});

test("any points in order give whole numbers or a reason", () => {
  const points = fc.array(fc.record({ step: fc.constantFrom(0, 0.5, 1, 30, 60, 100), centibar: fc.constantFrom(-5, 0, 200, 800, 945, 950, 955, 1000) }), { maxLength: 30 });
  fc.assert(
    fc.property(points, (steps) => {
      let seconds = 0;
      const read = readPressureCurve(steps.map(({ step, centibar }) => ({ seconds: (seconds += step), centibar })));
      if (read.answer === "incomplete") return;
      for (const figure of [read.lockUp, read.afterFiveMinutes, read.creep, read.lastMinuteRise]) expect(Number.isSafeInteger(figure)).toBe(true);
      expect(read.afterFiveMinutes - read.lockUp).toBe(read.creep);
      expect(Number.isFinite(read.lockUpAt)).toBe(true);
    }),
    { numRuns: 2000 },
  );
});
