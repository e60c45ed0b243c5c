/** The bench's words: faults, where they were found, kinds of work. */
import { faultOf, isFaultCode } from "@hangrail/rules/faults";
import type { Inputs } from "./trpc/types.ts";

export type FoundWhere = Inputs["bench"]["reportFault"]["where"];
export const foundWheres = ["desk", "wash-room", "bench", "boat"] as const satisfies readonly FoundWhere[];

/** Where a fault was found. */
export function foundWords(where: FoundWhere): string {
  switch (where) {
    case "desk":
      return "at the desk";
    case "wash-room":
      return "in the wash room";
    case "bench":
      return "on the bench";
    case "boat":
      return "on the boat";
  }
}

export function isFoundWhere(text: unknown): text is FoundWhere {
  return foundWheres.some((where) => where === text);
}

/** A code's line of the fault list, in desk words. */
export function faultWords(code: string): string {
  return isFaultCode(code) ? faultOf(code).words : `A fault with a code that is not in the list any more (${code})`;
}

export type WorkKind = Inputs["bench"]["recordWork"]["kind"];
export const workKinds = ["service", "inspection", "bedding-check"] as const satisfies readonly WorkKind[];

export function workWords(kind: WorkKind): string {
  switch (kind) {
    case "service":
      return "Service";
    case "inspection":
      return "Inspection";
    case "bedding-check":
      return "Bedding check";
  }
}

/** What the record does with the set after a piece of work. */
export function workFollows(kind: WorkKind): string {
  switch (kind) {
    case "service":
      return "A service resets every limit of the components ticked and ends the set's release: it has to be washed and released again.";
    case "inspection":
      return "An inspection resets the inspection of the components ticked and nothing else. It is breathed, so the set has to be washed again.";
    case "bedding-check":
      return "A bedding check resets no limit. It is breathed, so the set has to be washed again.";
  }
}
