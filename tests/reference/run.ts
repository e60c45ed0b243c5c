/**
 * Runs reference cases through the rules:  npm run reference -- [DIR] [--only method,method]
 *
 * DIR holds case files (*.json); without one, tests/reference/cases. Prints each difference and ends
 * with "N passed, N failed". Exit: 0 all passed, 1 some failed, 2 the folder or a file cannot be used.
 */
import { fileURLToPath } from "node:url";
import { ADAPTERS } from "./adapters/registry.ts";
import { BadCases, readCases } from "./cases.ts";
import type { ReferenceCase } from "./cases.ts";
import { differences } from "./compare.ts";

const OWN_CASES = fileURLToPath(new URL("./cases", import.meta.url));

export interface Outcome {
  readonly passed: number;
  readonly failed: number;
  readonly lines: readonly string[];
}

/** Runs every case; a case of a method without a rule fails. */
export async function runCases(cases: readonly ReferenceCase[]): Promise<Outcome> {
  const lines: string[] = [];
  const notBuilt = new Map<string, number>();
  let passed = 0;
  for (const one of cases) {
    if (!ADAPTERS.has(one.method)) {
      notBuilt.set(one.method, (notBuilt.get(one.method) ?? 0) + 1);
      continue;
    }
    const found = await runCase(one);
    if (found.length === 0) passed += 1;
    else lines.push(`${one.method}, ${one.case} (${one.file}):`, ...found.map((line) => `  ${line}`));
  }
  for (const [method, count] of notBuilt) lines.push(`not built yet: ${count} cases of method "${method}"`);
  return { passed, failed: cases.length - passed, lines };
}

async function runCase(one: ReferenceCase): Promise<readonly string[]> {
  const adapter = ADAPTERS.get(one.method);
  if (adapter === undefined) return [`there is no method "${one.method}"`];
  try {
    if ("judge" in adapter) return await adapter.judge(one);
    return differences(await adapter.answer(one.input, one), one.expected, one.tolerance);
  } catch (problem) {
    return [`it threw: ${problem instanceof Error ? problem.message : String(problem)}`];
  }
}

interface Order {
  readonly folder: string;
  readonly only: ReadonlySet<string> | null;
}

function readOrder(words: readonly string[]): Order {
  let folder: string | null = null;
  let only: ReadonlySet<string> | null = null;
  for (let at = 0; at < words.length; at += 1) {
    const word = words[at] ?? "";
    if (word === "--only") {
      at += 1;
      only = new Set((words[at] ?? "").split(",").filter((method) => method !== ""));
      if (only.size === 0) throw new BadCases("--only wants the methods to run, for example --only hand-out,due.");
    } else if (word.startsWith("-")) throw new BadCases(`There is no option "${word}"; there is only --only.`);
    else if (folder === null) folder = word;
    else throw new BadCases(`One folder at a time: "${folder}" or "${word}".`);
  }
  return { folder: folder ?? OWN_CASES, only };
}

async function main(): Promise<number> {
  const { folder, only } = readOrder(process.argv.slice(2));
  const all = readCases(folder);
  for (const method of only ?? []) {
    if (!all.some((one) => one.method === method)) throw new BadCases(`"${folder}" holds no case of method "${method}".`);
  }
  const { passed, failed, lines } = await runCases(only === null ? all : all.filter((one) => only.has(one.method)));
  for (const line of lines) console.log(line);
  console.log(`${passed} passed, ${failed} failed`);
  return failed === 0 ? 0 : 1;
}

if (process.argv[1] !== undefined && fileURLToPath(import.meta.url) === process.argv[1]) {
  main().then(
    (code) => {
      process.exitCode = code;
    },
    (problem: unknown) => {
      if (!(problem instanceof BadCases)) throw problem;
      console.error(problem.message);
      process.exitCode = 2;
    },
  );
}
