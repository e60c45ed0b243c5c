/** The acts of the record as sentences: what was done, with what and to what. */
import { ACTS } from "@hangrail/rules/acts";
import { faultOf, isFaultCode } from "@hangrail/rules/faults";
import { CONNECTIONS, ROLES } from "@hangrail/rules/models";
import { actLook, siteActs, type RecordedAct } from "./act-looks.ts";
import { countText, cylinderText, dayText, depthText, divesText, instantText, listText, numberText, oxygenText, temperatureText, type Units } from "./format.ts";
import type { IconName } from "./components/icon.tsx";
import type { Outputs } from "./trpc/types.ts";
import { orderKindWords } from "./work-order-words.ts";
import { connectionWords, positionWords, severityWords } from "./words.ts";

export type LifeEntry = Outputs["sets"]["life"]["entries"][number];
/** What a sentence is made of. `names` gives the names of the ids in `content`. */
export type ToldAct = Pick<LifeEntry, "content" | "names"> & { act: string };

/** Every act the record may hold, in no particular order. */
export const recordedActs: readonly RecordedAct[] = [...(Object.keys(ACTS) as (keyof typeof ACTS)[]), ...siteActs];
const known: ReadonlySet<string> = new Set(recordedActs);

/** An act in words, for a line of time: its name, its shape and a sentence. One from a later version says so. */
export function lifeWords(entry: ToldAct, units: Units): { word: string; icon: IconName; sentence: string } {
  if (!isRecorded(entry.act)) return { word: entry.act, icon: "info", sentence: "Recorded by a later version; this screen has no words for it yet." };
  return { ...actLook(entry.act), sentence: `${actWords(entry.act, entry, units)}${lateWords(entry.content["late"])}` };
}

/** Of an entry made afterwards: what the tablet's clock showed at the scan, which is a claim. */
function lateWords(late: unknown): string {
  if (!isContent(late)) return "";
  const at = late["scannedAt"];
  return ` Entered afterwards${typeof at === "string" && !Number.isNaN(Date.parse(at)) ? `: scanned without the network at ${instantText(at, "UTC")} UTC by the tablet's clock` : ""}.`;
}

function isRecorded(act: string): act is RecordedAct {
  return known.has(act);
}

