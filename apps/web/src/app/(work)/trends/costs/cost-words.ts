/** Money and cost figures in words. */
import type { CostInput, ModelFigures } from "@hangrail/rules/model-figures";
import type { TornadoInput } from "@hangrail/rules/tornado";
import { listText } from "../../../../format.ts";
import { readCents } from "../../../../money.ts";

/** A whole or decimal number as people write it; null for an empty field; undefined for what is none. */
export function readNumber(text: string): number | null | undefined {
  const bare = text.trim().replace(/[\s\u202f]/g, "").replace(",", ".");
  if (bare === "") return null;
  return /^\d{1,7}(\.\d{1,4})?$/.test(bare) ? Number(bare) : undefined;
}

export function inputWords(input: TornadoInput): string {
  switch (input) {
    case "priceCents":
      return "purchase price";
    case "resaleCents":
      return "what it sells for";
    case "lifeYears":
      return "years of life";
    case "kitsPerService":
      return "kits per service";
    case "kitCents":
      return "price of the kits";
    case "benchMinutesPerService":
      return "bench minutes per service";
    case "benchHourCents":
      return "a bench hour";
    case "serviceMonths":
      return "months between services";
    case "serviceDives":
      return "dives between services";
    case "divesPerYear":
      return "dives a year";
    case "faultsPerYear":
      return "faults a year";
    case "repairMinutesPerFault":
      return "minutes per repair";
    case "hireCentsPerYear":
      return "hire income a year";
    case "interestPermille":
      return "interest";
  }
}

export const notKnownText = (which: readonly CostInput[]): string => `Not known: ${listText(which.map(inputWords))}.`;

const MONEY: ReadonlySet<CostInput> = new Set<CostInput>(["priceCents", "resaleCents", "kitCents", "benchHourCents", "hireCentsPerYear"]);
export const isMoney = (input: CostInput): boolean => MONEY.has(input);

/** How a figure stands in its field. "no-limit" is an empty interval, which is the maker's word and not a gap. */
export function figureText(input: CostInput, figures: ModelFigures): string {
  const value = figures[input];
  if (value === null) return "";
  if (value === "no-limit") return "none";
  if (isMoney(input)) return (value / 100).toFixed(2);
  return String(Math.round(value * 100) / 100);
}

/** A field read back; undefined when it makes no sense there. */
export function readFigure(input: CostInput, text: string): ModelFigures[CostInput] | undefined {
  if ((input === "serviceMonths" || input === "serviceDives") && text.trim().toLowerCase() === "none") return "no-limit";
  if (isMoney(input)) return readCents(text);
  const number = readNumber(text);
  if (number === null || number === undefined) return number;
  const whole = input === "lifeYears" || input === "serviceMonths" || input === "serviceDives";
  const least = whole ? 1 : 0;
  const most = input === "lifeYears" ? 50 : input === "serviceMonths" ? 1_200 : 100_000;
  return (whole && !Number.isInteger(number)) || number < least || number > most ? undefined : number;
}
