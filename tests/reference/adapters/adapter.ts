import type { ReferenceCase } from "../cases.ts";

/**
 * One method of the reference cases on one rule of Hangrail. Either it answers, with the case's own
 * key names, and the answer is compared; or, where one number cannot say it, it judges the case and
 * lists what is wrong. A throw is a failed case.
 */
export type Adapter =
  | { readonly answer: (input: unknown, one: ReferenceCase) => unknown }
  | { readonly judge: (one: ReferenceCase) => readonly string[] | Promise<readonly string[]> };