/** The sentence of one act. It leaves out what its entry does not hold. */
export function actWords(act: RecordedAct, { content, names }: Omit<ToldAct, "act">, units: Units): string {
  const say = reader(content, names);
  switch (act) {
    case "registered":
      return sentence(`Registered as a new set: ${say.parts()}`);
    case "imported":
      return say.has("history") ? sentence(`Past work taken in from a sheet: ${say.history()}`) : sentence(`Taken in from a sheet with ${say.listOf("components", "component")}`);
    case "handed-out":
      return sentence(say.handOut(units));
    case "taken-back":
      return sentence(say.takeBack());
    case "wash-started":
      return sentence(`Put in the bath${say.quoted("bath")}${say.has("ppm") ? ` at ${numberText(say.number("ppm"))} ppm` : ""}`);
    case "wet-ended":
      return "Taken out of the bath after its full wet time.";
    case "cleaned":
      return "Rinsed, purged under pressure and dry: clean.";
    case "wash-abandoned":
      return sentence(`Wash broken off, so it is to be cleaned again${say.after("words")}`);
    case "breath-tested":
      return sentence(`Breathed from by staff, so it is to be cleaned again${say.after("words")}`);
    case "fitted":
      return sentence(`${say.name("on")} fitted${say.place("position")}${say.has("off") ? ` in place of ${say.name("off")}` : ""}${say.after("why")}`);
    case "removed":
      return sentence(`${say.name("component")} taken off${say.place("position")}${say.after("why")}`);
    case "fault-reported":
      return sentence(say.fault());
    case "fault-cleared":
      return sentence(`${say.text("outcome") === "not-found" ? "Looked for and not found" : "Put right"}: ${say.name("fault")}${content["opened"] === true ? ". It was opened for that" : ""}`);
    case "opened":
      return sentence(`Taken apart on the bench${say.has("fault") ? ` for ${say.name("fault")}` : ""}${say.after("words")}`);
    case "serviced":
      return sentence(`Service of ${say.listOf("components", "component")}${content["oxygenClean"] === true ? ", oxygen-clean" : ""}${say.after("words")}`);
    case "inspected":
      return sentence(`Inspection of ${say.listOf("components", "component")}${say.after("words")}`);
    case "bedding-checked":
      return sentence(`Bedding check of ${say.listOf("components", "component")}${say.after("words")}`);
    case "bench-test-failed":
      return sentence(`Tested on the bench and not passed${say.after("words")}`);
    case "bench-tested":
      return sentence(`Tested on the bench${say.after("words")}`);
    case "released":
      return sentence(`Released for hire${say.after("words")}`);
    case "retired":
      return sentence(`Retired for good${say.after("words")}`);
    case "transferred":
      return say.has("arrived") ? sentence(`Arrived at ${say.name("arrived")}`) : sentence(`Sent to ${say.name("to")}`);
    case "evidence-locked":
      return "Sealed as evidence: nobody cleans, opens, tests or services it.";
    case "notice-opened":
      return sentence(`A safety notice may concern it${say.quoted("notice")}`);
    case "notice-cleared":
      return sentence(`${say.name("component")} cleared of the safety notice${say.quoted("notice")}`);
    case "restored":
      return "The centre was brought back from a backup. Whatever happened to the set between the backup and this hour is not in the record.";
    case "restored-seen":
      return sentence(`Seen since the restore, and as the record has it${say.after("words")}`);
    case "corrected":
      return sentence(`An earlier entry put right${say.after("words")}`);
    case "limits-accepted":
      return sentence(`Limits of ${say.name("model")} accepted from the maker's manual${say.after("manualPage")}. It is judged by them from here on`);
    case "pairing-changed":
      return sentence(`${say.name("second")} ${content["approved"] === true ? "approved" : "no longer approved"} on ${say.name("first")}${say.after("page")}`);
    case "policy-changed":
      return "The site's settings changed; the set is judged by the new ones from here on.";
    case "bath-mixed":
      return sentence(`Bath mixed${say.quoted("bath")}${say.has("ppm") ? ` at ${numberText(say.number("ppm"))} ppm` : ""}`);
    case "bath-emptied":
      return sentence(`Bath emptied${say.quoted("bath")}`);
    case "site-opened":
      return "Site opened.";
    case "person-added":
      return "Person added.";
    case "roles-changed":
      return "A person's roles changed.";
    case "secret-changed":
      return "A password or PIN changed.";
    case "person-closed":
      return "An account closed.";
    case "authorised":
      return sentence(`A technician authorised${say.has("maker") ? ` for ${say.text("maker")}` : ""}`);
    case "device-enrolled":
      return sentence(`Device enrolled${say.after("name")}`);
    case "device-revoked":
      return "A device taken out of use.";
    case "product-accepted":
      return sentence(`Disinfectant taken into use${say.after("name")}`);
    case "product-approved":
      return sentence(`Disinfectant approved for ${say.listOf("models", "model")}${say.after("page")}`);
    case "bench-limit-accepted":
      return "Limits of a model's bench test accepted from its manual.";
    case "build-accepted":
      return sentence(`How a model is built accepted from its manual${say.after("page")}`);
    case "kits-accepted":
      return sentence(`The kits of a model's service accepted from its manual${say.after("page")}`);
    case "kit-added":
      return sentence(`Kit entered${say.has("name") ? `: ${say.text("maker")} ${say.text("name")}` : ""}`);
    case "kit-moved":
      return sentence(`${content["kind"] === "counted" ? "Kits counted" : "Kits received"}${say.has("quantity") ? `: ${numberText(say.number("quantity"))}` : ""}${say.has("lot") ? `, lot ${say.text("lot")}` : ""}`);
    case "kit-ordered":
      return sentence(`Kits ordered${say.has("quantity") ? `: ${numberText(say.number("quantity"))}` : ""}${say.has("expectedOn") ? `, expected ${dayText(say.text("expectedOn"))}` : ""}`);
    case "kit-order-closed":
      return sentence(`An order of kits closed${say.has("received") ? `; ${numberText(say.number("received"))} came` : ""}`);
    case "gauge-added":
      return sentence(`Test gauge added${say.after("name")}`);
    case "gauge-calibrated":
      return sentence(`A test gauge calibrated${say.has("until") ? `, valid until ${dayText(say.text("until"))}` : ""}${say.after("certificate")}`);
    case "gauge-retired":
      return sentence(`A test gauge taken out of use${say.after("words")}`);
    case "clock-confirmed":
      return sentence(`The server's clock confirmed${say.after("words")}`);
    case "fault-confirmed":
      return sentence(say.found());
    case "photo-added":
      return sentence(`A photograph was added${say.has("fault") ? ` to ${say.name("fault")}` : ""}`);
    case "order-opened":
      return sentence(`Asked for at the bench: ${orderKindWords(content["kind"])}${say.has("fault") ? `, ${say.name("fault")}` : ""}${say.has("notice") ? `, ${say.name("notice")}` : ""}`);
    case "order-taken":
      return "Taken to the bench: it comes back only by a release.";
    case "order-parked":
      return sentence(`Laid aside until parts come${say.after("why")}${say.has("expectedOn") ? `, expected ${dayText(say.text("expectedOn"))}` : ""}`);
    case "order-resumed":
      return "The parts are here: the work goes on.";
    case "order-done":
      return sentence(`${content["outcome"] === "dropped" ? "Work order given up" : "Work order done"}${say.has("minutes") ? ` in ${countText(say.number("minutes"), "minute")}` : ""}${say.after("words")}`);
    case "custody-noted":
      return sentence(`Passed on as it is${say.has("from") ? ` by ${say.text("from")}` : ""}${say.has("to") ? ` to ${say.text("to")}` : ""}${say.after("place")}`);
    case "evidence-lifted":
      return sentence(`The seal was lifted${say.has("allowedBy") ? `, allowed by ${say.text("allowedBy")}` : ""}${say.after("words")}`);
    case "money-set":
      return "What things cost at the site was entered.";
    case "booking-made":
      return "Sets were booked.";
    case "booking-withdrawn":
      return "A booking was withdrawn.";
    case "bench-hours-set":
      return sentence(`A technician's hours at the bench were set${say.after("words")}`);
    case "plan-accepted":
      return sentence(`A plan of service batches was accepted${say.after("words")}`);
    case "calendar-opened":
      return sentence(`A calendar program was given the plan's address${say.after("words")}`);
    case "calendar-revoked":
      return "A calendar address no longer answers.";
    case "hirers-erased": {
      const { hirers } = content;
      const count = Array.isArray(hirers) ? hirers.length : 0;
      return `The ${count === 1 ? "name of a hirer" : `names of ${numberText(count)} hirers`} erased, as the site's settings ask. What was hired stays in the record.`;
    }
    case "severity-tuned":
      return sentence(`The site's own severity for a line of the fault list${say.has("code") ? `, ${say.text("code")}` : ""}${say.after("severity")}`);
  }
}

