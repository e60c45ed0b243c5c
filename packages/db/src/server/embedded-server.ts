import { existsSync } from "node:fs";
import { dirname } from "node:path";
import { OperatorError } from "../operator-error.ts";
import { canEnter, serverAccount, type Account } from "./account.ts";
import { chooseAddress, connectionUrl, leaveAddress, type Address } from "./address.ts";
import { findBinaries, type Binaries } from "./binaries.ts";
import { databaseName, ensureCluster, ensureDatabase, ensureRoles } from "./cluster.ts";
import { passwordsOf, readPasswords, roleNames, type LoginRole, type Passwords } from "./credentials.ts";
import { claimFolder, dataFolder, refuseOtherMajor, type DataFolder, type Purpose } from "./folder.ts";
import { folderHolder, lockFolder, type Holder } from "./folder-lock.ts";
import { keepRunning } from "./keep-running.ts";
import { findPostmaster, stopPostmaster, type Postmaster, type PostmasterOptions } from "./postmaster.ts";
import { startPostmaster } from "./start-postmaster.ts";
import { signInAsSuperuser } from "./superuser.ts";

export interface ServerOptions {
  /** The data folder; made if it is missing. */
  readonly folder: string;
  /** A folder for one is refused for the other. A centre's own data unless said otherwise. */
  readonly purpose?: Purpose;
  /** False only in tests: faster, and a power cut may lose what was acknowledged. */
  readonly durable?: boolean;
  readonly maxConnections?: number;
  /** Listen on a free port of 127.0.0.1 instead of a socket; always so where there are no sockets. */
  readonly onPort?: boolean;
  /** Sentences for the operator: adopted, ended, restarted, copied. */
  readonly onNotice?: (sentence: string) => void;
}

/** Signing in to an embedded server. */
export interface ServerAddress {
  readonly folder: string;
  url(role: LoginRole, database?: string): string;
}

/** A PostgreSQL server on a data folder, kept running until `stop`. */
export interface EmbeddedServer extends ServerAddress {
  /** True when a server left behind by a killed Hangrail was found running and taken over. */
  readonly adopted: boolean;
  /** The number of the server's process as it is now. */
  pid(): number;
  /** Ends the server cleanly and frees the folder. Safe to repeat. */
  stop(): Promise<void>;
}

/**
 * Starts the embedded server, or takes over the one that a killed Hangrail left running.
 * Throws OperatorError with a whole sentence when the folder, the machine or the disk does not allow it.
 */
export async function startServer(options: ServerOptions): Promise<EmbeddedServer> {
  const say = options.onNotice ?? (() => undefined);
  const folder = dataFolder(options.folder);
  const account = serverAccount(folder);
  const binaries = findBinaries(account, say);
  claimFolder(folder, account, options.purpose ?? "centre");
  refuseUnreachable(folder, account);
  refuseOtherMajor(folder, binaries.major);
  const lock = lockFolder(folder);
  try {
    const passwords = passwordsOf(folder, account);
    ensureCluster(folder, binaries, account, passwords, options.durable ?? true);
    return await serve({ folder, account, binaries, passwords, options, say, lock });
  } catch (error) {
    lock.release();
    throw error;
  }
}

/**
 * The address of the server another Hangrail keeps running on this folder, for a command beside it;
 * null when nobody does.
 */
export function attachServer(path: string): (ServerAddress & { readonly holder: Holder }) | null {
  const folder = dataFolder(path);
  const holder = folderHolder(folder);
  const running = holder && findPostmaster(folder);
  if (!holder || !running) return null;
  return { ...addressOf(folder, readPasswords(folder), () => running.address), holder };
}

interface Charge {
  readonly folder: DataFolder;
  readonly account: Account | null;
  readonly binaries: Binaries;
  readonly passwords: Passwords;
  readonly options: ServerOptions;
  readonly say: (sentence: string) => void;
  readonly lock: { release(): void };
}

async function serve(charge: Charge): Promise<EmbeddedServer> {
  const { folder, account, passwords, options, say, lock } = charge;
  const wanted: PostmasterOptions = { durable: options.durable ?? true, maxConnections: options.maxConnections ?? 60 };
  const start = (address: Address) => startPostmaster({ ...charge, address, wanted });

  const found = findPostmaster(folder);
  const first = await start(found?.address ?? (await chooseAddress(folder.cluster, account, options.onPort ?? false)));
  const adopted = found?.pid === first.pid;
  if (adopted) say(`A database left running by an earlier Hangrail (process ${first.pid}) was taken over.`);
  try {
    await prepare(first, passwords);
  } catch (error) {
    await stopPostmaster(first);
    throw error;
  }
  const watch = keepRunning(first, start, say);

  async function stop(): Promise<void> {
    await watch.stop();
    leaveAddress(watch.current().address);
    lock.release();
  }
  let stopped: Promise<void> | undefined;
  return {
    ...addressOf(folder, passwords, () => watch.current().address),
    adopted,
    pid: () => watch.current().pid,
    stop: () => (stopped ??= stop()),
  };
}

/** Roles and the database are looked after at every start, so one cut short is completed by the next. */
async function prepare(server: Postmaster, passwords: Passwords): Promise<void> {
  const admin = await signInAsSuperuser(server.address, passwords);
  try {
    await ensureRoles(admin, passwords);
    await ensureDatabase(admin, databaseName);
  } finally {
    await admin.end();
  }
}

function addressOf(folder: DataFolder, passwords: Passwords, address: () => Address): ServerAddress {
  return {
    folder: folder.root,
    url: (role, database = databaseName) => connectionUrl(address(), roleNames[role], passwords[role], database),
  };
}

function refuseUnreachable(folder: DataFolder, account: Account | null): void {
  if (!account || canEnter(folder.root, account)) return;
  let closed = folder.root;
  while (existsSync(dirname(closed)) && dirname(closed) !== closed && !canEnter(dirname(closed), account)) closed = dirname(closed);
  throw new OperatorError(
    `The database runs as ${account.name}, who cannot enter ${closed}, so the data cannot be kept in ${folder.root}. ` +
      `Choose a folder elsewhere, for example below /var/lib/hangrail, or start Hangrail as an ordinary user.`,
  );
}
