import { expect, test } from "vitest";
import { decideFitting, judgeCompleteness, portOf } from "./assembly.ts";
import { kindIn, maySitIn, ROLES, rolesOf } from "./models.ts";
import type { Role } from "./models.ts";

const set = (...roles: Role[]) => roles.map((role, at) => ({ role, component: `c${at + 1}` }));

test("a set is whole with one first stage, one primary, an alternate and a gauge", () => {
  expect(judgeCompleteness(set("first-stage", "primary", "alternate", "gauge"))).toEqual({ missing: [], tooMany: [] });
  expect(judgeCompleteness(set("first-stage", "primary", "primary", "transmitter"))).toEqual({ missing: ["alternate", "gauge"], tooMany: ["primary"] });
  expect(judgeCompleteness([])).toEqual({ missing: ["first-stage", "primary", "alternate", "gauge"], tooMany: [] });
});

test("a part goes where its kind belongs, into a free place, out of no other set", () => {
  const whole = set("first-stage", "primary", "hose");
  const second = { kind: "second-stage", inSet: null } as const;
  expect(decideFitting(whole, second, "alternate")).toEqual({ answer: "fit" });
  expect(decideFitting(whole, { kind: "hose", inSet: null }, "hose")).toEqual({ answer: "fit" });
  expect(decideFitting(whole, second, "primary")).toEqual({ answer: "refuse", reasons: [{ code: "position-taken", role: "primary", by: "c2" }] });
  expect(decideFitting(whole, { kind: "gauge", inSet: "R-002" }, "primary")).toEqual({
    answer: "refuse",
    reasons: [
      { code: "wrong-position", kind: "gauge", role: "primary" },
      { code: "position-taken", role: "primary", by: "c2" },
      { code: "already-fitted", inSet: "R-002" },
    ],
  });
});

test("every position takes exactly one kind of model", () => {
  for (const role of ROLES) {
    expect(maySitIn(kindIn(role), role)).toBe(true);
    expect(rolesOf(kindIn(role))).toContain(role);
  }
  expect(rolesOf("second-stage")).toEqual(["primary", "alternate"]);
  expect(maySitIn("first-stage", "primary")).toBe(false);
});

test("gauge and transmitter hang on high pressure, what is breathed on low", () => {
  expect(ROLES.map(portOf)).toEqual([null, "low-pressure", "low-pressure", "high-pressure", "low-pressure", null, "high-pressure"]);
});
