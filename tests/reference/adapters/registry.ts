/** Which rule answers which method. A method that is not here is a failure, and is named. */
import type { Adapter } from "./adapter.ts";
import { calendar } from "./calendar.ts";
import { due, handOut } from "./gate.ts";

export const ADAPTERS: ReadonlyMap<string, Adapter> = new Map<string, Adapter>([
  ["calendar", calendar],
  ["due", due],
  ["hand-out", handOut],
]);
