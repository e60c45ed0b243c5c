/** Reads the facts of a refusal; one that is not there reads as words that leave no hole in a sentence. */
import { instantText, listText, secondsText } from "./format.ts";

export type Facts = Readonly<Record<string, unknown>>;

export function tagsIn(facts: Facts): string {
  const tags = Array.isArray(facts["tags"]) ? facts["tags"] : [facts["tag"]];
  const words = tags.filter((tag): tag is string => typeof tag === "string");
  return words.length === 0 ? "This set" : listText(words);
}

export function textsIn(fact: unknown): string {
  const words = Array.isArray(fact) ? fact.filter((word): word is string => typeof word === "string") : [];
  return words.length === 0 ? "this make" : listText(words);
}

export const textIn = (fact: unknown): string => (typeof fact === "string" ? fact : "");
export const numberIn = (fact: unknown): string => (typeof fact === "number" ? String(fact) : "an unknown number of");

export const secondsIn = (fact: unknown): string => (typeof fact === "number" ? secondsText(fact) : "Some time");

export function instantIn(fact: unknown, timeZone: string): string {
  return typeof fact === "string" && !Number.isNaN(Date.parse(fact)) ? instantText(fact, timeZone) : "an unknown time";
}
