/**
 * Holds kept checkpoints against each other and against one that was kept elsewhere.
 *
 * Answer: what is wrong, checkpoint by checkpoint; nothing means that each one follows the one before and
 *         that the heads written down give its root. Whether those heads are still entries of the record
 *         is asked of the database.
 */
import { checkpointDigest, headLeaf, type SignedCheckpoint } from "./checkpoint.ts";
import { merkleRoot } from "./merkle.ts";
import type { ChainHead, Sha256 } from "./record-chain.ts";

export type CheckpointFault =
  /** One before it is missing. */
  | "number"
  /** It does not name the one before it. */
  | "previous"
  /** Its signature is not of its key over what it says. */
  | "signature"
  /** It is signed with another key than this Hangrail's. */
  | "other-key"
  /** The heads written down do not give its root. */
  | "root"
  /** A head it covers is no entry of the record any more: the chain was cut, or hashed anew. */
  | "lost-head"
  /** The one kept elsewhere is not here: the record was cut back to before it. */
  | "not-here"
  /** The one kept elsewhere says something else than the one here. */
  | "differs";

export interface CheckpointProblem {
  readonly number: number;
  readonly why: CheckpointFault;
  /** For a lost head: which chain, and at which entry. */
  readonly chain?: string;
  readonly seq?: number;
}

export interface AuditTools {
  readonly sha256: Sha256;
  /** Whether a checkpoint's signature is of its key over its text. */
  readonly signed: (checkpoint: SignedCheckpoint) => boolean;
  /** This Hangrail's own public key in hex; null where it is not known. */
  readonly ownKey: string | null;
}

/** Every checkpoint, the oldest first, with the heads that moved up to each, ordered alike. */
export function auditCheckpoints(checkpoints: readonly SignedCheckpoint[], moves: readonly (ChainHead & { readonly number: number })[], tools: AuditTools): CheckpointProblem[] {
  const problems: CheckpointProblem[] = [];
  const leaves = new Map<string, string>();
  let ordered: string[] = [];
  let move = 0;
  let entries = 0;
  const seqs = new Map<string, number>();
  let before: SignedCheckpoint | null = null;
  for (const checkpoint of checkpoints) {
    const { number } = checkpoint;
    if (number !== (before?.number ?? 0) + 1) problems.push({ number, why: "number" });
    else if (checkpoint.previous !== (before === null ? null : checkpointDigest(before, tools.sha256))) problems.push({ number, why: "previous" });
    problems.push(...ofItself(checkpoint, tools));
    let grown = false;
    for (; move < moves.length && moves[move]!.number <= number; move += 1) {
      const head = moves[move]!;
      grown ||= !leaves.has(head.chain);
      leaves.set(head.chain, headLeaf(head, tools.sha256));
      entries += head.seq - (seqs.get(head.chain) ?? 0);
      seqs.set(head.chain, head.seq);
    }
    if (grown) ordered = [...leaves.keys()].sort();
    const root = merkleRoot(ordered.map((chain) => leaves.get(chain)!), tools.sha256);
    if (root !== checkpoint.root || ordered.length !== checkpoint.chains || entries !== checkpoint.entries) problems.push({ number, why: "root" });
    before = checkpoint;
  }
  return problems;
}

/** A checkpoint that was kept elsewhere, against the one of its number here. */
export function auditOutside(outside: SignedCheckpoint, here: readonly SignedCheckpoint[], tools: AuditTools): CheckpointProblem[] {
  const { number } = outside;
  const problems = ofItself(outside, tools);
  const same = here.find((one) => one.number === number);
  if (same === undefined) problems.push({ number, why: "not-here" });
  else if (checkpointDigest(same, tools.sha256) !== checkpointDigest(outside, tools.sha256)) problems.push({ number, why: "differs" });
  return problems;
}

function ofItself(checkpoint: SignedCheckpoint, { signed, ownKey }: AuditTools): CheckpointProblem[] {
  const { number } = checkpoint;
  if (!signed(checkpoint)) return [{ number, why: "signature" }];
  return ownKey !== null && checkpoint.publicKey !== ownKey ? [{ number, why: "other-key" }] : [];
}
