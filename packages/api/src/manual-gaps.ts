/** What of a model's manual is not recorded, though the bench cannot do its work without it. */
import type { ModelInUse } from "@hangrail/db/bench-models";
import { benchLimitsOf, type BenchLimitName } from "@hangrail/rules/bench-limits";
import { isStage } from "@hangrail/rules/models";

export interface ManualGaps {
  /** Limits without which a bench test of it cannot pass. */
  readonly limits: readonly BenchLimitName[];
  /** A stage is not serviced without a kit list. */
  readonly kits: boolean;
  /** Without it nobody can say that a set fits together, and no test of a first stage passes without its design. */
  readonly build: boolean;
}

type Recorded = Pick<ModelInUse, "kind" | "positions" | "limits" | "hasBuild" | "balance" | "hasKitList">;

export function manualGaps(model: Recorded): ManualGaps {
  const { kind, positions, limits, hasBuild, balance, hasKitList } = model;
  return {
    limits: benchLimitsOf(kind).filter((name) => isNeeded(name, model) && !limits.includes(name)),
    kits: positions.some(isStage) && !hasKitList,
    build: !hasBuild || (kind === "first-stage" && balance === null),
  };
}

/** Needed limits: those of the readings a test cannot do without (rules, bench-test). */
function isNeeded(name: BenchLimitName, { positions, balance }: Recorded): boolean {
  switch (name) {
    case "cracking-effort-primary":
      return positions.includes("primary");
    case "cracking-effort-alternate":
      return positions.includes("alternate");
    case "exhalation-effort":
      return false;
    case "supply-change":
      // An unbalanced first stage is judged by the way its pressure goes.
      return balance === null || balance === "balanced";
    case "intermediate-pressure":
    case "creep":
    case "gauge-error-low":
    case "gauge-error":
      return true;
  }
}
