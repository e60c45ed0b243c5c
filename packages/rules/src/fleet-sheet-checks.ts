/**
 * Checks that need more than one cell: which second stage is the primary, positions taken twice,
 * parts that stand in two rows, days out of order and counts that contradict each other.
 */
import { groupedBy, partKey, samePart } from "./fleet-sheet-parts.ts";
import type { FleetRow } from "./fleet-sheet-parts.ts";
import type { Role } from "./models.ts";
import type { FleetColumn } from "./sheet-columns.ts";
import type { PositionWord } from "./sheet-positions.ts";
import { counted } from "./sheet-report.ts";
import type { OpenSheet } from "./sheet-rows.ts";

type Open = OpenSheet<FleetColumn>;

/**
 * Gives every row its position. "Second stage" is the primary when the set has one such row and no
 * row called primary; otherwise nobody but the shop can tell, and the rows are reported.
 */
export function decidePositions(open: Open, tags: ReadonlyMap<number, string | null>, words: ReadonlyMap<number, PositionWord | null>): ReadonlyMap<number, Role> {
  const roles = new Map<number, Role>();
  const seconds: { row: number; tag: string }[] = [];
  const primaryOf = new Map<string, number>();
  for (const [row, word] of words) {
    const tag = tags.get(row);
    if (word === null || tag === undefined) continue;
    if (word === "second-stage" && tag !== null) seconds.push({ row, tag });
    else roles.set(row, word === "second-stage" ? "primary" : word);
    if (word === "primary" && tag !== null) primaryOf.set(tag, row);
  }
  for (const [tag, rows] of groupedBy(seconds, (second) => second.tag)) {
    const primary = primaryOf.get(tag);
    const [only] = rows;
    if (only && rows.length === 1 && primary === undefined) roles.set(only.row, "primary");
    else for (const { row } of rows) open.refuse("position-ambiguous", row, "position", ambiguous(tag, row, rows.map((one) => one.row), primary));
  }
  return roles;
}

function ambiguous(tag: string, row: number, rows: readonly number[], primary: number | undefined): string {
  const others = rows.filter((other) => other !== row);
  const beside = primary !== undefined ? `row ${primary} is its primary` : `${others.length === 1 ? "row" : "rows"} ${others.join(", ")} ${others.length === 1 ? "says" : "say"} second stage too`;
  return `set ${tag} has more than one second stage, and ${beside}. Write primary or alternate for each.`;
}

/** Every position of a set has one place, apart from hoses. `skip` are rows that are recorded already. */
export function checkPlaces(open: Open, tags: ReadonlyMap<number, string | null>, roles: ReadonlyMap<number, Role>, skip: ReadonlySet<number>): void {
  const first = new Map<string, number>();
  for (const row of open.rowNumbers) {
    const tag = tags.get(row);
    const role = roles.get(row);
    if (tag == null || role === undefined || role === "hose" || skip.has(row)) continue;
    const place = `${tag} ${role}`;
    const taken = first.get(place);
    if (taken === undefined) first.set(place, row);
    else open.refuse("set-doubled", row, "position", `set ${tag} has its ${role.replace("-", " ")} in row ${taken} already. A set has one.`);
  }
}

/** One part stands in one row. */
export function checkPartsOnce(open: Open, rows: readonly FleetRow[]): void {
  const bySerial = groupedBy(rows.filter((row) => row.serial !== null), (row) => partKey(row.maker, row.serial ?? ""));
  for (const same of bySerial.values()) {
    for (const [at, row] of same.entries()) {
      const earlier = same.slice(0, Math.min(at, 20)).find((other) => samePart(row, other));
      if (earlier) open.refuse("part-twice", row.row, "serial", `${row.maker} ${row.serial ?? ""} stands in row ${earlier.row} too (${place(earlier)}). A part is in one place.`);
    }
  }
}

const place = (row: FleetRow): string => (row.tag === null ? "a spare" : `set ${row.tag}`);

type DayFact = "boughtOn" | "inUseOn" | "lastUsedOn" | "servicedOn" | "inspectedOn";
const IN_ORDER: readonly (readonly [DayFact, DayFact, string])[] = [
  ["boughtOn", "inUseOn", "in use before it was bought"],
  ["boughtOn", "servicedOn", "serviced before it was bought"],
  ["boughtOn", "inspectedOn", "inspected before it was bought"],
  ["boughtOn", "lastUsedOn", "last used before it was bought"],
  ["inUseOn", "lastUsedOn", "last used before its first day in use"],
];

