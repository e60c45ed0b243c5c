/** What a plan says of itself: why this week for this set, what another would cost, and what stands in the way. */
import { ACTS, type Act } from "@hangrail/rules/acts";
import type { BookingKind, DueView, MissingFact, PlannedSet, SolveEvent, UnplannedSet } from "@hangrail/api/plan-view";
import type { PlanViolation } from "@hangrail/rules/plan-check";
import type { PlanStop } from "@hangrail/rules/plan-ledger";
import type { PlanScore } from "@hangrail/rules/plan-problem";
import type { PlanReason, WeekChoice } from "@hangrail/rules/plan-reasons";
import type { ReliefItem } from "@hangrail/rules/plan-shortfall";
import { actLook } from "../../../act-looks.ts";
import { countText, hoursText, listText, oxygenText } from "../../../format.ts";
import { connectionWords } from "../../../words.ts";
import { limbWords } from "../sets/due-words.ts";
import { shortDay, weekAndDay, weeksText, weekText } from "./weeks.ts";

/** How far a search is, as the server tells it. */
export type Progress = Extract<SolveEvent, { event: "progress" }>;

/** What the ids and week numbers of a plan stand for. */
export interface PlanNames {
  /** The Mondays of the plan's weeks. */
  readonly mondays: readonly string[];
  readonly set: (id: string) => string;
  readonly booking: (id: string) => string;
  readonly kit: (id: string) => string;
}

const mondayOf = ({ mondays }: PlanNames, week: number): string => mondays[week] ?? mondays.at(-1) ?? "";
const weekOf = (names: PlanNames, week: number): string => weekText(mondayOf(names, week));
const weeksOf = (names: PlanNames, weeks: readonly number[]): string => weeksText([...new Set(weeks)].sort((a, b) => a - b).map((week) => mondayOf(names, week)));
const upper = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** How good a plan is proven to be. The gap is rounded up: a promise may not be better than the proof. */
export function gapText(gap: number): string {
  if (gap <= 0) return "Proven: no plan can be better.";
  const percent = Math.ceil(gap * 1000 - 1e-9) / 10;
  return `No plan can be better by more than ${Math.max(0.1, percent)} %.`;
}

/** Why a set goes in its week, in a sentence. */
export function reasonText(week: number | null, reason: PlanReason, names: PlanNames): string {
  switch (reason.why) {
    case "locked":
      return week === null ? "You fixed it: no service in these weeks." : `You fixed it in ${weekOf(names, week)}.`;
    case "not-due":
      return "In date to the end of these weeks.";
    case "due-week":
      return "In the last week it may be hired before it falls due: none of its service life is thrown away.";
    case "early":
      return `${upper(countText(reason.weeks, "week"))} before it falls due${because(reason.against, names)}`;
    case "late":
      return `${upper(countText(reason.weeks, "week"))} after it falls due, and off the desk in between${because(reason.against, names)}`;
    case "overdue":
      return "Overdue now, so in the first week.";
    case "left":
      return `It falls due and no week takes it: off the desk from then on${because(reason.against, names)}`;
  }
}

function because(against: readonly WeekChoice[], names: PlanNames): string {
  const said = againstText(against, names);
  return said === "" ? "." : `, because ${said}.`;
}

/** What speaks against some weeks, those with the same cause together: "in weeks 33 and 34 the bench is full". */
export function againstText(choices: readonly WeekChoice[], names: PlanNames): string {
  const causes = new Map<string, number[]>();
  for (const choice of choices) {
    if (choice.week === null) continue;
    const cause = causeOf(choice, names);
    causes.set(cause, [...(causes.get(cause) ?? []), choice.week]);
  }
  return [...causes].map(([cause, weeks]) => `in ${weeksOf(names, weeks)} ${cause}`).join("; ");
}

function causeOf(choice: WeekChoice, names: PlanNames): string {
  // By how much the bench is too full differs from week to week; that it is full does not.
  if (choice.choice === "stopped") return choice.by.stop === "bench" ? "the bench is full" : stopText(choice.by, names);
  const { short, cost } = choice;
  if (short.length > 0) return `it would leave ${shortText(short, names)}`;
  if (cost > 0) return "it would cost more, in bench crowding or service life";
  return "it would do as well";
}

/** "2 bookings without a set in week 32 and 1 in week 33". */
function shortText(short: readonly { readonly week: number; readonly sets: number }[], names: PlanNames): string {
  return listText(short.map(({ week, sets }, at) => `${at === 0 ? countText(sets, "booking") : String(sets)}${at === 0 ? " without a set" : ""} in ${weekOf(names, week)}`));
}

