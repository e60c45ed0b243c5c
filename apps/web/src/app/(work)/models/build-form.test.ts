import { expect, test } from "vitest";
import { buildLines, openBuild, readBuild } from "./build-form.ts";

test("what is left empty is not recorded, and never nought", () => {
  expect(readBuild({ ...openBuild(null), lpPorts: "4", lpHalfInchPorts: "0", page: "page 2" }, "first-stage")).toEqual({
    build: { balance: null, hpPorts: null, lpPorts: 4, lpHalfInchPorts: 0, plugsInto: null, serviceMinutes: null, inspectionMinutes: null, page: "page 2" },
  });
  expect(buildLines({ balance: null, hpPorts: null, lpPorts: 4, lpHalfInchPorts: 0, plugsInto: null, serviceMinutes: 90, inspectionMinutes: null }, "first-stage").map(([, value]) => value)).toEqual([
    "not recorded", "not recorded", "4 ports", "0 ports", "1 h 30 min", "not recorded",
  ]);
});

test("what is no number of ports or minutes is asked again, and the page always", () => {
  const answer = readBuild({ ...openBuild(null), hpPorts: "11", lpPorts: "four", serviceMinutes: "0", page: "" }, "first-stage");
  expect(Object.keys("problems" in answer ? answer.problems : {}).sort()).toEqual(["hpPorts", "lpPorts", "page", "serviceMinutes"]);
});

test("only a first stage has ports, only other parts a thread", () => {
  const form = { ...openBuild(null), balance: "balanced", plugsInto: "lp-3/8", lpPorts: "4", page: "p" } as const;
  expect(readBuild(form, "first-stage")).toMatchObject({ build: { balance: "balanced", plugsInto: null, lpPorts: 4 } });
  expect(readBuild(form, "second-stage")).toMatchObject({ build: { balance: null, plugsInto: "lp-3/8", lpPorts: null } });
});
