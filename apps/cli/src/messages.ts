import { OperatorError } from "@hangrail/db/operator-error";

/** One line for the person at the keyboard. */
export function say(sentence: string): void {
  process.stdout.write(`${sentence}\n`);
}

/** Says what went wrong: a sentence where there is one, everything where nobody foresaw it. */
export function complain(error: unknown): void {
  process.stderr.write(error instanceof OperatorError ? `${error.message}\n` : `${error instanceof Error ? (error.stack ?? error.message) : String(error)}\n`);
}

/** How to sign in to the demo. */
export interface DemoSignIn {
  readonly name: string;
  readonly does: string;
  readonly login: string;
  readonly password: string;
  readonly pin: string;
}

export function readyMessage(address: string): string {
  return `\nHangrail is ready: ${address}\nStop it with Ctrl+C.\n`;
}

export function firstRunMessage(address: string, code: string): string {
  return `This centre has no staff yet. Open ${address}/first-run and set it up with this code, valid once: ${code}\n`;
}

export function signInMessage(signIns: readonly DemoSignIn[]): string {
  const heads = { name: "Name", does: "Does", login: "Login", password: "Password", pin: "PIN" };
  const columns = ["name", "does", "login", "password", "pin"] as const;
  const widths = columns.map((column) => Math.max(...[heads, ...signIns].map((row) => row[column].length)));
  const line = (row: DemoSignIn) => `  ${columns.map((column, n) => row[column].padEnd(widths[n] ?? 0)).join("  ")}`.trimEnd();
  return ["Sign in to the demo as one of:", line(heads), ...signIns.map(line), ""].join("\n");
}
