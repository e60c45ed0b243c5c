/** Bench limits as they are typed, and read into whole small units. A row left empty is left as it is. */
import { benchLimitsOf, judgeBenchLimits, quantityOf, type BenchLimitName } from "@hangrail/rules/bench-limits";
import type { ModelKind } from "@hangrail/rules/models";
import { readEffort, readPressure, type Entry } from "@hangrail/rules/units";
import type { Units } from "../../../format.ts";
import type { Inputs } from "../../../trpc/types.ts";
import { effortUnit, pressureUnit } from "../../../bench-test-words.ts";
import { figureText, hasLowEdge, startingValues } from "./bench-limit-words.ts";

export type BenchLimit = Inputs["models"]["acceptBenchLimits"]["limits"][number];
export type LimitRow = { low: string; high: string; page: string; withdrawn: boolean; /** The figures are no maker's, and nobody has changed them. */ suggested: boolean };
export type BenchLimitForm = Readonly<Partial<Record<BenchLimitName, LimitRow>>>;
export type BenchLimitProblems = Readonly<Partial<Record<BenchLimitName, string>>>;

export const blankRow: LimitRow = { low: "", high: "", page: "", withdrawn: false, suggested: false };

export const rowOf = (form: BenchLimitForm, name: BenchLimitName): LimitRow => form[name] ?? blankRow;

/** The form with a starting value in each row that has no figure yet. The page stays open: only the manual has it. */
export function withStartingValues(form: BenchLimitForm, kind: ModelKind, units: Units): BenchLimitForm {
  const rows = benchLimitsOf(kind).map((name): [BenchLimitName, LimitRow] => {
    const row = rowOf(form, name);
    const value = startingValues[name];
    if (value === null || row.low + row.high !== "" || row.withdrawn) return [name, row];
    const text = (small: number | null) => (small === null ? "" : figureText(name, small, units));
    return [name, { ...row, low: text(value.low), high: text(value.high), suggested: true }];
  });
  return Object.fromEntries(rows);
}

export type ReadBenchLimits = { limits: readonly BenchLimit[] } | { problems: BenchLimitProblems };

/** The limits that were typed, or what is wrong with each row. */
export function readBenchLimits(form: BenchLimitForm, kind: ModelKind, units: Units): ReadBenchLimits {
  const problems: Partial<Record<BenchLimitName, string>> = {};
  const limits: BenchLimit[] = [];
  for (const name of benchLimitsOf(kind)) {
    const row = rowOf(form, name);
    if (isUntouched(row)) continue;
    const read = readRow(name, row, units);
    if (typeof read === "string") problems[name] = read;
    else limits.push(read);
  }
  for (const { name, problem } of judgeBenchLimits(kind, limits)) problems[name] ??= problem === "low-above-high" ? "the lower figure is above the higher one." : "that cannot be a limit of this kind.";
  return Object.keys(problems).length > 0 ? { problems } : { limits };
}

const isUntouched = ({ low, high, page, withdrawn }: LimitRow): boolean => `${low}${high}${page}`.trim() === "" && !withdrawn;

function readRow(name: BenchLimitName, row: LimitRow, units: Units): BenchLimit | string {
  const page = row.page.trim();
  if (row.withdrawn) return page === "" ? "say why it is taken back, or where the manual says so." : { name, low: null, high: null, page };
  const low = hasLowEdge(name) ? readEdge(name, row.low, units) : null;
  const high = readEdge(name, row.high, units);
  if (typeof low === "string") return low;
  if (typeof high === "string") return high;
  if (low === null && high === null) return "enter the figure, or leave the whole row empty.";
  if (page === "") return "name the manual and its page.";
  return { name, low, high, page };
}

/** A figure in small units, null where none was typed, or what is wrong with it. */
function readEdge(name: BenchLimitName, text: string, units: Units): number | null | string {
  if (text.trim() === "") return null;
  const entry = quantityOf(name) === "pressure" ? readPressure(text, pressureUnit(units)) : readEffort(text, effortUnit(units));
  if (entry.entry === "refused") return entryWords(entry.why, text);
  return entry.value < 0 ? "a figure below nought is no limit." : entry.value;
}

type WhyNot = Extract<Entry, { entry: "refused" }>["why"];

function entryWords(why: WhyNot, text: string): string {
  switch (why) {
    case "empty":
    case "not-a-number":
      return `“${text.trim()}” is no number.`;
    case "decimal-mark-open":
      return `“${text.trim()}” may be thousands or a decimal: write it with a point.`;
    case "other-unit":
      return `“${text.trim()}” names a unit of something else.`;
    case "out-of-range":
      return `“${text.trim()}” is more than anything on a bench shows.`;
  }
}
