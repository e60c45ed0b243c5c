import type { DueView } from "@hangrail/api/plan-view";
import type { PlanStop } from "@hangrail/rules/plan-ledger";
import type { PlanReason, WeekChoice } from "@hangrail/rules/plan-reasons";
import { addDays, day } from "@hangrail/rules/calendar";
import { expect, test } from "vitest";
import { actText, choiceText, differenceText, doubtText, dueText, gapText, kindText, missingText, progressText, reasonText, reliefText, sinceText, stopText, unplannedText, violationText, type PlanNames } from "./plan-words.ts";

const names: PlanNames = {
  mondays: Array.from({ length: 10 }, (_, week) => addDays(day("2027-08-02"), 7 * week)),
  set: (id) => `R-${id}`,
  booking: (id) => `kind ${id}`,
  kit: (id) => `Kit ${id}`,
};
const stopped = (week: number, by: PlanStop): WeekChoice => ({ week, choice: "stopped", by });
const possible = (week: number, cost: number, short: { week: number; sets: number }[] = []): WeekChoice => ({ week, choice: "possible", cost, short });

test.each<[number | null, PlanReason, string]>([
  [1, { why: "locked" }, "You fixed it in week 32."],
  [null, { why: "locked" }, "You fixed it: no service in these weeks."],
  [null, { why: "not-due" }, "In date to the end of these weeks."],
  [3, { why: "due-week" }, "In the last week it may be hired before it falls due: none of its service life is thrown away."],
  [0, { why: "overdue" }, "Overdue now, so in the first week."],
  [1, { why: "early", weeks: 1, against: [possible(2, 3)] }, "1 week before it falls due, because in week 33 it would cost more, in bench crowding or service life."],
  [
    1,
    { why: "early", weeks: 4, against: [stopped(2, { stop: "bench", minutesOver: 90 }), stopped(3, { stop: "bench", minutesOver: 60 }), possible(4, 200, [{ week: 4, sets: 2 }, { week: 5, sets: 1 }]), stopped(5, { stop: "kits", kit: "a", week: 7 })] },
    "4 weeks before it falls due, because in weeks 33 and 34 the bench is full; in week 35 it would leave 2 bookings without a set in week 35 and 1 in week 36; in week 36 Kit a would run out by week 38.",
  ],
  [5, { why: "late", weeks: 2, against: [stopped(3, { stop: "promised", week: 3 }), stopped(4, { stop: "technicians", makers: ["Tarnfell", "Skerry"] })] }, "2 weeks after it falls due, and off the desk in between, because in week 34 it is out with a hirer; in week 35 nobody authorised for Tarnfell and Skerry has hours left."],
  [null, { why: "left", against: [stopped(0, { stop: "on-bench", week: 0 })] }, "It falls due and no week takes it: off the desk from then on, because in week 31 it is on the bench already."],
  [1, { why: "early", weeks: 1, against: [possible(2, 0)] }, "1 week before it falls due, because in week 33 it would do as well."],
])("why in week %s: %o", (week, reason, words) => {
  expect(reasonText(week, reason, names)).toBe(words);
});

test("a gap is promised no better than it is proven", () => {
  expect(gapText(0)).toBe("Proven: no plan can be better.");
  expect(gapText(0.0031)).toBe("No plan can be better by more than 0.4 %.");
  expect(gapText(0.004)).toBe("No plan can be better by more than 0.4 %.");
  expect(gapText(0.00001)).toBe("No plan can be better by more than 0.1 %.");
  expect(gapText(0.52)).toBe("No plan can be better by more than 52 %.");
});

const same = { shortage: 0, lost: 0, waste: 0, late: 0, undone: 0, level: 0 };

test("a move is told by what it costs first, then by what it saves", () => {
  expect(differenceText(same, [], names)).toBe("It makes no difference that counts.");
  expect(differenceText({ ...same, shortage: 2, waste: 3 }, [{ week: 1, sets: 1 }, { week: 1, sets: 1 }], names)).toBe("Costs 2 ready sets in week 32; wastes 3 weeks of service life.");
  expect(differenceText({ ...same, waste: -3, level: 0.4 }, [], names)).toBe("Saves 3 weeks of service life. It costs nothing.");
  expect(differenceText({ ...same, late: 1, lost: 1, waste: -2 }, [{ week: 2, sets: -1 }], names)).toBe("Keeps sets off the desk 1 week longer; services 1 week later than due. In return it gives 1 ready set back in week 33; saves 2 weeks of service life.");
  expect(differenceText({ ...same, undone: 1 }, [{ week: 0, sets: 1 }, { week: 2, sets: 1 }], names)).toBe("Costs 1 ready set each in weeks 31 and 33; leaves 1 set overdue at the end.");
  expect(differenceText({ ...same, undone: -1, lost: -3, late: -1 }, [], names)).toBe("Brings 1 set back into date; keeps sets on the desk 3 weeks longer; services 1 week less late. It costs nothing.");
  expect(differenceText({ ...same, level: 1.4 }, [], names)).toBe("Crowds the bench a little more.");
  expect(differenceText({ ...same, level: -1.4 }, [], names)).toBe("Spreads the bench work a little better. It costs nothing.");
});

