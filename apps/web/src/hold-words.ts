/** Holds and cautions as sentences: what stands against a set, and who makes it go away. */
import { clearedBy, type Caution, type DueHoldFacts, type Hold } from "@hangrail/rules/hand-out";
import { countText, cylinderText, dayText, depthText, divesText, hoursText, listText, oxygenText, temperatureText, type Units } from "./format.ts";
import { cleaningWords, coldWords, connectionWords, positionWords, whoClears } from "./words.ts";

/** What a sentence needs beside the hold itself. */
export type HoldContext = {
  units: Units;
  /** A component's name for people, e.g. "first stage K-2210", from its id. */
  componentName: (id: string) => string;
  /** The open faults behind a fault hold, where the screen knows them. */
  faults?: readonly { readonly component: string | null; readonly said: string; readonly words: string }[];
};

export type HoldWords = {
  /** A few words, for the large line. */
  title: string;
  /** What is known, with its figures. */
  sentence: string;
  /** What makes it go away and who does it. */
  cleared: string;
};

/** A hold in words. */
export function holdWords(hold: Hold, context: HoldContext): HoldWords {
  const { title, sentence, remedy } = told(hold, context);
  const who = whoClears(clearedBy(hold.code, hold.code === "fault" ? hold.severity : undefined));
  return { title, sentence, cleared: `${remedy}: ${who}.` };
}

export type HoldGroup = Omit<HoldWords, "sentence"> & { sentences: readonly string[] };

/**
 * Holds as they are shown: what is the same of several components is said once and names them together,
 * and one title and one remedy stand over all they hold for. In the order of the first of each.
 */
export function holdGroups(holds: readonly Hold[], context: HoldContext): readonly HoldGroup[] {
  const groups = new Map<string, { words: HoldWords; holds: Hold[] }>();
  for (const hold of holds) {
    const words = holdWords(hold, context);
    const key = `${words.title} ${words.cleared}`;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, { words, holds: [hold] });
    else group.holds.push(hold);
  }
  return [...groups.values()].map(({ words: { title, cleared }, holds: alike }) => ({ title, cleared, sentences: sentencesOf(alike, context) }));
}

function sentencesOf(holds: readonly Hold[], context: HoldContext): readonly string[] {
  const told = new Map<string, Hold[]>();
  for (const hold of holds) {
    // Two faults may look alike here, but each finder said something else.
    const facts = JSON.stringify(hold.code === "fault" ? hold : { ...hold, component: null });
    told.set(facts, [...(told.get(facts) ?? []), hold]);
  }
  return [...told.values()].flatMap(([first, ...others]) => {
    if (first === undefined) return [];
    const likewise = others.flatMap(({ component }) => (component === null ? [] : [context.componentName(component)]));
    const { sentence } = holdWords(first, context);
    return [likewise.length === 0 ? sentence : `${sentence} Likewise: ${listText(likewise)}.`];
  });
}

type Told = { title: string; sentence: string; remedy: string };

