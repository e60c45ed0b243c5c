import type { TestProject } from "vitest/node";
import { startTestServer, type TestServer } from "./embedded.ts";

declare module "vitest" {
  interface ProvidedContext {
    databaseServer: TestServer;
  }
}

/** One server and one migrated template for the whole run; every test file copies the template. */
export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const { stop, ...server } = await startTestServer();
  project.provide("databaseServer", server);
  return stop;
}
