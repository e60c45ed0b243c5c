/** What the desk enters about one set that came back, and what of it is still missing. */
import { ACCIDENT, isFaultCode, type FaultCode } from "@hangrail/rules/faults";
import type { WaterKind } from "../../../../back-words.ts";
import type { Inputs } from "../../../../trpc/types.ts";

export type BackEntry = {
  /** Null = the hirer does not say: the plan counts, marked as reckoned. */
  dives: number | null;
  /** Hours as typed; may stay empty. */
  hours: string;
  water: WaterKind;
  problem: "yes" | "no" | null;
  /** A component's id, or the set as a whole. */
  component: string | null;
  fault: FaultCode | "";
  words: string;
  missing: readonly string[];
};

export type BackLine = Inputs["desk"]["takeBack"]["sets"][number];
export type BackGap = "problem-not-answered" | "fault-not-chosen" | "hours-not-a-number";

/** A fresh entry: the planned dives stand in it, the question about problems is open. */
export function startEntry(plannedDives: number, water: WaterKind): BackEntry {
  return { dives: water === "none" ? 0 : plannedDives, hours: "", water, problem: null, component: null, fault: "", words: "", missing: [] };
}

/** "1.5" or "1,5" hours as 90 minutes, whole minutes; null for an empty field. */
export function minutesOf(hours: string): number | null | "not-a-number" {
  const text = hours.trim();
  if (text === "") return null;
  const found = /^(\d{1,3})(?:[.,](\d{1,2}))?$/.exec(text);
  if (found === null) return "not-a-number";
  const hundredths = Number(found[1]) * 100 + Number((found[2] ?? "").padEnd(2, "0"));
  // Up to the next whole minute: use is never counted short.
  return Math.ceil((hundredths * 60) / 100);
}

/** The first thing still missing, or null when the set can be taken back. */
export function gapOf(entry: BackEntry): BackGap | null {
  if (entry.water !== "none" && minutesOf(entry.hours) === "not-a-number") return "hours-not-a-number";
  if (entry.problem === null) return "problem-not-answered";
  return entry.problem === "yes" && !isFaultCode(entry.fault) ? "fault-not-chosen" : null;
}

/** The entry as it is recorded. What was filled in before "no problem" was chosen does not count. */
export function lineOf(setId: string, entry: BackEntry): BackLine {
  const dry = entry.water === "none";
  const minutes = dry ? null : minutesOf(entry.hours);
  const problem = entry.problem === "yes";
  return {
    setId,
    dives: dry ? 0 : entry.dives,
    minutes: minutes === "not-a-number" ? null : minutes,
    waterKind: entry.water,
    problem,
    words: problem ? entry.words.trim() || null : null,
    faultCode: problem && isFaultCode(entry.fault) ? entry.fault : null,
    component: problem ? entry.component : null,
    // A set used in an accident is sealed as it is: nothing is taken off it.
    missing: problem && entry.fault === ACCIDENT ? [] : [...entry.missing],
  };
}