/** What keeps a set from a week. */
export function stopText(by: PlanStop, names: PlanNames): string {
  switch (by.stop) {
    case "promised":
      return "it is out with a hirer";
    case "on-bench":
      return "it is on the bench already";
    case "bench":
      return `the bench is full, ${hoursText(by.minutesOver)} too little`;
    case "technicians":
      return `nobody authorised for ${listText(by.makers)} has hours left`;
    case "kits":
      return `${names.kit(by.kit)} would run out by ${weekOf(names, by.week)}`;
  }
}

/**
 * What a set's going in that week instead would mean, beside the plan as it stands. `dueWeek` is the last
 * week it may be hired before its service; null = not said, for the plan counts by another day.
 */
export function choiceText(choice: WeekChoice, names: PlanNames, dueWeek: number | null = null): string {
  if (choice.choice === "stopped") return `Not possible: ${stopText(choice.by, names)}.`;
  const { short, cost } = choice;
  const parts = [dueWeek === null ? null : lifeText(choice.week, dueWeek, names.mondays.length), short.length === 0 ? null : `leaves ${shortText(short, names)}`].filter((part) => part !== null);
  if (cost === 0) return "As good as where it is.";
  if (cost < 0) return parts.length === 0 ? "Better than where it is." : `Better than where it is, though it ${parts.join("; ")}.`;
  return parts.length === 0 ? "Possible, at the price of bench crowding or service life." : `${upper(parts.join("; "))}.`;
}

/** What a week means for the set itself: life thrown away before its due week, the desk without it after. */
function lifeText(week: number | null, dueWeek: number, weeks: number): string | null {
  if (week === null) return dueWeek < weeks ? "leaves it off the desk once it is due" : null;
  if (week < dueWeek) return `throws away ${countText(dueWeek - week, "week")} of its service life`;
  if (week > dueWeek) return `keeps it off the desk ${countText(week - Math.max(dueWeek, -1), "week")} before its service`;
  return null;
}

/** A rule that a plan breaks, and what to do. */
export function violationText(broken: PlanViolation, names: PlanNames): string {
  switch (broken.rule) {
    case "line":
      return `Set ${names.set(broken.set)} has no place in this plan. Work it out again.`;
    case "lock":
      return `Set ${names.set(broken.set)} is fixed ${broken.week === null ? "to stay off the bench" : `in ${weekOf(names, broken.week)}`}, and the plan puts it elsewhere.`;
    case "promised":
      return `Set ${names.set(broken.set)} is out with a hirer in ${weekOf(names, broken.week)}.`;
    case "on-bench":
      return `Set ${names.set(broken.set)} is on the bench already in ${weekOf(names, broken.week)}.`;
    case "bench":
      return `In ${weekOf(names, broken.week)} the bench has ${hoursText(broken.minutesOver)} too little for the work.`;
    case "technicians":
      return `In ${weekOf(names, broken.week)} those authorised for ${listText(broken.makers)} have ${hoursText(broken.minutesOver)} too little.`;
    case "kits":
      return `By ${weekOf(names, broken.week)} ${countText(broken.short, "kit")} of ${names.kit(broken.kit)} would be missing.`;
  }
}

/** One thing that would help, and where. */
export function reliefText(item: ReliefItem, names: PlanNames): string {
  const week = weekAndDay(mondayOf(names, item.week));
  switch (item.short) {
    case "technician":
      return `${hoursText(item.minutes)} more of a technician authorised for ${item.maker} in ${week}`;
    case "bench":
      return `${hoursText(item.minutes)} more bench time in ${week}; the technicians have the hours`;
    case "kit":
      return `${countText(item.count, "kit")} of ${names.kit(item.kit)} more in hand by ${week}`;
    case "set":
      return `${countText(item.sets, "set")} borrowed for ${names.booking(item.booking)} in ${week}, or as many bookings turned down`;
  }
}

/** The parts of a score that a manager weighs, each as counted. */
export type ScoreParts = Omit<PlanScore, "total">;

type ShortChange = readonly { readonly week: number; readonly sets: number }[];

/**
 * What a move costs and what it saves, each in a few words; the gravest first. Empty: it makes no
 * difference that counts. `change`: each part after less before. `short`: by how many more bookings a
 * week is without a set; below 0 = fewer.
 */
