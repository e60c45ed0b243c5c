/** What of a model's manual is not recorded, though the bench cannot do its work without it. */
import type { ModelInUse } from "@hangrail/db/bench-models";
import { benchLimitsOf, type BenchLimitName } from "@hangrail/rules/bench-limits";
import { isStage } from "@hangrail/rules/models";

export interface ManualGaps {
  /** Limits without which a bench test of it cannot pass. */
  readonly limits: readonly BenchLimitName[];
  /** A stage is not serviced without a kit list. */
  readonly kits: boolean;
  /** Without it nobody can say that a set fits together. */
  readonly build: boolean;
}

export function manualGaps({ kind, positions, limits, hasBuild, hasKitList }: Pick<ModelInUse, "kind" | "positions" | "limits" | "hasBuild" | "hasKitList">): ManualGaps {
  return {
    limits: benchLimitsOf(kind).filter((name) => isNeeded(name, positions) && !limits.includes(name)),
    kits: positions.some(isStage) && !hasKitList,
    build: !hasBuild,
  };
}

/** Needed limits: those of the readings a test cannot do without (rules, bench-test). */
function isNeeded(name: BenchLimitName, positions: ModelInUse["positions"]): boolean {
  switch (name) {
    case "cracking-effort-primary":
      return positions.includes("primary");
    case "cracking-effort-alternate":
      return positions.includes("alternate");
    case "exhalation-effort":
      return false;
    case "intermediate-pressure":
    case "creep":
    case "supply-change":
    case "gauge-error-low":
    case "gauge-error":
      return true;
  }
}
