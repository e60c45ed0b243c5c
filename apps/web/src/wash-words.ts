/** The wash room's refusals as sentences: why a set does not go into a bath, and why a run is not clean yet. */
import { ACTS, type Act } from "@hangrail/rules/acts";
import type { FinishRefusal, StartRefusal } from "@hangrail/rules/cleaning";
import { actLook } from "./act-looks.ts";
import { dayText, instantText, strengthText } from "./format.ts";
import { refusalWords } from "./refusal-words.ts";
import type { RefusalCode } from "./refused.ts";
import { cleaningWords } from "./words.ts";

/** A reason as the wash room's procedures give it: the rules' own, or the record's. */
export type WashReason = Readonly<Record<string, unknown>> & { readonly code: StartRefusal["code"] | FinishRefusal["code"] | RefusalCode };

/** One reason in words. Instants are told in the site's zone. */
export function washReasonWords(reason: WashReason, timeZone: string): string {
  const set = typeof reason["tag"] === "string" ? reason["tag"] : "This set";
  const at = (...names: readonly string[]) => names.map((name) => instantIn(reason[name], timeZone)).find((text) => text !== null) ?? "an unknown time";
  switch (reason.code) {
    case "no-sets":
      return "No set was named. Scan the sets first.";
    case "bath-not-made-yet":
      return `The bath is recorded as mixed at ${at("madeAt")}, which is still to come. Tell the manager: the clock may be wrong.`;
    case "bath-expired":
      return `That bath was good until ${at("expiresAt", "expiredAt")}. Empty it and mix a new one.`;
    case "bath-strength":
      return typeof reason["ppmTenths"] === "number"
        ? `The bath has ${strengthText(reason["ppmTenths"])}, ${reason["is"] === "above" ? "above" : "below"} the label's ${ppmOf(reason["leastPpmTenths"])} to ${ppmOf(reason["mostPpmTenths"])} ppm. Mix a new one.`
        : refusalWords({ code: reason.code, facts: reason }, timeZone);
    case "product-too-old":
      return `The product was best before ${typeof reason["bestBefore"] === "string" ? dayText(reason["bestBefore"]) : "today"}. Use another bottle.`;
    case "not-to-clean":
      return reason["cleaning"] === "clean" ? `${set} is clean already.` : `${set} is ${cleaningIn(reason["cleaning"])} already.`;
    case "product-not-allowed":
      return `${set}: ${reason["recorded"] === true ? "its maker does not allow this product on" : "nobody has recorded that its maker allows this product on"} ${textIn(reason["component"])}. Use another product, or have the technician look it up in the manual.`;
    case "twice":
      return `${set} is in the list twice.`;
    case "still-in-bath":
      return "The sets are still in the bath. Take them out first.";
    case "drying-too-short":
      return `Too early: the sets hang to dry until ${at("dryFrom")}.`;
    case "not-rinsed":
      return "Rinse each set in drinking water, and tick it.";
    case "not-purged":
      return "Purge each set under pressure, and tick it.";
    case "changed-since-scan":
      return `${set} is not as it was when it was scanned: ${actIn(reason["act"])} meanwhile, ${at("at")}. Look at the set; if it still has to be done, scan it again.`;
    case "not-dry":
      return "Wait until each set is dry, and tick it.";
    default:
      return refusalWords({ code: reason.code, facts: reason }, timeZone);
  }
}

/** The reasons of a refused answer; empty for any other. */
export function washReasons(answer: unknown): readonly WashReason[] {
  return typeof answer === "object" && answer !== null && "reasons" in answer && Array.isArray(answer.reasons) ? (answer.reasons as readonly WashReason[]) : [];
}

function instantIn(fact: unknown, timeZone: string): string | null {
  if (typeof fact !== "number" && typeof fact !== "string") return null;
  const instant = new Date(fact);
  return Number.isNaN(instant.getTime()) ? null : instantText(instant, timeZone);
}

function cleaningIn(fact: unknown): string {
  return fact === "in-bath" || fact === "drying" ? cleaningWords(fact) : "in the wash";
}

/** What an act of the record is called, in the middle of a sentence. */
function actIn(fact: unknown): string {
  return isAct(fact) ? actLook(fact).word.toLowerCase() : "something was recorded";
}

const isAct = (fact: unknown): fact is Act => typeof fact === "string" && Object.hasOwn(ACTS, fact);
const textIn = (fact: unknown): string => (typeof fact === "string" ? fact : "one of its components");
const ppmOf = (tenths: unknown): string => (typeof tenths === "number" ? String(tenths / 10) : "unknown");
