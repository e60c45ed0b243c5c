/**
 * What a hire is for, as the desk chooses it, and as the server judges it. The choices
 * of the last hire are kept for the next, on this device and until the page is loaded
 * again; names are not among them.
 */
import { addDays, day, isDay } from "@hangrail/rules/calendar";
import type { Connection } from "@hangrail/rules/models";
import type { Units } from "../../../format.ts";
import type { Inputs } from "../../../trpc/types.ts";

export type Hire = Inputs["desk"]["handOut"]["hire"];
export type Back = "today" | "tomorrow" | "later";
export type Gas = "air" | "ean32" | "ean36" | "other";
export const pressures = [200, 232, 300] as const;
export type Pressure = (typeof pressures)[number];

export type HireDetails = {
  back: Back;
  /** Only for `later`; the picker's own text. */
  backOn: string;
  dives: number;
  teaching: boolean;
  gas: Gas;
  /** Only for `other`: per cent, as typed. */
  oxygen: string;
  connection: Connection;
  bar: Pressure;
  /** °C or °F, as typed. */
  water: string;
  /** Metres or feet, as typed. */
  depth: string;
};

export type DetailField = "backOn" | "oxygen" | "water" | "depth";
/** `ambiguous`: a thousand or a decimal; `beyond`: outside what the record takes. */
export type DetailProblem = { field: DetailField; what: "not-a-number" | "ambiguous" | "beyond" | "no-day" | "past" };

export type ReadDetails = { hire: Hire; problems: readonly [] } | { hire: null; problems: readonly DetailProblem[] };

let kept: { units: Units; details: HireDetails } | null = null;

/** Keeps a hire's choices for the next one. For the browser only: a server would mix everybody's. */
export function keepDetails(details: HireDetails, units: Units): void {
  kept = { units, details: { ...details, backOn: "", back: details.back === "later" ? "today" : details.back } };
}

/** The last hire's choices, or where a new device begins. */
export function startDetails(units: Units): HireDetails {
  if (kept?.units === units) return kept.details;
  const at = units === "metric" ? { water: "18", depth: "18" } : { water: "64", depth: "60" };
  return { back: "today", backOn: "", dives: 2, teaching: false, gas: "air", oxygen: "", connection: "din-232", bar: 232, ...at };
}

/** The details as a hire, or everything that is not right yet. */
export function readDetails(details: HireDetails, today: string, units: Units): ReadDetails {
  const backOn = backDay(details, today);
  const oxygen = details.gas === "other" ? within(tenthsOf(details.oxygen), 210, 1000) : airOrNitrox[details.gas];
  const water = within(waterTenthsC(details.water, units), -30, 450);
  const depth = within(depthMetres(details.depth, units), 0, 350);
  if (typeof backOn === "string" && typeof oxygen === "number" && typeof water === "number" && typeof depth === "number") {
    const { dives, teaching, connection, bar } = details;
    return { hire: { backOn, dives, minutes: null, teaching, cylinder: { connection, bar }, o2Tenths: oxygen, waterTenthsC: water, depthM: depth }, problems: [] };
  }
  const problems: DetailProblem[] = [];
  if (typeof backOn !== "string") problems.push({ field: "backOn", what: backOn.problem });
  for (const [field, value] of [["oxygen", oxygen], ["water", water], ["depth", depth]] as const) {
    if (typeof value !== "number") problems.push({ field, what: value.problem });
  }
  return { hire: null, problems };
}

type Problem<W extends DetailProblem["what"] = "not-a-number" | "ambiguous" | "beyond"> = { problem: W };

const airOrNitrox: Readonly<Record<Exclude<Gas, "other">, number>> = { air: 210, ean32: 320, ean36: 360 };

function backDay({ back, backOn }: HireDetails, today: string): string | Problem<"no-day" | "past"> {
  if (back === "today") return today;
  if (back === "tomorrow") return addDays(day(today), 1);
  if (!isDay(backOn)) return { problem: "no-day" };
  return backOn < today ? { problem: "past" } : backOn;
}

/** A number with at most one decimal, comma or point, in whole tenths. "1,234" could be a thousand, so it is asked back. */
export function tenthsOf(text: string): number | Problem {
  const found = /^([-−]?)(\d{1,3})(?:[.,](\d))?$/.exec(text.trim());
  if (found === null) return { problem: /^\d{1,3}[.,]\d{3}$/.test(text.trim()) ? "ambiguous" : "not-a-number" };
  const whole = Number(found[2]) * 10 + Number(found[3] ?? 0);
  return found[1] === "" ? whole : -whole;
}

/** Tenths of a degree Celsius. A Fahrenheit figure that falls between is taken as the colder one. */
export function waterTenthsC(text: string, units: Units): number | Problem {
  const tenths = tenthsOf(text);
  if (typeof tenths !== "number" || units === "metric") return tenths;
  // Whole tenths stay whole up to the one division, so 50 °F is 10 °C and not a hair less.
  return Math.floor(((tenths - 320) * 5) / 9);
}

/** Whole metres. A depth that falls between is taken as the deeper one. */
export function depthMetres(text: string, units: Units): number | Problem {
  const tenths = tenthsOf(text);
  if (typeof tenths !== "number") return tenths;
  // A foot is 3048 ten-thousandths of a metre.
  return Math.ceil(units === "metric" ? tenths / 10 : (tenths * 3048) / 100_000);
}

function within(value: number | Problem, least: number, most: number): number | Problem {
  if (typeof value !== "number") return value;
  return value >= least && value <= most ? value : { problem: "beyond" };
}