export function differenceTexts(change: ScoreParts, short: ShortChange, names: PlanNames): { readonly costs: readonly string[]; readonly saves: readonly string[] } {
  const costs: string[] = [];
  const saves: string[] = [];
  const byWeek = new Map<number, number>();
  for (const { week, sets } of short) byWeek.set(week, (byWeek.get(week) ?? 0) + sets);
  const groups = (sign: 1 | -1) => {
    const by = new Map<number, number[]>();
    for (const [week, sets] of byWeek) if (Math.sign(sets) === sign) by.set(Math.abs(sets), [...(by.get(Math.abs(sets)) ?? []), week]);
    return [...by].sort(([a], [b]) => b - a);
  };
  for (const [sets, weeks] of groups(1)) costs.push(`costs ${countText(sets, "ready set")}${weeks.length > 1 ? " each" : ""} in ${weeksOf(names, weeks)}`);
  for (const [sets, weeks] of groups(-1)) saves.push(`gives ${countText(sets, "ready set")}${weeks.length > 1 ? " each" : ""} back in ${weeksOf(names, weeks)}`);
  const part = (by: number, noun: string, more: (count: string) => string, less: (count: string) => string) => {
    const count = countText(Math.abs(by), noun);
    if (by > 0) costs.push(more(count));
    if (by < 0) saves.push(less(count));
  };
  part(change.undone, "set", (count) => `leaves ${count} overdue at the end`, (count) => `brings ${count} back into date`);
  part(change.lost, "week", (count) => `keeps sets off the desk ${count} longer`, (count) => `keeps sets on the desk ${count} longer`);
  part(change.late, "week", (count) => `services ${count} later than due`, (count) => `services ${count} less late`);
  part(change.waste, "week", (count) => `wastes ${count} of service life`, (count) => `saves ${count} of service life`);
  const level = Math.round(change.level * 10) / 10;
  if (level !== 0 && costs.length + saves.length === 0) (level > 0 ? costs : saves).push(level > 0 ? "crowds the bench a little more" : "spreads the bench work a little better");
  return { costs, saves };
}

/** A move in a sentence: "Costs 2 ready sets in week 32; wastes 3 weeks of service life. In return it …" */
export function differenceText(change: ScoreParts, short: ShortChange, names: PlanNames): string {
  const { costs, saves } = differenceTexts(change, short, names);
  if (costs.length + saves.length === 0) return "It makes no difference that counts.";
  if (costs.length === 0) return `${upper(saves.join("; "))}. It costs nothing.`;
  return `${upper(costs.join("; "))}.${saves.length === 0 ? "" : ` In return it ${saves.join("; ")}.`}`;
}

/** When a set falls due, as a forecast, and what it rests on. */
export function dueText(due: DueView): string {
  switch (due.answer) {
    case "falls-due":
      return `Falls due ${intervalText(due)}${due.leads.length === 0 ? "" : `: ${listText(due.leads.map(limbText))}`}${basisText(due)}.`;
    case "beyond":
      return "Not due within the time looked at, with nine chances in ten.";
    case "overdue":
      return due.leads.length === 0 ? "Overdue." : `Overdue: ${listText(due.leads.map(limbText))}.`;
    case "not-judged":
      return due.leads.length === 0 ? "Not judged: no limits, or a count nobody knows." : `Not judged: ${listText(due.leads.map(({ name }) => name))}.`;
    case "too-little-known":
      return due.leads.length === 0 ? "Too little is known of its use." : `Too little is known of the use of ${partsText(due.leads)}.`;
  }
}

/** "Beck 10 K-1, by dives", "4 parts, by dives and hours": a set new to the centre would name each of its parts twice. */
function partsText(leads: DueView["leads"]): string {
  const parts = [...new Set(leads.map(({ name }) => name))];
  const limbs = [...new Set(leads.map(({ limb }) => limbWords(limb)))];
  return `${parts.length === 1 ? parts[0]! : countText(parts.length, "part")}, by ${listText(limbs)}`;
}

const limbText = ({ work, name, limb }: DueView["leads"][number]): string => `${work} of ${name}, by ${limbWords(limb)}`;

/** What a forecast by use rests on; nothing where the calendar leads. */
function basisText({ leads, perWeek, borrowed }: DueView): string {
  const limb = leads[0]?.limb;
  if (perWeek === null || limb === undefined || limb === "months") return "";
  const much = limb === "minutes" ? hoursText(Math.round(perWeek)) : `${Math.round(perWeek * 10) / 10} dives`;
  return `, at about ${much} a week${borrowed === null || borrowed < 0.5 ? "" : ", mostly reckoned from others of its kind"}`;
}

