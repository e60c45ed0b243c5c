/**
 * Solves one programme with HiGHS and is done. Plain JavaScript and loaded by its path, so that it runs
 * the same under Node, tsx and the built app, where nothing compiles it.
 *
 * Given (workerData): highs (the module's address), wasmModule (its compiled code), milp, start, options, stop (one shared Int32, 1 = stop).
 * Says: { progress }, { incumbent }, and one { done } at the end; it throws if the solver dies.
 */
import { parentPort, workerData } from "node:worker_threads";

const { highs: address, wasmModule, milp, start, options, stop } = workerData;
const { default: loadHighs } = await import(address);
const highs = await loadHighs({ wasmModule });

const { starts, indices, values, ...rest } = milp;
const model = highs.createModel({
  ...rest,
  matrix: { format: "csr", numRows: milp.numRows, numCols: milp.numCols, starts, indices, values },
});

try {
  // Without output there is no news of the bound either; the module's own printing is off as no printer is given.
  model.options.set({ output_flag: true, log_to_console: false, ...options });
  if (start !== null) model.setSolution(start);
  const { mipImprovingSolution, mipLogging, mipInterrupt } = highs.constants.callbackType;
  const progressOf = (data) => ({ seconds: data.running_time, best: data.mip_primal_bound, bound: data.mip_dual_bound });
  const run = model.run({
    [mipLogging]: (event) => void parentPort.postMessage({ progress: progressOf(event.data) }),
    [mipImprovingSolution]: (event) => void parentPort.postMessage({ incumbent: event.data.mip_solution, progress: progressOf(event.data) }),
    [mipInterrupt]: (event) => {
      if (Atomics.load(stop, 0) === 1) event.interrupt();
    },
  });
  const status = highs.constants.modelStatus;
  const name = Object.keys(status).find((key) => status[key] === run.modelStatus) ?? "unknown";
  // Without whole-number columns it is no search, and its value is its bound.
  const search = milp.integrality.includes(1);
  const found = model.info.get("primal_solution_status") === 2;
  parentPort.postMessage({
    done: {
      status: name,
      values: found ? model.getSolution().colValue : null,
      objective: found ? model.getObjectiveValue() : null,
      bound: search ? model.info.get("mip_dual_bound") : name === "optimal" ? model.getObjectiveValue() : -Infinity,
    },
  });
} finally {
  model.dispose();
}
