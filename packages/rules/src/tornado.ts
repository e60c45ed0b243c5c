/**
 * Which figure the cost of a model hangs on most: each is moved alone, from the low to the high end of
 * what it may be. Money as in `modelCost`.
 */
import { modelCost } from "./model-costs.ts";
import { COST_INPUTS } from "./model-figures.ts";
import type { CostInput, CostSettings, ModelFigures, NotKnown } from "./model-figures.ts";
import { refused } from "./refusal.ts";
import type { Refused } from "./refusal.ts";

/** What a tornado varies: every figure, and the interest. */
export type TornadoInput = CostInput | "interestPermille";

export interface TornadoBar {
  readonly input: TornadoInput;
  /** The answer with this figure at the low and at the high end of its range; the base where it has none. */
  readonly lowCents: number;
  readonly highCents: number;
  readonly widthCents: number;
}

export interface Tornado {
  readonly answer: "tornado";
  readonly baseCents: number;
  /** Widest first; equal ones in the order of the figures. */
  readonly bars: readonly TornadoBar[];
}

/**
 * How far each figure alone moves the cost, from the low to the high end of its range, all others as in
 * the base (more dives bring no more faults here).
 * Units: cents a year or, `of: "dive"`, cents a dive.
 * Refuses: "not-known"; "no-dives" where a cost per dive is asked for and there are none.
 * Errors: RangeError as `modelCost`, and for a range whose low end is above its high end.
 * Source: Howard, Management Science 34:679 (1988).
 */
export function tornado(
  base: ModelFigures,
  ranges: Partial<Record<TornadoInput, { readonly low: number; readonly high: number }>>,
  settings: CostSettings & { readonly of: "year" | "dive" },
): Tornado | Refused<"no-dives"> | NotKnown<CostInput> {
  const answerAt = (input: TornadoInput | null, value: number) => {
    const given = input === null || input === "interestPermille" ? base : { ...base, [input]: value };
    const told = modelCost(given, input === "interestPermille" ? { ...settings, interestPermille: value } : settings);
    if (told.answer === "refused") return told;
    return (settings.of === "year" ? told.annualCents : told.perDiveCents) ?? refused("no-dives");
  };
  const baseCents = answerAt(null, 0);
  if (typeof baseCents !== "number") return baseCents;
  const bars: TornadoBar[] = [];
  for (const input of [...COST_INPUTS, "interestPermille"] as const) {
    const range = ranges[input];
    if (range !== undefined && !(range.low <= range.high)) throw new RangeError(`The range of ${input} ends below its start: ${range.low} to ${range.high}.`);
    const lowCents = range === undefined ? baseCents : answerAt(input, range.low);
    const highCents = range === undefined ? baseCents : answerAt(input, range.high);
    if (typeof lowCents !== "number") return lowCents;
    if (typeof highCents !== "number") return highCents;
    bars.push({ input, lowCents, highCents, widthCents: Math.abs(highCents - lowCents) });
  }
  return { answer: "tornado", baseCents, bars: bars.sort((x, y) => y.widthCents - x.widthCents) };
}
