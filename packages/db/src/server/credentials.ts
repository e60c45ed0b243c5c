import { randomBytes } from "node:crypto";
import { chownSync, closeSync, existsSync, fsyncSync, openSync, readFileSync, renameSync, writeSync } from "node:fs";
import { OperatorError } from "../operator-error.ts";
import type { Account } from "./account.ts";
import type { DataFolder } from "./folder.ts";

/** The three who may sign in to the database. */
export type LoginRole = "superuser" | "owner" | "app";

export type Passwords = Readonly<Record<LoginRole, string>>;

export const roleNames: Readonly<Record<LoginRole, string>> = {
  superuser: "hangrail_superuser",
  owner: "hangrail_owner",
  app: "hangrail_app",
};

/** Random passwords, kept beside the cluster in a file only its owner can read. Made once, before the cluster. */
export function passwordsOf(folder: DataFolder, account: Account | null): Passwords {
  if (existsSync(folder.credentials)) return readPasswords(folder);
  if (existsSync(folder.cluster)) {
    throw new OperatorError(
      `The file ${folder.credentials} with the database's passwords is missing, so the data in ${folder.cluster} cannot be opened. Put it back from a backup.`,
    );
  }
  const passwords: Passwords = { superuser: password(), owner: password(), app: password() };
  const half = `${folder.credentials}.half`;
  const file = openSync(half, "w", 0o600);
  writeSync(file, `${JSON.stringify(passwords, null, 2)}\n`);
  fsyncSync(file);
  closeSync(file);
  if (account) chownSync(half, account.uid, account.gid);
  renameSync(half, folder.credentials);
  return passwords;
}

export function readPasswords(folder: DataFolder): Passwords {
  try {
    const kept = JSON.parse(readFileSync(folder.credentials, "utf8")) as Partial<Passwords>;
    if (kept.superuser && kept.owner && kept.app) return { superuser: kept.superuser, owner: kept.owner, app: kept.app };
  } catch (error) {
    throw new OperatorError(`The passwords of the database in ${folder.credentials} cannot be read: ${(error as Error).message}.`);
  }
  throw new OperatorError(`The file ${folder.credentials} does not hold the database's three passwords. Put it back from a backup.`);
}

function password(): string {
  return randomBytes(24).toString("base64url");
}
