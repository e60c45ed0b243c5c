import { expect, test } from "vitest";
import { blankRow, readBenchLimits, withStartingValues, type BenchLimitForm, type LimitRow } from "./bench-limit-form.ts";
import { benchLimitText } from "./bench-limit-words.ts";

const row = (over: Partial<LimitRow>): LimitRow => ({ ...blankRow, page: "page 14", ...over });
const read = (form: BenchLimitForm, units: "metric" | "us" = "metric") => readBenchLimits(form, "first-stage", units);

test("figures are read in the site's units, exactly", () => {
  expect(read({ "intermediate-pressure": row({ low: "9", high: "10,3" }), creep: row({ high: "0.3" }) })).toEqual({
    limits: [{ name: "intermediate-pressure", low: 900, high: 1_030, page: "page 14" }, { name: "creep", low: null, high: 30, page: "page 14" }],
  });
  expect(read({ "intermediate-pressure": row({ high: "145" }) }, "us")).toEqual({ limits: [{ name: "intermediate-pressure", low: null, high: 1_000, page: "page 14" }] });
});

test("a row left empty stays as it is; half a row is a question", () => {
  expect(read({})).toEqual({ limits: [] });
  expect(read({ creep: row({ page: "page 3" }) })).toEqual({ problems: { creep: "enter the figure, or leave the whole row empty." } });
  expect(read({ creep: row({ high: "0.3", page: " " }) })).toEqual({ problems: { creep: "name the manual and its page." } });
  expect(read({ "intermediate-pressure": row({ low: "10", high: "9" }) })).toEqual({ problems: { "intermediate-pressure": "the lower figure is above the higher one." } });
  for (const high of ["x", "-1", "1,000", "3 mbar", "2000"]) expect(read({ creep: row({ high }) })).toHaveProperty("problems.creep");
});

test("a limit is taken back with a word of why", () => {
  expect(read({ creep: row({ withdrawn: true, high: "0.3" }) })).toEqual({ limits: [{ name: "creep", low: null, high: null, page: "page 14" }] });
  expect(read({ creep: row({ withdrawn: true, page: "" }) })).toHaveProperty("problems.creep");
});

test("starting values fill what is empty and cannot be accepted as they are", () => {
  for (const units of ["metric", "us"] as const) {
    const filled = withStartingValues({ creep: row({ high: "0.2", page: "" }) }, "first-stage", units);
    expect(filled.creep).toMatchObject({ high: "0.2", suggested: false });
    expect(filled["intermediate-pressure"]).toMatchObject({ suggested: true, page: "" });
    const answer = readBenchLimits(filled, "first-stage", units);
    expect(answer).toHaveProperty("problems.intermediate-pressure", "name the manual and its page.");
    const accepted = readBenchLimits({ "intermediate-pressure": { ...filled["intermediate-pressure"]!, page: "page 14" } }, "first-stage", units);
    expect(accepted).toEqual({ limits: [{ name: "intermediate-pressure", low: 850, high: 1_030, page: "page 14" }] });
  }
  // Nobody but a maker says what exhalation may take.
  expect(withStartingValues({}, "second-stage", "metric")["exhalation-effort"]).toEqual(blankRow);
});

test("a limit reads as it counts, with the judged figure in sight", () => {
  expect(benchLimitText("intermediate-pressure", { low: 900, high: 1_000 }, "metric")).toBe("9.00 to 10.00 bar");
  expect(benchLimitText("creep", { low: null, high: 30 }, "us")).toMatch(/^at most 4\.\d+ psi \(at most 0\.30 bar\)$/);
  expect(benchLimitText("gauge-error", { low: null, high: 1_000 }, "metric")).toBe("at most 10.00 bar either way");
  expect(benchLimitText("cracking-effort-primary", { low: 200, high: null }, "metric")).toBe("at least 2.00 mbar");
  expect(benchLimitText("creep", { low: null, high: null }, "us")).toBe("taken back: not judged");
});
