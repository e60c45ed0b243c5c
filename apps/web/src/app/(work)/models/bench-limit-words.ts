/** A model's bench limits as text, in the site's units, and the starting values that may be looked at beside a manual. */
import { quantityOf, type BenchLimitName } from "@hangrail/rules/bench-limits";
import { shownEffort, shownPressure, type EffortUnit, type PressureUnit } from "@hangrail/rules/units";
import { effortUnit, pressureUnit } from "../../../bench-test-words.ts";
import type { Units } from "../../../format.ts";

export type LimitFigures = { low: number | null; high: number | null };

/** The unit a limit is entered in at this site. */
export function limitUnit(name: BenchLimitName, units: Units): PressureUnit | EffortUnit {
  return quantityOf(name) === "pressure" ? pressureUnit(units) : effortUnit(units);
}

/** What a limit is called. */
export function benchLimitWords(name: BenchLimitName): string {
  switch (name) {
    case "intermediate-pressure":
      return "Intermediate pressure";
    case "creep":
      return "Creep in five minutes";
    case "supply-change":
      return "Change between the two supplies";
    case "cracking-effort-primary":
      return "Cracking effort as primary";
    case "cracking-effort-alternate":
      return "Cracking effort as alternate";
    case "exhalation-effort":
      return "Exhalation effort";
    case "gauge-error-low":
      return "Error of the gauge, low on its scale";
    case "gauge-error":
      return "Error of the gauge, middle and high";
  }
}

/** Limits on how far something goes have no lower edge to be entered. */
export function hasLowEdge(name: BenchLimitName): boolean {
  return name === "intermediate-pressure" || name === "cracking-effort-primary" || name === "cracking-effort-alternate";
}

/** A change and an error count either way. */
const countsEitherWay = (name: BenchLimitName): boolean => name === "supply-change" || name === "gauge-error" || name === "gauge-error-low";

/** A figure as it is typed at this site; it reads back as exactly what is kept. */
export function figureText(name: BenchLimitName, small: number, units: Units): string {
  return quantityOf(name) === "pressure" ? shownPressure(small, pressureUnit(units)) : shownEffort(small, effortUnit(units));
}

/** "9.00 to 10.00 bar", "at most 0.30 bar", "not judged": a limit as it counts. */
export function benchLimitText(name: BenchLimitName, limit: LimitFigures, units: Units): string {
  const own = rangeText(name, limit, units);
  // The judged figure is always in sight.
  return units === "metric" || (limit.low === null && limit.high === null) ? own : `${own} (${rangeText(name, limit, "metric")})`;
}

function rangeText(name: BenchLimitName, { low, high }: LimitFigures, units: Units): string {
  const unit = limitUnit(name, units);
  const text = (small: number) => figureText(name, small, units);
  if (low !== null && high !== null) return `${text(low)} to ${text(high)} ${unit}`;
  if (high !== null) return `at most ${text(high)} ${unit}${countsEitherWay(name) ? " either way" : ""}`;
  return low === null ? "taken back: not judged" : `at least ${text(low)} ${unit}`;
}

/**
 * Figures as most designs have them (common practice): something to compare a manual with. They are
 * no maker's, are never in force by themselves, and there is none for exhalation.
 */
export const startingValues: Readonly<Record<BenchLimitName, LimitFigures | null>> = {
  "intermediate-pressure": { low: 850, high: 1_030 },
  creep: { low: null, high: 30 },
  "supply-change": { low: null, high: 50 },
  "cracking-effort-primary": { low: 200, high: 300 },
  "cracking-effort-alternate": { low: 370, high: 500 },
  "exhalation-effort": null,
  "gauge-error-low": { low: null, high: 500 },
  "gauge-error": { low: null, high: 1_000 },
};
