/**
 * The wash room's scans that wait for the network: what each says, where it leaves its set, and which may be taken.
 * Pure. Times are the tablet's own and decide nothing, here as little as on the server.
 */
import type { WashReason } from "../wash-words.ts";
import type { Picture, SeenSet } from "./picture.ts";

/** What the person says of the set. */
export type Step =
  | { readonly step: "in"; readonly bathId: string; /** The bath's label, for the list. */ readonly bath: string }
  | { readonly step: "out" }
  | { readonly step: "dry"; readonly rinsed: boolean; readonly purgedUnderPressure: boolean; readonly dry: boolean };

/** What the scan follows: the set as last seen, or an earlier scan of this tablet. */
export type After = { readonly seq: number } | { readonly request: string };

export interface NewScan {
  /** Made at the scan: sent twice, it is recorded once. */
  readonly requestId: string;
  readonly siteId: string;
  readonly setId: string;
  readonly tag: string;
  /** The other sets of the same run, lifted out of the bath with it. */
  readonly others: readonly string[];
  readonly after: After;
  readonly scannedAt: string;
  readonly says: Step;
}

/** A scan as it is kept; `nth` is its place in the order of things. */
export interface Scan extends NewScan {
  readonly nth: number;
  /** Why the record did not take it; null while it waits to be sent. It stays until a person has seen to it. */
  readonly refused: readonly WashReason[] | null;
}

export type Place =
  | { readonly at: "to-clean" | "in-bath" | "drying" | "said-dry"; readonly set: SeenSet | null; readonly setId: string; readonly after: After; readonly others: readonly string[] }
  /** A scan of it was refused: somebody has to look first. */
  | { readonly at: "refused" }
  /** It was not in the wash room when the network went away: nothing is known of it, and unknown is no pass. */
  | { readonly at: "unknown" };

const LEADS_TO = { in: "in-bath", out: "drying", dry: "said-dry" } as const;

/** Where this tablet has reason to believe a set is: its own newest scan counts, then what it last saw. */
export function placeOf(picture: Picture, scans: readonly Scan[], tag: string): Place {
  const about = scans.filter((scan) => scan.siteId === picture.siteId && (scan.tag === tag || scan.others.includes(tag)));
  const newest = about.at(-1);
  const seen = seenAt(picture, tag);
  if (newest === undefined) return seen;
  if (about.some(({ refused }) => refused !== null)) return { at: "refused" };
  const setId = about.find((scan) => scan.tag === tag)?.setId ?? ("setId" in seen ? seen.setId : null);
  if (setId === null) return { at: "unknown" };
  return { at: LEADS_TO[newest.says.step], set: null, setId, after: { request: newest.requestId }, others: [] };
}

function seenAt(picture: Picture, tag: string): Place {
  const waiting = picture.toClean.find((set) => set.tag === tag);
  if (waiting !== undefined) return { at: "to-clean", set: waiting, setId: waiting.setId, after: { seq: waiting.seq }, others: [] };
  for (const run of picture.runs) {
    const set = run.sets.find((one) => one.tag === tag);
    if (set === undefined) continue;
    return { at: run.isWet ? "in-bath" : "drying", set, setId: set.setId, after: { seq: set.seq }, others: run.sets.filter((one) => one.tag !== tag).map((one) => one.tag) };
  }
  return { at: "unknown" };
}

/** Why a scan is not taken; said at once, and nothing is kept of it. */
export type NotTaken =
  | "not-seen" | "see-to-refused" | "already-in" | "already-out" | "already-dry" | "in-first" | "out-first" | "choose-bath" | "bath-expired" | "say-all-three";

export type Taken = { readonly taken: NewScan } | { readonly not: NotTaken };

/** Takes a scan into the order of things, or says why not. */
export function takeScan(picture: Picture, scans: readonly Scan[], tag: string, says: Step | null, made: { readonly requestId: string; readonly scannedAt: string }): Taken {
  const place = placeOf(picture, scans, tag);
  if (place.at === "unknown") return { not: "not-seen" };
  if (place.at === "refused") return { not: "see-to-refused" };
  // No bath chosen: what is in one already is told first.
  if (says === null) return { not: ALREADY[place.at] ?? "choose-bath" };
  const not = whyNot(picture, place.at, says);
  if (not !== null) return { not };
  return { taken: { ...made, siteId: picture.siteId, setId: place.setId, tag, others: says.step === "out" ? place.others : [], after: place.after, says } };
}

const ALREADY = { "to-clean": null, "in-bath": "already-in", drying: "already-out", "said-dry": "already-dry" } as const;

function whyNot(picture: Picture, at: "to-clean" | "in-bath" | "drying" | "said-dry", says: Step): NotTaken | null {
  switch (says.step) {
    case "in":
      if (at !== "to-clean") return ALREADY[at];
      return picture.baths.find(({ id }) => id === says.bathId)?.expired === false ? null : "bath-expired";
    case "out":
      return at === "in-bath" ? null : (ALREADY[at] ?? "in-first");
    case "dry":
      if (at === "to-clean") return "in-first";
      if (at === "in-bath") return "out-first";
      if (at === "said-dry") return "already-dry";
      return says.rinsed && says.purgedUnderPressure && says.dry ? null : "say-all-three";
  }
}

/** The next scan to send, in the order of things; null when none may go. One that follows a scan still kept waits for it. */
export function nextToSend(scans: readonly Scan[], siteId: string): Scan | null {
  const kept = new Set(scans.map(({ requestId }) => requestId));
  return scans.find(({ refused, after, ...scan }) => scan.siteId === siteId && refused === null && !("request" in after && kept.has(after.request))) ?? null;
}
