/** What makes a regulator set whole, and what may be fitted where. */
import { maySitIn } from "./models.ts";
import type { ModelKind, Role } from "./models.ts";

/** The parts no set goes out without. A transmitter is no gauge: its battery can die under water. */
export const NEEDED_PARTS = ["first-stage", "primary", "alternate", "gauge"] as const satisfies readonly Role[];
export type NeededPart = (typeof NEEDED_PARTS)[number];

export interface Completeness {
  readonly missing: readonly NeededPart[];
  /** Parts a set may have only one of, and has more. */
  readonly tooMany: readonly NeededPart[];
}

const NOTHING_AMISS: Completeness = { missing: [], tooMany: [] };

/** Judges whether a set has exactly one first stage and one primary, an alternate and an analogue gauge. */
export function judgeCompleteness(components: readonly { readonly role: Role }[]): Completeness {
  let firstStages = 0;
  let primaries = 0;
  let alternates = 0;
  let gauges = 0;
  for (const { role } of components) {
    if (role === "first-stage") firstStages += 1;
    else if (role === "primary") primaries += 1;
    else if (role === "alternate") alternates += 1;
    else if (role === "gauge") gauges += 1;
  }
  if (firstStages === 1 && primaries === 1 && alternates > 0 && gauges > 0) return NOTHING_AMISS;
  const counts = { "first-stage": firstStages, primary: primaries, alternate: alternates, gauge: gauges };
  return {
    missing: NEEDED_PARTS.filter((part) => counts[part] === 0),
    tooMany: NEEDED_PARTS.filter((part) => (part === "first-stage" || part === "primary") && counts[part] > 1),
  };
}

/** A component that is in a set now. */
export interface Fitted {
  readonly component: string;
  readonly role: Role;
}

export type FittingRefusal =
  | { readonly code: "wrong-position"; readonly kind: ModelKind; readonly role: Role }
  | { readonly code: "position-taken"; readonly role: Role; readonly by: string }
  | { readonly code: "already-fitted"; readonly inSet: string };

export type FittingDecision =
  | { readonly answer: "fit" }
  | { readonly answer: "refuse"; readonly reasons: readonly FittingRefusal[] };

/**
 * Decides whether a component may be fitted in a position. Every position has one place, apart from
 * hoses, of which a set has several. A component sits in one set at a time.
 */
export function decideFitting(
  set: readonly Fitted[],
  part: { readonly kind: ModelKind; readonly inSet: string | null },
  role: Role,
): FittingDecision {
  const reasons: FittingRefusal[] = [];
  if (!maySitIn(part.kind, role)) reasons.push({ code: "wrong-position", kind: part.kind, role });
  const taken = role === "hose" ? undefined : set.find((fitted) => fitted.role === role);
  if (taken !== undefined) reasons.push({ code: "position-taken", role, by: taken.component });
  if (part.inSet !== null) reasons.push({ code: "already-fitted", inSet: part.inSet });
  return reasons.length === 0 ? { answer: "fit" } : { answer: "refuse", reasons };
}

/** The port of the first stage a position hangs on; `null` for the first stage itself and for spare hoses. */
export function portOf(role: Role): "high-pressure" | "low-pressure" | null {
  switch (role) {
    case "gauge":
    case "transmitter":
      return "high-pressure";
    case "primary":
    case "alternate":
    case "inflator-hose":
      // A low-pressure hose on a high-pressure port bursts: fault HO-07.
      return "low-pressure";
    case "first-stage":
    case "hose":
      return null;
  }
}
