import { expect, test } from "vitest";
import { refusalWords, whyNot } from "./refusal-words.ts";
import { isRefused } from "./refused.ts";

const zone = "Europe/Malta";

test("a refusal tells its facts in the site's units of time", () => {
  expect(refusalWords({ code: "too-short", facts: { wetUntil: "2026-06-30T12:10:00Z", secondsLeft: 250 } }, zone)).toBe("4 min 10 s more: the sets stay in the bath until 30 Jun 2026, 14:10.");
  expect(refusalWords({ code: "not-out", facts: { tags: ["R-014", "R-015"] } }, zone)).toBe("Not out, so nothing to take back: R-014 and R-015. Somebody may have taken it back already.");
  expect(refusalWords({ code: "bath-strength", facts: { ppm: 380, min: 400, max: 800 } }, zone)).toContain("380 ppm; its label asks for 400 to 800 ppm");
});

test("missing facts leave a whole sentence, never a hole", () => {
  for (const code of ["evidence-lock", "tag-taken", "bath-expired", "not-authorised", "attempts-wait"] as const) {
    expect(refusalWords({ code, facts: {} }, zone)).not.toMatch(/undefined|null|NaN|Invalid/);
  }
});

test("why not: the error first, then the refusal, and nothing for what was done", () => {
  expect(whyNot({ error: null, data: { answer: "done" } }, zone)).toBeNull();
  expect(whyNot({ error: null, data: undefined }, zone)).toBeNull();
  expect(whyNot({ error: null, data: { answer: "refused", code: "last-manager", facts: {} } }, zone)).toContain("last manager");
  expect(whyNot({ error: new Error("x"), data: undefined }, zone)).toContain("Something went wrong");
  expect(isRefused("refused")).toBe(false);
});
