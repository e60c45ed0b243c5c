/**
 * A checkpoint: one signed root over the heads of all chains at one moment. A chain cannot show that its
 * tail was cut off, or that it was hashed anew from somewhere on; a checkpoint kept elsewhere does.
 *
 * Units:  hashes and keys are lower-case hex, instants as in record-chain.ts.
 */
import { canonicalJson } from "./canonical-json.ts";
import { leafHash, merkleRoot } from "./merkle.ts";
import type { ChainHead, Sha256 } from "./record-chain.ts";

/** What is signed. */
export interface Checkpoint {
  readonly number: number;
  readonly at: string;
  readonly chains: number;
  /** How many entries all chains had together. */
  readonly entries: number;
  readonly root: string;
  /** The digest of the checkpoint before; null for the first. */
  readonly previous: string | null;
}

/** A checkpoint as it is kept and handed out. */
export interface SignedCheckpoint extends Checkpoint {
  readonly publicKey: string;
  readonly signature: string;
}

/** The text that is signed. */
export function checkpointText({ number, at, chains, entries, root, previous }: Checkpoint): string {
  return canonicalJson({ at, chains, entries, kind: "hangrail-checkpoint", number, previous, root, version: 1 });
}

export function checkpointDigest(checkpoint: Checkpoint, sha256: Sha256): string {
  return sha256([checkpointText(checkpoint)]);
}

/** Eighty bits of the digest in groups of four, to be read out or compared on paper. */
export function fingerprint(digest: string): string {
  return digest.slice(0, 20).match(/.{4}/g)!.join(" ");
}

/** A head as a leaf of the tree. */
export function headLeaf({ chain, seq, hash }: ChainHead, sha256: Sha256): string {
  return leafHash(canonicalJson({ chain, hash, seq }), sha256);
}

/** Heads in the order of the tree: by chain. */
export function inTreeOrder(heads: Iterable<ChainHead>): ChainHead[] {
  return [...heads].sort((a, b) => (a.chain < b.chain ? -1 : 1));
}

/** The checkpoint of these heads, not yet signed. */
export function checkpointOf(heads: Iterable<ChainHead>, at: string, before: Checkpoint | null, sha256: Sha256): Checkpoint {
  const ordered = inTreeOrder(heads);
  return {
    number: (before?.number ?? 0) + 1,
    at,
    chains: ordered.length,
    entries: ordered.reduce((sum, { seq }) => sum + seq, 0),
    root: merkleRoot(ordered.map((head) => headLeaf(head, sha256)), sha256),
    previous: before === null ? null : checkpointDigest(before, sha256),
  };
}
