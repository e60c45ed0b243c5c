/** Checkpoints of the record: made, signed with a key that is not in the database, and checked. */
import { createPrivateKey, createPublicKey, sign, verify, type KeyObject } from "node:crypto";
import { keepCheckpoint, readHeadMoves, readNewestCheckpoints } from "@hangrail/db/checkpoints";
import type { Answer, Who } from "@hangrail/db/acts";
import type { Database } from "@hangrail/db/database";
import { OperatorError } from "@hangrail/db/operator-error";
import { readHeads } from "@hangrail/db/record-chain";
import { sha256 } from "@hangrail/db/sha256";
import { checkpointDigest, checkpointOf, checkpointText, fingerprint, type SignedCheckpoint } from "@hangrail/rules/checkpoint";
import { z } from "zod";

/** How long after a checkpoint the server makes the next by itself. */
const A_DAY_MS = 24 * 3_600_000;
/** Before every Ed25519 public key, in the form node takes. */
const PUBLIC_KEY_HEAD = "302a300506032b6570032100";

export interface CheckpointKey {
  readonly secret: KeyObject;
  /** Hex. */
  readonly publicKey: string;
}

/** The key HANGRAIL_CHECKPOINT_KEY holds (PKCS #8, with or without its PEM lines); null where it is not set. Throws OperatorError for anything else. */
export function checkpointKeyFrom(env: Readonly<Record<string, string | undefined>>): CheckpointKey | null {
  const text = env["HANGRAIL_CHECKPOINT_KEY"];
  return text === undefined || text === "" ? null : checkpointKey(text);
}

export function checkpointKey(text: string): CheckpointKey {
  try {
    const der = Buffer.from(text.replace(/-----[A-Z ]+-----|\s/g, ""), "base64");
    const secret = createPrivateKey({ key: der, format: "der", type: "pkcs8" });
    if (secret.asymmetricKeyType !== "ed25519") throw new Error("another kind of key");
    return { secret, publicKey: createPublicKey(secret).export({ format: "der", type: "spki" }).subarray(-32).toString("hex") };
  } catch {
    throw new OperatorError("HANGRAIL_CHECKPOINT_KEY is no Ed25519 key in PKCS #8. One is made with: openssl genpkey -algorithm ed25519");
  }
}

/** Whether a checkpoint's signature is of its key over what it says. */
export function isSigned(checkpoint: SignedCheckpoint): boolean {
  const key = createPublicKey({ key: Buffer.from(PUBLIC_KEY_HEAD + checkpoint.publicKey, "hex"), format: "der", type: "spki" });
  return verify(null, Buffer.from(checkpointText(checkpoint), "utf8"), key, Buffer.from(checkpoint.signature, "hex"));
}

/** Makes a checkpoint of the record as it stands. `who` is null when the server makes it by itself. */
export async function makeCheckpoint(db: Database, key: CheckpointKey, who: Who | null): Promise<Answer<{ number: number }>> {
  const before = (await readNewestCheckpoints(db, 1))[0] ?? null;
  const known = new Map<string, number>();
  for (const { chain, seq } of before === null ? [] : await readHeadMoves(db, before.number)) known.set(chain, seq);
  const { at, heads } = await readHeads(db);
  const checkpoint = checkpointOf(heads, at, before, sha256);
  const signature = sign(null, Buffer.from(checkpointText(checkpoint), "utf8"), key.secret).toString("hex");
  return keepCheckpoint(db, who, { ...checkpoint, publicKey: key.publicKey, signature }, heads.filter(({ chain, seq }) => known.get(chain) !== seq));
}

/** Makes one if the newest is a day old; when nothing was recorded since, there is nothing to vouch for anew. */
export async function makeDailyCheckpoint(db: Database, key: CheckpointKey): Promise<void> {
  const newest = (await readNewestCheckpoints(db, 1))[0];
  if (newest !== undefined) {
    const { at, heads } = await readHeads(db);
    if (Date.parse(at) - Date.parse(newest.at) < A_DAY_MS || heads.reduce((sum, { seq }) => sum + seq, 0) === newest.entries) return;
  }
  await makeCheckpoint(db, key, null);
}

/** What is given out of a checkpoint: enough to hold the record against it later, and nobody's name. */
export function asFile({ number, at, chains, entries, root, previous, publicKey, signature }: SignedCheckpoint): string {
  return `${JSON.stringify({ kind: "hangrail-checkpoint", version: 1, number, at, chains, entries, root, previous, publicKey, signature, fingerprint: fingerprintOf({ number, at, chains, entries, root, previous }) }, null, 2)}\n`;
}

export const fingerprintOf = (checkpoint: Parameters<typeof checkpointDigest>[0]): string => fingerprint(checkpointDigest(checkpoint, sha256));

const hex = (bytes: number) => z.string().regex(new RegExp(`^[0-9a-f]{${bytes * 2}}$`));
const file = z.object({
  kind: z.literal("hangrail-checkpoint"), version: z.literal(1), number: z.int().min(1), at: z.iso.datetime({ precision: 6 }), chains: z.int().min(0), entries: z.int().min(0),
  root: hex(32), previous: hex(32).nullable(), publicKey: hex(32), signature: hex(64),
});

/** Reads a checkpoint that was given out. Throws OperatorError for anything else. */
export function readCheckpointFile(text: string): SignedCheckpoint {
  try {
    return file.parse(JSON.parse(text));
  } catch {
    throw new OperatorError("That file is no checkpoint of Hangrail.");
  }
}

