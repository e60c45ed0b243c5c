import { expect, test } from "vitest";
import { beforeRelease, blocksOf, soonDue, type ShownSet } from "./blocks.ts";

type Hold = ShownSet["holds"][number];

const inDate: ShownSet["due"] = { dueOn: null, divesLeft: null, minutesLeft: null, notJudged: [], state: "in-date" };
const notClean: Hold = { code: "not-clean", component: null, cleaning: "to-clean" };
const notReleased: Hold = { code: "not-released", component: null };
const overdue: Hold = { code: "service-overdue", component: "c1", limbs: ["months"], dueOn: "2026-05-01" as never, divesLeft: null, minutesLeft: null };
const fault: Hold = { code: "fault", component: null, severity: "out" };
const limits: Hold = { code: "not-judged", component: "c1" };

const aSet = (tag: string, holds: readonly Hold[], due: Partial<ShownSet["due"]> = {}): ShownSet => ({ setId: tag, tag, state: "held", holds: [...holds], due: { ...inDate, ...due }, parts: [], openFaults: [] });
const dueOn = (day: string) => ({ component: "c1", work: "service", value: day }) as NonNullable<ShownSet["due"]["dueOn"]>;
const tags = (sets: readonly ShownSet[]) => sets.map((set) => set.tag);

test("each set stands where its next step is, and only there", () => {
  const blocks = blocksOf([aSet("A", [fault, overdue, notReleased]), aSet("B", [overdue, notReleased]), aSet("C", [notReleased, notClean]), aSet("D", [limits]), aSet("E", [notClean])]);
  expect([blocks.taggedOut, blocks.dueWork, blocks.toRelease, blocks.otherwiseHeld].map(tags)).toEqual([["A"], ["B"], ["C"], ["D"]]);
});

test("the longest overdue comes first, and a set read twice stands once", () => {
  const late = aSet("L", [overdue], { dueOn: dueOn("2026-01-01") });
  const later = aSet("M", [overdue], { dueOn: dueOn("2026-02-01") });
  const byDives = aSet("N", [overdue]);
  expect(tags(blocksOf([byDives, later, late, late]).dueWork)).toEqual(["L", "M", "N"]);
});

test("what a release would leave standing comes before it; the wash comes after", () => {
  expect(beforeRelease(aSet("C", [notReleased, notClean]))).toEqual([]);
  expect(beforeRelease(aSet("D", [limits, notReleased]))).toEqual([limits]);
});

test("soon is a month or ten dives, for sets in date", () => {
  const today = "2026-06-01";
  const rows = [aSet("day", [], { dueOn: dueOn("2026-07-01") }), aSet("off", [], { dueOn: dueOn("2026-07-02") }), aSet("gone", [], { dueOn: dueOn("2026-05-01"), state: "overdue" })];
  expect(tags(soonDue(rows, today))).toEqual(["day"]);
});
