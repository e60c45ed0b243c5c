/** What the time after a service says, in plain sentences. */
import { EARLY_SETTINGS, type EarlyFaults, type EarlyGroup } from "@hangrail/rules/early-faults";
import { MODEL_KINDS, type ModelKind } from "@hangrail/rules/models";
import { countText, listText } from "../../../../format.ts";
import { kindWords } from "../../models/limits-words.ts";

export type AfterService = EarlyFaults;
export type Group = EarlyGroup;

/** A group as people call it: a model's name, or "Service of a first stage, oxygen-clean". */
export function groupWords(group: string, names: Readonly<Record<string, string>>): string {
  const kind = kindOf(group);
  if (kind === null) return names[group] ?? group;
  return `${kindWords(kind.kind)}${group.endsWith("oxygen-clean") ? ", oxygen-clean" : ""}`;
}

/** The kind of part a kind of service is about; null for a model. */
export function kindOf(group: string): { kind: ModelKind; words: string } | null {
  const kind = MODEL_KINDS.find((one) => group === one || group === `${one} oxygen-clean`);
  return kind === undefined ? null : { kind, words: kindWords(kind).toLowerCase() };
}

/** Who fails early, and what to do. Never who did the work. */
export function earlyWords(early: readonly string[]): string | null {
  return early.length === 0 ? null : `Early faults after the service: ${listText(early)}. Look at kits, adjustment and the test before release.`;
}

/** How many there is too little of. */
export function unsureWords({ groups }: AfterService): string | null {
  const unsure = groups.filter((group) => group.verdict === "too-little-to-tell").length;
  if (unsure === 0) return null;
  return unsure === groups.length ? "There is too little to tell early faults from wear." : `For ${unsure} of ${groups.length} there is too little to tell early faults from wear.`;
}

export function verdictWords({ verdict, curve }: Group): string {
  switch (verdict) {
    case "early-faults":
      return "Faults come early after the service: look at kits, adjustment and the test before release, not at the interval.";
    case "wear-out":
      return "Faults come with wear: the interval is what keeps them away.";
    case "steady":
      return "Faults come at any time, neither early nor with wear.";
    case "too-little-to-tell":
      return curve.faults < EARLY_SETTINGS.leastFaults
        ? `Too little to tell whether faults come early or with wear: ${countText(EARLY_SETTINGS.leastFaults - curve.faults, "more fault")} would have to be seen first.`
        : "Too little to tell whether faults come early or with wear.";
  }
}

const percent = (share: number) => `${Math.round(share * 100)} %`;

/** Failures within the bedding time, as a share with its exact interval. */
export function beddingWords({ bedding }: Group): string {
  const { interval, failures, known, notYetKnown } = bedding;
  const open = notYetKnown === 0 ? "" : ` ${countText(notYetKnown, "part is", "parts are")} still in it.`;
  if (interval.answer === "refused") return `Nothing known yet.${open}`;
  return `${failures} of ${known} (${percent(interval.share)}; ${percent(interval.lower)} to ${percent(interval.upper)}).${open}`;
}

export function differenceWords({ difference, groups }: AfterService, by: "model" | "service-kind", named: (group: string) => string = (group) => group): string {
  const them = by === "model" ? "models" : "kinds of service";
  if (difference.answer === "refused") {
    return difference.why === "no-events" ? "No part failed after its service in this period." : groups.length < 2 ? `There is one ${by === "model" ? "model" : "kind of service"} here, so nothing to compare.` : `Too little to tell the ${them} apart.`;
  }
  const p = difference.p < 0.001 ? "under 0.001" : difference.p.toFixed(3);
  const [first] = [...difference.groups].sort((a, b) => b.observed - b.expected - (a.observed - a.expected));
  const most = first === undefined ? "" : ` Look first at ${named(first.group)}: ${countText(first.observed, "fault")}, where ${first.expected.toFixed(1)} would have come if all were alike.`;
  return difference.p < 0.05
    ? `The ${them} differ by more than chance would make them (log-rank test, p ${p}).${most}`
    : `The ${them} do not differ by more than chance would make them (log-rank test, p ${p}).`;
}

/** The curve as points for a drawing: 100 % at the start, flat to the longest part watched. */
export function curvePoints({ curve }: Group): { at: number; share: number }[] {
  const steps = curve.steps.map(({ time, survival }) => ({ at: time, share: survival * 100 }));
  return [{ at: 0, share: 100 }, ...steps, { at: curve.longest, share: curve.survivalAtEnd * 100 }];
}
