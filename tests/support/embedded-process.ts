import { spawn, type ChildProcess } from "node:child_process";
import { once } from "node:events";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";

/** What the child said first: the server it looks after, or why it does not. */
export type FirstWord = { started: number; ownerUrl: string } | { refused: string };

/** A Hangrail process of its own that looks after a server, to be killed. */
export async function serverProcess(folder: string): Promise<{ child: ChildProcess; said: FirstWord }> {
  const script = fileURLToPath(new URL("./embedded-child.ts", import.meta.url));
  const child = spawn(process.execPath, ["--import", "tsx", script, folder], { stdio: ["ignore", "pipe", "inherit"] });
  const [line] = (await once(createInterface({ input: child.stdout }), "line")) as [string];
  return { child, said: JSON.parse(line) as FirstWord };
}

/** Kills a process the hard way and waits until the system has taken it down. */
export async function killHard(child: ChildProcess): Promise<void> {
  const gone = once(child, "exit");
  child.kill("SIGKILL");
  await gone;
}
