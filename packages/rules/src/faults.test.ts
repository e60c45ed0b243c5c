import { expect, test } from "vitest";
import { FAULTS, faultOf, faultsAt, isFaultCode, mayTune, opensEvidenceLock } from "./faults.ts";
import { MODEL_KINDS } from "./models.ts";

test("the list has each code once, in desk words", () => {
  expect(FAULTS).toHaveLength(41);
  expect(new Set(FAULTS.map(({ code }) => code)).size).toBe(41);
  expect(new Set(FAULTS.map(({ words }) => words)).size).toBe(41);
  for (const { code } of FAULTS) expect(code).toMatch(/^(FS|SS|PG|HO|IN|TX|GN)-\d\d$/);
});

test("every fault is found at some kind of component or on the set", () => {
  const found = [...MODEL_KINDS, "set" as const].flatMap((where) => faultsAt(where));
  expect(found).toHaveLength(FAULTS.length);
  expect(faultsAt("transmitter").map(({ code }) => code)).toEqual(["TX-01", "TX-02"]);
});

test("what the list calls out is never taken more lightly", () => {
  for (const { code, severity } of FAULTS) {
    expect(mayTune(code, "out")).toBe(true);
    expect(mayTune(code, severity)).toBe(true);
    if (severity === "out") expect([mayTune(code, "hold"), mayTune(code, "watch")]).toEqual([false, false]);
  }
  expect([mayTune("SS-05", "hold"), mayTune("FS-09", "out"), mayTune("SS-07", "watch")]).toEqual([true, true, true]);
});

test("only an accident seals the set", () => {
  expect(FAULTS.filter(({ code }) => opensEvidenceLock(code)).map(({ code }) => code)).toEqual(["GN-03"]);
  expect(faultOf("GN-03").severity).toBe("out");
});

test("a code that is none is said to be none", () => {
  expect([isFaultCode("FS-01"), isFaultCode("FS-99"), isFaultCode("toString")]).toEqual([true, false, false]);
  expect(() => faultOf("FS-99" as "FS-01")).toThrow('There is no fault code "FS-99".');
});
