/**
 * A second opinion on what may happen in the kit room. It knows nothing of the application: it imports
 * nothing of it, keeps no states, and decides each time by reading the whole list of what was accepted
 * so far. Days are whole numbers since 1 January 1970, instants whole minutes since then.
 */
import { standsTo, type Range } from "./oracle-notices.ts";

export type Position = "first-stage" | "primary" | "alternate" | "gauge";

export interface Limits {
  readonly serviceMonths: number | null;
  readonly serviceDives: number | null;
  readonly serviceMinutes: number | null;
  /** null = the maker asks for none. */
  readonly inspection: { readonly months: number | null; readonly dives: number | null; readonly minutes: number | null } | null;
}

export interface Part {
  readonly component: string;
  readonly model: string;
  readonly position: Position;
  readonly serial: string;
  readonly bought: number;
  readonly inUse: number;
}

export type OrderKind = "inspection" | "service" | "repair" | "notice" | "new-component";

/** What was accepted, in the order it was. `at` in minutes. */
export type Fact = { readonly at: number } & (
  | { readonly kind: "registered"; readonly set: string; readonly site: string; readonly parts: readonly Part[] }
  | { readonly kind: "handed-out"; readonly set: string; readonly teaching: boolean }
  | { readonly kind: "taken-back"; readonly set: string; readonly dives: number; readonly minutes: number }
  | { readonly kind: "wash-started"; readonly set: string; readonly run: string; readonly wetMinutes: number }
  | { readonly kind: "wet-ended" | "cleaned"; readonly set: string; readonly run: string }
  | { readonly kind: "breath-tested" | "opened" | "released" | "retired" | "sealed" | "seal-lifted"; readonly set: string }
  | { readonly kind: "bench-tested" | "test-failed"; readonly set: string; readonly asLeft: boolean; readonly verdict: "pass" | "fail" | "not-judged" }
  | { readonly kind: "fault"; readonly set: string; readonly fault: string; readonly severity: "out" | "hold" | "watch"; readonly component: string | null }
  | { readonly kind: "fault-cleared" | "fault-confirmed"; readonly set: string; readonly fault: string }
  | { readonly kind: "serviced" | "inspected"; readonly set: string; readonly components: readonly string[]; readonly order?: string | null }
  | { readonly kind: "removed"; readonly set: string; readonly component: string }
  | { readonly kind: "fitted"; readonly set: string; readonly component: string; readonly position: Position }
  | { readonly kind: "transferred"; readonly set: string; readonly to: string }
  | { readonly kind: "order-opened"; readonly set: string; readonly order: string; readonly asks: OrderKind; readonly about: string | null }
  | { readonly kind: "order-taken" | "order-parked" | "order-resumed" | "order-closed"; readonly set: string; readonly order: string }
  | { readonly kind: "notice"; readonly notice: string; readonly ranges: readonly Range[] }
  | { readonly kind: "notice-cleared"; readonly notice: string; readonly component: string }
  | { readonly kind: "kits-counted" | "kits-used"; readonly site: string; readonly kits: number }
  | { readonly kind: "limits"; readonly model: string; readonly limits: Limits }
  | { readonly kind: "policy"; readonly site: string; readonly teachingMonths: number; readonly shelfMonths: number; readonly dryingMinutes: number }
  | { readonly kind: "site"; readonly site: string; readonly minutesAheadOfUtc: number }
);

export type Log = readonly Fact[];

export interface Ask {
  readonly site: string;
  readonly backOn: number;
  readonly dives: number;
  readonly minutes: number;
  readonly teaching: boolean;
}

// ── The calendar ──

