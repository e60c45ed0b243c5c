/**
 * A root over many leaves, and the path that proves one leaf to be among them.
 *
 * Units:  leaves are texts, hashes lower-case hex.
 * Answer: the root of no leaf is the hash of nothing.
 * Source: RFC 6962, sections 2.1 and 2.1.1: leaves and inner nodes are hashed with different first bytes,
 *         so that neither can pass for the other.
 */
import type { Sha256 } from "./record-chain.ts";

const LEAF = { hex: "00" };
const NODE = { hex: "01" };

export function leafHash(leaf: string, sha256: Sha256): string {
  return sha256([LEAF, leaf]);
}

function nodeHash(left: string, right: string, sha256: Sha256): string {
  return sha256([NODE, { hex: left }, { hex: right }]);
}

/** The root over leaves that are hashed already. */
export function merkleRoot(leaves: readonly string[], sha256: Sha256): string {
  if (leaves.length === 0) return sha256([]);
  let level = leaves;
  // Pairs from the left, an odd one going up as it is, gives the tree of the RFC.
  while (level.length > 1) {
    const above: string[] = [];
    for (let at = 0; at < level.length; at += 2) above.push(at + 1 < level.length ? nodeHash(level[at]!, level[at + 1]!, sha256) : level[at]!);
    level = above;
  }
  return level[0]!;
}

/** The neighbours on the way from one leaf up to the root, the lowest first. */
export function merklePath(leaves: readonly string[], index: number, sha256: Sha256): string[] {
  if (!(index >= 0 && index < leaves.length)) throw new Error(`There is no leaf ${index} among ${leaves.length}.`);
  const path: string[] = [];
  let level = leaves;
  let at = index;
  while (level.length > 1) {
    const neighbour = level[at ^ 1];
    if (neighbour !== undefined) path.push(neighbour);
    const above: string[] = [];
    for (let i = 0; i < level.length; i += 2) above.push(i + 1 < level.length ? nodeHash(level[i]!, level[i + 1]!, sha256) : level[i]!);
    level = above;
    at >>= 1;
  }
  return path;
}

/** The root that a leaf and its path give in a tree of so many leaves; `null` for a path that fits no such tree. */
export function rootOfPath(leaf: string, index: number, size: number, path: readonly string[], sha256: Sha256): string | null {
  if (!(index >= 0 && index < size)) return null;
  let hash = leaf;
  let at = index;
  let last = size - 1;
  let used = 0;
  for (; last > 0; at >>= 1, last >>= 1) {
    // The last of an odd row has no neighbour.
    if (at === last && at % 2 === 0) continue;
    const neighbour = path[used];
    if (neighbour === undefined) return null;
    used += 1;
    hash = at % 2 === 0 ? nodeHash(hash, neighbour, sha256) : nodeHash(neighbour, hash, sha256);
  }
  return used === path.length ? hash : null;
}
