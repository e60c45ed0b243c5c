import fc from "fast-check";
import { expect, test } from "vitest";
import { anyDay, awkwardDay } from "../testing/generators.ts";
import { addDays, addMonths, compareDays, dayOf, daysBetween, isDay, weekdayOf } from "./calendar.ts";

const months = fc.integer({ min: -60, max: 60 });
const someDay = fc.oneof(anyDay, awkwardDay);

test("a number of days on and the same number back is where we were", () => {
  fc.assert(
    fc.property(someDay, fc.integer({ min: -4000, max: 4000 }), (from, n) => {
      const to = addDays(from, n);
      expect(isDay(to)).toBe(true);
      expect(daysBetween(from, to)).toBe(n);
      expect(addDays(to, -n)).toBe(from);
      expect(compareDays(from, to)).toBe(Math.sign(-n) + 0);
    }),
    { numRuns: 1000 },
  );
});

test("adding months lands in the month meant, on the same date or its last day, never beyond", () => {
  fc.assert(
    fc.property(someDay, months, (from, n) => {
      const to = addMonths(from, n);
      const monthNumber = (d: string): number => Number(d.slice(0, 4)) * 12 + Number(d.slice(5, 7));
      expect(monthNumber(to) - monthNumber(from)).toBe(n);
      const sameDate = to.slice(8) === from.slice(8);
      const lastDate = addDays(to, 1).slice(8) === "01";
      expect(sameDate || (lastDate && to.slice(8) < from.slice(8))).toBe(true);
    }),
    { numRuns: 1000 },
  );
});

test("whoever is serviced later is never due earlier", () => {
  fc.assert(
    fc.property(awkwardDay, fc.nat(3), fc.integer({ min: 1, max: 48 }), (from, more, n) => {
      expect(addMonths(addDays(from, more), n) >= addMonths(from, n)).toBe(true);
    }),
    { numRuns: 1000 },
  );
});

test("days agree with the clock's own calendar at noon in London", () => {
  fc.assert(
    fc.property(someDay, (d) => {
      const noon = Date.parse(`${d}T12:00:00Z`);
      expect(dayOf(noon, "Europe/London")).toBe(d);
      expect(weekdayOf(d)).toBe(new Date(noon).getUTCDay() || 7);
    }),
  );
});
