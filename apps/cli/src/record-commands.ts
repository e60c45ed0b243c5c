import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { asFile, checkpointKey, fingerprintOf, makeCheckpoint, readCheckpointFile, type CheckpointKey } from "@hangrail/api/checkpoints";
import { evidenceBundle } from "@hangrail/api/evidence-bundle";
import { verifyRecord } from "@hangrail/api/verify-record";
import { zipOf } from "@hangrail/api/zip";
import { readNewestCheckpoints } from "@hangrail/db/checkpoints";
import { openDatabase, type Database } from "@hangrail/db/database";
import { findSiteOfSet } from "@hangrail/db/evidence-facts";
import { OperatorError } from "@hangrail/db/operator-error";
import { besideDatabase, checkpointKeyText, upToDate } from "./database.ts";
import { say } from "./messages.ts";
import { reportLines } from "./record-words.ts";

export interface RecordOptions {
  data?: string;
  /** A checkpoint that was kept elsewhere. */
  checkpoint?: string;
  out?: string;
}

/** Walks the whole record and says what does not hold. */
export function verifyCommand(options: RecordOptions): Promise<void> {
  return onRecord(options, async (db, key) => {
    const outside = options.checkpoint === undefined ? undefined : readCheckpointFile(read(options.checkpoint));
    const began = performance.now();
    const report = await verifyRecord(db, { site: null, key, ...(outside && { outside }) });
    for (const line of reportLines(report)) say(line);
    say(`Looked at ${report.entries} entries in ${((performance.now() - began) / 1000).toFixed(1)} s.`);
    if (!report.sound) throw new OperatorError("The record does not hold.");
    say("The record holds.");
  });
}

/** Makes a checkpoint now and writes it out, to be kept elsewhere. */
export function checkpointCommand(options: RecordOptions): Promise<void> {
  return onRecord(options, async (db, key) => {
    if (key === null) throw new OperatorError("There is no key to sign with. Set HANGRAIL_CHECKPOINT_KEY to an Ed25519 key in PKCS #8.");
    const answer = await makeCheckpoint(db, key, null);
    if (answer.answer === "refused") throw new OperatorError("Another checkpoint was made in the same moment. Try again.");
    const made = (await readNewestCheckpoints(db, 1))[0]!;
    const path = options.out ?? `checkpoint-${made.number}.json`;
    writeFileSync(path, asFile(made));
    say(`Checkpoint ${made.number} over ${made.entries} entries in ${made.chains} chains, written to ${path}.\nIts fingerprint: ${fingerprintOf(made)}\nKeep a copy where nobody of this machine can reach it.`);
  });
}

/** Writes a set's evidence bundle, as a folder or as one file. */
export function evidenceCommand(tag: string, options: RecordOptions): Promise<void> {
  if (!options.out) throw new OperatorError("Say where to: --out FOLDER, or --out FILE.zip.");
  const out = options.out;
  return onRecord(options, async (db, key) => {
    const named = tag.trim().toUpperCase();
    const site = await findSiteOfSet(db, named);
    const files = site === null ? null : await evidenceBundle(db, { site, tag: named, by: "the operator", at: new Date(), key });
    if (files === null) throw new OperatorError(`There is no set ${named}.`);
    if (out.endsWith(".zip")) writeFileSync(out, zipOf(files));
    else {
      for (const [name, bytes] of files) {
        mkdirSync(dirname(join(out, name)), { recursive: true });
        writeFileSync(join(out, name), bytes);
      }
    }
    say(`Wrote ${files.size} files to ${out}. Anybody checks them with: node verify.mjs`);
  });
}

async function onRecord(options: RecordOptions, work: (db: Database, key: CheckpointKey | null) => Promise<void>): Promise<void> {
  const database = await besideDatabase(options.data);
  try {
    await upToDate(database);
    const text = checkpointKeyText(database);
    const db = openDatabase({ appUrl: database.appUrl, actConnections: 2, readConnections: 4 });
    try {
      await work(db, text === null ? null : checkpointKey(text));
    } finally {
      await db.close();
    }
  } finally {
    await database.close();
  }
}

function read(path: string): string {
  try {
    return readFileSync(path, "utf8");
  } catch (error) {
    throw new OperatorError(`The file ${path} cannot be read (${(error as NodeJS.ErrnoException).code ?? "unknown"}).`);
  }
}
