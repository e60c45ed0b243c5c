#!/usr/bin/env node
import { nodeVersionProblem } from "./node-version.mjs";

const problem = nodeVersionProblem(process.versions.node);
if (problem !== null) {
  console.error(problem);
  process.exit(1);
}

import("tsx/esm/api")
  .then((tsx) => {
    tsx.register();
    return import("../src/main.ts");
  })
  .then((hangrail) => hangrail.main(process.argv.slice(2)))
  .catch((error) => {
    if (error && error.code === "ERR_MODULE_NOT_FOUND") {
      console.error("Hangrail is not installed completely (" + error.message.split("\n")[0] + "). Run npm ci first.");
    } else {
      console.error(error);
    }
    process.exit(1);
  });
