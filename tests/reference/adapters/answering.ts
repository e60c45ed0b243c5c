/** How the methods of figures answer: what has no number says so, under every name a case may ask for it by. */
import type { ReferenceCase } from "../cases.ts";
import type { Adapter } from "./adapter.ts";
import { fields, type Fields } from "./reading.ts";

/** What cannot be (a RangeError of the rules) is an answer too: that there is none, and why. */
export function answering(answer: (given: Fields, one: ReferenceCase) => unknown): Adapter {
  return {
    answer: (input, one) => {
      try {
        return answer(fields(input, "input"), one);
      } catch (problem) {
        if (problem instanceof RangeError) return noNumber(problem.message);
        throw problem;
      }
    },
  };
}

export function noNumber(why: string) {
  return { undefined: true, degenerate: true, error: true, shouldWarn: true, mustHandle: true, why };
}
