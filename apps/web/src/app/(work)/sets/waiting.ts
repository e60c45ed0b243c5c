/** Why sets are out of service, put together for a list, and since which day. */
import { addDays, dayOf, type Day } from "@hangrail/rules/calendar";
import type { Hold } from "@hangrail/rules/hand-out";
import { holdWords, type HoldContext } from "../../../hold-words.ts";

type Waiting = { state: string; since: string; today: Day; holds: readonly Hold[] };

/**
 * The day from which a set has been out of service. One that is only overdue was in service
 * until its earliest due day, whenever it was last touched.
 */
export function outSince({ state, since, today, holds }: Waiting, timeZone: string): Day {
  const touched = dayOf(Date.parse(since), timeZone);
  if (state !== "held") return touched;
  const overdue = holds.flatMap((hold) => ((hold.code === "service-overdue" || hold.code === "inspection-overdue") && hold.dueOn !== null && hold.dueOn < today ? [hold.dueOn] : []));
  const [first] = overdue.sort();
  return first === undefined || holds.length > overdue.length ? touched : addDays(first, 1);
}

export type Reason = { title: string; sentences: readonly string[]; cleared: string };

/** Holds of one kind told together: six components overdue are one reason. */
export function reasonsOf(holds: readonly Hold[], context: HoldContext): Reason[] {
  const reasons = new Map<string, { title: string; sentences: string[]; cleared: string }>();
  for (const hold of holds) {
    const { title, sentence, cleared } = holdWords(hold, context);
    const seen = reasons.get(`${title} ${cleared}`);
    if (seen === undefined) reasons.set(`${title} ${cleared}`, { title, sentences: [sentence], cleared });
    else seen.sentences.push(sentence);
  }
  return [...reasons.values()];
}
