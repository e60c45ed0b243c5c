/**
 * The limits of a bench test, and how one figure stands to one of them.
 *
 * Limits are a model's, entered from its maker's manual and accepted by a named person. Hangrail ships
 * none: without a limit the answer is "not judged", never a pass.
 *
 * Units: pressures in whole hundredths of a bar, efforts in whole hundredths of a millibar.
 */
import type { ModelKind } from "./models.ts";

export const BENCH_LIMIT_NAMES = [
  "intermediate-pressure",
  "creep",
  "supply-change",
  "cracking-effort-primary",
  "cracking-effort-alternate",
  "exhalation-effort",
  "gauge-error-low",
  "gauge-error",
] as const;
export type BenchLimitName = (typeof BENCH_LIMIT_NAMES)[number];

export interface BenchLimit {
  readonly name: BenchLimitName;
  /** `null` = no lower edge. With neither edge nothing is judged. */
  readonly low: number | null;
  readonly high: number | null;
}

const LIMITS_OF: Readonly<Record<ModelKind, readonly BenchLimitName[]>> = {
  "first-stage": ["intermediate-pressure", "creep", "supply-change"],
  "second-stage": ["cracking-effort-primary", "cracking-effort-alternate", "exhalation-effort"],
  gauge: ["gauge-error-low", "gauge-error"],
  inflator: [],
  hose: [],
  transmitter: [],
};

/** The bench limits a kind of model can have. */
export function benchLimitsOf(kind: ModelKind): readonly BenchLimitName[] {
  return LIMITS_OF[kind];
}

/** What a limit is measured in. */
export function quantityOf(name: BenchLimitName): "pressure" | "effort" {
  return name === "cracking-effort-primary" || name === "cracking-effort-alternate" || name === "exhalation-effort" ? "effort" : "pressure";
}

/**
 * Limits on how far something goes (a creep, a change, an error) and not on where it stands. They say
 * nothing without a highest figure: "not less than 0.3 bar" is no limit of a creep.
 */
const NEEDS_HIGH: ReadonlySet<BenchLimitName> = new Set<BenchLimitName>([
  "creep", "supply-change", "exhalation-effort", "gauge-error-low", "gauge-error",
]);

export interface BenchLimitProblem {
  readonly name: BenchLimitName;
  readonly problem: "not-whole" | "out-of-range" | "low-above-high" | "needs-high" | "not-of-this-kind" | "twice";
}

/** What makes no sense of a model's limits as entered; an empty list means they may be accepted. */
export function judgeBenchLimits(kind: ModelKind, limits: readonly BenchLimit[]): readonly BenchLimitProblem[] {
  const problems: BenchLimitProblem[] = [];
  limits.forEach((limit, at) => {
    const { name } = limit;
    if (!LIMITS_OF[kind].includes(name)) problems.push({ name, problem: "not-of-this-kind" });
    if (limits.findIndex((other) => other.name === name) < at) problems.push({ name, problem: "twice" });
    const problem = problemOf(limit);
    if (problem !== null) problems.push({ name, problem });
  });
  return problems;
}

function problemOf({ name, low, high }: BenchLimit): BenchLimitProblem["problem"] | null {
  const edges = [low, high].filter((edge) => edge !== null);
  if (!edges.every((edge) => Number.isSafeInteger(edge))) return "not-whole";
  const signed = name === "gauge-error-low" || name === "gauge-error" || name === "supply-change";
  if (!edges.every((edge) => Math.abs(edge) <= 100_000 && (signed || edge >= 0))) return "out-of-range";
  if (low !== null && high !== null && low > high) return "low-above-high";
  return NEEDS_HIGH.has(name) && low !== null && high === null ? "needs-high" : null;
}

/** The limit of a name, or `null` where none is recorded that could judge anything. */
export function limitNamed(limits: readonly BenchLimit[], name: BenchLimitName): BenchLimit | null {
  const limit = limits.find((one) => one.name === name);
  if (limit === undefined || (limit.low === null && limit.high === null)) return null;
  return problemOf(limit) === null ? limit : null;
}

export type Edges = Pick<BenchLimit, "low" | "high">;

/** How a figure stands to a limit: `by` is how far it lies outside, in the small unit. */
export type Standing =
  | { readonly standing: "inside" }
  | { readonly standing: "outside"; readonly edge: "low" | "high"; readonly by: number }
  | { readonly standing: "cannot-tell" };

/**
 * How a figure stands to a limit when it may be off by an error either way. It is inside when all of
 * value ± error lies inside (an edge itself is inside), outside when all of it lies outside, and else
 * the gauge cannot tell.
 *
 * Units: value and edges in the small unit, the error in thousandths of it.
 */
export function standingOf(value: number, errorThousandths: number, { low, high }: Edges): Standing {
  const least = value * 1000 - errorThousandths;
  const most = value * 1000 + errorThousandths;
  if (high !== null && least > high * 1000) return { standing: "outside", edge: "high", by: value - high };
  if (low !== null && most < low * 1000) return { standing: "outside", edge: "low", by: low - value };
  const inside = (low === null || least >= low * 1000) && (high === null || most <= high * 1000);
  return inside ? { standing: "inside" } : { standing: "cannot-tell" };
}
