import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { countsAfter, NEVER_USED } from "./set-record.ts";
import type { CountedEvent } from "./set-record.ts";

const fitted = (component: string, set = "R-001"): CountedEvent => ({ kind: "fitted", set, component });
const removed = (component: string, set = "R-001"): CountedEvent => ({ kind: "removed", set, component });
const returned = (dives: number, set = "R-001", teaching = false): CountedEvent => ({ kind: "returned", set, dives, minutes: dives * 50, teaching });

describe("dives follow the component", () => {
  test("a swap moves no history", () => {
    const counts = countsAfter([fitted("p1"), returned(4), removed("p1"), fitted("p2"), returned(3), fitted("p1", "R-002"), returned(2, "R-002")]);
    expect([counts.get("p1")?.dives, counts.get("p2")?.dives]).toEqual([6, 3]);
    expect(counts.get("p1")?.minutes).toBe(300);
  });

  test("a service resets every limb, an inspection its own alone", () => {
    const used = [fitted("p1"), returned(4, "R-001", true)];
    expect(countsAfter([...used, { kind: "serviced", component: "p1" }]).get("p1")).toEqual({ ...NEVER_USED, dives: 4, minutes: 200 });
    expect(countsAfter([...used, { kind: "inspected", component: "p1" }, returned(1)]).get("p1")).toEqual({
      dives: 5,
      minutes: 250,
      divesSinceService: 5,
      minutesSinceService: 250,
      divesSinceInspection: 1,
      minutesSinceInspection: 50,
      taughtSinceService: true,
    });
  });

  test("a new hose resets nothing on its neighbours", () => {
    const counts = countsAfter([fitted("p1"), fitted("h1"), returned(9), removed("h1"), fitted("h2"), returned(1)]);
    expect([counts.get("p1"), counts.get("h2")].map((one) => one?.divesSinceService)).toEqual([10, 1]);
  });

  test("events that contradict each other are refused", () => {
    expect(() => countsAfter([fitted("p1"), fitted("p1", "R-002")])).toThrow("Component p1 is in set R-001, so it cannot be fitted to set R-002.");
    expect(() => countsAfter([removed("p1")])).toThrow("Component p1 is in no set, so it cannot be removed from set R-001.");
  });
});

/** A fleet of two sets with one place each and three parts to swap between them, as a list of moves. */
const move = fc.oneof(
  fc.record({ kind: fc.constant("swap" as const), set: fc.constantFrom("R-001", "R-002"), part: fc.constantFrom("p1", "p2", "p3") }),
  fc.record({ kind: fc.constant("hire" as const), set: fc.constantFrom("R-001", "R-002"), dives: fc.integer({ min: 1, max: 9 }) }),
);

test("the dives of the components add up to those of the hires, whatever was swapped", () => {
  fc.assert(
    fc.property(fc.array(move, { maxLength: 30 }), (moves) => {
      const inPlace: Record<string, string> = { "R-001": "p1", "R-002": "p2" };
      const events: CountedEvent[] = [fitted("p1", "R-001"), fitted("p2", "R-002")];
      const hired: Record<string, number> = { p1: 0, p2: 0, p3: 0 };
      for (const one of moves) {
        const inside = inPlace[one.set]!;
        if (one.kind === "hire") {
          events.push(returned(one.dives, one.set));
          hired[inside]! += one.dives;
        } else if (!Object.values(inPlace).includes(one.part)) {
          events.push(removed(inside, one.set), fitted(one.part, one.set));
          inPlace[one.set] = one.part;
        }
      }
      const counts = countsAfter(events);
      for (const [part, dives] of Object.entries(hired)) expect(counts.get(part)?.dives ?? 0).toBe(dives);
    }),
    { numRuns: 500 },
  );
});
