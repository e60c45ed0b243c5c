/** What of a model's manual is lacking, and what that holds up. */
import { listText } from "../../../format.ts";
import type { Outputs } from "../../../trpc/types.ts";
import { benchLimitWords } from "./bench-limit-words.ts";

export type ModelGaps = Outputs["models"]["gaps"]["rows"][number];

/** Whether a set with this model cannot come back from the bench before it is entered. */
export function holdsTheBench({ kind, limits, kits, build }: ModelGaps): boolean {
  return limits.length > 0 || kits || (build && kind === "first-stage");
}

/** "Limits missing: creep. No kit list: no service can be recorded." */
export function gapWords({ kind, limits, kits, build }: ModelGaps): string {
  return [
    limits.length === 0 ? null : `Limits of the bench test missing: ${listText(limits.map((name) => benchLimitWords(name).toLowerCase()))}.`,
    kits ? "No kit list: no service can be recorded." : null,
    !build ? null : kind === "first-stage" ? "How it is built is not recorded: no test of it passes, and no set with it is known to fit." : "How it is built is not recorded: no set with it is known to fit.",
  ]
    .filter((part) => part !== null)
    .join(" ");
}

/** The first few by name: "Tarn A, Tarn B and 3 more". */
export function fewNames(rows: readonly Pick<ModelGaps, "maker" | "name">[]): string {
  const names = rows.map(({ maker, name }) => `${maker} ${name}`);
  return names.length <= 3 ? listText(names) : `${names.slice(0, 2).join(", ")} and ${names.length - 2} more`;
}