/** Days that cannot be in that order. Work before the first use is fine: a set may be serviced first. */
export function checkDays(open: Open, row: FleetRow): void {
  for (const [first, second, says] of IN_ORDER) {
    const [from, to] = [row[first], row[second]];
    if (from !== null && to !== null && to < from) open.refuse("days-disagree", row.row, second, `the part would be ${says} (${to} is before ${from}).`);
  }
}

type CountFact = "divesSinceService" | "divesSinceInspection" | "totalDives";

/** Counts that contradict each other or the days beside them. */
export function checkCounts(open: Open, row: FleetRow): void {
  const refuse = (column: FleetColumn, says: string): void => open.refuse("counts-disagree", row.row, column, says);
  const more = (a: number | null, b: number | null): boolean => a !== null && b !== null && a > b;

  if (more(row.divesSinceService, row.totalDives)) refuse("divesSinceService", `more dives since service (${row.divesSinceService ?? ""}) than in all (${row.totalDives ?? ""}).`);
  if (more(row.divesSinceInspection, row.totalDives)) refuse("divesSinceInspection", `more dives since inspection (${row.divesSinceInspection ?? ""}) than in all (${row.totalDives ?? ""}).`);
  checkSinceInspection(open, row);
  checkHours(open, row, "divesSinceService", "minutesSinceService", "hoursSinceService");
  checkHours(open, row, "divesSinceInspection", "minutesSinceInspection", "hoursSinceInspection");
  checkUse(row, refuse);
}

/** The later work has the smaller count since it. */
function checkSinceInspection(open: Open, row: FleetRow): void {
  const { servicedOn, inspectedOn } = row;
  if (servicedOn === null || inspectedOn === null) return;
  const pairs = [
    ["dives", "divesSinceInspection", row.divesSinceService, row.divesSinceInspection],
    ["minutes", "hoursSinceInspection", row.minutesSinceService, row.minutesSinceInspection],
  ] as const;
  for (const [unit, column, sinceService, sinceInspection] of pairs) {
    if (sinceService === null || sinceInspection === null) continue;
    if (inspectedOn >= servicedOn && sinceInspection > sinceService) {
      open.refuse("counts-disagree", row.row, column, `more ${unit} since the inspection of ${inspectedOn} (${sinceInspection}) than since the service of ${servicedOn} (${sinceService}), which is no later.`);
    }
    if (inspectedOn <= servicedOn && sinceInspection < sinceService) {
      open.refuse("counts-disagree", row.row, column, `fewer ${unit} since the inspection of ${inspectedOn} (${sinceInspection}) than since the service of ${servicedOn} (${sinceService}), which is no earlier.`);
    }
  }
}

/** Half a day under water for every dive on average is no dive count of a hire set: minutes were written for hours, or the like. */
const MOST_MINUTES_A_DIVE = 12 * 60;

function checkHours(open: Open, row: FleetRow, divesFact: CountFact, minutesFact: "minutesSinceService" | "minutesSinceInspection", column: FleetColumn): void {
  const [dives, minutes] = [row[divesFact], row[minutesFact]];
  if (dives === null || minutes === null) return;
  if (dives === 0 && minutes > 0) open.refuse("counts-disagree", row.row, column, `${counted(minutes, "minute")} under water, but no dive.`);
  else if (dives > 0 && minutes === 0) open.refuse("counts-disagree", row.row, column, `${counted(dives, "dive")}, but no time under water. Leave the hours empty when they are not known.`);
  else if (minutes > dives * MOST_MINUTES_A_DIVE) open.refuse("counts-disagree", row.row, column, `more than 12 hours for each of ${counted(dives, "dive")}. Are these minutes?`);
}

/** A count of none must fit the days: no set that went in the water since its service has no dives since. */
function checkUse(row: FleetRow, refuse: (column: FleetColumn, says: string) => void): void {
  const { lastUsedOn, servicedOn, divesSinceService, totalDives } = row;
  if (lastUsedOn === null) return;
  if (totalDives === 0) refuse("totalDives", `no dives in all, but last used on ${lastUsedOn}.`);
  if (servicedOn === null || divesSinceService === null) return;
  if (lastUsedOn > servicedOn && divesSinceService === 0) refuse("divesSinceService", `no dives since the service of ${servicedOn}, but last used on ${lastUsedOn}, after it.`);
  if (lastUsedOn < servicedOn && divesSinceService > 0) refuse("divesSinceService", `${counted(divesSinceService, "dive")} since the service of ${servicedOn}, but last used on ${lastUsedOn}, before it.`);
}
