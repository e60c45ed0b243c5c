"use client";
import { staleWords } from "../../../stale-words.ts";
import type { StaleSets } from "./outcome.tsx";

/** What happened to each set since it was shown. Fetched when it is needed, which is seldom. */
export function StaleChanges({ sets, timeZone }: { sets: StaleSets; timeZone: string }) {
  return sets.map((set) => <p key={set.setId}>{staleWords(set, timeZone)}</p>);
}
