/** Verifies the record: every chain from end to end, every checkpoint, and every fact against its entry. */
import { readCheckpoints, readHeadMoves, readLostHeads } from "@hangrail/db/checkpoints";
import type { Database } from "@hangrail/db/database";
import { readChains } from "@hangrail/db/record-chain";
import { readFactDifferences, type FactDifference } from "@hangrail/db/record-facts";
import { readChainNames } from "@hangrail/db/record-names";
import { sha256 } from "@hangrail/db/sha256";
import type { SignedCheckpoint } from "@hangrail/rules/checkpoint";
import { auditCheckpoints, auditOutside, type CheckpointProblem } from "@hangrail/rules/checkpoint-audit";
import { ChainWalker, type ChainBreak } from "@hangrail/rules/record-chain";
import { fingerprintOf, isSigned, type CheckpointKey } from "./checkpoints.ts";

/** At most so many breaks and lost heads are told; the first says enough. */
const MOST = 50;

export interface VerifyOptions {
  /** One site's sets and its own entries; null for the whole centre. */
  readonly site: string | null;
  readonly key: CheckpointKey | null;
  /** A checkpoint that was kept elsewhere. */
  readonly outside?: SignedCheckpoint;
}

/** The tag of a set or the name of a site, for whatever a chain's id stands before. */
export type Named<T> = T & { readonly of: string | null };

export interface RecordReport {
  readonly entries: number;
  readonly chains: number;
  readonly breaks: readonly Named<ChainBreak>[];
  readonly facts: readonly Named<FactDifference>[];
  readonly checkpoints: {
    readonly count: number;
    readonly newest: { readonly number: number; readonly at: string; readonly fingerprint: string } | null;
    readonly problems: readonly Named<CheckpointProblem>[];
  };
  /** Nothing at all was found. */
  readonly sound: boolean;
}

export async function verifyRecord(db: Database, { site, key, outside }: VerifyOptions): Promise<RecordReport> {
  const walker = new ChainWalker(sha256);
  for await (const batch of readChains(db, site)) for (const entry of batch) walker.take(entry);
  const breaks = walker.breaks.slice(0, MOST);
  const facts = await readFactDifferences(db, site);
  const kept = await readCheckpoints(db);
  const tools = { sha256, signed: isSigned, ownKey: key?.publicKey ?? null };
  const problems: CheckpointProblem[] = [
    ...auditCheckpoints(kept, await readHeadMoves(db, kept.at(-1)?.number ?? 0), tools),
    ...(await readLostHeads(db, MOST)).map(({ number, chain, seq }) => ({ number, why: "lost-head" as const, chain, seq })),
    ...(outside === undefined ? [] : auditOutside(outside, kept, tools)),
  ];
  const names = await readChainNames(db, [...breaks, ...facts, ...problems].flatMap(({ chain }) => chain ?? []), site);
  const named = <T extends { readonly chain?: string | null }>(one: T): Named<T> => ({ ...one, of: names.get(one.chain ?? "") ?? null });
  const newest = kept.at(-1);
  return {
    entries: walker.entries,
    chains: walker.chains,
    breaks: breaks.map(named),
    facts: facts.map(named),
    checkpoints: { count: kept.length, newest: newest === undefined ? null : { number: newest.number, at: newest.at, fingerprint: fingerprintOf(newest) }, problems: problems.map(named) },
    sound: breaks.length + facts.length + problems.length === 0,
  };
}
