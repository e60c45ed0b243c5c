import { expect, test } from "vitest";
import { takenBackWords, whyNotBackYet } from "./back-words.ts";
import { backWords, deskRefusal, hireLine, unansweredWords, whyNotYet } from "./desk-words.ts";
import { staleWords } from "./stale-words.ts";
import { countWords } from "./today-words.ts";

const nothing = { mayHandOut: true, lost: false, sets: [], waitingFor: [], judging: false, detailsRight: true, failed: false, hirer: "" };

test("the button says the first thing that is in the way", () => {
  expect(whyNotYet({ ...nothing, lost: true })).toContain("connection is lost");
  expect(whyNotYet(nothing)).toBe("Scan a set first.");
  expect(whyNotYet({ ...nothing, waitingFor: ["R-014"], detailsRight: false })).toBe("Put the hire's details right first.");
  expect(whyNotYet({ ...nothing, waitingFor: ["R-014"] })).toContain("being judged");
  expect(whyNotBackYet({ mayTakeBack: true, lost: false, judging: false, gaps: [{ tag: "R-014", gap: "problem-not-answered" }] })).toBe("Answer “Any problem?” for R-014.");
});

test("a set that changed meanwhile says what happened, who did it and when", () => {
  const changes = [{ act: "fault-reported", at: "2026-11-25T09:32:00Z", by: "Ana" }];
  expect(staleWords({ tag: "R-014", changes }, "Europe/Malta")).toBe("Set R-014 changed while you looked: fault reported by Ana at 10:32.");
  expect(staleWords({ tag: "R-014", changes: [] }, "Europe/Malta")).toBe("Set R-014 changed while you looked.");
});

test("an answer that never came claims nothing, and a repeat that differs is explained", () => {
  expect(unansweredWords(new Error("x")).sentence).not.toMatch(/nothing was|not recorded/i);
  expect(deskRefusal({ answer: "refused", code: "request-reused", facts: {} }, "Europe/Malta")).toContain("Nothing was recorded twice");
  expect(deskRefusal({ answer: "refused", code: "out", facts: { tag: "R-014" } }, "Europe/Malta")).toContain("R-014");
});

test("days, counts and hires read as they are said", () => {
  expect([backWords("2026-11-25", "2026-11-23"), backWords("2026-11-25", "2026-11-25"), backWords("2026-11-25", "2026-11-28")]).toEqual(["Late by 2 days", "Due back today", "Due back in 3 days"]);
  expect([countWords(0, "late"), countWords(1, "late"), countWords(2, "wash under way")]).toEqual(["No set late", "1 set late", "2 washes under way"]);
  expect(takenBackWords(["R-001", "R-002"], ["R-001"])).toBe("Taken back: R-001 and R-002. R-001 is tagged out for the bench.");
  const hire = { backOn: "2026-11-26", dives: 2, minutes: null, teaching: true, cylinder: { connection: "yoke" as const, bar: 232 }, o2Tenths: 320, waterTenthsC: 180, depthM: 18 };
  expect(hireLine(hire, "2026-11-25", "metric")).toBe("For a hire back on 26 Nov 2026 (tomorrow), 2 dives, teaching, nitrox (32 % oxygen), valve yoke (A-clamp), cylinder 232 bar, water 18 °C, to 18 m.");
});
