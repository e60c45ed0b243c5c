/**
 * Reads what a logging gauge gave or somebody typed: two columns, time and pressure.
 *
 * Delimiters: tab, semicolon, comma or spaces, the one that reads the first line of figures.
 * Decimal mark: point or comma, the same throughout; between commas it is the point.
 * Time: seconds, or minutes and seconds as 5:00, or hours too as 0:05:00; it must not go back.
 * Pressure: bar or psi, by the words above the figures or behind them, else as told.
 * Lines above the first figures are headings, unless they begin with a figure.
 *
 * Answer: every point, or every bad line with its number; never some of the points.
 */
import type { Centibar } from "./measures.ts";
import { readPressure } from "./units.ts";
import type { PressureUnit } from "./units.ts";

/** One reading of a curve. */
export interface PressurePoint {
  /** Since any beginning, to the thousandth. */
  readonly seconds: number;
  /** A gauge at rest may show a little less than nought. */
  readonly centibar: Centibar;
}

export const MOST_POINTS = 20_000;
const MOST_CHARACTERS = 2_000_000;
const MOST_HEADINGS = 50;
const MOST_PROBLEMS = 100;

export type ColumnProblemCode =
  /** Not a time and a pressure and nothing else. */
  | "not-two-figures"
  | "time-form"
  | "time-goes-back"
  | "pressure-form"
  | "pressure-out-of-range"
  /** It names another unit than the rest. */
  | "unit-differs";

export interface ColumnProblem {
  /** Counted from 1, as pasted. */
  readonly line: number;
  readonly code: ColumnProblemCode;
  /** The line, shortened. */
  readonly text: string;
}

export type ColumnRefusal =
  | { readonly code: "no-points" | "too-long" | "too-many-points" | "too-many-headings" }
  /** Nothing says whether it is bar or psi. */
  | { readonly code: "unit-unknown" }
  /** The headings name both, or another than was told. */
  | { readonly code: "unit-unclear" }
  /** The heading of the time says neither seconds nor minutes and seconds. */
  | { readonly code: "time-unit"; readonly unit: string }
  /** "9,500" throughout: thousands, or a fraction? */
  | { readonly code: "decimal-mark-open" }
  | { readonly code: "bad-lines"; readonly problems: readonly ColumnProblem[]; readonly more: number };

export type ColumnReading =
  | { readonly answer: "points"; readonly points: readonly PressurePoint[]; readonly unit: PressureUnit }
  | { readonly answer: "refused"; readonly reason: ColumnRefusal };

/** What the person pasting says of it, where the text does not say it itself. */
export interface ColumnTold {
  readonly unit?: PressureUnit;
  readonly mark?: "comma" | "point";
}

interface Line {
  readonly number: number;
  readonly text: string;
}

type Delimiter = "tab" | "semicolon" | "spaces" | "comma";
const DELIMITERS: readonly Delimiter[] = ["tab", "semicolon", "spaces", "comma"];

const TIME = /^(?:\d{1,7}(?:[.,]\d{1,6})?|(?:\d{1,3}:)?\d{1,4}:\d{1,2}(?:[.,]\d{1,6})?) ?(?:s|sec|secs|seconds?)?$/i;
const PRESSURE = /^[+-]?\d{1,7}(?:[.,]\d{1,6})? ?(?:bar|psi|psig)?$/i;

const refuse = (reason: ColumnRefusal): ColumnReading => ({ answer: "refused", reason });

/** Reads a pasted column. Errors: none; what cannot be read is refused with a reason. */
export function readPressureColumn(text: string, told: ColumnTold = {}): ColumnReading {
  if (text.length > MOST_CHARACTERS) return refuse({ code: "too-long" });
  const lines = text
    .normalize("NFKC")
    .replace(/^\ufeff/, "")
    .replace(/[\u2010-\u2015\u2212]/g, "-")
    .split(/\r\n|\n|\r/)
    .map((line, at): Line => ({ number: at + 1, text: line }))
    .filter((line) => line.text.trim() !== "");
  const first = lines.findIndex((line) => delimiterOf(line.text) !== null || /^\s*[+-]?[.,]?\d/.test(line.text));
  if (first < 0) return refuse({ code: "no-points" });
  if (first > MOST_HEADINGS) return refuse({ code: "too-many-headings" });
  const figures = lines.slice(first);
  if (figures.length > MOST_POINTS) return refuse({ code: "too-many-points" });
  const delimiter = delimiterOf(figures[0]!.text);
  if (delimiter === null) return badLines([problem(figures[0]!, "not-two-figures")]);
  const headings = lines.slice(0, first).map((line) => line.text);
  return readFigures(figures, delimiter, headings, told);
}

function readFigures(figures: readonly Line[], delimiter: Delimiter, headings: readonly string[], told: ColumnTold): ColumnReading {
  const otherTime = timeUnitOf(headings);
  if (otherTime !== null) return refuse({ code: "time-unit", unit: otherTime });
  const unit = unitOf(headings, figures[0]!.text, told.unit);
  if (unit === null) return refuse({ code: "unit-unknown" });
  if (unit === "unclear") return refuse({ code: "unit-unclear" });
  const cells = figures.map((line) => ({ line, cells: cellsOf(line.text, delimiter) }));
  const mark = delimiter === "comma" ? "point" : (told.mark ?? markOf(cells.flatMap((one) => one.cells)));
  if (mark === null) return refuse({ code: "decimal-mark-open" });

  const points: PressurePoint[] = [];
  const problems: ColumnProblem[] = [];
  let before = Number.NEGATIVE_INFINITY;
  for (const { line, cells: of } of cells) {
    const read = readLine(of, unit, mark);
    const code = typeof read === "string" ? read : read.seconds < before ? "time-goes-back" : null;
    if (code !== null) problems.push(problem(line, code));
    if (typeof read === "string") continue;
    before = Math.max(before, read.seconds);
    points.push(read);
  }
  return problems.length > 0 ? badLines(problems) : { answer: "points", points, unit };
}

