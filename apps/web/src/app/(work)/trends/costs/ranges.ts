import { COST_INPUTS, type ModelFigures } from "@hangrail/rules/model-figures";
import type { TornadoInput } from "@hangrail/rules/tornado";

const QUARTER = 0.25;
/** Must stay whole, and not fall below one. */
const WHOLE: ReadonlySet<TornadoInput> = new Set<TornadoInput>(["lifeYears", "serviceMonths", "serviceDives"]);
const CENTS: ReadonlySet<TornadoInput> = new Set<TornadoInput>(["priceCents", "resaleCents", "kitCents", "benchHourCents", "hireCentsPerYear"]);

/** A quarter down and up from every figure that is known and not nought; whole where it must be. */
export function rangesAround(figures: ModelFigures, interestPermille: number): Partial<Record<TornadoInput, { low: number; high: number }>> {
  const ranges: Partial<Record<TornadoInput, { low: number; high: number }>> = {};
  const add = (input: TornadoInput, value: number) => {
    const [low, high] = [value * (1 - QUARTER), value * (1 + QUARTER)];
    if (WHOLE.has(input)) ranges[input] = { low: Math.max(1, Math.floor(low)), high: Math.min(input === "lifeYears" ? 50 : 1_200_000, Math.ceil(high)) };
    else ranges[input] = CENTS.has(input) ? { low: Math.round(low), high: Math.round(high) } : { low, high };
  };
  for (const input of COST_INPUTS) {
    const value = figures[input];
    if (typeof value === "number" && value > 0) add(input, value);
  }
  if (interestPermille > 0) add("interestPermille", interestPermille);
  return ranges;
}
