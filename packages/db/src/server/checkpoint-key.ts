import { generateKeyPairSync } from "node:crypto";
import { closeSync, existsSync, fsyncSync, openSync, readFileSync, renameSync, writeSync } from "node:fs";
import { join } from "node:path";
import { OperatorError } from "../operator-error.ts";

/**
 * The key that signs checkpoints, as PKCS #8 in PEM: kept in the data folder beside the database and never in it, readable
 * by its owner alone and not by the database's account. Made at the first start. Whoever holds it can sign a record written
 * anew; whoever lost it goes on with a new one, and says so to those who keep checkpoints.
 */
export function checkpointKeyIn(folder: string): string {
  const path = join(folder, "checkpoint-key.pem");
  if (!existsSync(path)) {
    const half = `${path}.half`;
    const file = openSync(half, "w", 0o600);
    writeSync(file, generateKeyPairSync("ed25519").privateKey.export({ type: "pkcs8", format: "pem" }).toString());
    fsyncSync(file);
    closeSync(file);
    renameSync(half, path);
  }
  try {
    return readFileSync(path, "utf8");
  } catch (error) {
    throw new OperatorError(`The key that signs checkpoints, ${path}, cannot be read (${(error as NodeJS.ErrnoException).code ?? "unknown"}).`);
  }
}