test("what another week would mean", () => {
  expect(choiceText(stopped(2, { stop: "kits", kit: "a", week: 2 }), names)).toBe("Not possible: Kit a would run out by week 33.");
  expect(choiceText(possible(2, 100, [{ week: 4, sets: 1 }]), names)).toBe("Leaves 1 booking without a set in week 35.");
  expect(choiceText(possible(2, -1), names)).toBe("Better than where it is.");
  expect(choiceText(possible(2, 0), names)).toBe("As good as where it is.");
  expect(choiceText(possible(2, 1), names)).toBe("Possible, at the price of bench crowding or service life.");
  expect(choiceText(possible(2, 5), names, 4)).toBe("Throws away 2 weeks of its service life.");
  expect(choiceText(possible(6, 5, [{ week: 6, sets: 1 }]), names, 4)).toBe("Keeps it off the desk 2 weeks before its service; leaves 1 booking without a set in week 37.");
  expect(choiceText(possible(1, 5), names, -3)).toBe("Keeps it off the desk 2 weeks before its service.");
  expect(choiceText({ week: null, choice: "possible", cost: 80, short: [] }, names, 4)).toBe("Leaves it off the desk once it is due.");
  expect(choiceText(possible(3, -2), names, 4)).toBe("Better than where it is, though it throws away 1 week of its service life.");
  expect(stopText({ stop: "on-bench", week: 0 }, names)).toBe("it is on the bench already");
});

test("each broken rule and each relief names the week and what is short", () => {
  expect(violationText({ rule: "bench", week: 1, minutesOver: 30 }, names)).toBe("In week 32 the bench has 30 min too little for the work.");
  expect(violationText({ rule: "technicians", week: 1, makers: ["Tarnfell"], minutesOver: 60 }, names)).toBe("In week 32 those authorised for Tarnfell have 1 h too little.");
  expect(violationText({ rule: "kits", kit: "a", week: 2, short: 3 }, names)).toBe("By week 33 3 kits of Kit a would be missing.");
  expect(violationText({ rule: "lock", set: "7", week: null }, names)).toBe("Set R-7 is fixed to stay off the bench, and the plan puts it elsewhere.");
  expect(violationText({ rule: "lock", set: "7", week: 0 }, names)).toBe("Set R-7 is fixed in week 31, and the plan puts it elsewhere.");
  expect(violationText({ rule: "promised", set: "7", week: 0 }, names)).toBe("Set R-7 is out with a hirer in week 31.");
  expect(violationText({ rule: "on-bench", set: "7", week: 0 }, names)).toBe("Set R-7 is on the bench already in week 31.");
  expect(violationText({ rule: "line", set: "7" }, names)).toBe("Set R-7 has no place in this plan. Work it out again.");
  expect(reliefText({ short: "technician", maker: "Tarnfell", week: 1, minutes: 150 }, names)).toBe("2 h 30 min more of a technician authorised for Tarnfell in week 32 (9 Aug)");
  expect(reliefText({ short: "bench", week: 1, minutes: 60 }, names)).toBe("1 h more bench time in week 32 (9 Aug); the technicians have the hours");
  expect(reliefText({ short: "kit", kit: "a", week: 0, count: 1 }, names)).toBe("1 kit of Kit a more in hand by week 31 (2 Aug)");
  expect(reliefText({ short: "set", booking: "b", week: 0, sets: 2 }, names)).toBe("2 sets borrowed for kind b in week 31 (2 Aug), or as many bookings turned down");
});

