import { describe, expect, test } from "vitest";
import { aComponent, aPolicy, TODAY } from "../testing/index.ts";
import { day } from "./calendar.ts";
import { DUE_CASES } from "./due-dates.cases.ts";
import { decidingLimb, dueOf, fallsDue, firstDayOfUse, limbsFallingDue, overdueLimbs } from "./due-dates.ts";
import type { WorkDue } from "./due-dates.ts";

const policy = aPolicy();

test.each(DUE_CASES)("$name ($source)", ({ facts, today, service, inspection }) => {
  const due = dueOf(aComponent(facts), policy, day(today));
  if (service !== undefined) expect(due?.service).toMatchObject(service);
  if (inspection === null) expect(due).toHaveProperty("inspection", null);
  else if (inspection !== undefined) expect(due?.inspection).toMatchObject(inspection);
});

describe("not judged", () => {
  test("while no limits are recorded", () => {
    expect(dueOf(aComponent({ limits: null }), policy, TODAY)).toBeNull();
  });

  test("while months count from a day nobody knows", () => {
    const found = aComponent({ boughtOn: null, servicedOn: null, inspectedOn: null });
    expect(dueOf(found, policy, TODAY)).toBeNull();
    expect(dueOf(aComponent({ boughtOn: null }), policy, TODAY)?.service.dueOn).toBe("2027-05-03");
  });

  test("when only the inspection counts from an unknown day", () => {
    const limits = {
      service: { months: null, dives: 100, minutes: null },
      inspection: { months: 12, dives: null, minutes: null },
    };
    expect(dueOf(aComponent({ limits, boughtOn: null, servicedOn: null }), policy, TODAY)).toBeNull();
  });

  test("a count that is no number leaves nothing", () => {
    expect(dueOf(aComponent({ divesSinceService: Number.NaN }), policy, TODAY)?.service.state).toBe("overdue");
  });
});

test("a teaching hire caps the service, and says nothing of the inspection", () => {
  const component = aComponent({
    limits: {
      service: { months: 12, dives: 100, minutes: null },
      inspection: { months: 12, dives: null, minutes: null },
    },
  });
  const due = dueOf(component, policy, TODAY, true);
  expect([due?.service.dueOn, due?.inspection?.dueOn]).toEqual(["2026-11-03", "2027-05-03"]);
});

test("the first day of use is not known before the day of purchase is", () => {
  expect(firstDayOfUse({ boughtOn: null, inUseOn: day("2025-01-01") })).toBeNull();
});

describe("a hire", () => {
  const due: WorkDue = { dueOn: day("2026-07-05"), divesLeft: 4, minutesLeft: 240, state: "in-date" };
  const use = { backOn: day("2026-07-05"), dives: 4, minutes: 240 };

  test("may use up the last day, dive and minute", () => {
    expect(fallsDue(due, use)).toBe(false);
    expect(limbsFallingDue(due, use)).toEqual([]);
  });

  test.each([
    [{ backOn: day("2026-07-06") }, "months"],
    [{ dives: 5 }, "dives"],
    [{ minutes: 241 }, "minutes"],
    [{ dives: Number.NaN }, "dives"],
  ] as const)("that takes %o makes the service fall due by its %s", (more, limb) => {
    expect(fallsDue(due, { ...use, ...more })).toBe(true);
    expect(limbsFallingDue(due, { ...use, ...more })).toEqual([limb]);
  });

  test("does not make overdue work fall due once more", () => {
    expect(fallsDue({ ...due, divesLeft: 0, state: "overdue" }, { ...use, dives: 9 })).toBe(false);
  });
});

test("every limb by which work is overdue is named", () => {
  const due: WorkDue = { dueOn: day("2026-07-02"), divesLeft: 0, minutesLeft: 1, state: "overdue" };
  expect(overdueLimbs(due, TODAY)).toEqual(["months", "dives"]);
});

describe("what decides for a set", () => {
  const limits = {
    service: { months: 24, dives: 100, minutes: null },
    inspection: { months: 12, dives: null, minutes: 3000 },
  };
  const judge = (id: string, differing: Parameters<typeof aComponent>[0]) => ({
    id,
    due: dueOf(aComponent({ id, limits, ...differing }), policy, TODAY),
  });

  test("is the earliest day, the fewest dives and minutes, each with its component and work", () => {
    const set = decidingLimb([
      judge("c1", { divesSinceService: 40, minutesSinceInspection: 100 }),
      judge("c2", { servicedOn: day("2025-08-01"), inspectedOn: day("2025-08-01"), divesSinceService: 10 }),
      judge("c3", { divesSinceService: 40, minutesSinceInspection: 200 }),
    ]);
    expect(set).toEqual({
      dueOn: { component: "c2", work: "inspection", value: "2026-08-01" },
      divesLeft: { component: "c1", work: "service", value: 60 },
      minutesLeft: { component: "c2", work: "inspection", value: 1800 },
      notJudged: [],
      state: "in-date",
    });
  });

  test("is not the whole truth with a component that is not judged", () => {
    const set = decidingLimb([judge("c1", {}), { id: "c2", due: null }]);
    expect([set.notJudged, set.state]).toEqual([["c2"], "not-judged"]);
  });

  test("is overdue as soon as one component is", () => {
    expect(decidingLimb([judge("c1", {}), judge("c2", { divesSinceService: 100 }), { id: "c3", due: null }]).state).toBe("overdue");
  });
});
