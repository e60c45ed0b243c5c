/** The one word a board shows for a set, computed from the facts and never kept. */
import type { Hold, HoldCode, SetFacts } from "./hand-out.ts";

/**
 * In order of precedence: a set shows the first that is true of it.
 *
 * First what ends all questions, then where it is, then what the bench has to do, then what the wash
 * room has to do (a set tagged out after a hire is "tagged-out" though it is unclean as well), then
 * any other reason to stay.
 */
export const SET_STATES = [
  "evidence-lock",
  "retired",
  "out",
  "awaiting-parts",
  "on-the-bench",
  "tagged-out",
  "to-release",
  "in-bath",
  "drying",
  "to-clean",
  "held",
  "ready",
] as const;
export type SetState = (typeof SET_STATES)[number];

/** Where the set's open work order stands; "none" without one. */
export type BenchPlace = "none" | "on-the-bench" | "awaiting-parts";

/**
 * The state a set shows.
 *
 * `standing` are its holds whatever the hire (`standingHolds`). "held" is said when none of the named
 * states fits and yet something holds: overdue work, a notice, no limits recorded, a part missing,
 * another site. So "ready" is shown of no set that the gate would hold for every hire.
 */
export function stateOf(set: SetFacts, standing: readonly Hold[], bench: BenchPlace): SetState {
  const holds = (code: HoldCode): boolean => standing.some((hold) => hold.code === code);
  if (holds("evidence-lock")) return "evidence-lock";
  if (holds("retired")) return "retired";
  if (holds("out")) return "out";
  if (bench !== "none") return bench;
  if (holds("fault")) return "tagged-out";
  if (holds("not-released")) return "to-release";
  if (set.cleaning !== "clean") return set.cleaning;
  return standing.length > 0 ? "held" : "ready";
}
