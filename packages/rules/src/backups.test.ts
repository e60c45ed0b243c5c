import { expect, test } from "vitest";
import { judgeBackups, OLDEST_BACKUP, type BackupFacts, type BackupVerdict } from "./backups.ts";

const now = Date.UTC(2026, 6, 3, 9);
const facts = (differing: Partial<BackupFacts>): BackupFacts => ({ now, openedAt: now - 30 * OLDEST_BACKUP, goodAt: now - 3_600_000, newestFailed: false, ...differing });

test.each([
  ["made an hour ago", {}, "fine"],
  ["made two days ago to the millisecond", { goodAt: now - OLDEST_BACKUP }, "fine"],
  ["made a millisecond more than two days ago", { goodAt: now - OLDEST_BACKUP - 1 }, "old"],
  ["made an hour ago, and failed since", { newestFailed: true }, "failed"],
  ["never made, in a centre of long standing", { goodAt: null }, "never"],
  ["never made, in a centre opened yesterday", { goodAt: null, openedAt: now - OLDEST_BACKUP / 2 }, "fine"],
  ["never made, and it failed on the first day", { goodAt: null, openedAt: now - 1, newestFailed: true }, "failed"],
  ["never made, where nobody has opened a centre", { goodAt: null, openedAt: null }, "fine"],
  ["made at no time anybody knows", { goodAt: Number.NaN }, "old"],
] as const satisfies readonly (readonly [string, Partial<BackupFacts>, BackupVerdict])[])("a backup %s", (_, differing, verdict) => {
  expect(judgeBackups(facts(differing))).toBe(verdict);
});
