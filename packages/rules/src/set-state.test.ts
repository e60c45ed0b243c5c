import fc from "fast-check";
import { expect, test } from "vitest";
import { componentsNearTheirLimits, setInAnyState } from "../testing/generators.ts";
import { aPolicy, aSet, TODAY, wholeSet } from "../testing/index.ts";
import { standingHolds } from "./hand-out.ts";
import type { ComponentFacts, SetFacts } from "./hand-out.ts";
import { stateOf } from "./set-state.ts";
import type { BenchPlace } from "./set-state.ts";

const policy = aPolicy();
const stateWith = (set: Partial<SetFacts>, components: readonly ComponentFacts[] = wholeSet(), bench: BenchPlace = "none") =>
  stateOf(aSet(set), standingHolds(aSet(set), components, policy, TODAY), bench);

test.each([
  ["ready", {}],
  ["out", { out: true, cleaning: "to-clean" }],
  ["to-clean", { cleaning: "to-clean" }],
  ["in-bath", { cleaning: "in-bath" }],
  ["drying", { cleaning: "drying" }],
  ["tagged-out", { openFaults: ["out"], cleaning: "to-clean" }],
  ["to-release", { released: false, cleaning: "to-clean" }],
  ["retired", { retired: true, openFaults: ["out"] }],
  ["evidence-lock", { evidenceLock: true, retired: true, out: true }],
  ["held", { here: false }],
] as const satisfies readonly (readonly [string, Partial<SetFacts>])[])("shows %s for %o", (state, set) => {
  expect(stateWith(set)).toBe(state);
});

test("shows where it is while the bench has it", () => {
  expect(stateWith({ openFaults: ["out"] }, wholeSet(), "on-the-bench")).toBe("on-the-bench");
  expect(stateWith({ released: false }, wholeSet(), "awaiting-parts")).toBe("awaiting-parts");
  expect(stateWith({ out: true }, wholeSet(), "on-the-bench")).toBe("out");
});

test("is tagged out by a component's fault, and held by overdue work, a notice or missing limits", () => {
  expect(stateWith({}, wholeSet({ gauge: { openFaults: ["hold"] } }))).toBe("tagged-out");
  expect(stateWith({}, wholeSet({ gauge: { openFaults: ["watch"] } }))).toBe("ready");
  expect(stateWith({}, wholeSet({ gauge: { divesSinceService: 100 } }))).toBe("held");
  expect(stateWith({}, wholeSet({ gauge: { notice: "open" } }))).toBe("held");
  expect(stateWith({}, wholeSet({ gauge: { limits: null } }))).toBe("held");
});

test("ready is shown of a set exactly when nothing stands against it and the bench has not got it", () => {
  fc.assert(
    fc.property(setInAnyState, componentsNearTheirLimits, fc.constantFrom<BenchPlace>("none", "on-the-bench"), (set, components, bench) => {
      const standing = standingHolds(set, components, policy, TODAY);
      expect(stateOf(set, standing, bench) === "ready").toBe(standing.length === 0 && bench === "none");
    }),
    { numRuns: 500 },
  );
});
