import fc from "fast-check";
import { expect, test } from "vitest";
import { TODAY } from "../testing/index.ts";
import { addDays } from "./calendar.ts";
import { rankInstead } from "./instead.ts";
import type { Candidate } from "./instead.ts";

const set = (tag: string, divesLeft: number | null, daysLeft: number | null): Candidate => ({
  tag,
  divesLeft,
  dueOn: daysLeft === null ? null : addDays(TODAY, daysLeft - 1),
});
const order = (...sets: Candidate[]): string[] => rankInstead(sets, TODAY).map(({ tag }) => tag);

test("the set with the most dives left per day left goes first", () => {
  expect(order(set("R-02", 40, 80), set("R-03", 90, 90), set("R-01", 40, 20))).toEqual(["R-01", "R-03", "R-02"]);
});

test("a set without a limit in dives goes first, one without a due day last", () => {
  expect(order(set("R-01", 40, null), set("R-02", 40, 400), set("R-03", null, 100), set("R-04", null, null))).toEqual(["R-03", "R-04", "R-02", "R-01"]);
});

test("equal ones go by their due day, then by tag", () => {
  expect(order(set("R-02", 40, 40), set("R-01", 40, 40), set("R-03", 20, 20))).toEqual(["R-03", "R-01", "R-02"]);
});

test("the order does not hang on the order asked in, and no set is lost", () => {
  const candidate = fc.tuple(fc.option(fc.integer({ min: 1, max: 6 })), fc.option(fc.integer({ min: 1, max: 6 })));
  fc.assert(
    fc.property(fc.array(candidate, { maxLength: 8 }), (facts) => {
      const sets = facts.map(([dives, days], at) => set(`R-${at}`, dives, days));
      const ranked = order(...sets);
      expect(order(...[...sets].reverse())).toEqual(ranked);
      expect([...ranked].sort()).toEqual(sets.map(({ tag }) => tag).sort());
    }),
    { numRuns: 1000 },
  );
});

test("giving the first of the list wears a fleet down together: no set is worn out while another is fresh", () => {
  let fleet = Array.from({ length: 8 }, (_, at) => set(`R-${at}`, 100, 365));
  for (let hire = 0; hire < 100; hire += 1) {
    const first = rankInstead(fleet, TODAY)[0]!;
    fleet = fleet.map((one) => (one.tag === first.tag ? { ...one, divesLeft: one.divesLeft! - 4 } : one));
  }
  const left = fleet.map(({ divesLeft }) => divesLeft!);
  expect(Math.max(...left) - Math.min(...left)).toBeLessThanOrEqual(4);
});
