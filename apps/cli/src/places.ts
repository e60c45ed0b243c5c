import { createRequire } from "node:module";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

/** The clone Hangrail runs from. */
export const cloneFolder = resolve(fileURLToPath(new URL("../../..", import.meta.url)));
export const webFolder = join(cloneFolder, "apps", "web");
export const leaveWithParent = new URL("../bin/leave-with-parent.mjs", import.meta.url).href;

/** A program that npm installed, by its path inside its package, as the given workspace sees it. */
export function installedProgram(workspace: string, name: string, path: string): string {
  const manifest = createRequire(join(workspace, "package.json")).resolve(`${name}/package.json`);
  return join(dirname(manifest), path);
}
