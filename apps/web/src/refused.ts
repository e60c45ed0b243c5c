/** Refusals as they come from the record, without their words. */
import type { Outputs } from "./trpc/types.ts";

/** An act the record would not take: a code, and the facts behind it. */
export type Refused = Omit<OfTheRecord, "code"> & { readonly code: OfTheRecord["code"] | Extract<Outputs["bench"]["refit"], { answer: "refused" }>["code"] };
type OfTheRecord = Extract<Outputs["people"]["add"], { answer: "refused" }>;
export type RefusalCode = Refused["code"];

/** Whether an act's answer is a refusal. */
export function isRefused(answer: unknown): answer is Refused {
  return typeof answer === "object" && answer !== null && "answer" in answer && answer.answer === "refused";
}
