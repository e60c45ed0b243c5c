"use client";
import { useState } from "react";
import { verdictSentence } from "../../../desk-words.ts";
import { listText, type Units } from "../../../format.ts";
import type { useParty } from "./use-party.ts";

type Said = { text: string; refused: boolean };

/**
 * The one sentence beside the scan field: what became of the last scan. A remark about
 * the scan itself stands until the next one; otherwise it is the verdict on the set
 * scanned last, and it changes by itself when the verdict does.
 */
export function useHeard(party: ReturnType<typeof useParty>, latest: string | null, units: Units) {
  const [said, setSaid] = useState<Said | null>(null);
  const verdict = verdictOn(party, latest, units);
  return {
    heard: said?.text ?? verdict?.text ?? null,
    refused: (said ?? verdict)?.refused === true,
    say: (text: string, how: "told" | "refused" = "refused") => setSaid({ text, refused: how === "refused" }),
    listen: () => setSaid(null),
  };
}

function verdictOn({ sets, unknown }: ReturnType<typeof useParty>, latest: string | null, units: Units): Said | null {
  if (latest === null) return null;
  if (unknown.includes(latest)) return { text: `There is no set ${latest} here. If that is the hirer, put H: in front or write it in the hirer's field.`, refused: true };
  const others = sets.filter((set) => !set.ready && set.tag !== latest).map((set) => set.tag);
  const also = others.length === 0 ? "" : ` ${listText(others)} ${others.length === 1 ? "stays" : "stay"} here as well.`;
  const set = sets.find((one) => one.tag === latest);
  if (set === undefined) return others.length === 0 ? null : { text: also.trim(), refused: true };
  return { text: `${verdictSentence(set, units)}${also}`, refused: !set.ready || others.length > 0 };
}
