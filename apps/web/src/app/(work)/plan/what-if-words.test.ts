import { addDays, day } from "@hangrail/rules/calendar";
import type { FoundView } from "@hangrail/api/plan-view";
import { expect, test } from "vitest";
import { AS_IT_IS } from "./plan-address.ts";
import type { Outlook } from "./plan-types.ts";
import { compared, whatIfText } from "./what-if-words.ts";

const outlook = {
  weeks: Array.from({ length: 10 }, (_, week) => addDays(day("2027-08-02"), 7 * week)),
  technicians: [{ id: "t", name: "Tove Stone" }] as unknown as Outlook["technicians"],
  kits: [{ id: "k", name: "Seal kit" }] as unknown as Outlook["kits"],
};

test("what is supposed is told in one sentence", () => {
  expect(whatIfText(AS_IT_IS, outlook)).toBe("");
  expect(whatIfText({ ...AS_IT_IS, away: [{ staffId: "t", fromWeek: 0, untilWeek: 2 }] }, outlook)).toBe("Tove Stone is away from week 31 (2 Aug) until week 33 (16 Aug)");
  expect(whatIfText({ away: [{ staffId: "t", fromWeek: 1, untilWeek: 1 }], lateKits: [{ kitId: "k", weeks: 3 }], demand: [{ fromWeek: 0, untilWeek: 0, percent: 130 }] }, outlook)).toBe(
    "Tove Stone is away in week 32 (9 Aug), Seal kit on order comes 3 weeks later and bookings are 130 % of what they are in week 31 (2 Aug)",
  );
});

const plan = (over: Partial<FoundView["score"]>): FoundView => ({
  lines: [{ setId: "a", week: 1 }, { setId: "b", week: null }],
  violations: [],
  score: { shortage: 0, lost: 4, waste: 3, late: 0, undone: 0, level: 1, total: 50, ...over },
  reasons: [],
  weeks: [{ going: 1, load: 90, room: 240, kits: [] }],
  cover: [],
  toOrder: [],
  bound: 50,
  gap: 0,
  by: "solver",
  end: "optimal",
});

test("of each number the smaller is the better; what only counts is not judged", () => {
  const rows = compared(plan({}), null, plan({ shortage: 2, lost: 1 }));
  const of = (what: string) => rows.find((row) => row.what === what);
  expect(of("Bookings without a set")).toEqual({ what: "Bookings without a set", now: "0", other: "2", better: "now" });
  expect(of("Weeks sets are off the desk")).toMatchObject({ now: "4", other: "1", better: "other" });
  expect(of("Weeks serviced late")).toMatchObject({ better: null });
  expect(of("Work in the fullest week")).toMatchObject({ now: "1 h 30 min", better: null });
  expect(of("Sets serviced")).toMatchObject({ now: "1", better: null });
  expect(of("How good it is proven to be")).toMatchObject({ now: "Moved by hand: not proven.", other: "Proven: no plan can be better." });
});
