/** Refused acts as sentences: what stood in the way, and what to do about it. */
import { deskRefusalWords, isDeskRefusal } from "./desk-refusals.ts";
import { listText } from "./format.ts";
import { instantIn, numberIn, secondsIn, tagsIn, textIn, textsIn, type Facts } from "./refusal-facts.ts";
import { isRefused, type Refused } from "./refused.ts";
import { errorWords } from "./words.ts";

/**
 * What became of an act that was not recorded, as a sentence: it never arrived, it
 * was not allowed, or the record refused it. Null while there is nothing to say.
 */
export function whyNot(act: { error: unknown; data?: unknown }, timeZone: string): string | null {
  if (act.error !== null && act.error !== undefined) return errorWords(act.error);
  return isRefused(act.data) ? refusalWords(act.data, timeZone) : null;
}

/** A refusal in words. Instants are told in the site's zone. */
export function refusalWords({ code, facts }: Pick<Refused, "code" | "facts">, timeZone: string): string {
  if (isDeskRefusal(code)) return deskRefusalWords({ code, facts }, timeZone);
  const set = tagsIn(facts);
  const at = (name: string) => instantIn(facts[name], timeZone);
  switch (code) {
    case "no-such-fault":
      return "There is no such fault at this site.";
    case "already-cleared":
      return "Somebody has cleared this already.";
    case "no-such-product":
      return "That disinfectant is not in use here.";
    case "bath-strength":
      return `The bath has ${numberIn(facts["ppm"])} ppm; its label asks for ${numberIn(facts["min"])} to ${numberIn(facts["max"])} ppm. Mix a new one.`;
    case "no-such-bath":
      return "There is no such bath at this site.";
    case "bath-emptied":
      return "That bath has been emptied. Mix a new one.";
    case "bath-expired":
      return `That bath was good until ${at("expiredAt")}. Mix a new one.`;
    case "already-clean":
      return `${set} is clean already.`;
    case "already-washing":
      return `${set} is in another wash already.`;
    case "product-not-approved":
      return `The maker's approval of this product is not recorded for ${set}: ${textsIn(facts["models"])}. Use another product, or have the manager record the approval.`;
    case "no-such-run":
      return "There is no such wash at this site.";
    case "already-ended":
      return "This wash has been taken out of the bath already.";
    case "too-short":
      return `${secondsIn(facts["secondsLeft"])} more: the sets stay in the bath until ${at("wetUntil")}.`;
    case "still-in-bath":
      return "The sets are still in the bath. Take them out first.";
    case "still-drying":
      return `The sets hang to dry until ${at("dryAt")}.`;
    case "changed-since-scan":
      return `${set} is not as it was when it was scanned. Look at the set, and scan it again.`;
    case "scan-before-missing":
      return `The scan of ${set} before this one was not recorded, so this one cannot be. Look at the set, and scan it again.`;
    case "not-washing":
      return "That set is in no wash.";
    case "name-taken":
      return "That name is taken. Choose another.";
    case "no-such-model":
      return "There is no such model.";
    case "first-stage-needs-connection":
      return "A first stage needs its cylinder connection.";
    case "tag-taken":
      return `The tag ${textIn(facts["tag"])} is taken. Tags are used once, also after a set is retired.`;
    case "no-such-component":
      return "There is no such component at this site.";
    case "fitted-elsewhere":
      return "That component is in another set. Take it off there first.";
    case "part-has-fault":
      return "That component has an open fault. Clear the fault first, or fit another one.";
    case "position-taken":
      return "Something else is fitted in that place. Take it off first.";
    case "set-changed":
      return `${set} changed while the swap was being checked. Look at it again: if the swap still fits, record it again.`;
    case "no-such-site":
      return "There is no such site.";
    case "not-authorised":
      return `You are not authorised today for ${textsIn(facts["makers"])}. Somebody who is has to do it, or the manager records your authorisation.`;
    case "already-released":
      return `${set} is released already.`;
    case "already-set-up":
      return "This centre is set up already. Please sign in.";
    case "login-taken":
      return "That login name is taken. Choose another.";
    case "no-such-person":
      return "There is no such person at this site.";
    case "last-manager":
      return "This is the last manager of the site. Make somebody else a manager first.";
    case "works-elsewhere":
      return "This person also works at a site you do not manage. Withdraw their roles here instead; they change their own password and PIN.";
    case "not-yourself":
      return "You cannot do this to your own account. Ask another manager.";
    case "not-a-technician":
      return "Only a technician can be authorised. Give the role first.";
    case "no-such-device":
      return "There is no such device at this site.";
    case "attempts-used-up":
      return "Too many wrong tries: locked. Ask a manager for a new one.";
    case "attempts-wait":
      return `Too many wrong tries. Wait ${numberIn(facts["seconds"])} seconds.`;
    case "test-not-passed":
      return "A test cannot be called passed while a reading failed, was not judged, or lies outside the limits in force. Load the page again and look at each reading.";
    case "gauge-out-of-date":
      return `Out of calibration, so it can prove nothing: ${textsIn(facts["gauges"])}. Use another test gauge, or record its new calibration.`;
    case "test-incomplete":
      return "The test does not cover the whole breathing path: every stage has to be read, the first stage at two supply pressures. Read what is missing.";
    case "not-tested":
      return `${set} has passed no bench test since it was last opened, refitted or serviced. Test it first.`;
    case "no-such-notice":
      return "There is no such notice on that component. Load the page again.";
    case "not-sealed":
      return `${set} is not sealed as evidence.`;
    case "no-such-booking":
      return "There is no such booking at this site, or it was withdrawn already.";
    case "no-such-feed":
      return "There is no such calendar address at this site, or it was taken back already.";
    case "count-differs":
      return `You counted ${numberIn(facts["counted"])}; by the record ${numberIn(facts["recorded"])} sets wait here and are not out. Find the difference, or confirm the sets you have seen one by one.`;
    case "already-seen":
      return `${set} does not wait to be seen. Somebody may have confirmed it already.`;
    case "already-confirmed":
      return "A technician has looked at this fault already. Load the page again.";
    case "enough-photos":
      return "This fault has six photographs already, and takes no more.";
    case "order-exists":
      return "Somebody has asked for this work already. Load the page again.";
    case "no-such-order":
      return "There is no such work order at this site.";
    case "order-closed":
      return "This work order is closed already.";
    case "order-taken":
      return `${textIn(facts["by"]) || "Somebody"} has taken this order already.`;
    case "other-order-taken":
      return "The set lies on the bench for another order. Finish or drop that one first.";
    case "order-not-taken":
      return "Take the order to the bench first.";
    case "order-parked":
      return "The order waits for parts. Take it up again first.";
    case "order-not-parked":
      return "The order does not wait for parts. Load the page again.";
    case "order-work-missing":
      return `The order cannot be done yet: ${orderWorkMissing(facts["kind"])}.`;
    case "on-the-bench":
      return `${set} is on the bench. Its work order has to be done or dropped before a release.`;
    case "second-person":
      return `${set} has to be released by somebody who did not do the work: this site asks for a second person.`;
    case "no-such-kit":
      return "There is no such kit. Load the page again.";
    case "no-such-kit-order":
      return "That order is closed already, or is not of this site.";
    case "kits-not-recorded":
      return `Nobody has recorded which kits a service takes: ${textsIn(facts["models"])}. A technician enters the list from the manual on the model's page; without it old seals could go back.`;
    case "kits-missing":
      return `Old seals do not go back: ${missingKits(facts["missing"])}. Enter each kit with its lot.`;
    case "kit-not-in-stock":
      return `${textIn(facts["kit"]) || "A kit"}: ${numberIn(facts["stock"])} on the shelf, ${numberIn(facts["wanted"])} wanted. If more lie there, enter what came or count them under Kits; if not, lay the order aside until they come.`;
    case "checkpoint-made":
      return "A checkpoint was made by somebody else in the same moment. Load the page again.";
    case "no-such-entry":
      return "The set's record has no such entry. Load the page again.";
    case "no-such-gauge":
      return "There is no such gauge in use at this site.";
    case "after-today":
      return "That day lies after today.";
    case "does-not-fit":
      return "The set would not go together like that: the check of this swap says why. Nothing was swapped.";
  }
}

/** What an order still wants before it is done. */
function orderWorkMissing(kind: unknown): string {
  switch (kind) {
    case "repair":
      return "its fault is still open. Clear the fault first, mended or not found";
    case "notice":
      return "the notice is not cleared for every component of the set";
    case "new-component":
      return "no bench test as left is recorded since the order was taken";
    case "inspection":
      return "no inspection is recorded under it";
    case "bedding-check":
      return "no bedding check is recorded under it";
    default:
      return "no service is recorded under it";
  }
}

/** "Tarn Seal kit (2)": the kits a service lacks, each once. */
function missingKits(fact: unknown): string {
  const lines = Array.isArray(fact) ? fact.filter((line): line is Facts => typeof line === "object" && line !== null) : [];
  const words = lines.map((line) => `${textIn(line["kit"]) || "a kit"} (${numberIn(line["needs"])})`);
  return words.length === 0 ? "a kit of the model's list is missing" : `still missing ${listText([...new Set(words)])}`;
}
