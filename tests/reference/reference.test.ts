import { mkdirSync, mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { ADAPTERS } from "./adapters/registry.ts";
import { readCases } from "./cases.ts";
import { differences } from "./compare.ts";
import { runCases } from "./run.ts";

const all = readCases(fileURLToPath(new URL("./cases", import.meta.url)));

test.each(["hand-out", "due", "calendar"])("every %s case passes", async (method) => {
  const cases = all.filter((one) => one.method === method);
  expect(cases.length).toBeGreaterThan(6);
  expect(await runCases(cases)).toEqual({ passed: cases.length, failed: 0, lines: [] });
});

test("a method without a rule fails and is named, once for all its cases", async () => {
  const one = { file: "x.json", method: "tea-leaves", case: "a", input: {}, expected: {}, tolerance: {} };
  expect(ADAPTERS.has("tea-leaves")).toBe(false);
  expect(await runCases([one, { ...one, case: "b" }])).toEqual({
    passed: 0,
    failed: 2,
    lines: ['not built yet: 2 cases of method "tea-leaves"'],
  });
});

test("a wrong expectation is reported with what came instead", async () => {
  const due = all.find((one) => one.method === "due")!;
  const wrong = { ...due, expected: { service: { divesLeft: 1_000_000 } } };
  const { failed, lines } = await runCases([wrong]);
  expect(failed).toBe(1);
  expect(lines[1]).toMatch(/^ {2}service\.divesLeft: got \d+, expected 1000000$/);
});

test("a value nobody knows never passes", async () => {
  const handedOut = all.find((one) => one.method === "hand-out" && (one.expected as { answer: string }).answer === "hand-out")!;
  const answer = ADAPTERS.get("hand-out")!;
  type Input = { set: Record<string, unknown>; components: [Record<string, unknown>, Record<string, unknown>] };
  const ask = async (change: (input: Input) => void): Promise<unknown> => {
    const input = structuredClone(handedOut.input) as Input;
    change(input);
    return "answer" in answer ? ((await answer.answer(input, handedOut)) as { answer: string }).answer : "";
  };
  expect(await ask(() => undefined)).toBe("hand-out");
  expect(await ask((input) => (input.set["cleaning"] = "rinsed, I think"))).toBe("hold");
  expect(await ask((input) => delete input.set["released"])).toBe("hold");
  expect(await ask((input) => (input.components[0]["notice"] = "perhaps"))).toBe("hold");
  expect(await ask((input) => (input.components[0]["notice"] = "check-by-hand"))).toBe("hold");
  expect(await ask((input) => (input.components[0]["openFaults"] = ["serious"]))).toBe("hold");
  expect(await ask((input) => (input.components[0]["connection"] = "bayonet"))).toBe("hold");
  expect(await ask((input) => (input.components[1]["pairingApproved"] = null))).toBe("hold");
  expect(await ask((input) => (input.components[1]["limits"] = null))).toBe("hold");
});

describe("comparing", () => {
  test("takes the nearest tolerance, and counts relative to what is expected", () => {
    const tolerance = { default: { rel: 0.01, abs: 0 }, n: { exact: true }, rate: { abs: 0.5 } };
    expect(differences({ a: 101, n: 3, rate: 1.4 }, { a: 100, n: 3, rate: 1 }, tolerance)).toEqual([]);
    expect(differences({ a: 101.1, n: 3.0000001, rate: 1.6 }, { a: 100, n: 3, rate: 1 }, tolerance)).toEqual([
      "a: got 101.1, expected 100",
      "n: got 3.0000001, expected 3",
      "rate: got 1.6, expected 1",
    ]);
  });

  test("without a tolerance allows a millionth", () => {
    expect(differences([1.0000009, 0], [1, 1e-10], {})).toEqual([]);
    expect(differences([1.000002], [1], {})).toHaveLength(1);
  });

  test("tells nothing, null, 0 and NaN apart", () => {
    expect(differences({ a: 0 }, { a: null }, {})).toHaveLength(1);
    expect(differences({ a: null }, { a: 0 }, {})).toHaveLength(1);
    expect(differences({}, { a: null }, {})).toEqual(["a: got nothing, expected null"]);
    expect(differences({ undefined: true, p: Number.NaN }, { undefined: true }, {})).toEqual(["p: NaN is no number"]);
  });

  test("wants lists of the same length and order, and ignores what the case does not ask", () => {
    expect(differences({ a: [1, 2], more: 3 }, { a: [1, 2] }, {})).toEqual([]);
    expect(differences({ a: [2, 1] }, { a: [1, 2] }, {})).toHaveLength(2);
    expect(differences({ a: [1, 2, 3] }, { a: [1, 2] }, {})).toHaveLength(1);
  });

  test("lets a date be off by the days allowed", () => {
    const tolerance = { dates: { exact: true, days: 1 } };
    expect(differences({ dates: ["2026-03-01"] }, { dates: ["2026-02-28"] }, tolerance)).toEqual([]);
    expect(differences({ dates: ["2026-03-02"] }, { dates: ["2026-02-28"] }, tolerance)).toHaveLength(1);
  });
});

describe("a folder that cannot be used", () => {
  const folder = mkdtempSync(join(tmpdir(), "hangrail-cases-"));
  const holding = (name: string, content: string): string => {
    const path = join(folder, name);
    mkdirSync(path);
    writeFileSync(join(path, "cases.json"), content);
    return path;
  };

  test.each([
    ["nothing", "[]", "There are no cases in"],
    ["torn", "[{", "is not JSON"],
    ["object", "{}", "must hold a list of cases"],
    ["nameless", '[{"case":"a","input":1,"expected":1}]', "case 1 names no method"],
    ["answerless", '[{"method":"due","case":"a","input":1}]', "case 1 has no expected answer"],
  ])("(%s) is said to be one", (name, content, words) => {
    expect(() => readCases(holding(name, content))).toThrow(words);
  });

  test("or is not there", () => {
    expect(() => readCases(join(folder, "nowhere"))).toThrow("There is no folder");
  });
});
