import { rmSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { startTestServer } from "../support/embedded.ts";
import { SERVER_VARIABLE } from "./centre.ts";

/** One database server for the run; each worker makes its own database in it. */
export default async function setUp(): Promise<() => Promise<void>> {
  rmSync(fileURLToPath(new URL("./artefacts", import.meta.url)), { recursive: true, force: true });
  const { stop, ...server } = await startTestServer();
  process.env[SERVER_VARIABLE] = JSON.stringify(server);
  return stop;
}
