/** What happened to a set while somebody looked at it, for the moment a hand-out meets it. */
import { ACTS, type Act } from "@hangrail/rules/acts";
import { actLook } from "./act-looks.ts";
import { listText, timeText } from "./format.ts";

/** What happened to a set between being shown and being handed out. */
export function staleWords({ tag, changes }: { tag: string; changes: readonly { act: string; at: string; by: string | null }[] }, timeZone: string): string {
  if (changes.length === 0) return `Set ${tag} changed while you looked.`;
  const told = changes.map(({ act, at, by }) => `${isAct(act) ? actLook(act).word.toLowerCase() : "something recorded"}${by === null ? "" : ` by ${by}`} at ${timeText(at, timeZone)}`);
  return `Set ${tag} changed while you looked: ${listText(told)}.`;
}

function isAct(text: string): text is Act {
  return Object.hasOwn(ACTS, text);
}
