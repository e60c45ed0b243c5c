/** Limits as they are typed, and read into whole months, dives and minutes. Nothing typed is guessed at. */
import { COLD_RATINGS, CONNECTIONS, type ColdRating, type Connection, type ModelKind } from "@hangrail/rules/models";
import type { AcceptedLimits, Limits } from "./limits-words.ts";
import { asksCold, asksConnection } from "./limits-words.ts";

/** A figure of the manual: what was typed, or the maker's word that there is none. */
export type Figure = { text: string; none: boolean };

export const figureNames = ["serviceMonths", "serviceDives", "serviceMinutes", "inspectionMonths", "inspectionDives", "inspectionMinutes", "maxO2Tenths", "maxSupplyBar"] as const;
export type FigureName = (typeof figureNames)[number];

export type LimitsForm = Record<FigureName, Figure> & {
  /** Null = not answered yet. */
  hasInspection: boolean | null;
  coldRating: ColdRating | null;
  connection: Connection | null;
  manualPage: string;
};

export type LimitsProblems = Partial<Record<keyof LimitsForm, string>>;

type FigureRule = { label: string; unit: string; least: number; most: number; /** Stored parts in one typed unit. */ parts: number };

/** Months, dives and bar are typed as they are kept; hours are kept as minutes, per cent as tenths. */
export const figureRules: Readonly<Record<FigureName, FigureRule>> = {
  serviceMonths: { label: "Months", unit: "months", least: 1, most: 240, parts: 1 },
  serviceDives: { label: "Dives", unit: "dives", least: 1, most: 100_000, parts: 1 },
  serviceMinutes: { label: "Hours of diving", unit: "hours", least: 1, most: 6_000_000, parts: 60 },
  inspectionMonths: { label: "Months", unit: "months", least: 1, most: 240, parts: 1 },
  inspectionDives: { label: "Dives", unit: "dives", least: 1, most: 100_000, parts: 1 },
  inspectionMinutes: { label: "Hours of diving", unit: "hours", least: 1, most: 6_000_000, parts: 60 },
  maxO2Tenths: { label: "Most oxygen", unit: "%", least: 210, most: 1000, parts: 10 },
  maxSupplyBar: { label: "Highest cylinder pressure", unit: "bar", least: 1, most: 1000, parts: 1 },
};

const blank: Figure = { text: "", none: false };

/** An empty form; or, for a new version, the limits in force to be changed. */
export function openForm(now: AcceptedLimits | null): LimitsForm {
  const figure = (name: FigureName): Figure => {
    if (now === null) return blank;
    const value = now[name];
    return value === null ? { text: "", none: true } : { text: String(value / figureRules[name].parts), none: false };
  };
  const figures = Object.fromEntries(figureNames.map((name) => [name, figure(name)])) as Record<FigureName, Figure>;
  return {
    ...figures,
    hasInspection: now?.hasInspection ?? null,
    coldRating: now?.coldRating ?? null,
    connection: now?.connection ?? null,
    // The page is looked up anew each time.
    manualPage: "",
  };
}

export type ReadLimits = { limits: Limits } | { problems: LimitsProblems };

/** The limits that were typed, or what is wrong with each field. A field left empty is a question left open, never "none". */
export function readForm(form: LimitsForm, kind: ModelKind): ReadLimits {
  const problems: LimitsProblems = {};
  const figure = (name: FigureName, asked: boolean): number | null => {
    if (!asked || form[name].none) return null;
    const value = readFigure(form[name].text, figureRules[name]);
    if (typeof value === "string") problems[name] = value;
    return typeof value === "number" ? value : null;
  };
  const inspected = form.hasInspection === true;
  const stage = asksConnection(kind);
  if (form.hasInspection === null) problems.hasInspection = "say whether the maker asks for inspections between services.";
  if (asksCold(kind) && form.coldRating === null) problems.coldRating = "say what the mark on the metal or the manual says.";
  if (stage && form.connection === null) problems.connection = "a first stage has one.";
  if (stage && form.maxSupplyBar.none) problems.maxSupplyBar = "a first stage has a highest pressure; it is marked on it.";
  if (form.manualPage.trim() === "") problems.manualPage = "name the manual and its page.";
  const limits: Limits = {
    serviceMonths: figure("serviceMonths", true),
    serviceDives: figure("serviceDives", true),
    serviceMinutes: figure("serviceMinutes", true),
    hasInspection: inspected,
    inspectionMonths: figure("inspectionMonths", inspected),
    inspectionDives: figure("inspectionDives", inspected),
    inspectionMinutes: figure("inspectionMinutes", inspected),
    maxO2Tenths: figure("maxO2Tenths", true),
    coldRating: asksCold(kind) ? (COLD_RATINGS.find((one) => one === form.coldRating) ?? "unknown") : "unknown",
    connection: stage ? (CONNECTIONS.find((one) => one === form.connection) ?? null) : null,
    maxSupplyBar: figure("maxSupplyBar", stage),
    manualPage: form.manualPage.trim(),
  };
  return Object.keys(problems).length > 0 ? { problems } : { limits };
}

/** A typed figure in stored parts, or the sentence that says what is wrong with it. */
function readFigure(text: string, { unit, least, most, parts }: FigureRule): number | string {
  const typed = text.trim();
  if (typed === "") return "enter the figure, or tick that the maker sets none.";
  const match = /^(\d{1,6})(?:[.,](\d{1,2}))?$/.exec(typed);
  const range = `${parts === 1 ? "a whole number" : "a number"} of ${unit} from ${Math.ceil(least / parts)} to ${Math.floor(most / parts)} is needed.`;
  if (match === null) return range;
  const [, whole = "", fraction = ""] = match;
  // In hundredths, which are whole numbers, so that nothing is rounded on the way.
  const hundredths = (Number(whole) * 100 + Number(fraction.padEnd(2, "0"))) * parts;
  if (hundredths % 100 !== 0) return parts === 1 ? range : `${typed} ${unit} does not come out even; ${parts === 60 ? "give hours in full minutes, such as 12.5" : "give at most one decimal"}.`;
  const value = hundredths / 100;
  return value < least || value > most ? range : value;
}