const leap = (year: number) => (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
const lengths = (year: number) => [31, leap(year) ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/** Year, month from 0, day of the month from 1: counted off year by year and month by month. */
export function civil(day: number): [number, number, number] {
  let left = day;
  let year = 1970;
  for (;;) {
    const length = leap(year) ? 366 : 365;
    if (left < length) break;
    left -= length;
    year += 1;
  }
  let month = 0;
  for (const length of lengths(year)) {
    if (left < length) break;
    left -= length;
    month += 1;
  }
  return [year, month, left + 1];
}

export function dayNumber(year: number, month: number, date: number): number {
  let day = date - 1;
  for (let before = 1970; before < year; before += 1) day += leap(before) ? 366 : 365;
  for (const length of lengths(year).slice(0, month)) day += length;
  return day;
}

export function monthsOn(day: number, months: number): number {
  const [year, month, date] = civil(day);
  const then = year * 12 + month + months;
  const last = lengths(Math.floor(then / 12))[then % 12]!;
  return dayNumber(Math.floor(then / 12), then % 12, date > last ? last : date);
}

export function dayText(day: number): string {
  const [year, month, date] = civil(day);
  return `${year}-${String(month + 1).padStart(2, "0")}-${String(date).padStart(2, "0")}`;
}

export function today(log: Log, site: string, at: number): number {
  const ahead = last(log, (f) => f.kind === "site" && f.site === site);
  if (ahead?.kind !== "site") throw new Error(`The oracle knows no site ${site}.`);
  return Math.floor((at + ahead.minutesAheadOfUtc) / 1_440);
}

// ── What is true now, each time read from the list ──

function last(log: Log, is: (fact: Fact) => boolean): Fact | undefined {
  for (let at = log.length - 1; at >= 0; at -= 1) if (is(log[at]!)) return log[at];
  return undefined;
}

const of = (log: Log, set: string) => log.filter((f) => "set" in f && f.set === set);
const lastPlace = (facts: Log, kinds: readonly string[]) => facts.reduce((found, f, at) => (kinds.includes(f.kind) ? at : found), -1);

const SOILING = ["registered", "handed-out", "taken-back", "breath-tested", "opened", "serviced", "inspected", "removed", "fitted", "transferred", "bench-tested", "test-failed", "order-taken", "seal-lifted"];
const RETESTING = ["opened", "serviced", "removed", "fitted", "seal-lifted", "test-failed"];
const UNRELEASING = ["registered", "opened", "serviced", "removed", "fitted", "transferred", "order-taken", "seal-lifted", "test-failed"];

export const isClean = (log: Log, set: string) => lastPlace(of(log, set), ["cleaned"]) > lastPlace(of(log, set), SOILING);
/** A test that found something wrong, or was not sure after the work. */
const isBadTest = (fact: Fact) => fact.kind === "bench-tested" && (fact.verdict === "fail" || (fact.asLeft && fact.verdict !== "pass"));
const lastBadTest = (facts: Log) => facts.reduce((found, f, at) => (isBadTest(f) ? at : found), -1);
export const isReleased = (log: Log, set: string) => lastPlace(of(log, set), ["released"]) > Math.max(lastPlace(of(log, set), UNRELEASING), lastBadTest(of(log, set)));
/** Opened, refitted, serviced or found wrong with no test passed as left since. */
export function asksTest(log: Log, set: string): boolean {
  const facts = of(log, set);
  const touched = Math.max(lastPlace(facts, RETESTING), lastBadTest(facts));
  return touched >= 0 && !facts.some((f, at) => at > touched && f.kind === "bench-tested" && f.asLeft && f.verdict === "pass");
}
export const isOut = (log: Log, set: string) => lastPlace(of(log, set), ["handed-out"]) > lastPlace(of(log, set), ["taken-back"]);
export const isRetired = (log: Log, set: string) => of(log, set).some((f) => f.kind === "retired");
export const isSealed = (log: Log, set: string) => lastPlace(of(log, set), ["sealed"]) > lastPlace(of(log, set), ["seal-lifted"]);

export function siteOf(log: Log, set: string): string {
  let site = "";
  for (const f of of(log, set)) {
    if (f.kind === "registered") site = f.site;
    if (f.kind === "transferred") site = f.to;
  }
  return site;
}

export function openFaults(log: Log): { fault: string; set: string; severity: "out" | "hold" | "watch"; component: string | null }[] {
  return log.flatMap((f) => (f.kind === "fault" && !log.some((g) => g.kind === "fault-cleared" && g.fault === f.fault) ? [f] : []));
}

/** The wash the set is in, if it still counts. */
export function openRun(log: Log, set: string): { run: string; startedAt: number; wetMinutes: number; wetEndedAt: number | null } | null {
  const facts = of(log, set);
  const started = lastPlace(facts, ["wash-started"]);
  if (started < 0 || lastPlace(facts, [...SOILING, "cleaned", "retired", "sealed"]) > started) return null;
  const start = facts[started]!;
  if (start.kind !== "wash-started") return null;
  const ended = facts.find((f) => f.kind === "wet-ended" && f.run === start.run);
  return { run: start.run, startedAt: start.at, wetMinutes: start.wetMinutes, wetEndedAt: ended?.at ?? null };
}

/** Where a component is: the set and the position, or neither. */
export function placeOf(log: Log, component: string): { set: string; position: Position } | null {
  let place: { set: string; position: Position } | null = null;
  for (const f of log) {
    if (f.kind === "registered") for (const part of f.parts) if (part.component === component) place = { set: f.set, position: part.position };
    if (f.kind === "removed" && f.component === component) place = null;
    if (f.kind === "fitted" && f.component === component) place = { set: f.set, position: f.position };
  }
  return place;
}

/** The site a component was last at: it goes along with its set. */
export function homeOf(log: Log, component: string): string {
  let home = "";
  log.forEach((f, at) => {
    if (f.kind === "registered" && f.parts.some((part) => part.component === component)) home = f.site;
    if (f.kind === "transferred" && placeOf(log.slice(0, at), component)?.set === f.set) home = f.to;
  });
  return home;
}

export function partsOf(log: Log): Part[] {
  return log.flatMap((f) => (f.kind === "registered" ? f.parts : []));
}

export function componentsIn(log: Log, set: string): { component: string; position: Position }[] {
  return partsOf(log).flatMap(({ component }) => {
    const place = placeOf(log, component);
    return place?.set === set ? [{ component, position: place.position }] : [];
  });
}

export interface Match {
  readonly notice: string;
  readonly component: string;
  /** A near miss is looked at; everything else holds until its remedy is done. */
  readonly why: Exclude<ReturnType<typeof standsTo>, null>;
  readonly open: boolean;
}

const HARDEST = ["in-range", "every-serial", "serial-unknown", "near-miss"] as const;

/** Every component that any notice is about, whichever of the two came first. */
export function matches(log: Log): Match[] {
  return log.flatMap((f) =>
    f.kind !== "notice" ? [] : partsOf(log).flatMap((part): Match[] => {
      const found = f.ranges.filter((range) => range.model === part.model).map((range) => standsTo(part.serial, range));
      const why = HARDEST.find((one) => found.includes(one));
      const cleared = log.some((g) => g.kind === "notice-cleared" && g.notice === f.notice && g.component === part.component);
      return why === undefined ? [] : [{ notice: f.notice, component: part.component, why, open: !cleared }];
    }),
  );
}

interface Life {
  readonly dives: number;
  readonly minutes: number;
  readonly sinceService: { readonly dives: number; readonly minutes: number; readonly taught: boolean };
  readonly sinceCheck: { readonly dives: number; readonly minutes: number };
  readonly serviced: number | null;
  readonly inspected: number | null;
  readonly lastUsed: number | null;
}

/** What a component has lived through, counted off from its first fact. */
export function lifeOf(log: Log, component: string): Life {
  let dives = 0, minutes = 0, serviceDives = 0, serviceMinutes = 0, checkDives = 0, checkMinutes = 0, taught = false, teachingHire = false;
  let serviced: number | null = null, inspected: number | null = null, lastUsed: number | null = null;
  // Where it is and where its sets are, as the list goes on.
  let inSet: string | null = null;
  const sites = new Map<string, string>();
  for (const f of log) {
    if (!("set" in f)) continue;
    const here = inSet === f.set;
    const on = () => today(log, sites.get(f.set)!, f.at);
    switch (f.kind) {
      case "registered":
        sites.set(f.set, f.site);
        if (f.parts.some((part) => part.component === component)) inSet = f.set;
        break;
      case "transferred":
        sites.set(f.set, f.to);
        break;
      case "removed":
        if (f.component === component) inSet = null;
        break;
      case "fitted":
        if (f.component === component) inSet = f.set;
        break;
      case "handed-out":
        if (here) teachingHire = f.teaching;
        break;
      case "taken-back":
        if (!here) break;
        dives += f.dives; minutes += f.minutes; serviceDives += f.dives; serviceMinutes += f.minutes; checkDives += f.dives; checkMinutes += f.minutes;
        if (f.dives > 0) { lastUsed = on(); taught ||= teachingHire; }
        break;
      case "serviced":
        if (!f.components.includes(component)) break;
        serviced = on(); serviceDives = 0; serviceMinutes = 0; checkDives = 0; checkMinutes = 0; taught = false;
        break;
      case "inspected":
        if (f.components.includes(component)) { inspected = on(); checkDives = 0; checkMinutes = 0; }
        break;
    }
  }
  return {
    dives, minutes, serviced, inspected, lastUsed,
    sinceService: { dives: serviceDives, minutes: serviceMinutes, taught },
    sinceCheck: { dives: checkDives, minutes: checkMinutes },
  };
}

/** The days and counts a component stands at: what it has left, null where there is no limit. */
export function standing(log: Log, component: string, teaching: boolean) {
  const part = partsOf(log).find((one) => one.component === component)!;
  const place = placeOf(log, component)!;
  const policy = last(log, (f) => f.kind === "policy" && f.site === siteOf(log, place.set));
  const accepted = last(log, (f) => f.kind === "limits" && f.model === part.model);
  if (policy?.kind !== "policy" || accepted?.kind !== "limits") throw new Error("The oracle was given no policy or no limits.");
  const { limits } = accepted;
  const life = lifeOf(log, component);
  const firstDay = part.inUse < monthsOn(part.bought, 12) ? part.inUse : monthsOn(part.bought, 12);
  let months = limits.serviceMonths;
  if (months !== null && (teaching || life.sinceService.taught) && policy.teachingMonths < months) months = policy.teachingMonths;
  const known = (...days: (number | null)[]) => days.filter((one) => one !== null).sort((a, b) => b - a)[0];
  const left = (limit: number | null, used: number) => (limit === null ? null : limit - used);
  return {
    never: life.serviced === null && life.inspected === null && life.lastUsed === null,
    service: { due: months === null ? null : monthsOn(life.serviced ?? firstDay, months), dives: left(limits.serviceDives, life.sinceService.dives), minutes: left(limits.serviceMinutes, life.sinceService.minutes) },
    inspection: limits.inspection === null ? null : {
      due: limits.inspection.months === null ? null : monthsOn(known(life.serviced, life.inspected) ?? firstDay, limits.inspection.months),
      dives: left(limits.inspection.dives, life.sinceCheck.dives), minutes: left(limits.inspection.minutes, life.sinceCheck.minutes),
    },
    shelf: monthsOn(known(part.inUse, life.lastUsed, life.serviced, life.inspected)!, policy.shelfMonths),
  };
}

/** Every reason why a set does not go out, as "code component"; none when it may. */
export function reasons(log: Log, set: string, ask: Ask, at: number): string[] {
  const found: string[] = [];
  const day = today(log, ask.site, at);
  const parts = componentsIn(log, set);
  if (isSealed(log, set)) found.push("evidence-lock");
  if (isRetired(log, set)) found.push("retired");
  if (isOut(log, set)) found.push("out");
  if (siteOf(log, set) !== ask.site) found.push("elsewhere");
  for (const fault of openFaults(log)) if (fault.set === set && fault.severity !== "watch") found.push(`fault ${fault.component ?? ""}`.trim());
  for (const one of matches(log)) {
    if (one.open && parts.some(({ component }) => component === one.component)) found.push(`${one.why === "near-miss" ? "notice-check" : "notice"} ${one.component}`);
  }
  for (const { component } of parts) {
    const { never, service, inspection, shelf } = standing(log, component, ask.teaching);
    if (never) found.push(`first-inspection ${component}`);
    for (const [name, limb] of [["service", service], ["inspection", inspection]] as const) {
      if (limb === null) continue;
      const over = (limb.due !== null && day > limb.due) || (limb.dives !== null && limb.dives < 1) || (limb.minutes !== null && limb.minutes < 1);
      const falls = (limb.due !== null && ask.backOn > limb.due) || (limb.dives !== null && ask.dives > limb.dives) || (limb.minutes !== null && ask.minutes > limb.minutes);
      if (over) found.push(`${name}-overdue ${component}`);
      else if (falls) found.push(`${name}-falls-due ${component}`);
    }
    if (day > shelf) found.push(`shelf-inspection ${component}`);
  }
  if (!isReleased(log, set)) found.push("not-released");
  if (!isClean(log, set)) found.push("not-clean");
  const count = (position: Position) => parts.filter((part) => part.position === position).length;
  if (count("first-stage") !== 1 || count("primary") !== 1 || count("alternate") === 0 || count("gauge") === 0) found.push("incomplete");
  return [...new Set(found)].sort();
}

/** Why nothing may be done with a set by somebody of a site, or null. */
export function untouchable(log: Log, set: string, site: string): string | null {
  if (siteOf(log, set) !== site) return "no-such-set";
  if (isSealed(log, set)) return "evidence-lock";
  if (isRetired(log, set)) return "retired";
  return isOut(log, set) ? "out" : null;
}
