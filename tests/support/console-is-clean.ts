/** Fails the test during which something was written to console.error: an error nobody looks at is none. */
import { format } from "node:util";
import { afterEach, beforeEach } from "vitest";

const shown: string[] = [];
const show = console.error;

beforeEach(() => {
  shown.length = 0;
  console.error = (...words: unknown[]): void => {
    shown.push(format(...words));
    show(...words);
  };
});

afterEach(() => {
  console.error = show;
  if (shown.length > 0) throw new Error(`console.error was called during this test:\n${shown.join("\n")}`);
});
