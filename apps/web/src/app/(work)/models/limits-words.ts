/** A model's limits as text: in a line for a table, and whole for whoever accepts them. */
import type { ModelKind } from "@hangrail/rules/models";
import { countText, cylinderText, divesText, hoursText, listText, oxygenText, type Units } from "../../../format.ts";
import type { Outputs } from "../../../trpc/types.ts";
import { coldWords, connectionWords } from "../../../words.ts";

export type ModelRow = Outputs["models"]["list"][number];
export type AcceptedLimits = NonNullable<ModelRow["limits"]>;
/** What is entered and what is accepted, without who and when. */
export type Limits = Omit<AcceptedLimits, "nth" | "acceptedBy" | "acceptedAt">;

export function kindWords(kind: ModelKind): string {
  switch (kind) {
    case "first-stage":
      return "First stage";
    case "second-stage":
      return "Second stage";
    case "gauge":
      return "Gauge";
    case "inflator":
      return "Inflator hose";
    case "hose":
      return "Hose";
    case "transmitter":
      return "Transmitter";
  }
}

/** Which limits matter for a kind: cold water concerns stages, the cylinder concerns first stages. */
export function asksCold(kind: ModelKind): boolean {
  return kind === "first-stage" || kind === "second-stage";
}

export function asksConnection(kind: ModelKind): boolean {
  return kind === "first-stage";
}

type LimbFigures = { months: number | null; dives: number | null; minutes: number | null };

/** "12 months, 100 dives or 150 h, whichever comes first"; "no limit" when the maker sets none. */
export function limbText({ months, dives, minutes }: LimbFigures): string {
  const parts = [
    months === null ? null : countText(months, "month"),
    dives === null ? null : divesText(dives),
    minutes === null ? null : hoursText(minutes),
  ].filter((part) => part !== null);
  if (parts.length === 0) return "no limit";
  if (parts.length === 1) return parts.join("");
  return `${parts.slice(0, -1).join(", ")} or ${parts.at(-1)}, whichever comes first`;
}

export function serviceText(limits: Limits): string {
  return limbText({ months: limits.serviceMonths, dives: limits.serviceDives, minutes: limits.serviceMinutes });
}

export function inspectionText(limits: Limits): string {
  if (!limits.hasInspection) return "none between services";
  return limbText({ months: limits.inspectionMonths, dives: limits.inspectionDives, minutes: limits.inspectionMinutes });
}

export function gasText(limits: Limits): string {
  return limits.maxO2Tenths === null ? "no maximum given: the site's nitrox line counts" : `to ${oxygenText(limits.maxO2Tenths)} oxygen`;
}

/** Everything that was entered, in one paragraph, for the step before it is accepted. */
export function limitsSentence(name: string, kind: ModelKind, limits: Limits, units: Units): string {
  const parts = [
    `service after ${serviceText(limits)}`,
    limits.hasInspection ? `inspection after ${inspectionText(limits)}` : "no inspection between services",
    limits.maxO2Tenths === null ? "no maximum of oxygen given, so the site's nitrox line counts" : `oxygen to ${oxygenText(limits.maxO2Tenths)} at most`,
    asksCold(kind) ? `cold water: ${coldWords(limits.coldRating)}` : null,
    asksConnection(kind) && limits.connection !== null ? `connection ${connectionWords(limits.connection)}` : null,
    asksConnection(kind) && limits.maxSupplyBar !== null ? `cylinder pressure to ${cylinderText(limits.maxSupplyBar * 100, units)} at most` : null,
  ].filter((part) => part !== null);
  return `The maker's manual of ${name} says (${limits.manualPage}): ${listText(parts)}.`;
}

/** How many models that sit in sets have limits: the first step after a fleet came in. */
export function judgedModels(models: readonly ModelRow[]): { judged: number; of: number } {
  const fitted = models.filter((model) => model.sets > 0);
  return { judged: fitted.filter((model) => model.limits !== null).length, of: fitted.length };
}
