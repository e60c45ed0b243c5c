import { createHash } from "node:crypto";
import { chmodSync, chownSync, existsSync, lstatSync, mkdirSync, mkdtempSync, rmdirSync } from "node:fs";
import { createServer, type AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Account } from "./account.ts";

/** Where a server listens: a folder with a socket in it, or a port of this machine alone. */
export type Address = { readonly socketFolder: string; readonly port: number } | { readonly host: string; readonly port: number };

/** The port that names the socket's file; nothing listens on the network. */
const socketPort = 5432;
/** The system refuses socket paths longer than this, counted in bytes with the file's own name (104 on macOS, 108 on Linux). */
const longestSocketPath = 100;

export async function chooseAddress(cluster: string, account: Account | null, onPort: boolean): Promise<Address> {
  if (onPort || process.platform === "win32") return { host: "127.0.0.1", port: await freePort() };
  return { socketFolder: socketFolder(cluster, account), port: socketPort };
}

export function socketFile(address: Address): string | null {
  return "socketFolder" in address ? join(address.socketFolder, `.s.PGSQL.${address.port}`) : null;
}

/** Makes the socket folder again when something cleaned it away while the server ran. */
export function ensureSocketFolder(address: Address, account: Account | null): void {
  if (!("socketFolder" in address) || existsSync(address.socketFolder)) return;
  mkdirSync(address.socketFolder, { mode: 0o700 });
  giveTo(address.socketFolder, account);
}

/** Takes the empty socket folder away after a clean stop. */
export function leaveAddress(address: Address): void {
  if (!("socketFolder" in address)) return;
  try {
    rmdirSync(address.socketFolder);
  } catch {
    // Something else lies in it, or it is gone: neither matters.
  }
}

/**
 * A connection string that node-postgres, Prisma's pg adapter and PostgreSQL's own tools read
 * alike; the socket's folder travels as `host` in the query.
 */
export function connectionUrl(address: Address, user: string, password: string, database: string): string {
  const who = `${encodeURIComponent(user)}:${encodeURIComponent(password)}`;
  const name = encodeURIComponent(database);
  return "socketFolder" in address
    ? `postgresql://${who}@localhost:${address.port}/${name}?host=${encodeURIComponent(address.socketFolder)}`
    : `postgresql://${who}@${address.host}:${address.port}/${name}`;
}

/** A short folder in the temporary folder that only the server's account can enter, the same one at every start. */
function socketFolder(cluster: string, account: Account | null): string {
  const name = `hangrail-${createHash("sha256").update(cluster).digest("hex").slice(0, 12)}`;
  const base = Buffer.byteLength(join(tmpdir(), name, ".s.PGSQL.5432.lock")) <= longestSocketPath ? tmpdir() : "/tmp";
  const usual = join(base, name);
  const uid = account?.uid ?? process.getuid?.();
  if (existsSync(usual)) {
    const found = lstatSync(usual);
    const ours = found.isDirectory() && found.uid === uid && (found.mode & 0o077) === 0;
    // Anybody may make a folder in the temporary folder: one that is not ours alone is left be.
    return ours ? usual : giveTo(mkdtempSync(join(base, "hangrail-")), account);
  }
  mkdirSync(usual, { mode: 0o700 });
  return giveTo(usual, account);
}

function giveTo(folder: string, account: Account | null): string {
  chmodSync(folder, 0o700);
  if (account) chownSync(folder, account.uid, account.gid);
  return folder;
}

async function freePort(): Promise<number> {
  const probe = createServer();
  await new Promise<void>((listening, failed) => probe.once("error", failed).listen(0, "127.0.0.1", listening));
  const { port } = probe.address() as AddressInfo;
  await new Promise((closed) => probe.close(closed));
  return port;
}