function told(hold: Hold, { units, componentName, faults = [] }: HoldContext): Told {
  const name = (id: string | null) => (id === null ? "The set" : capital(componentName(id)));
  switch (hold.code) {
    case "evidence-lock":
      return { title: "Sealed as evidence", sentence: "It was in a diving accident. Do not clean, open, test or service it.", remedy: "The seal is lifted only when the authority allows it" };
    case "retired":
      return { title: "Retired", sentence: "It has left the fleet for good.", remedy: "Ask why" };
    case "out":
      return { title: "Already out", sentence: "It is with a hirer and has not been taken back.", remedy: "Take it back first" };
    case "elsewhere":
      return { title: "Belongs to another site", sentence: "It is recorded at another site of the centre.", remedy: "Move it here" };
    case "restored":
      return { title: "Not seen since the restore", sentence: "The centre was brought back from a backup; what happened to the set after it is not recorded.", remedy: "Look at it and confirm it" };
    case "notice":
      return { title: "Safety notice", sentence: `${name(hold.component)} is in the serial range of a safety notice that is not cleared.`, remedy: "Do what the notice asks and record it" };
    case "notice-check":
      return { title: "Check against a safety notice", sentence: `The serial of ${componentName(hold.component)} is close to the range of a notice, or not known.`, remedy: "Compare by hand and record it" };
    case "fault": {
      const known = faults.filter((fault) => fault.component === hold.component).map(({ said, words }) => ` ${said}${words === "" ? "." : `: “${words}”.`}`);
      return hold.severity === "out"
        ? { title: "Open fault", sentence: `${name(hold.component)} has a fault that tags it out.${known.join("")}`, remedy: "Repair, test and clear" }
        : { title: "Open fault", sentence: `${name(hold.component)} has a fault that must be put right.${known.join("")}`, remedy: "Put it right, check and clear" };
    }
    case "first-inspection":
      return { title: "Never inspected", sentence: `${name(hold.component)} has never been used, inspected or serviced.`, remedy: "Inspect before first use" };
    case "service-overdue":
      return { title: "Service overdue", sentence: `${name(hold.component)}: ${dueSentence(hold)}.`, remedy: "Service, test and release" };
    case "service-falls-due":
      return { title: "Service falls due during this hire", sentence: `${name(hold.component)}: ${dueSentence(hold)}.`, remedy: "Shorten the hire, or service, test and release" };
    case "inspection-overdue":
      return { title: "Inspection overdue", sentence: `${name(hold.component)}: ${dueSentence(hold)}.`, remedy: "Inspect and release" };
    case "inspection-falls-due":
      return { title: "Inspection falls due during this hire", sentence: `${name(hold.component)}: ${dueSentence(hold)}.`, remedy: "Shorten the hire, or inspect and release" };
    case "shelf-inspection":
      return { title: "Too long on the shelf", sentence: `${name(hold.component)} has lain unused since ${dayText(hold.idleSince)}.`, remedy: "Inspect before it goes out" };
    case "not-judged":
      return { title: "Limits not recorded", sentence: `The maker's limits for ${componentName(hold.component)} are not recorded, so nobody can say whether it is in date.`, remedy: "Enter and accept the limits of its model" };
    case "not-released":
      return { title: "Not released", sentence: "It was opened, refitted or serviced and has not been released since.", remedy: "Test and release" };
    case "not-clean":
      return { title: "Not clean", sentence: `It is ${cleaningWords(hold.cleaning)}.`, remedy: "Finish the wash" };
    case "incomplete":
      return { title: "Not complete", sentence: completeness(hold), remedy: "Fit what is missing and release" };
    case "pairing":
      return { title: "Second stage not approved here", sentence: hold.recorded ? `${name(hold.component)} is recorded as not approved on this first stage.` : `Nobody has recorded whether ${componentName(hold.component)} is approved on this first stage.`, remedy: "Refit, or record the maker's approval" };
    case "connection":
      return { title: "Does not fit the cylinder", sentence: `${name(hold.component)} has ${hold.has === null ? "no recorded connection" : connectionWords(hold.has)}; the valve is ${connectionWords(hold.valve)}.`, remedy: anotherSet };
    case "nitrox-connection":
      return { title: "Wrong connection for nitrox", sentence: `A gas of ${oxygenText(hold.gas)} oxygen asks for an M26 connection here; ${componentName(hold.component)} has ${hold.has === null ? "none recorded" : connectionWords(hold.has)}.`, remedy: anotherSet };
    case "pressure":
      return { title: "Cylinder pressure too high", sentence: `The cylinder has ${cylinderText(hold.cylinder, units)}; ${componentName(hold.component)} ${hold.most === null ? "has no recorded maximum" : `takes ${cylinderText(hold.most, units)} at most`}.`, remedy: anotherSet };
    case "oxygen":
      return { title: "Too much oxygen", sentence: `The gas has ${oxygenText(hold.gas)}; ${componentName(hold.component)} takes ${oxygenText(hold.most)} at most${hold.recorded ? "" : " while nothing higher is recorded"}.`, remedy: anotherSet };
    case "cold":
      return { title: "Water too cold", sentence: `The water has ${temperatureText(hold.water, units)}; ${componentName(hold.component)} is ${coldWords(hold.rating)}.`, remedy: anotherSet };
  }
}

const anotherSet = "Choose another set or another cylinder";

/** "due on 3 Jul 2026, 4 dives left": only the limbs that hold. */
function dueSentence({ limbs, dueOn, divesLeft, minutesLeft }: DueHoldFacts): string {
  const parts = limbs.map((limb) => {
    switch (limb) {
      case "months":
        return dueOn === null ? "its day is not known" : `due on ${dayText(dueOn)}`;
      case "dives":
        return leftText(divesLeft, divesText);
      case "minutes":
        return leftText(minutesLeft, hoursText);
    }
  });
  return listText(parts);
}

function leftText(left: number | null, words: (value: number) => string): string {
  if (left === null) return "use not known";
  return left >= 0 ? `${words(left)} left` : `${words(-left)} over its limit`;
}

function completeness({ missing, tooMany }: Extract<Hold, { code: "incomplete" }>): string {
  const parts = [
    missing.length === 0 ? null : `Missing: ${listText(missing.map((role) => positionWords(role).toLowerCase()))}.`,
    tooMany.length === 0 ? null : `More than one: ${listText(tooMany.map((role) => positionWords(role).toLowerCase()))}.`,
  ];
  return parts.filter((part) => part !== null).join(" ");
}

/** A caution in words: something to say at the desk that holds nothing. */
export function cautionWords(caution: Caution, { units, componentName }: HoldContext): string {
  switch (caution.code) {
    case "watch-fault":
      return `Look again at ${caution.component === null ? "the set" : componentName(caution.component)} at the next return: a small fault is noted.`;
    case "bedding-check":
      return `${capital(componentName(caution.component))} is due for its bedding check: serviced on ${dayText(caution.servicedOn)}, ${countText(caution.dives, "dive")} since.`;
    case "service-soon": {
      const left = [caution.dueOn === null ? null : `due on ${dayText(caution.dueOn)}`, caution.divesLeft === null ? null : leftText(caution.divesLeft, divesText)];
      return `${capital(componentName(caution.component))} needs its service soon: ${listText(left.filter((part) => part !== null))}.`;
    }
    case "two-diver-depth":
      return `Planned to ${depthText(caution.depth, units)}: with two divers breathing from it, the set is tested to ${depthText(300, units)} only.`;
  }
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
