import { expect, test } from "vitest";
import { blocksOf, type ShownSet } from "./blocks.ts";

type Hold = ShownSet["holds"][number];

const due: ShownSet["due"] = { dueOn: null, divesLeft: null, minutesLeft: null, notJudged: [], state: "in-date" };
const notClean: Hold = { code: "not-clean", component: null, cleaning: "to-clean" };
const notReleased: Hold = { code: "not-released", component: null };
const overdue: Hold = { code: "service-overdue", component: "c1", limbs: ["months"], dueOn: "2026-05-01" as never, divesLeft: null, minutesLeft: null };
const fault: Hold = { code: "fault", component: null, severity: "out" };
const sealed: Hold = { code: "evidence-lock", component: null };
const limits: Hold = { code: "not-judged", component: "c1" };

const aSet = (tag: string, holds: readonly Hold[], state: ShownSet["state"] = "held"): ShownSet => ({ setId: tag, tag, state, holds: [...holds], due, parts: [], openFaults: [] });
const tags = (sets: readonly ShownSet[]) => sets.map((set) => set.tag);

test("each set stands where its next step is, and what has work to do stands in the queue alone", () => {
  const blocks = blocksOf([
    aSet("sealed", [sealed, fault, notReleased]),
    aSet("faulty", [fault, notReleased]),
    aSet("overdue", [overdue, notReleased]),
    aSet("worked on", [notReleased, notClean], "on-the-bench"),
    aSet("parked", [notReleased, notClean], "awaiting-parts"),
    aSet("to release", [notReleased, notClean]),
    aSet("not judged", [limits]),
    aSet("to wash", [notClean]),
  ]);
  expect([blocks.sealed, blocks.toRelease, blocks.otherwiseHeld].map(tags)).toEqual([["sealed"], ["to release"], ["not judged"]]);
});

test("a set read twice stands once", () => {
  const set = aSet("A", [notReleased]);
  expect(tags(blocksOf([set, set]).toRelease)).toEqual(["A"]);
});
