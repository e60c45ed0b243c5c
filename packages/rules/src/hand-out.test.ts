import { describe, expect, test } from "vitest";
import { aComponent, aHire, aPolicy, aSet, TODAY, wholeSet } from "../testing/index.ts";
import { day } from "./calendar.ts";
import { HAND_OUT_CASES } from "./hand-out.cases.ts";
import { clearedBy, decideHandOut, HOLD_ORDER, standingHolds } from "./hand-out.ts";
import type { SetFacts } from "./hand-out.ts";

const policy = aPolicy();
const inShort = (of: readonly { code: string; component: string | null }[]): string[] =>
  of.map(({ code, component }) => (component === null ? code : `${code} ${component}`));

test.each(HAND_OUT_CASES)("$name ($source)", ({ components, hire, policy: differing, today, holds, cautions = [] }) => {
  const decision = decideHandOut(aSet(), wholeSet(components), aHire(hire), aPolicy(differing), today ? day(today) : TODAY);
  expect(inShort(decision.holds)).toEqual(holds);
  expect(inShort(decision.cautions)).toEqual(cautions);
  expect(decision.answer).toBe(holds.length === 0 ? "hand-out" : "hold");
});

describe("a set as a whole", () => {
  test.each([
    [{ evidenceLock: true }, "evidence-lock"],
    [{ retired: true }, "retired"],
    [{ out: true }, "out"],
    [{ here: false }, "elsewhere"],
    [{ restored: true }, "restored"],
    [{ openFaults: ["hold"] }, "fault"],
    [{ released: false }, "not-released"],
    [{ cleaning: "to-clean" }, "not-clean"],
    [{ cleaning: "in-bath" }, "not-clean"],
    [{ cleaning: "drying" }, "not-clean"],
  ] as const satisfies readonly (readonly [Partial<SetFacts>, string])[])("with %o stays: %s", (fact, code) => {
    const decision = decideHandOut(aSet(fact), wholeSet(), aHire(), policy, TODAY);
    expect(inShort(decision.holds)).toEqual([code]);
  });

  test("with a fact missing from it stays", () => {
    const nothing = { openFaults: [] } as unknown as SetFacts;
    expect(inShort(decideHandOut(nothing, wholeSet(), aHire(), policy, TODAY).holds)).toEqual([
      "evidence-lock", "retired", "out", "elsewhere", "restored", "not-released", "not-clean",
    ]);
  });

  test("with a transmitter in the gauge's stead is incomplete", () => {
    const components = wholeSet().map((one) => (one.role === "gauge" ? aComponent({ role: "transmitter" }) : one));
    expect(decideHandOut(aSet(), components, aHire(), policy, TODAY).holds).toEqual([
      { code: "incomplete", component: null, missing: ["gauge"], tooMany: [] },
    ]);
  });

  test("with two first stages is no set", () => {
    const components = [...wholeSet(), aComponent({ id: "another" })];
    expect(decideHandOut(aSet(), components, aHire(), policy, TODAY).holds).toEqual([
      { code: "incomplete", component: null, missing: [], tooMany: ["first-stage"] },
    ]);
  });

  test("without any component stays", () => {
    expect(inShort(decideHandOut(aSet(), [], aHire(), policy, TODAY).holds)).toEqual(["incomplete"]);
  });
});

test("names every hold at once, so the desk asks the bench one question", () => {
  const components = wholeSet({
    "first-stage": { divesSinceService: 98 },
    primary: { openFaults: ["watch", "hold"], pairingApproved: false },
    gauge: { notice: "open", openFaults: ["hold", "out", "hold"] },
  });
  expect(decideHandOut(aSet({ cleaning: "drying" }), components, aHire(), policy, TODAY)).toEqual({
    answer: "hold",
    holds: [
      { code: "notice", component: "gauge" },
      { code: "fault", component: "primary", severity: "hold" },
      { code: "fault", component: "gauge", severity: "out" },
      { code: "service-falls-due", component: "first-stage", limbs: ["dives"], dueOn: "2027-05-03", divesLeft: 2, minutesLeft: null },
      { code: "not-clean", component: null, cleaning: "drying" },
      { code: "pairing", component: "primary", recorded: true },
    ],
    cautions: [{ code: "watch-fault", component: "primary" }],
  });
});

test("a teaching hire may make a service overdue that is in date for anybody else", () => {
  const components = wholeSet({ primary: { servicedOn: day("2026-01-02") } });
  expect(decideHandOut(aSet(), components, aHire(), policy, TODAY).answer).toBe("hand-out");
  expect(inShort(decideHandOut(aSet(), components, aHire({ teaching: true }), policy, TODAY).holds)).toEqual(["service-overdue primary"]);
});

test("a plan that is no number holds", () => {
  const nonsense = aHire({ dives: Number.NaN, o2Tenths: Number.NaN, waterTenthsC: Number.NaN, cylinder: { connection: "din-232", centibar: Number.NaN } });
  const codes = new Set(decideHandOut(aSet(), wholeSet(), nonsense, policy, TODAY).holds.map(({ code }) => code));
  expect([...codes]).toEqual(["service-falls-due", "pressure", "oxygen", "cold"]);
});

describe("what stands whatever the hire is", () => {
  test("is nothing for a set in order, though not every hire suits it", () => {
    const components = wholeSet({ "first-stage": { connection: "yoke", divesSinceService: 99 } });
    expect(standingHolds(aSet(), components, policy, TODAY)).toEqual([]);
    expect(inShort(decideHandOut(aSet(), components, aHire(), policy, TODAY).holds)).toEqual([
      "service-falls-due first-stage", "connection first-stage",
    ]);
  });

  test("is overdue work, a notice, what is not judged and what is missing", () => {
    const components = wholeSet({ primary: { limits: null }, gauge: { divesSinceService: 100 }, alternate: { notice: "check" } }).slice(1);
    expect(inShort(standingHolds(aSet(), components, policy, TODAY))).toEqual([
      "notice-check alternate", "service-overdue gauge", "not-judged primary", "incomplete",
    ]);
  });
});

test("every hold has somebody who clears it", () => {
  for (const code of HOLD_ORDER) expect(clearedBy(code).length).toBeGreaterThan(0);
  expect([clearedBy("fault", "out"), clearedBy("fault", "hold")]).toEqual([["technician"], ["desk", "technician"]]);
});
