import { isStage } from "@hangrail/rules/models";
import type { ShownSet } from "./blocks.ts";

/** The makers of a set's breathing path that are not among these: for a word in advance, the record decides. */
export function notAuthorisedFor(set: Pick<ShownSet, "parts">, makers: readonly string[]): readonly string[] {
  return [...new Set(set.parts.filter((part) => isStage(part.role)).map((part) => part.maker))].filter((maker) => !makers.includes(maker));
}
