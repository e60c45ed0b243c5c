// Generates the Prisma client. `generate` needs no engine, but the command line tool
// would still download one before it starts: naming a harmless file as the engine stops that.
import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("..", import.meta.url));
const cli = fileURLToPath(import.meta.resolve("prisma/build/index.js"));
const run = spawnSync(process.execPath, [cli, "generate", "--schema", "prisma/schema.prisma"], {
  cwd: root,
  env: { ...process.env, PRISMA_SCHEMA_ENGINE_BINARY: process.execPath, PRISMA_HIDE_UPDATE_MESSAGE: "1", CHECKPOINT_DISABLE: "1" },
  encoding: "utf8",
});
if (run.status !== 0) {
  process.stderr.write(run.stdout + run.stderr);
  process.exit(run.status ?? 1);
}
