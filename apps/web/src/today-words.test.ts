import { expect, test } from "vitest";
import { backupWords } from "./today-words.ts";

const good = { at: "2026-07-01T06:00:00Z", fileName: "hangrail-1f0c9a3e-20260701T060000Z.backup" };

test("a backup that is missing, too old or failed is told with what is known of the last good one", () => {
  const told = (verdict: "fine" | "never" | "failed" | "old", known: Partial<Parameters<typeof backupWords>[0]> = {}) => backupWords({ verdict, good, failure: null, ...known }, "Europe/Malta");
  expect(told("fine")).toBeNull();
  expect(told("never", { good: null })?.title).toBe("No backup was ever made");
  expect(told("old")?.sentence).toMatch(/^The last good one is of 1 Jul 2026.* Whatever was recorded since would be lost with this machine\.$/);
  expect(told("failed", { failure: { at: "2026-07-02T06:00:00Z", words: "The disk is full." } })?.sentence).toMatch(/^The disk is full\. The last good one is of 1 Jul 2026/);
  expect(told("failed", { good: null, failure: { at: "2026-07-02T06:00:00Z", words: "The disk is full." } })?.sentence).toBe("The disk is full. There is no good one.");
});
