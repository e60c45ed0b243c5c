/** When to replace one of a model, in plain sentences. */
import { countText, numberText } from "../../../../format.ts";
import { notKnownText } from "./cost-words.ts";
import type { ModelRow } from "./costs-view.tsx";

export type Replacement = ModelRow["replacement"];
export type YearFound = Extract<Replacement, { answer: "replace" }>;

/** Years whose cost lies so near the least that they are as good. */
const AS_GOOD = 1.05;

/** The answer in a sentence. */
export function replaceText(replacement: Replacement): string {
  if (replacement.answer === "refused") {
    return replacement.why === "not-known" ? `Too little entered to tell. ${notKnownText(replacement.which)}` : "Too little to tell: no part of a known age has been in use here for a year.";
  }
  const { years, atEdge, annualCentsByYear, leastAnnualCents } = replacement;
  if (atEdge && years === 1) return "Too little to tell: only the first year of its age was watched here.";
  if (atEdge) return `Keep it: of the ${years} years of age watched here the last is the cheapest. Nothing is known of older ones.`;
  const last = annualCentsByYear.at(-1) ?? leastAnnualCents;
  return last <= leastAnnualCents * AS_GOOD
    ? `Keep it: year ${years} is the cheapest, and up to year ${annualCentsByYear.length}, the oldest watched here, it costs hardly more.`
    : `Replace it after year ${years}: kept for longer, one costs more a year.`;
}

/** Other years that would do as well: "Years 3 to 5 differ by less than 5 %." */
export function asGoodText({ annualCentsByYear, leastAnnualCents, years }: YearFound): string | null {
  const good = annualCentsByYear.flatMap((cents, index) => (cents <= leastAnnualCents * AS_GOOD && index + 1 !== years ? [index + 1] : []));
  if (good.length === 0) return null;
  const [first, last] = [Math.min(years, ...good), Math.max(years, ...good)];
  return last - first === good.length ? `Years ${first} to ${last} differ by less than 5 %.` : `Within 5 % of it: ${good.length === 1 ? "year" : "years"} ${good.join(", ")}.`;
}

/** What the faults behind it are. */
export const faultsText = ({ faultsDiffer }: YearFound): string =>
  faultsDiffer
    ? "Confirmed faults came more often at some ages than at others, and each year has its own, drawn towards the rest where little was seen."
    : "Age made no more difference to the faults than chance makes, so each year has those of the last twelve months.";

/** Parts that could not be counted, because nobody knows how old they are. */
export const agelessText = (parts: number): string | null => (parts === 0 ? null : `${countText(parts, "part is", "parts are")} left out: nobody recorded when ${parts === 1 ? "it was" : "they were"} bought or taken into use.`);

/** Faults a year, as many digits as they deserve. */
export const yearlyFaultsText = (faults: number): string => (faults >= 10 ? numberText(faults) : faults.toFixed(2));