test("when a set falls due is told with how far it may be off, and an unknown is never a day", () => {
  const lead = { component: "1", role: "first-stage", name: "Beck 10 K-1", work: "service", limb: "dives" } as const;
  const due = (low: string | null, middle: string | null, high: string | null, more: Partial<DueView> = {}): DueView => ({
    answer: "falls-due",
    low: low === null ? null : day(low),
    middle: middle === null ? null : day(middle),
    high: high === null ? null : day(high),
    leads: [lead],
    perWeek: null,
    borrowed: null,
    ...more,
  });
  expect(dueText(due("2027-02-03", "2027-02-20", "2027-03-09"))).toBe("Falls due between 3 Feb and 9 Mar 2027, most likely by 20 Feb: service of Beck 10 K-1, by dives.");
  expect(dueText(due("2026-12-20", "2027-01-02", null, { perWeek: 3.25, borrowed: 0.8 }))).toBe(
    "Falls due between 20 Dec 2026 and some day after the time looked at, most likely by 2 Jan: service of Beck 10 K-1, by dives, at about 3.3 dives a week, mostly reckoned from others of its kind.",
  );
  expect(dueText(due("2027-02-03", "2027-02-03", "2027-02-03", { leads: [{ ...lead, limb: "months" }], perWeek: 2 }))).toBe("Falls due on 3 Feb 2027: service of Beck 10 K-1, by date.");
  expect(dueText(due(null, null, null, { answer: "beyond", leads: [] }))).toBe("Not due within the time looked at, with nine chances in ten.");
  expect(dueText(due(null, null, null, { answer: "overdue" }))).toBe("Overdue: service of Beck 10 K-1, by dives.");
  expect(dueText(due(null, null, null, { answer: "not-judged", leads: [] }))).toBe("Not judged: no limits, or a count nobody knows.");
  expect(dueText(due(null, null, null, { answer: "too-little-known" }))).toBe("Too little is known of the use of Beck 10 K-1, by dives.");
  expect(dueText(due(null, null, null, { answer: "too-little-known", leads: [lead, { ...lead, limb: "minutes" }, { ...lead, name: "Beck S K-2" }] }))).toBe("Too little is known of the use of 2 parts, by dives and hours.");
});

test("what is not known is told with what is taken instead, or what would make it known", () => {
  expect(doubtText(null)).toBeNull();
  for (const doubt of ["count-unknown", "limits-missing", "too-little-known"] as const) expect(doubtText(doubt)).toMatch(/[sS]o it counts as due/);
  expect(unplannedText({ why: "limits-missing", components: [{ component: "1", role: "first-stage", name: "Beck 10 K-1" }] })).toBe("No limits are accepted for its model (Beck 10 K-1): enter them from the manual.");
  for (const why of ["evidence-lock", "count-unknown", "too-little-known", "no-components"] as const) expect(unplannedText({ why, components: [] })).toMatch(/^[A-Z].*\.$/);
  expect(missingText({ missing: "bench-hours" })).toBe("Nobody's hours at the bench are entered, so no week has room for work.");
  expect(missingText({ missing: "authorisation", makers: ["Tarnfell", "Skerry"] })).toBe("Nobody here is authorised for Tarnfell and Skerry in these weeks, so those sets cannot be planned.");
  expect(missingText({ missing: "lead-time", kits: ["Seal kit"] })).toContain("not recorded for Seal kit");
  expect(missingText({ missing: "bookings" })).toContain("No bookings");
  for (const missing of ["bench-minutes", "kit-list"] as const) expect(missingText({ missing, models: ["Beck 10"] })).toContain("is not recorded for Beck 10");
});

test("a kind of booking says what it asks for and no more", () => {
  expect(kindText({ connection: null, cold: false, o2Tenths: 210, teaching: false })).toBe("any connection");
  expect(kindText({ connection: "yoke", cold: true, o2Tenths: 325, teaching: true })).toBe("yoke (A-clamp), cold water, to 32.5 % oxygen, teaching");
});

test("what happened to a set is told in the words of the acts", () => {
  expect(sinceText("R-014", [])).toBe("Set R-014 changed.");
  expect(sinceText("R-014", ["handed-out"])).toMatch(/^Set R-014 since: .+\.$/);
  expect(actText("no-such-act")).toBe("something recorded");
});

test("a search tells how long it has run and how good what it has is", () => {
  expect(progressText({ event: "progress", looking: "plan", seconds: 0.2, best: null, bound: null })).toBe("Being worked out for 1 s…");
  expect(progressText({ event: "progress", looking: "plan", seconds: 3.2, best: 100, bound: 97.95 })).toBe("Being worked out for 3 s. No plan can be better by more than 2.1 %.");
  expect(progressText({ event: "progress", looking: "plan", seconds: 3, best: 0, bound: 0 })).toBe("Being worked out for 3 s…");
  expect(progressText({ event: "progress", looking: "cover", seconds: 5, best: 1, bound: 0 })).toContain("fewer bookings without a set");
  expect(progressText({ event: "progress", looking: "relief", seconds: 5, best: null, bound: null })).toContain("cheapest relief");
});