type Content = Readonly<Record<string, unknown>>;

/** Reads what an entry holds; what is not there reads as nothing, so that an old entry still makes a sentence. */
function reader(content: Content, names: Readonly<Record<string, string>>) {
  const has = (key: string): boolean => content[key] !== undefined && content[key] !== null;
  const text = (key: string): string => (typeof content[key] === "string" ? content[key].trim() : "");
  const number = (key: string): number => (typeof content[key] === "number" ? content[key] : 0);
  const list = (key: string): readonly unknown[] => (Array.isArray(content[key]) ? content[key] : []);
  const nameOf = (id: unknown): string => (typeof id === "string" ? (names[id] ?? "a part whose name is not known") : "a part that is not named");
  const name = (key: string): string => nameOf(content[key]);
  const named = (key: string): string => listText(list(key).map(nameOf));
  return {
    has,
    text,
    number,
    name,
    /** ": the words", or nothing. */
    after: (key: string): string => (text(key) === "" ? "" : `: ${text(key)}`),
    /** " “the name”", or nothing. */
    quoted: (key: string): string => (has(key) && names[text(key)] !== undefined ? ` “${name(key)}”` : ""),
    place: (key: string): string => (placeOf(content[key]) === "" ? "" : ` as ${placeOf(content[key])}`),
    /** "3 components: A, B and C". */
    listOf: (key: string, noun: string): string => (list(key).length === 0 ? `no ${noun} named` : `${countText(list(key).length, noun)}: ${named(key)}`),
    parts(): string {
      return listText(list("parts").filter(isContent).map((part) => `${placeOf(part["position"]) || "part"} ${nameOf(part["model"])}, serial ${typeof part["serial"] === "string" ? part["serial"] : "unmarked"}`));
    },
    history(): string {
      return listText(list("history").filter(isContent).map((one) => `${one["work"] === "service" ? "service" : "inspection"} of ${nameOf(one["component"])}${typeof one["on"] === "string" ? ` on ${dayText(one["on"])}` : ""}`));
    },
    handOut(units: Units): string {
      const connection = CONNECTIONS.find((one) => one === content["cylinderConnection"]);
      const parts = [
        has("backOn") ? `Handed out until ${dayText(text("backOn"))}` : "Handed out",
        has("dives") ? `${divesText(number("dives"))} planned` : null,
        has("depthM") ? `to ${depthText(number("depthM") * 10, units)}` : null,
        has("o2Tenths") ? `${oxygenText(number("o2Tenths"))} oxygen` : null,
        has("waterTenthsC") ? `water ${temperatureText(number("waterTenthsC"), units)}` : null,
        connection === undefined ? null : `cylinder ${connectionWords(connection)}${has("cylinderBar") ? ` at ${cylinderText(number("cylinderBar") * 100, units)}` : ""}`,
        content["teaching"] === true ? "for teaching" : null,
      ];
      return parts.filter((part) => part !== null).join(", ");
    },
    takeBack(): string {
      const used = has("dives") ? ` after ${divesText(number("dives"))}${content["estimated"] === true ? " (estimated: nobody said)" : ""}${waterWords(content["waterKind"])}` : "";
      const missing = list("missing").length === 0 ? "" : `. Missing: ${named("missing")}`;
      return `Taken back${used}. ${content["problem"] === true ? "A problem was reported" : "No problem reported"}${missing}`;
    },
    found(): string {
      const code = text("code");
      return `A technician found: ${isFaultCode(code) ? faultOf(code).words : code || "a fault"}${has("component") ? `, on ${name("component")}` : ""}`;
    },
    fault(): string {
      const code = text("code");
      const severity = content["severity"];
      const what = isFaultCode(code) ? `${code}, ${faultOf(code).words}` : code || "a fault";
      const where = has("component") ? `, at ${name("component")}` : "";
      return `Fault reported${foundWords(content["where"])}: ${what}${where}${severity === "out" || severity === "hold" || severity === "watch" ? ` (${severityWords(severity)})` : ""}`;
    },
  };
}

function isContent(value: unknown): value is Content {
  return typeof value === "object" && value !== null;
}

function placeOf(value: unknown): string {
  const role = ROLES.find((one) => one === value);
  return role === undefined ? "" : positionWords(role).toLowerCase();
}

function waterWords(kind: unknown): string {
  switch (kind) {
    case "sea":
      return " in the sea";
    case "fresh":
      return " in fresh water";
    case "pool":
      return " in a pool";
    case "none":
      return ", not in the water";
    default:
      return "";
  }
}

/** Where a fault was found, as its report says. */
export function foundWords(where: unknown): string {
  switch (where) {
    case "desk":
      return " at the desk";
    case "wash-room":
      return " in the wash room";
    case "bench":
      return " at the bench";
    case "boat":
      return " on the boat";
    default:
      return "";
  }
}

function sentence(text: string): string {
  const whole = text.charAt(0).toUpperCase() + text.slice(1);
  return /[.!?…]$/.test(whole) ? whole : `${whole}.`;
}
