/**
 * Solves a programme with HiGHS in a thread of its own, so that the server goes on answering.
 *
 * Every solve has a fresh thread and a fresh solver: one that ran out of memory cannot be used again.
 * What it found before it died, ran out of time or was stopped is still an answer, with the bound
 * proven by then.
 */
import { existsSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import type { Milp } from "@hangrail/rules/plan-milp";

/**
 * Asked of Node while running: where a bundler sees `new Worker` from an import, it looks for the file
 * among its own and turns the call into one that fails in the built app. The file stays where it is.
 */
const { Worker: Thread } = process.getBuiltinModule("node:worker_threads");

export interface MilpProgress {
  readonly seconds: number;
  /** The best value found and the best bound proven so far; `null` = none yet. */
  readonly best: number | null;
  readonly bound: number | null;
}

export interface MilpOptions {
  readonly seconds: number;
  /** Good enough: stop when best and bound differ by no more than this share of the best. */
  readonly relativeGap: number;
  /** Good enough too: stop when they differ by no more than this. */
  readonly absoluteGap?: number;
  /** Values of some columns to start from. */
  readonly start?: { readonly indices: Int32Array; readonly values: Float64Array } | null;
  readonly onProgress?: (progress: MilpProgress) => void;
  readonly signal?: AbortSignal;
  /** Tests put a broken worker here. */
  readonly workerFile?: string;
}

export type MilpEnd = "optimal" | "time" | "stopped" | "died";

export type MilpAnswer =
  | { readonly answer: "found"; readonly end: MilpEnd; readonly values: Float64Array; readonly value: number; readonly bound: number | null }
  | { readonly answer: "infeasible" | "unbounded" }
  /** Neither a solution nor a proof that there is none. */
  | { readonly answer: "nothing"; readonly end: MilpEnd; readonly bound: number | null; readonly why: string };

/** What the worker says: see highs-worker.mjs. */
interface Said {
  readonly progress?: { readonly seconds: number; readonly best: number; readonly bound: number };
  readonly incumbent?: Float64Array;
  readonly done?: { readonly status: string; readonly values: Float64Array | null; readonly objective: number | null; readonly bound: number };
}

/** How long past its time limit a solver may stay silent before its thread is ended. */
const GRACE_MS = 5_000;

export async function solveMilp(milp: Milp, options: MilpOptions): Promise<MilpAnswer> {
  const solver = await loadedSolver();
  return new Promise((resolve) => {
    const stop = new Int32Array(new SharedArrayBuffer(Int32Array.BYTES_PER_ELEMENT));
    let best: { values: Float64Array; value: number } | null = null;
    let bound: number | null = null;
    const worker = new Thread(options.workerFile ?? workerFile(), {
      workerData: {
        ...solver,
        milp,
        start: options.start ?? null,
        options: { time_limit: options.seconds, mip_rel_gap: options.relativeGap, mip_abs_gap: options.absoluteGap ?? 1e-6, random_seed: 0 },
        stop,
      },
    });
    const onAbort = (): void => void Atomics.store(stop, 0, 1);
    if (options.signal?.aborted === true) onAbort();
    options.signal?.addEventListener("abort", onAbort, { once: true });
    const overdue = setTimeout(() => settle(soFar("time", "the solver did not stop at its time limit")), options.seconds * 1000 + GRACE_MS);

    worker.on("message", (said: Said) => {
      if (said.progress !== undefined) heard(said.progress, said.incumbent);
      if (said.done !== undefined) settle(ended(said.done));
    });
    worker.on("error", (problem: unknown) => settle(soFar("died", problem instanceof Error ? problem.message : String(problem))));
    worker.on("exit", () => settle(soFar("died", "the solver's thread ended without a word")));

    function heard(progress: { seconds: number; best: number; bound: number }, incumbent: Float64Array | undefined): void {
      const value = finite(progress.best);
      bound = finite(progress.bound) ?? bound;
      if (incumbent !== undefined && value !== null) best = { values: incumbent, value };
      options.onProgress?.({ seconds: progress.seconds, best: value, bound });
    }

    function ended(done: NonNullable<Said["done"]>): MilpAnswer {
      bound = finite(done.bound) ?? bound;
      if (done.status === "infeasible") return { answer: "infeasible" };
      if (done.status === "unbounded" || done.status === "unboundedOrInfeasible") return { answer: "unbounded" };
      if (done.values !== null && done.objective !== null) best = { values: done.values, value: done.objective };
      const end: MilpEnd = done.status === "optimal" ? "optimal" : done.status === "interrupted" ? "stopped" : "time";
      return soFar(end, `the solver ended with "${done.status}" and no solution`);
    }

    function soFar(end: MilpEnd, why: string): MilpAnswer {
      if (best === null) return { answer: "nothing", end, bound, why };
      return { answer: "found", end, ...best, bound };
    }

    function settle(answer: MilpAnswer): void {
      clearTimeout(overdue);
      options.signal?.removeEventListener("abort", onAbort);
      worker.removeAllListeners();
      // An error on the way out must not end the process.
      worker.on("error", () => undefined);
      void worker.terminate();
      resolve(answer);
    }
  });
}

function finite(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}

const WORKER = ["packages", "api", "src", "solver", "highs-worker.mjs"];

/**
 * The worker's file. Beside this one when run from source; in the built app this code sits in a chunk
 * elsewhere, so the file is looked for in the folders above it and above where the server was started.
 */
function workerFile(): string {
  return findUpwards(WORKER) ?? fail(`The solver's worker ${WORKER.join("/")} is missing; is the installation complete?`);
}

/** As much of it as is used here; the types of the browser, which know it all, are not loaded in this package. */
declare const WebAssembly: { compile(code: Uint8Array): Promise<unknown> };

interface Solver {
  /** The module's address: a plain one, so that no bundler takes the solver into the app. */
  readonly highs: string;
  readonly wasmModule: unknown;
}

let loaded: Promise<Solver> | null = null;

/** The solver's code, compiled once for the process: code holds no state, each thread makes an instance of its own. */
function loadedSolver(): Promise<Solver> {
  loaded ??= load();
  // A file that could not be read once may be there the next time.
  loaded.catch(() => (loaded = null));
  return loaded;
}

async function load(): Promise<Solver> {
  const code = findUpwards(["node_modules", "highs", "build", "highs.mjs"]) ?? fail("The solver's package, highs, is missing; run npm ci.");
  const wasm = await readFile(join(/* turbopackIgnore: true */ dirname(code), "highs.wasm"));
  return { highs: pathToFileURL(code).href, wasmModule: await WebAssembly.compile(new Uint8Array(wasm)) };
}

function findUpwards(path: readonly string[]): string | null {
  for (const from of [dirname(fileURLToPath(import.meta.url)), process.cwd()]) {
    for (let folder = from; ; folder = dirname(folder)) {
      // The mark keeps the bundler from taking all it could find here into the app.
      const file = join(/* turbopackIgnore: true */ folder, ...path);
      if (existsSync(file)) return file;
      if (folder === dirname(folder)) break;
    }
  }
  return null;
}

function fail(message: string): never {
  throw new Error(message);
}
