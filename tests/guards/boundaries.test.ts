import { spawnSync } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, expect, test } from "vitest";

const root = fileURLToPath(new URL("../..", import.meta.url));
const packages = ["packages/rules", "packages/db", "packages/api", "apps/web", "apps/cli", "tests"] as const;
/** rules <- db <- api <- web: what each package may name among our own. */
const mayKnow: Readonly<Record<(typeof packages)[number], readonly string[]>> = {
  "packages/rules": [],
  "packages/db": ["@hangrail/rules"],
  "packages/api": ["@hangrail/db", "@hangrail/rules"],
  "apps/web": ["@hangrail/api", "@hangrail/rules"],
  "apps/cli": ["@hangrail/api", "@hangrail/db", "@hangrail/rules"],
  tests: ["@hangrail/api", "@hangrail/cli", "@hangrail/db", "@hangrail/rules"],
};

let copy: string;
beforeAll(() => {
  // A bare copy of the workspace: the manifests, and one file each to plant in.
  copy = mkdtempSync(join(tmpdir(), "hangrail-boundaries-"));
  for (const file of ["package.json", "package-lock.json", "turbo.json", ...packages.map((folder) => `${folder}/package.json`)]) {
    mkdirSync(dirname(join(copy, file)), { recursive: true });
    cpSync(join(root, file), join(copy, file));
  }
  symlinkSync(join(root, "node_modules"), join(copy, "node_modules"));
  spawnSync("git", ["init", "-q"], { cwd: copy });
});
afterAll(() => rmSync(copy, { recursive: true, force: true }));

function boundaries(): { status: number | null; output: string } {
  const { status, stdout, stderr } = spawnSync(join(root, "node_modules/.bin/turbo"), ["boundaries"], {
    cwd: copy,
    encoding: "utf8",
    env: { ...process.env, TURBO_TELEMETRY_DISABLED: "1" },
  });
  return { status, output: stdout + stderr };
}

function withPlanted(file: string, text: string): { status: number | null; output: string } {
  const path = join(copy, file);
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, text);
  try {
    return boundaries();
  } finally {
    rmSync(path);
  }
}

test("each package declares only what lies before it on the arrow", () => {
  for (const folder of packages) {
    const { dependencies = {}, devDependencies = {} } = JSON.parse(readFileSync(join(root, folder, "package.json"), "utf8")) as Record<string, Record<string, string>>;
    const ours = Object.keys({ ...dependencies, ...devDependencies }).filter((name) => name.startsWith("@hangrail/"));
    expect({ folder, ours: ours.filter((name) => !mayKnow[folder].includes(name)) }).toEqual({ folder, ours: [] });
  }
});

test("the bare workspace passes, so that what fails below fails for what was planted", () => {
  expect(withPlanted("packages/rules/src/innocent.ts", "export const one = 1;\n")).toMatchObject({ status: 0 });
});

test("rules that reach for the database are caught", () => {
  const { status, output } = withPlanted("packages/rules/src/planted.ts", 'import { act } from "@hangrail/db/acts";\nexport { act };\n');
  expect([status, output.includes("@hangrail/db")]).toEqual([1, true]);
});

test("a screen that reaches past the api is caught", () => {
  const { status, output } = withPlanted("apps/web/src/planted.ts", 'import { act } from "@hangrail/db/acts";\nexport { act };\n');
  expect([status, output.includes("@hangrail/db")]).toEqual([1, true]);
});

test("a library nobody declared is caught", () => {
  const { status, output } = withPlanted("packages/api/src/planted.ts", 'import { z } from "recharts";\nexport { z };\n');
  expect([status, output.includes("recharts")]).toEqual([1, true]);
});

test("a path that climbs out of its package is caught", () => {
  const { status, output } = withPlanted("packages/api/src/planted.ts", 'import { day } from "../../rules/src/calendar.ts";\nexport { day };\n');
  expect([status, output.includes("leaves the package")]).toEqual([1, true]);
});
