/**
 * Whether a centre is backed up well enough to sleep on.
 *
 * Units:  milliseconds since 1970, all by one clock.
 * Answer: "fine", or the one thing that is wrong with it: never = none was made although the centre has worked for as long as
 *         a backup may be old; failed = the newest attempt did not come off; old = the last good one is too old.
 * Errors: none. A time that is no number is no good backup.
 */
export interface BackupFacts {
  readonly now: number;
  /** When the centre was opened; `null` = nobody has yet. */
  readonly openedAt: number | null;
  /** When the last good backup was begun; `null` = there is none. */
  readonly goodAt: number | null;
  /** The newest attempt did not come off. */
  readonly newestFailed: boolean;
}

export type BackupVerdict = "fine" | "never" | "failed" | "old";

const DAY = 86_400_000;
/** A day's work more than the daily backup would lose. */
export const OLDEST_BACKUP = 2 * DAY;

export function judgeBackups({ now, openedAt, goodAt, newestFailed }: BackupFacts): BackupVerdict {
  if (newestFailed) return "failed";
  if (goodAt === null) return openedAt === null || now - openedAt <= OLDEST_BACKUP ? "fine" : "never";
  return now - goodAt <= OLDEST_BACKUP ? "fine" : "old";
}
