/** What the first page says, in whole sentences. */
import { partNamer, type SetView } from "./desk-words.ts";
import { countText, dayText, daysLeftText, divesText, hoursText, instantText } from "./format.ts";
import type { Outputs } from "./trpc/types.ts";

/** What is left of a limit, by whose limb: "Service of first stage TD-1042: 3 Jul 2026 (in 12 days)". */
export function dueReasons({ due, parts }: Pick<SetView, "due" | "parts">, today: string): readonly string[] {
  const name = partNamer(parts);
  const of = (limb: { work: "service" | "inspection"; component: string }) => `${limb.work === "service" ? "Service" : "Inspection"} of ${name(limb.component)}`;
  return [
    due.dueOn === null ? null : `${of(due.dueOn)}: ${dayText(due.dueOn.value)} (${daysLeftText(today, due.dueOn.value)})`,
    due.divesLeft === null ? null : `${of(due.divesLeft)}: ${leftOrOver(due.divesLeft.value, divesText)}`,
    due.minutesLeft === null ? null : `${of(due.minutesLeft)}: ${leftOrOver(due.minutesLeft.value, hoursText)}`,
  ].filter((reason) => reason !== null);
}

function leftOrOver(left: number, words: (value: number) => string): string {
  return left >= 0 ? `${words(left)} left` : `${words(-left)} over`;
}

export type Counted = "ready" | "late" | "due back today" | "to clean" | "wash under way" | "bath ending" | "open fault" | "to release" | "on the bench" | "out of service" | "overdue" | "model without limits";

/** "No set late", "1 set late", "3 sets late". */
export function countWords(count: number, what: Counted): string {
  switch (what) {
    case "wash under way":
      return count === 0 ? "No wash under way" : `${countText(count, "wash", "washes")} under way`;
    case "bath ending":
      return count === 0 ? "The baths are good for some hours" : `${countText(count, "bath")} expired or ending soon`;
    case "open fault":
      return count === 0 ? "No open fault" : countText(count, "open fault");
    case "model without limits":
      return `${countText(count, "model")} without limits`;
    default:
      return count === 0 ? `No set ${what}` : `${countText(count, "set")} ${what}`;
  }
}

/** What is wrong with the centre's backups; null while nothing is. */
export function backupWords({ verdict, good, failure }: Outputs["site"]["backups"], timeZone: string): { title: string; sentence: string } | null {
  const last = good === null ? "There is no good one." : `The last good one is of ${instantText(good.at, timeZone)}.`;
  switch (verdict) {
    case "fine":
      return null;
    case "never":
      return { title: "No backup was ever made", sentence: "If this machine fails, the whole record of the centre is lost with it." };
    case "failed":
      return { title: "The last backup failed", sentence: `${failure === null ? "" : `${failure.words} `}${last}` };
    case "old":
      return { title: "The last backup is older than two days", sentence: `${last} Whatever was recorded since would be lost with this machine.` };
  }
}
