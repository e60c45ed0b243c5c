/** What the desk says of sets that come back. */
import type { BackGap } from "./app/(work)/desk/back/back-entry.ts";
import { divesText, listText } from "./format.ts";
import type { Inputs, Outputs } from "./trpc/types.ts";
import { stateLook } from "./words.ts";

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

