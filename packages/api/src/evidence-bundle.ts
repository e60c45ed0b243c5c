/** A set's evidence bundle: its record, the proof that leads to a signed checkpoint, its facts, photographs, and what checks them all. */
import { sign } from "node:crypto";
import { readHeadMoves, readNewestCheckpoints } from "@hangrail/db/checkpoints";
import { readEvidence } from "@hangrail/db/custody";
import type { Database } from "@hangrail/db/database";
import { findEvidenceSet, readEvidenceHirers, readEvidencePeople, readEvidencePhotos } from "@hangrail/db/evidence-facts";
import { readChain } from "@hangrail/db/record-chain";
import { readServiceRecord } from "@hangrail/db/service-record";
import { readLife } from "@hangrail/db/set-life";
import { sha256 } from "@hangrail/db/sha256";
import { canonicalJson } from "@hangrail/rules/canonical-json";
import { headLeaf, inTreeOrder, type SignedCheckpoint } from "@hangrail/rules/checkpoint";
import { merklePath } from "@hangrail/rules/merkle";
import type { ChainHead, LinkedEntry } from "@hangrail/rules/record-chain";
import { fingerprintOf, type CheckpointKey } from "./checkpoints.ts";
import { evidencePage } from "./evidence-print.ts";
import { VERIFIER } from "./evidence-verifier.ts";

export interface BundleOrder {
  readonly site: string;
  readonly tag: string;
  /** Whose word it is made on, for its first page. */
  readonly by: string;
  readonly at: Date;
  readonly key: CheckpointKey | null;
}

const EXTENSIONS: Readonly<Record<string, string>> = { "image/jpeg": "jpg", "image/png": "png", "image/webp": "webp" };

/** The files of the bundle by their names; null where the site has no such set. */
export async function evidenceBundle(db: Database, { site, tag, by, at, key }: BundleOrder): Promise<ReadonlyMap<string, Buffer> | null> {
  const set = await findEvidenceSet(db, site, tag);
  const record = await readServiceRecord(db, site, tag);
  if (set === null || record === null) return null;
  const proof = await proofOf(db, set.id);
  // Read after the proof, so that the entry it speaks of is among them.
  const entries = await readChain(db, set.id);
  const [people, hirers, photos, evidence, life] = await Promise.all([
    readEvidencePeople(db, set.id), readEvidenceHirers(db, set.id), readEvidencePhotos(db, set.id), readEvidence(db, site, tag), readLife(db, set.id, null, entries.length),
  ]);
  const names = { ...life[0]?.names, ...people };
  const pictures = photos.map(({ mediaType, bytes }, n) => [`photos/${String(n + 1).padStart(3, "0")}.${EXTENSIONS[mediaType] ?? "bin"}`, bytes] as const);
  const files = new Map<string, Buffer>([
    ["entries.jsonl", Buffer.from(entries.map(asLine).join(""), "utf8")],
    ["proof.json", json(proof)],
    ["hirers.json", json(hirers)],
    ["facts.json", json({ set, record, evidence, names })],
    ...pictures,
    ["record.html", Buffer.from(evidencePage({ tag, site: set.site, madeAt: at.toISOString(), madeBy: by, record, entries, names, photos: pictures.map(([name]) => name), proof: inWords(proof, entries.length) }), "utf8")],
    ["verify.mjs", Buffer.from(VERIFIER, "utf8")],
  ]);
  const manifest = json({
    kind: "hangrail-evidence", version: 1, set: { id: set.id, tag: set.tag }, site: set.site, madeAt: at.toISOString(), madeBy: by, signed: key !== null,
    files: Object.fromEntries([...files].map(([name, bytes]) => [name, sha256([{ hex: bytes.toString("hex") }])])),
  });
  files.set("manifest.json", manifest);
  if (key !== null) files.set("manifest.signature.json", json({ publicKey: key.publicKey, signature: sign(null, manifest, key.secret).toString("hex") }));
  return files;
}

interface Proof {
  readonly checkpoint: SignedCheckpoint;
  readonly head: ChainHead;
  readonly index: number;
  readonly size: number;
  readonly path: readonly string[];
}

/** The way from a chain's head up to the root of the newest checkpoint; null while none covers it. */
async function proofOf(db: Database, chain: string): Promise<Proof | null> {
  const newest = (await readNewestCheckpoints(db, 1))[0];
  if (newest === undefined) return null;
  const heads = new Map<string, ChainHead>();
  for (const { chain: id, seq, hash } of await readHeadMoves(db, newest.number)) heads.set(id, { chain: id, seq, hash });
  const ordered = inTreeOrder(heads.values());
  const index = ordered.findIndex((head) => head.chain === chain);
  if (index < 0) return null;
  const { number, at, chains, entries, root, previous, publicKey, signature } = newest;
  return {
    checkpoint: { number, at, chains, entries, root, previous, publicKey, signature },
    head: ordered[index]!,
    index,
    size: ordered.length,
    path: merklePath(ordered.map((head) => headLeaf(head, sha256)), index, sha256),
  };
}

function asLine({ prevHash, hash, ...entry }: LinkedEntry): string {
  const { act, at, by, chain, content, device, request, seq, site, version } = entry;
  return `${canonicalJson({ entry: { act, at, by, chain, content, device, request, seq, site, version }, hash, prevHash })}\n`;
}

function inWords(proof: Proof | null, entries: number): string {
  if (proof === null) return "No checkpoint covers it yet.";
  return `Checkpoint ${proof.checkpoint.number} of ${proof.checkpoint.at} covers ${proof.head.seq} of its ${entries} entries; its fingerprint is ${fingerprintOf(proof.checkpoint)}.`;
}

function json(value: unknown): Buffer {
  return Buffer.from(`${JSON.stringify(value, null, 2)}\n`, "utf8");
}
