/**
 * The record as a chain: what of an entry is hashed, and where a chain breaks.
 *
 * There is a chain for each set and one for each site's own entries. An entry's hash is SHA-256 over
 * the hash before (32 zero bytes for the first) and the entry as canonical JSON. The SQL functions
 * `entry_text` and `entry_hash` do the same when the entry is written; a test holds the two equal.
 *
 * Units:  hashes are lower-case hex. Instants are UTC with six digits of the second, as the database writes them.
 * Errors: none for what was tampered with: that is the answer.
 */
import { canonicalJson, NotCanonical } from "./canonical-json.ts";

/** SHA-256 over these parts one after the other, texts as UTF-8, in lower-case hex. Given by the caller: rules reckon no bytes. */
export type Sha256 = (parts: readonly (string | HexBytes)[]) => string;
/** Bytes written as hex, to tell them from text. */
export interface HexBytes {
  readonly hex: string;
}

export const CHAIN_VERSION = 1;
/** What stands before a first entry. */
export const NO_HASH = "0".repeat(64);

/** An entry as the record keeps it. */
export interface ChainEntry {
  readonly version: number;
  /** The set, or the site for an entry about no set. */
  readonly chain: string;
  /** The place in that chain, from 1. */
  readonly seq: number;
  readonly act: string;
  readonly at: string;
  readonly by: string | null;
  readonly device: string | null;
  readonly request: string | null;
  readonly site: string | null;
  readonly content: unknown;
}

/** An entry with the two hashes written beside it. */
export interface LinkedEntry extends ChainEntry {
  readonly prevHash: string;
  readonly hash: string;
}

/** What is hashed of an entry. */
export function entryText(entry: ChainEntry): string {
  const { act, at, by, chain, content, device, request, seq, site, version } = entry;
  return canonicalJson({ act, at, by, chain, content, device, request, seq, site, version });
}

/** The hash an entry must carry after the one before it. */
export function entryHash(entry: ChainEntry, before: string, sha256: Sha256): string {
  return sha256([{ hex: before }, entryText(entry)]);
}

/** The newest entry of a chain. */
export interface ChainHead {
  readonly chain: string;
  readonly seq: number;
  readonly hash: string;
}

/** Why a chain does not hold at an entry. */
export type BreakReason =
  /** The entry was changed after it was written: its hash is not that of what it says. */
  | "content"
  /** It does not follow the entry before: one was taken out, put in, or moved. */
  | "link"
  /** Entries are missing before this one. */
  | "gap"
  /** It was hashed in a way this release does not know. */
  | "version";

export interface ChainBreak {
  readonly chain: string;
  /** Where: the entry that does not hold, or the first one missing. */
  readonly seq: number;
  readonly why: BreakReason;
}

/** Walks entries in the order of their chains and places, and finds where each chain first breaks. */
export class ChainWalker {
  readonly #sha256: Sha256;
  #chain: string | null = null;
  #seq = 0;
  #hash = NO_HASH;
  #broken = false;
  entries = 0;
  chains = 0;
  readonly breaks: ChainBreak[] = [];

  constructor(sha256: Sha256) {
    this.#sha256 = sha256;
  }

  /** Takes the next entry. All of one chain come one after the other, by place. */
  take(entry: LinkedEntry): void {
    if (entry.chain !== this.#chain) {
      this.#chain = entry.chain;
      this.chains += 1;
      this.#seq = 0;
      this.#hash = NO_HASH;
      this.#broken = false;
    }
    this.entries += 1;
    const why = this.#broken ? null : this.#whyNot(entry);
    if (why !== null) {
      // What follows a break proves nothing more about this chain.
      this.#broken = true;
      this.breaks.push({ chain: entry.chain, seq: why === "gap" ? this.#seq + 1 : entry.seq, why });
    }
    this.#seq = entry.seq;
    this.#hash = entry.hash;
  }

  #whyNot(entry: LinkedEntry): BreakReason | null {
    if (entry.version !== CHAIN_VERSION) return "version";
    if (entry.seq !== this.#seq + 1) return "gap";
    // The hash over what the entry itself says stood before it: tells a changed entry from a moved one.
    if (!says(entry, this.#sha256)) return "content";
    return entry.prevHash === this.#hash ? null : "link";
  }
}

/** Whether an entry's own hash is that of what it says, after whatever it says stood before. */
export function says(entry: LinkedEntry, sha256: Sha256): boolean {
  try {
    return entryHash(entry, entry.prevHash, sha256) === entry.hash;
  } catch (error) {
    // Nothing was ever hashed that has no canonical text.
    if (error instanceof NotCanonical) return false;
    throw error;
  }
}