const problem = (line: Line, code: ColumnProblemCode): ColumnProblem => ({ line: line.number, code, text: line.text.trim().slice(0, 60) });

function badLines(problems: readonly ColumnProblem[]): ColumnReading {
  return refuse({ code: "bad-lines", problems: problems.slice(0, MOST_PROBLEMS), more: Math.max(0, problems.length - MOST_PROBLEMS) });
}

/** The delimiter that reads a line as a time and a pressure, or `null`. */
function delimiterOf(text: string): Delimiter | null {
  return DELIMITERS.find((delimiter) => {
    const [time, pressure, ...rest] = cellsOf(text, delimiter);
    return rest.length === 0 && time !== undefined && pressure !== undefined && TIME.test(time) && PRESSURE.test(pressure);
  }) ?? null;
}

function cellsOf(text: string, delimiter: Delimiter): readonly string[] {
  const cells = parted(text, delimiter).map((cell) => cell.trim());
  // Many programs end a line with one delimiter more.
  return cells.length === 3 && cells[2] === "" ? cells.slice(0, 2) : cells;
}

function parted(text: string, delimiter: Delimiter): readonly string[] {
  if (delimiter === "tab") return text.split("\t");
  if (delimiter === "semicolon") return text.split(";");
  if (delimiter === "comma") return text.split(",");
  // A unit behind its figure belongs to it.
  return text.trim().replace(/ +(s|sec|secs|seconds?|bar|psig?)(?= |$)/gi, "$1").split(/\s+/);
}

/** A unit of time in the heading of the first column that is not seconds, or `null`. */
function timeUnitOf(headings: readonly string[]): string | null {
  for (const heading of headings) {
    const found = /\b(?:time|elapsed|t)\b[^\t;,a-z]*(ms|msec|milliseconds?|min|minutes?|h|hours?|hrs?)\b/i.exec(heading);
    // "min:sec" says how the figures are written, which they show themselves.
    if (found !== null && !/mm?in?:s/i.test(heading)) return found[1]!.toLowerCase();
  }
  return null;
}

function unitOf(headings: readonly string[], figures: string, told: PressureUnit | undefined): PressureUnit | "unclear" | null {
  const words = `${headings.join(" ")} ${figures}`;
  const named = new Set<PressureUnit>();
  if (/(?:^|[^a-z])bar(?:g|\(g\))?(?![a-z])/i.test(words)) named.add("bar");
  if (/(?:^|[^a-z])psig?(?![a-z])/i.test(words)) named.add("psi");
  if (told !== undefined) named.add(told);
  if (named.size > 1) return "unclear";
  return [...named][0] ?? null;
}

/**
 * The decimal mark of the whole column: the first one in it, so that a stray one further down is a bad
 * line. `null` when every comma may as well part thousands.
 */
function markOf(cells: readonly string[]): "comma" | "point" | null {
  if (cells.find((cell) => /[.,]/.test(cell))?.includes(",") !== true) return "point";
  const commas = cells.filter((cell) => cell.includes(","));
  return commas.every((cell) => /^[+-]?[1-9]\d{0,2},\d{3}(?!\d)/.test(cell)) ? null : "comma";
}

function readLine(cells: readonly string[], unit: PressureUnit, mark: "comma" | "point"): PressurePoint | ColumnProblemCode {
  const [time, pressure, ...rest] = cells;
  if (time === undefined || pressure === undefined || rest.length > 0) return "not-two-figures";
  const seconds = readSeconds(time, mark);
  if (seconds === null) return "time-form";
  if (!PRESSURE.test(pressure)) return "pressure-form";
  const named = /psi/i.test(pressure) ? "psi" : /bar/i.test(pressure) ? "bar" : unit;
  if (named !== unit) return "unit-differs";
  const read = readPressure(pressure, unit, mark);
  if (read.entry === "refused") return read.why === "out-of-range" ? "pressure-out-of-range" : "pressure-form";
  return read.value < -100 ? "pressure-out-of-range" : { seconds, centibar: read.value };
}

/** Seconds to the thousandth, or `null`. */
function readSeconds(text: string, mark: "comma" | "point"): number | null {
  if (!TIME.test(text)) return null;
  if (text.includes(mark === "comma" ? "." : ",")) return null;
  const parts = text.replace(/ ?[a-z]+$/i, "").replace(",", ".").split(":");
  const [last, minutes, hours] = parts.map(Number).toReversed();
  if (last === undefined || (minutes !== undefined && last >= 60) || (hours !== undefined && minutes !== undefined && minutes >= 60)) return null;
  return Math.round(((hours ?? 0) * 3600 + (minutes ?? 0) * 60 + last) * 1000) / 1000;
}
