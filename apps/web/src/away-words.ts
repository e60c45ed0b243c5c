/** What the wash room says about scans made without a network. */
import { countText, listText, timeText } from "./format.ts";
import type { Later } from "./away/send.ts";
import type { NotTaken, Scan, Step } from "./away/scans.ts";
import { washReasonWords } from "./wash-words.ts";

/** What a scan says of its set. */
export function stepWords(says: Step): string {
  switch (says.step) {
    case "in":
      return `into ${says.bath}`;
    case "out":
      return "out of the bath";
    case "dry":
      return "rinsed, purged and dry";
  }
}

/** A scan just kept, as a sentence. */
export function keptWords({ tag, others, says }: Pick<Scan, "tag" | "others" | "says">): string {
  return `${listText([tag, ...others])}: ${stepWords(says)}. Kept on this tablet, not recorded yet.`;
}

/** Why a scan was not kept. */
export function notTakenWords(not: NotTaken, tag: string): string {
  switch (not) {
    case "not-seen":
      return `${tag} was not on the wash room's list when the network went away. Lay it aside, and scan it when the network is back.`;
    case "see-to-refused":
      return `${tag}: an earlier scan of it was refused. See to that one first.`;
    case "already-in":
      return `${tag} is in the bath already.`;
    case "already-out":
      return `${tag} is out of the bath already.`;
    case "already-dry":
      return `${tag} is noted as dry already.`;
    case "in-first":
      return `${tag} was in no bath. It goes into one first.`;
    case "out-first":
      return `${tag} is in the bath. Scan it out first.`;
    case "choose-bath":
      return `${tag} was not taken: choose the bath first, then scan it again.`;
    case "bath-expired":
      return `${tag} was not taken: that bath has expired. Choose another one.`;
    case "say-all-three":
      return `${tag} was not taken: tick all three first, then scan it again.`;
  }
}

/** "3 scans wait to be sent, the first since 14:02." Told in the tablet's own time. */
export function waitingWords(scans: readonly Scan[], timeZone: string): string | null {
  const waiting = scans.filter(({ refused }) => refused === null);
  const [first] = waiting;
  if (first === undefined) return null;
  const since = timeText(first.scannedAt, timeZone);
  return waiting.length === 1 ? `1 scan waits to be sent, since ${since}.` : `${countText(waiting.length, "scan")} wait to be sent, the first since ${since}.`;
}

/** Why a refused scan was not recorded. */
export function refusedWords(scan: Scan, timeZone: string): string {
  const words = (scan.refused ?? []).map((reason) => washReasonWords(reason, timeZone)).join(" ");
  return words === "" ? "The server could not read this scan. Look at the set, and scan it again." : words;
}

/** What became of a sending. */
export function sentWords({ recorded, refused, stopped }: { readonly recorded: number; readonly refused: number; readonly stopped: Later | null }): string | null {
  const parts = [
    recorded === 0 ? null : `${countText(recorded, "scan")} recorded, as entered afterwards.`,
    refused === 0 ? null : `${countText(refused, "scan")} refused: see below.`,
    stopped === null ? null : laterWords(stopped),
  ].filter((part) => part !== null);
  return parts.length === 0 ? null : parts.join(" ");
}

/** Stands over a refused scan. */
export const notRecordedTitle = "Not recorded:";

function laterWords(why: Later): string {
  switch (why) {
    case "network":
      return "The network is not there yet. What waits is kept.";
    case "sign-in":
      return "Sign in first. What waits is kept.";
    case "not-yours":
      return "Whoever has the role of wash-room hand has to send these. What waits is kept.";
    case "server":
      return "The server could not take it just now. What waits is kept; send it again in a minute.";
  }
}
