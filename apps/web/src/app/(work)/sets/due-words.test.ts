import { day } from "@hangrail/rules/calendar";
import { expect, test } from "vitest";
import { setDueLines, workDueText } from "./due-words.ts";

const today = day("2026-11-25");
const name = (id: string) => (id === "c1" ? "first stage K-1" : "primary second stage K-2");

test("each limb names the component and the work that decide it", () => {
  const due = { dueOn: { component: "c1", work: "service", value: day("2027-03-12") }, divesLeft: { component: "c2", work: "inspection", value: 1 }, minutesLeft: null, notJudged: [], state: "in-date" } as const;
  expect(setDueLines(due, today, name)).toEqual([
    { limb: "months", value: "12 Mar 2027 (in 107 days)", overdue: false, decides: "service of the first stage K-1, by date" },
    { limb: "dives", value: "1 dive left", overdue: false, decides: "inspection of the primary second stage K-2, by dives" },
  ]);
});

test("an overdue limb leads, and the due day itself is not overdue", () => {
  const due = { dueOn: { component: "c1", work: "service", value: today }, divesLeft: { component: "c2", work: "service", value: 0 }, minutesLeft: null, notJudged: [], state: "overdue" } as const;
  const [first, second] = setDueLines(due, today, name);
  expect(first).toMatchObject({ limb: "dives", overdue: true, value: "0 dives left" });
  expect(second).toMatchObject({ limb: "months", overdue: false, value: "25 Nov 2026 (today)" });
});

test("work overdue says by which limb", () => {
  expect(workDueText({ dueOn: day("2026-11-24"), divesLeft: -3, minutesLeft: null, state: "overdue" }, today)).toBe("overdue by date and dives: 24 Nov 2026 (yesterday), 3 dives over the limit");
  expect(workDueText({ dueOn: null, divesLeft: null, minutesLeft: null, state: "in-date" }, today)).toBe("the maker sets no limit");
});
