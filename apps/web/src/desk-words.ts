/** What the desk, its slip and the first page say, in whole sentences. */
import { ACTS, type Act } from "@hangrail/rules/acts";
import type { Role } from "@hangrail/rules/models";
import { isTRPCClientError } from "@trpc/client";
import type { BackGap } from "./app/(work)/desk/back/back-entry.ts";
import type { DetailField, DetailProblem, Hire } from "./app/(work)/desk/hire-details.ts";
import { countText, cylinderText, daysBetween, daysLeftText, dayText, depthText, divesText, hoursText, listText, oxygenText, temperatureText, timeText, type Units } from "./format.ts";
import type { HoldContext } from "./hold-words.ts";
import { holdWords } from "./hold-words.ts";
import { refusalWords, type Refused } from "./refusal-words.ts";
import type { Inputs, Outputs } from "./trpc/types.ts";
import { actLook, connectionWords, errorWords, positionWords, stateLook } from "./words.ts";

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

export function contextOf(set: Pick<SetView, "parts">, units: Units): HoldContext {
  return { units, componentName: partNamer(set.parts) };
}

/** What falls due next on a set, in a few words. */
export function dueLine({ due }: Pick<SetView, "due">, today: string): string {
  const parts = [
    due.dueOn === null ? null : `${due.dueOn.work} due on ${dayText(due.dueOn.value)} (${daysLeftText(today, due.dueOn.value)})`,
    due.divesLeft === null ? null : `${divesText(due.divesLeft.value)} left`,
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

/** What happened to a set between being shown and being handed out. */
export function staleWords({ tag, changes }: { tag: string; changes: readonly { act: string; at: string; by: string | null }[] }, timeZone: string): string {
  if (changes.length === 0) return `Set ${tag} changed while you looked.`;
  const told = changes.map(({ act, at, by }) => `${isAct(act) ? actLook(act).word.toLowerCase() : "something recorded"}${by === null ? "" : ` by ${by}`} at ${timeText(at, timeZone)}`);
  return `Set ${tag} changed while you looked: ${listText(told)}.`;
}

function isAct(text: string): text is Act {
  return Object.hasOwn(ACTS, text);
}

/** A refused hand-out or return. Most refusals read the same everywhere; one means something of its own here. */
export function deskRefusal(refused: Refused, timeZone: string): string {
  if (refused.code === "request-reused") return "The first try was recorded after all, with what stood here then. Nothing was recorded twice. Look at the sets that are out, then start afresh.";
  return refusalWords(refused, timeZone);
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

// ── Taking back ──

export type WaterKind = Inputs["desk"]["takeBack"]["sets"][number]["waterKind"];
export const waterKinds = ["sea", "fresh", "pool", "none"] as const satisfies readonly WaterKind[];

export function waterWords(kind: WaterKind): string {
  switch (kind) {
    case "sea":
      return "Sea";
    case "fresh":
      return "Fresh water";
    case "pool":
      return "Pool";
    case "none":
      return "Stayed dry";
  }
}

/** "Late by 2 days", "Due back today", "Due back in 3 days". */
export function backWords(today: string, backOn: string): string {
  const days = daysBetween(today, backOn);
  if (days < 0) return `Late by ${countText(-days, "day")}`;
  return `Due back ${daysLeftText(today, backOn)}`;
}

/** A fault line as it is offered at the desk. Its severity is left out: a problem reported at return tags the set out in any case. */
export function faultChoiceWords({ code, words }: { code: string; words: string }): string {
  return `${words} (${code})`;
}

/** What became of a tag scanned on its way back; null while it is being looked up. */
export function backScanWords(tag: string, looked: Outputs["desk"]["lookUp"] | undefined, isOld: boolean): string | null {
  const set = looked?.sets.find((one) => one.tag === tag);
  if (set === undefined) return looked?.unknown.includes(tag) === true && !isOld ? `There is no set ${tag} here.` : null;
  return set.out === null ? `${tag} is not out, so there is nothing to take back. It shows: ${stateLook(set.state).word}.` : `${tag} is out. Ask about it below.`;
}

type BackSituation = { mayTakeBack: boolean; lost: boolean; judging: boolean; gaps: readonly { tag: string; gap: BackGap | null }[] };

/** Why the sets cannot be taken back at this moment, or null when they can. */
export function whyNotBackYet({ mayTakeBack, lost, judging, gaps }: BackSituation): string | null {
  if (!mayTakeBack) return "Taking back needs the role desk hand.";
  if (lost) return "The connection is lost. Note the returns on the morning sheet and enter them when it is back.";
  if (judging) return "One moment: the sets are being looked up.";
  if (gaps.length === 0) return "Scan a set first.";
  const open = gaps.find((one) => one.gap !== null);
  return open === undefined || open.gap === null ? null : gapWords(open.gap, open.tag);
}

function gapWords(gap: BackGap, tag: string): string {
  switch (gap) {
    case "problem-not-answered":
      return `Answer “Any problem?” for ${tag}.`;
    case "fault-not-chosen":
      return `Choose what was wrong with ${tag}.`;
    case "hours-not-a-number":
      return `The hours of ${tag} are no number.`;
  }
}

export function takenBackWords(tags: readonly string[], problems: readonly string[]): string {
  const taken = `Taken back: ${listText(tags)}.`;
  return problems.length === 0 ? `${taken} Now to the wash room.` : `${taken} ${listText(problems)} ${problems.length === 1 ? "is" : "are"} tagged out for the bench.`;
}

/** "2 dives planned". */
export function plannedWords(dives: number): string {
  return `${divesText(dives)} planned`;
}

// ── On paper ──

/** What is checked together with the hirer before every hire. */
export const preDiveChecks: readonly string[] = [
  "Cap off: inlet filter clean and dry, hoses sound at both ends, mouthpieces whole and tied.",
  "Every fitting tight by hand; nothing turns.",
  "Not yet on the cylinder: breathe in gently from each second stage. No air comes.",
  "Gauge on zero.",
  "On the right valve: open it slowly, gauge turned away from faces. Listen: no hiss.",
  "Shut the valve: the needle stands still for a minute. Open it fully again, purge each second stage once.",
  "Two to four breaths from each second stage while watching the gauge: the needle does not move.",
  "Cylinder label and analysis agree with the gas on this slip.",
];

/** What the hirer signs. */
export const hirerPromise = "I have seen the sets and done the checks above. I bring them back on the day named, rinsed with the cap on, and report every problem, however small.";

/** What no screen and no paper replaces. */
export const paperCautions: readonly string[] = [
  "The makers' manuals and bulletins come before this paper; work on a set is done only by somebody authorised for its make.",
  "Local law and codes come first. The limits used are those this centre entered.",
  "A ready set still needs the pre-dive check. This is no dive plan.",
  "Sets are disinfected by the product's label and the maker's approval; products are never mixed.",
];

// ── Today ──

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

export type Counted = "ready" | "late" | "due back today" | "to clean" | "wash under way" | "bath ending" | "tagged out" | "to release" | "on the bench" | "out of service" | "overdue" | "model without limits";

/** "No set late", "1 set late", "3 sets late". */
export function countWords(count: number, what: Counted): string {
  switch (what) {
    case "wash under way":
      return count === 0 ? "No wash under way" : `${countText(count, "wash", "washes")} under way`;
    case "bath ending":
      return count === 0 ? "The baths are good for some hours" : `${countText(count, "bath")} expired or ending soon`;
    case "model without limits":
      return `${countText(count, "model")} without limits`;
    default:
      return count === 0 ? `No set ${what}` : `${countText(count, "set")} ${what}`;
  }
}
