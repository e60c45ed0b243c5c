// Everything that has to hold, quick parts first; the first part that fails ends the run.
// `npm test` and `npm run verify` are this. `npm run verify -- types lint` runs the parts named.
import { spawn } from "node:child_process";
import { fileURLToPath } from "node:url";
import { stripVTControlCharacters } from "node:util";

const root = fileURLToPath(new URL("..", import.meta.url));
const bin = (name) => fileURLToPath(new URL(`../node_modules/.bin/${name}${process.platform === "win32" ? ".cmd" : ""}`, import.meta.url));

/** Each part says how many things it looked at; one that looked at nothing has failed. */
const parts = [
  { name: "types", run: [bin("turbo"), "run", "typecheck", "--ui=stream"], counts: /(\d+) successful/ },
  { name: "lint", run: [process.execPath, "tests/guards/lint.mjs"], counts: /(\d+) files/ },
  { name: "boundaries", run: [bin("turbo"), "boundaries"], counts: /Checked (\d+) files/ },
  { name: "unit", run: [bin("vitest"), "run", "--project", "rules"], counts: /Tests\s+(?:\d+ failed \| )?(\d+) passed/, tests: true },
  { name: "reference", run: [bin("tsx"), "tests/reference/run.ts"], counts: /(\d+) passed, 0 failed/, tests: true },
  { name: "database", run: [bin("vitest"), "run", "--project", "database"], counts: /Tests\s+(?:\d+ failed \| )?(\d+) passed/, tests: true },
  { name: "build", run: [bin("turbo"), "run", "build", "--ui=stream"], counts: /(\d+) successful/ },
  { name: "http", run: [bin("vitest"), "run", "--project", "http"], counts: /Tests\s+(?:\d+ failed \| )?(\d+) passed/, tests: true },
  { name: "browser", run: [bin("playwright"), "test", "--config", "tests/browser/playwright.config.ts"], counts: /(\d+) passed/, tests: true },
];

const wanted = process.argv.slice(2);
const unknown = wanted.filter((name) => !parts.some((part) => part.name === name));
if (unknown.length > 0) {
  console.error(`There is no part called ${unknown.join(", ")}. The parts are ${parts.map(({ name }) => name).join(", ")}.`);
  process.exit(2);
}

let passed = 0;
for (const part of parts.filter(({ name }) => wanted.length === 0 || wanted.includes(name))) {
  console.log(`\n── ${part.name} ──`);
  const began = performance.now();
  const { code, output } = await run(part.run);
  const seen = Number(part.counts.exec(stripVTControlCharacters(output))?.[1] ?? 0);
  const seconds = Math.round((performance.now() - began) / 1000);
  if (code !== 0 || seen === 0) {
    console.error(code === 0 ? `${part.name} looked at nothing.` : `${part.name} failed after ${seconds} s.`);
    console.log(`${passed} passed, 1 failed`);
    process.exit(1);
  }
  console.log(`${part.name}: ${seen} in ${seconds} s`);
  if (part.tests) passed += seen;
}
console.log(`${passed} passed, 0 failed`);

function run([command, ...args]) {
  return new Promise((resolve, reject) => {
    const env = { ...process.env, NEXT_TELEMETRY_DISABLED: "1", TURBO_TELEMETRY_DISABLED: "1" };
    const child = spawn(command, args, { cwd: root, env, shell: process.platform === "win32", stdio: ["ignore", "pipe", "pipe"] });
    let output = "";
    for (const stream of [child.stdout, child.stderr]) {
      stream.on("data", (chunk) => {
        output += chunk;
        process.stdout.write(chunk);
      });
    }
    child.on("error", reject);
    child.on("close", (code) => resolve({ code, output }));
  });
}
