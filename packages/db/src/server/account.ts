import { spawnSync } from "node:child_process";
import { existsSync, readFileSync, statSync } from "node:fs";
import { userInfo } from "node:os";
import { OperatorError } from "../operator-error.ts";
import type { DataFolder } from "./folder.ts";

/** An unprivileged account of this machine. */
export interface Account {
  readonly uid: number;
  readonly gid: number;
  readonly name: string;
}

/** PostgreSQL refuses to run as root, so root lends it one of these, the most fitting first. */
const candidates = ["hangrail", "postgres", "_postgres", "nobody"];

/**
 * The account the server must run as; null means as the user who runs Hangrail.
 * An existing cluster keeps its owner: its files are closed to everybody else. For a new one
 * root uses the owner of the folder, if that is an ordinary user.
 */
export function serverAccount(folder: DataFolder): Account | null {
  const ourUid = process.getuid?.();
  if (ourUid === undefined) return null;
  const made = existsSync(folder.cluster);
  const owned = made ? folder.cluster : folder.root;
  const owner = existsSync(owned) ? statSync(owned) : null;
  if (ourUid !== 0) {
    if (made && owner && owner.uid !== ourUid) {
      throw new OperatorError(
        `The data folder ${folder.root} belongs to the user ${nameOf(owner.uid)}, and you are ${userInfo().username}. ` +
          `Start Hangrail as that user or as root, or choose another folder.`,
      );
    }
    return null;
  }
  if (owner && owner.uid !== 0) return { uid: owner.uid, gid: owner.gid, name: nameOf(owner.uid) };
  const account = candidates.map(accountNamed).find((found) => found !== null);
  if (!account) {
    throw new OperatorError(
      `A database does not run as root, and this machine has no account named ${candidates.join(", ")} to lend it. ` +
        `Start Hangrail as an ordinary user, or set DATABASE_URL.`,
    );
  }
  return account;
}

/** Spread into the options of `spawn`: who the child process runs as. */
export function runAs(account: Account | null): { uid?: number; gid?: number } {
  return account ? { uid: account.uid, gid: account.gid } : {};
}

/** Whether the account can enter the folder. Asked of the system itself, which knows of groups and access lists. */
export function canEnter(path: string, account: Account | null): boolean {
  if (!account) return true;
  return spawnSync("/bin/sh", ["-c", 'cd "$1"', "sh", path], { ...runAs(account), cwd: "/" }).status === 0;
}

function accountNamed(name: string): Account | null {
  const line = passwd().find((fields) => fields[0] === name);
  return line ? { name, uid: Number(line[2]), gid: Number(line[3]) } : null;
}

function nameOf(uid: number): string {
  return passwd().find((fields) => fields[2] === String(uid))?.[0] ?? `number ${uid}`;
}

function passwd(): string[][] {
  if (!existsSync("/etc/passwd")) return [];
  return readFileSync("/etc/passwd", "utf8").split("\n").map((line) => line.split(":"));
}
