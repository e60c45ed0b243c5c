/** Reads reference cases from a folder, and says exactly what is wrong with a file that holds none. */
import { readdirSync, readFileSync, statSync } from "node:fs";
import { join, relative } from "node:path";

export interface Tolerance {
  readonly rel?: number;
  readonly abs?: number;
  readonly exact?: boolean;
  /** For dates: how many days off still passes. */
  readonly days?: number;
  /** Present on a field that has several right answers: it is not compared. */
  readonly any?: unknown;
}

export interface ReferenceCase {
  readonly file: string;
  readonly method: string;
  readonly case: string;
  readonly input: unknown;
  readonly expected: unknown;
  readonly tolerance: Readonly<Record<string, unknown>>;
}

/** A folder or a file that cannot be used; the message says which and why. */
export class BadCases extends Error {}

/** Every case of every *.json in a folder and the folders in it, in the order of the file names. */
export function readCases(folder: string): ReferenceCase[] {
  let isFolder: boolean;
  try {
    isFolder = statSync(folder).isDirectory();
  } catch {
    throw new BadCases(`There is no folder "${folder}".`);
  }
  if (!isFolder) throw new BadCases(`"${folder}" is a file; name the folder that holds the case files.`);
  const files = readdirSync(folder, { recursive: true, encoding: "utf8" }).filter((name) => name.endsWith(".json"));
  const cases = files.sort().flatMap((name) => readCaseFile(folder, name));
  if (cases.length === 0) throw new BadCases(`There are no cases in "${folder}": no *.json file there holds any.`);
  return cases;
}

function readCaseFile(folder: string, name: string): ReferenceCase[] {
  const path = join(folder, name);
  const shown = relative(process.cwd(), path);
  let parsed: unknown;
  try {
    parsed = JSON.parse(readFileSync(path, "utf8"));
  } catch (problem) {
    throw new BadCases(`${shown} is not JSON: ${problem instanceof Error ? problem.message : String(problem)}`);
  }
  if (!Array.isArray(parsed)) throw new BadCases(`${shown} must hold a list of cases.`);
  return parsed.map((one: unknown, index) => readCase(one, name, `${shown}, case ${index + 1}`));
}

function readCase(one: unknown, file: string, where: string): ReferenceCase {
  if (!isRecord(one)) throw new BadCases(`${where} is no case: it must be an object.`);
  const { method, case: title, tolerance = {} } = one;
  if (typeof method !== "string" || method === "") throw new BadCases(`${where} names no method.`);
  if (typeof title !== "string" || title === "") throw new BadCases(`${where} has no name ("case").`);
  if (!("input" in one)) throw new BadCases(`${where} has no input.`);
  if (!("expected" in one)) throw new BadCases(`${where} has no expected answer.`);
  if (tolerance !== null && !isRecord(tolerance)) throw new BadCases(`${where}: tolerance must be an object.`);
  return { file, method, case: title, input: one["input"], expected: one["expected"], tolerance: tolerance ?? {} };
}

export function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
