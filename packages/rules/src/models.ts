/**
 * What a model is and what its maker says of it. Hangrail ships no limit: each is entered from the
 * maker's manual, with its page, and accepted by a named person of the centre.
 */
import type { Dives, Minutes } from "./measures.ts";

/** The positions of a set. */
export const ROLES = ["first-stage", "primary", "alternate", "gauge", "inflator-hose", "hose", "transmitter"] as const;
/** What a component is in its set. */
export type Role = (typeof ROLES)[number];

/** The kinds of model. */
export const MODEL_KINDS = ["first-stage", "second-stage", "gauge", "inflator", "hose", "transmitter"] as const;
/** What a model is, in whichever position it sits. */
export type ModelKind = (typeof MODEL_KINDS)[number];

const KIND_IN: Readonly<Record<Role, ModelKind>> = {
  "first-stage": "first-stage",
  primary: "second-stage",
  alternate: "second-stage",
  gauge: "gauge",
  "inflator-hose": "inflator",
  hose: "hose",
  transmitter: "transmitter",
};

/** The kind of model that belongs in a position. */
export function kindIn(role: Role): ModelKind {
  return KIND_IN[role];
}

/** Whether a model of this kind may sit in this position. */
export function maySitIn(kind: ModelKind, role: Role): boolean {
  return KIND_IN[role] === kind;
}

/** The positions a model of this kind may take, in the order of a set. */
export function rolesOf(kind: ModelKind): readonly Role[] {
  return ROLES.filter((role) => KIND_IN[role] === kind);
}

/** Whether a diver breathes from, or through, this position: first and second stages. */
export function isStage(role: Role): boolean {
  return role === "first-stage" || role === "primary" || role === "alternate";
}

/** Limits of one kind of work; whichever comes first counts. `null` = the maker sets no such limit. */
export interface Limb {
  readonly months: number | null;
  readonly dives: Dives | null;
  readonly minutes: Minutes | null;
}

/**
 * A model's accepted limits. Three nulls in a limb are a maker's word ("no limit"); limits that
 * nobody has recorded are `null` in place of this whole thing, and then nothing is judged.
 */
export interface ModelLimits {
  readonly service: Limb;
  /** `null` = the maker asks for no inspection between two services. */
  readonly inspection: Limb | null;
}

/** Cylinder connections of the trade (ISO 12209:2013; M26: EN 144-3:2003). */
export const CONNECTIONS = ["yoke", "din-232", "din-300", "m26"] as const;
export type Connection = (typeof CONNECTIONS)[number];

/**
 * What the mark says of cold water (EN 250:2014): no temperature mark = tested at 4 °C, ">10 °C" =
 * warm water only. "unknown" = the mark was never read, and is treated as warm only.
 */
export const COLD_RATINGS = ["tested-4C", "warm-only", "unknown"] as const;
export type ColdRating = (typeof COLD_RATINGS)[number];
