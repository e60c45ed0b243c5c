/**
 * The refusals that handing out and taking back can meet, in words. Apart from the others, because the
 * desk's tablet fetches every byte.
 */
import { instantIn, tagsIn } from "./refusal-facts.ts";
import type { RefusalCode, Refused } from "./refused.ts";

export const DESK_REFUSALS = [
  "request-reused", "same-set-twice", "no-such-set", "evidence-lock", "retired", "out",
  "not-out", "back-before-today", "problem-without-fault", "not-fitted", "clock-behind", "clock-leap",
] as const satisfies readonly RefusalCode[];
export type DeskRefusal = (typeof DESK_REFUSALS)[number];

export function isDeskRefusal(code: RefusalCode): code is DeskRefusal {
  return DESK_REFUSALS.some((one) => one === code);
}

/** One of these refusals in words. Instants are told in the site's zone. */
export function deskRefusalWords({ code, facts }: { readonly code: DeskRefusal; readonly facts: Refused["facts"] }, timeZone: string): string {
  const set = tagsIn(facts);
  const at = (name: string) => instantIn(facts[name], timeZone);
  switch (code) {
    case "request-reused":
      return "This page sent two different things under one number. Load it again and repeat what is missing.";
    case "same-set-twice":
      return "The same set is in the list twice. Take one of them out.";
    case "no-such-set":
      return "There is no such set at this site.";
    case "evidence-lock":
      return `${set} is sealed as evidence: nothing may be done to it. Ask the manager.`;
    case "retired":
      return `${set} is retired.`;
    case "out":
      return `${set} is out with a hirer. Take it back first.`;
    case "not-out":
      return `Not out, so nothing to take back: ${set}. Somebody may have taken it back already.`;
    case "back-before-today":
      return "The planned return lies before today.";
    case "problem-without-fault":
      return "A problem was reported without saying what it was. Choose the nearest line of the fault list.";
    case "not-fitted":
      return "That component is not in this set any more. Load the page again.";
    case "clock-behind":
      return `The server's clock shows ${at("clock")}, but something was recorded at ${at("recorded")}. Nothing goes out until the clock is right or a manager confirms it.`;
    case "clock-leap":
      return `The server's clock leapt from ${at("recorded")} to ${at("clock")}. Nothing goes out until a manager confirms it.`;
  }
}