function intervalText({ low, middle, high }: Pick<DueView, "low" | "middle" | "high">): string {
  if (low === null) return "some day";
  const year = (day: string) => day.slice(0, 4);
  if (low === high) return `on ${shortDay(low)} ${year(low)}`;
  const end = high === null ? "some day after the time looked at" : `${shortDay(high)} ${year(high)}`;
  return `between ${shortDay(low)}${high !== null && year(high) === year(low) ? "" : ` ${year(low)}`} and ${end}${middle === null || middle === high || middle === low ? "" : `, most likely by ${shortDay(middle)}`}`;
}

/** What is taken where a forecast does not say when a set is due; null where the forecast stands. */
export function doubtText(doubt: PlannedSet["doubt"]): string | null {
  switch (doubt) {
    case null:
      return null;
    case "count-unknown":
      return "Nobody knows its dives since the last service, so it counts as due on the latest day it can be.";
    case "limits-missing":
      return "No limits are accepted for one of its parts, so it counts as due on the latest day the others allow, and for no booking.";
    case "too-little-known":
      return "So it counts as due on the latest day it can be.";
  }
}

/** Why a set cannot be planned at all, and what would change that. */
export function unplannedText({ why, components }: Pick<UnplannedSet, "why" | "components">): string {
  const parts = components.length === 0 ? "" : ` (${listText(components.map(({ name }) => name))})`;
  switch (why) {
    case "evidence-lock":
      return "Sealed as evidence: nothing is done to it.";
    case "limits-missing":
      return `No limits are accepted for its model${parts}: enter them from the manual.`;
    case "count-unknown":
      return `Nobody knows its count since the last service${parts}: a service makes it known.`;
    case "too-little-known":
      return `Too little is known of its use${parts}: some weeks of hires make it known.`;
    case "no-components":
      return "It has no components.";
  }
}

/** A kind of booking: "yoke (A-clamp), cold water, to 32 % oxygen, teaching". */
export function kindText({ connection, cold, o2Tenths, teaching }: Pick<BookingKind, "connection" | "cold" | "o2Tenths" | "teaching">): string {
  const parts = [connection === null ? "any connection" : connectionWords(connection), cold ? "cold water" : null, o2Tenths > 210 ? `to ${oxygenText(o2Tenths)} oxygen` : null, teaching ? "teaching" : null];
  return parts.filter((part) => part !== null).join(", ");
}

/** What is missing for a plan to be right, and what is taken instead. */
export function missingText(fact: MissingFact): string {
  switch (fact.missing) {
    case "bench-hours":
      return "Nobody's hours at the bench are entered, so no week has room for work.";
    case "bookings":
      return "No bookings are entered for these weeks: any week suits the desk alike.";
    case "bench-minutes":
      return `How long a service takes is not recorded for ${listText(fact.models)}; a usual time is taken.`;
    case "kit-list":
      return `Which kits a service takes is not recorded for ${listText(fact.models)}; none are counted.`;
    case "lead-time":
      return `How long an order takes is not recorded for ${listText(fact.kits)}; only what is in hand and on its way is counted on.`;
    case "authorisation":
      return `Nobody here is authorised for ${listText(fact.makers)} in these weeks, so those sets cannot be planned.`;
  }
}

/** What happened to a set since a plan was made on it: "Set R-014 since: handed out, taken back." */
export function sinceText(tag: string, acts: readonly string[]): string {
  if (acts.length === 0) return `Set ${tag} changed.`;
  return `Set ${tag} since: ${listText(acts.map(actText))}.`;
}

/** An act in a few words, in small letters. */
export function actText(act: string): string {
  return Object.hasOwn(ACTS, act) ? actLook(act as Act).word.toLowerCase() : "something recorded";
}

/** How far a search is: "Being worked out for 3 s. No plan can be better by more than 2.1 %." */
export function progressText({ looking, seconds, best, bound }: Progress): string {
  const since = `for ${Math.max(1, Math.round(seconds))} s`;
  if (looking === "relief") return `Looking ${since} for the cheapest relief…`;
  if (looking === "cover") return `Looking ${since} for a plan that leaves fewer bookings without a set…`;
  if (best === null || bound === null || best <= 0) return `Being worked out ${since}…`;
  return `Being worked out ${since}. ${gapText(Math.max(0, (best - bound) / best))}`;
}
