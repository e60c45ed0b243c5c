/** What the desk says while sets are looked at and handed out, in whole sentences. */
import type { Role } from "@hangrail/rules/models";
import { isTRPCClientError } from "@trpc/client";
import type { DetailField, DetailProblem, Hire } from "./app/(work)/desk/hire-details.ts";
import { countText, cylinderText, daysBetween, daysLeftText, dayText, depthText, divesText, listText, oxygenText, temperatureText, type Units } from "./format.ts";
import { holdWords, type HoldContext } from "./hold-words.ts";
import { deskRefusalWords, isDeskRefusal } from "./desk-refusals.ts";
import type { Refused } from "./refused.ts";
import type { Outputs } from "./trpc/types.ts";
import { connectionWords, errorWords, positionWords } from "./words.ts";

export type SetView = Outputs["desk"]["lookUp"]["sets"][number];
type Part = SetView["parts"][number];

/** "first stage TD-1042": a component as people name it, from its id. */
export function partNamer(parts: readonly Part[]): (id: string) => string {
  const names = new Map(parts.map((part) => [part.id, partName(part)]));
  return (id) => names.get(id) ?? "a component";
}

export function partName({ role, serial }: { role: Role; serial: string | null }): string {
  return `${positionWords(role).toLowerCase()} ${serial ?? "without a serial"}`;
}

// ── The verdict ──

/** A scanned set's verdict in one sentence, for whoever hears it instead of seeing it. */
export function verdictSentence(set: SetView, units: Units): string {
  const [first, ...others] = set.holds;
  if (first === undefined) return set.cautions.length === 0 ? `${set.tag}: ready.` : `${set.tag}: ready. ${countText(set.cautions.length, "thing")} to bear in mind.`;
  const { title, cleared } = holdWords(first, contextOf(set, units));
  const more = others.length === 0 ? "" : ` ${countText(others.length, "further reason")}.`;
  return `${set.tag} stays here: ${title.toLowerCase()}. ${cleared}${more}`;
}

export function contextOf(set: Pick<SetView, "parts" | "openFaults">, units: Units): HoldContext {
  return { units, componentName: partNamer(set.parts), faults: set.openFaults };
}

/** What falls due next on a set, in a few words. */
export function dueLine({ due }: Pick<SetView, "due">, today: string): string {
  const parts = [
    due.dueOn === null ? null : `${due.dueOn.work} due on ${dayText(due.dueOn.value)} (${daysLeftText(today, due.dueOn.value)})`,
    due.divesLeft === null ? null : due.divesLeft.value > 0 ? `${divesText(due.divesLeft.value)} left` : "no dives left",
  ].filter((part) => part !== null);
  return parts.length === 0 ? "Nothing falls due by day or by dives." : `Next: ${listText(parts)}.`;
}

/** A hire's terms in one line: what every verdict on the screen is for. */
export function hireLine(hire: Hire, today: string, units: Units): string {
  const back = hire.backOn === today ? "For a hire back today" : `For a hire back on ${dayText(hire.backOn)} (${daysLeftText(today, hire.backOn)})`;
  return [
    back,
    divesText(hire.dives),
    hire.teaching ? "teaching" : null,
    gasWords(hire.o2Tenths),
    `valve ${connectionWords(hire.cylinder.connection)}`,
    `cylinder ${cylinderText(hire.cylinder.bar * 100, units)}`,
    `water ${temperatureText(hire.waterTenthsC, units)}`,
    `to ${depthText(hire.depthM * 10, units)}`,
  ]
    .filter((part) => part !== null)
    .join(", ")
    .concat(".");
}

/** "air (21 %)" or "nitrox (32 %)". */
export function gasWords(o2Tenths: number): string {
  return `${o2Tenths === 210 ? "air" : "nitrox"} (${oxygenText(o2Tenths)} oxygen)`;
}

/** What is not right yet with one detail. */
export function detailProblemWords({ field, what }: DetailProblem, units: Units): string {
  switch (what) {
    case "no-day":
      return "choose the day it comes back.";
    case "past":
      return "that day is over.";
    case "not-a-number":
      return "write a number, with one decimal at most.";
    case "ambiguous":
      return "is that a thousand or a decimal? Write it without the sign, or with one decimal.";
    case "beyond":
      return `from ${rangeWords(field, units)}.`;
  }
}

function rangeWords(field: DetailField, units: Units): string {
  switch (field) {
    case "oxygen":
      return "21 to 100 per cent";
    case "water":
      return units === "metric" ? "−3 to 45 °C" : "27 to 113 °F";
    case "depth":
      return units === "metric" ? "0 to 350 metres" : "0 to 1148 feet";
    case "backOn":
      return "today on";
  }
}

// ── Handing out ──

export type HandOutSituation = {
  mayHandOut: boolean;
  lost: boolean;
  sets: readonly SetView[];
  waitingFor: readonly string[];
  judging: boolean;
  detailsRight: boolean;
  failed: boolean;
  hirer: string;
};

/** Why the party cannot be handed out at this moment, or null when it can. */
export function whyNotYet({ mayHandOut, lost, sets, waitingFor, judging, detailsRight, failed, hirer }: HandOutSituation): string | null {
  if (!mayHandOut) return "Handing out needs the role desk hand.";
  if (lost) return "The connection is lost. Nothing can be handed out until it is back; the morning sheet holds meanwhile.";
  if (sets.length === 0 && waitingFor.length === 0) return "Scan a set first.";
  if (!detailsRight) return "Put the hire's details right first.";
  if (failed) return "The sets could not be judged.";
  if (judging || waitingFor.length > 0) return "One moment: the sets are being judged.";
  const held = sets.filter((set) => !set.ready).map((set) => set.tag);
  if (held.length > 0) return `${listText(held)} ${held.length === 1 ? "stays" : "stay"} here. Put another in its place or take it out of the party.`;
  if (hirer === "") return "Scan or write the hirer.";
  return null;
}

/** What is at the desk, on the button. */
export function handOutWords(sets: number): string {
  return sets <= 1 ? "Hand out" : `Hand out all ${sets} sets`;
}

/** A refused hand-out or return. Most refusals read the same everywhere; one means something of its own here. */
export function deskRefusal(refused: Refused, timeZone: string): string {
  if (refused.code === "request-reused") return "The first try was recorded after all, with what stood here then. Nothing was recorded twice. Look at the sets that are out, then start afresh.";
  const { code, facts } = refused;
  return isDeskRefusal(code) ? deskRefusalWords({ code, facts }, timeZone) : "The record would not take it, and this screen has no words for why. Look at the set's page before you repeat it.";
}

/**
 * An act that brought no answer, or an answer that it was not done. What never came
 * back may have been recorded; trying again under the same number settles it.
 */
export function unansweredWords(error: unknown): { title: string; sentence: string } {
  const isAnswered = isTRPCClientError(error) && error.shape != null && error.message !== "";
  if (isAnswered) return { title: "Not recorded", sentence: errorWords(error) };
  return { title: "Not known to be recorded", sentence: "The server's answer did not arrive, so nobody can say yet whether this was recorded." };
}

/** "Late by 2 days", "Due back today", "Due back in 3 days". */
export function backWords(today: string, backOn: string): string {
  const days = daysBetween(today, backOn);
  if (days < 0) return `Late by ${countText(-days, "day")}`;
  return `Due back ${daysLeftText(today, backOn)}`;
}
