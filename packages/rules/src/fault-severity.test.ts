import { expect, test } from "vitest";
import { judgeTuning, severityInForce, tunableTo } from "./fault-severity.ts";
import { ACCIDENT, FAULTS } from "./faults.ts";
import type { Severity } from "./hand-out.ts";

const SEVERITIES: readonly Severity[] = ["watch", "hold", "out"];

test("what the list calls out stays out, whatever a site writes", () => {
  const out = FAULTS.filter(({ severity }) => severity === "out");
  expect(out.length).toBeGreaterThan(20);
  for (const { code } of out) {
    expect(tunableTo(code)).toEqual(["out"]);
    for (const severity of SEVERITIES) expect(severityInForce(code, new Map([[code, severity]]))).toBe("out");
  }
  expect(tunableTo(ACCIDENT)).toEqual(["out"]);
});

test("everything else is as the list says until a site says otherwise", () => {
  for (const { code, severity } of FAULTS) {
    expect(severityInForce(code, new Map())).toBe(severity);
    expect(tunableTo(code)).toContain(severity);
    expect(tunableTo(code)).toContain("out");
    for (const own of tunableTo(code)) expect(severityInForce(code, new Map([[code, own]]))).toBe(own);
  }
  expect(tunableTo("SS-01")).toEqual(["watch", "hold", "out"]);
});

test("what may not be kept is named, with what may", () => {
  expect(judgeTuning(new Map<string, Severity>([["SS-01", "out"], ["FS-01", "hold"], ["XX-01", "out"]]))).toEqual([
    { code: "FS-01", problem: "too-mild", may: ["out"] },
    { code: "XX-01", problem: "no-such-code", may: [] },
  ]);
});
