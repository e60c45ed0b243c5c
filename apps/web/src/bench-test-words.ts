/**
 * A bench test in words: readings, judgements, what a test gauge can prove, and what is wrong with a
 * figure as typed. Figures are written so that they read back as exactly what is judged.
 */
import { quantityOf, type BenchLimit, type Edges } from "@hangrail/rules/bench-limits";
import type { Judgement, WhyNotJudged, Zone } from "@hangrail/rules/bench-readings";
import type { BenchItem, ItemName } from "@hangrail/rules/bench-test";
import type { Role } from "@hangrail/rules/models";
import type { CalibrationState } from "@hangrail/rules/test-gauges";
import { shownEffort, shownPressure, type EffortUnit, type EntryRefusal, type PressureUnit } from "@hangrail/rules/units";
import type { IconName } from "./components/icon.tsx";
import { countText, dayText, type Units } from "./format.ts";
import { positionWords, type Tone } from "./words.ts";

export type Verdict = Judgement["verdict"];
export type Quantity = "pressure" | "effort";

export const pressureUnit = (units: Units): PressureUnit => (units === "metric" ? "bar" : "psi");
export const effortUnit = (units: Units): EffortUnit => (units === "metric" ? "mbar" : "inH2O");
export const unitOf = (quantity: Quantity, units: Units): PressureUnit | EffortUnit => (quantity === "pressure" ? pressureUnit(units) : effortUnit(units));

/** A figure in the site's unit: "9.50 bar", or "137.8 psi (9.50 bar)": what is judged is always in sight. */
export function figureText(small: number, quantity: Quantity, units: Units): string {
  const text = (which: Units) => (quantity === "pressure" ? `${shownPressure(small, pressureUnit(which))} ${pressureUnit(which)}` : `${shownEffort(small, effortUnit(which))} ${effortUnit(which)}`);
  return units === "metric" ? text("metric") : `${text("us")} (${text("metric")})`;
}

// ── Judgements ──

/** A verdict as a word, a shape told apart without colour, and a tone. */
export function verdictLook(verdict: Verdict): { word: string; icon: IconName; tone: Tone } {
  switch (verdict) {
    case "pass":
      return { word: "Pass", icon: "tick", tone: "ready" };
    case "fail":
      return { word: "Fail", icon: "octagon", tone: "stop" };
    case "not-judged":
      return { word: "Not judged", icon: "minus", tone: "rest" };
  }
}

export const phaseWords = (phase: "as-found" | "as-left"): string => (phase === "as-found" ? "As found" : "As left");

/** What a reading is called; the part of a scale or the supply goes with it. */
export function readingWords(name: ItemName, zone: Zone | null = null): string {
  switch (name) {
    case "intermediate-pressure":
      return zone === null ? "Intermediate pressure" : `Intermediate pressure at the ${zone} supply`;
    case "creep":
      return "Creep over five minutes";
    case "supply-change":
      return "Change from the high to the low supply";
    case "drop-at-purge":
      return "Fall while the purge is held";
    case "cracking-effort":
      return "Cracking effort";
    case "exhalation-effort":
      return "Exhalation effort";
    case "vacuum-held":
      return "Vacuum held";
    case "immersion-leak":
      return "Leak under water";
    case "gauge-zero":
      return "Zero without pressure";
    case "gauge-error":
      return zone === null ? "Against the master" : `Against the master, ${zone} on its scale`;
  }
}

export function quantityOfReading(name: ItemName): Quantity | "yes-or-no" {
  if (name === "vacuum-held" || name === "immersion-leak") return "yes-or-no";
  return name === "cracking-effort" || name === "exhalation-effort" ? "effort" : "pressure";
}

/** Readings that are a difference: their sign says which way. */
const SIGNED: ReadonlySet<ItemName> = new Set<ItemName>(["creep", "supply-change", "gauge-error"]);

/** "9.50 bar", "+0.10 bar", "yes": a reading as it was taken. */
export function valueText(name: ItemName, value: number, units: Units): string {
  const quantity = quantityOfReading(name);
  if (quantity === "yes-or-no") return value === 1 ? "yes" : value === 0 ? "no" : "not known";
  const text = figureText(value, quantity, units);
  return SIGNED.has(name) && value > 0 ? `+${text}` : text;
}

/** "9.00 bar to 10.00 bar", "at most 0.30 bar", "within 0.50 bar either way". */
export function limitText({ low, high }: Edges, quantity: Quantity, units: Units): string {
  const text = (small: number) => figureText(small, quantity, units);
  if (low !== null && high !== null) return low === -high && high > 0 ? `within ${text(high)} either way` : low === high ? text(low) : `${text(low)} to ${text(high)}`;
  if (high !== null) return `at most ${text(high)}`;
  return low === null ? "no limit" : `at least ${text(low)}`;
}

/** A judged line: its verdict and why, in one sentence. */
export function judgementWords({ name, judgement, limit }: Pick<BenchItem, "name" | "judgement" | "limit">, units: Units): string {
  const quantity = quantityOfReading(name);
  const inside = limit === null || quantity === "yes-or-no" ? "" : ` (${limitText(limit, quantity, units)})`;
  if (judgement.verdict === "pass") return `Pass${inside}.`;
  if (judgement.verdict === "fail") return `Fail: ${failWords(name, judgement.edge, judgement.by, units)}${inside}.`;
  return `Not judged: ${judgement.why.map((why) => whyWords(why, name)).join("; ")}.`;
}

function failWords(name: ItemName, edge: string, by: number | null, units: Units): string {
  const quantity = quantityOfReading(name);
  const far = by === null || quantity === "yes-or-no" ? "" : `${figureText(Math.abs(by), quantity, units)} `;
  switch (edge) {
    case "low":
      return `${far}too low`;
    case "high":
      return `${far}too high`;
    case "direction":
      return "it moves the other way than its design lets it";
    default:
      return name === "vacuum-held" ? "it does not hold a vacuum" : name === "immersion-leak" ? "it leaks" : "outside its limit";
  }
}

/** Why a reading cannot be judged, within a sentence. Codes of a later version are told as they are. */
export function whyWords(why: string, name: ItemName): string {
  switch (why as WhyNotJudged) {
    case "missing":
      return name === "supply-change" ? "it needs a reading at the high and at the low supply" : "not read yet";
    case "unreadable":
      return "the figure cannot be read";
    case "unknown-part":
      return "this component is not in the set any more";
    case "wrong-part":
      return "such a part has no such reading";
    case "no-limit":
      return "no limit from the maker's manual is recorded for this model";
    case "no-gauge":
      return "choose the test gauge it was read on";
    case "wrong-gauge":
      return "the test gauge measures something else";
    case "outside-span":
      return "the figure lies outside the test gauge's scale";
    case "out-of-calibration":
      return "the test gauge is not in calibration today";
    case "gauge-cannot-tell":
      return "too near the limit for this test gauge to tell";
    case "supply-unknown":
      return "enter the pressure in the cylinder";
    case "master-unknown":
      return "enter what the master shows";
    case "one-supply-only":
      return "it was read at one supply only: it needs a high one (150 bar and more) and a low one (30 to 70 bar)";
    case "design-unknown":
      return "nobody has recorded whether this model is balanced";
    case "adjuster-position":
      return "the limit is for the adjuster turned out";
    case "venturi-position":
      return "the limit is for the lever at “dive”";
    case "fell":
      return "the pressure fell: the supply was shut, or something leaks";
    default:
      return why;
  }
}

/** A kept judgement as codes, in words. `low` and `high` are the edges of that day. */
export function keptWords(kept: { name: ItemName; verdict: Verdict; why: string | null; value: number; low: number | null; high: number | null }, units: Units): string {
  const { name, verdict, why, value, low, high } = kept;
  if (verdict === "pass") return "Pass";
  if (verdict === "not-judged") return `Not judged${why === null ? "" : `: ${why.split(" ").map((code) => whyWords(code, name)).join("; ")}`}`;
  const edge = why === "low" ? low : why === "high" ? high : null;
  return `Fail: ${failWords(name, why ?? "", edge === null ? null : value - edge, units)}`;
}

/** What a whole test comes to. */
export function testWords(verdict: Verdict, items: readonly BenchItem[]): string {
  const failed = items.filter(({ judgement }) => judgement.verdict === "fail").length;
  const open = items.filter(({ judgement, needed }) => needed && judgement.verdict === "not-judged").length;
  switch (verdict) {
    case "pass":
      return "Everything that has to be read is read, and is within its limits.";
    case "fail":
      return `${countText(failed, "reading fails", "readings fail")}.${open === 0 ? "" : ` ${countText(open, "more is", "more are")} not judged.`}`;
    case "not-judged":
      return `${countText(open, "reading is", "readings are")} still wanted for a verdict.`;
  }
}

/** "Primary second stage AB123: cracking effort: not read yet.": each line that stands between the test and its verdict. */
export function wantedWords(items: readonly BenchItem[], nameOf: (component: string) => string): string[] {
  return items
    .filter(({ judgement, needed }) => needed && judgement.verdict === "not-judged")
    .map(({ component, name, zone, judgement }) => {
      const why = judgement.verdict === "not-judged" ? judgement.why.map((code) => whyWords(code, name)).join("; ") : "";
      return `${nameOf(component)}, ${readingWords(name, zone).toLowerCase()}: ${why}.`;
    });
}

/** "First stage FI000012". */
export const partTitle = (role: Role | null, serial: string | null): string => `${role === null ? "Component" : positionWords(role)} ${serial ?? "(unmarked)"}`;

// ── Test gauges ──

export interface GaugeOnBench {
  readonly name: string;
  readonly measures: Quantity;
  readonly spanLow: number;
  readonly spanHigh: number;
  readonly classTenths: number;
  readonly errorThousandths: number;
  readonly resolutionThousandths: number;
  readonly calibration: CalibrationState;
  readonly calibratedUntil: string | null;
}

/** "Class 2.5, 0.00 bar to 25.00 bar: it may be 0.63 bar off." The error is rounded up. */
export function gaugeErrorWords(gauge: GaugeOnBench, units: Units): string {
  const span = `${figureText(gauge.spanLow, gauge.measures, units)} to ${figureText(gauge.spanHigh, gauge.measures, units)}`;
  return `Class ${gauge.classTenths / 10}, ${span}: it may be ${figureText(Math.ceil(gauge.errorThousandths / 1000), gauge.measures, units)} off.`;
}

/** How its calibration stands, where that keeps it from judging or soon will. */
export function calibrationWords({ name, calibration, calibratedUntil }: GaugeOnBench): string | null {
  const until = calibratedUntil === null ? "" : ` (until ${dayText(calibratedUntil)})`;
  switch (calibration) {
    case "in-calibration":
      return null;
    case "due-soon":
      return `The calibration of ${name} ends soon${until}.`;
    case "out-of-date":
      return `${name} is out of calibration${until}. What is read on it is recorded, but not judged: the test cannot pass.`;
    case "not-yet":
    case "never":
      return `${name} has no calibration that counts today. What is read on it is recorded, but not judged: the test cannot pass.`;
  }
}

export const isOutOfCalibration = (gauge: GaugeOnBench): boolean => gauge.calibration !== "in-calibration" && gauge.calibration !== "due-soon";

/** What a gauge can prove of the limits it is used for, one sentence each. */
export function provesWords(gauge: GaugeOnBench, limits: readonly BenchLimit[], units: Units): string[] {
  const sentences = limits.flatMap((limit) => {
    const sentence = provesOne(gauge, limit, units);
    return sentence === null ? [] : [sentence];
  });
  const partly = sentences.some((sentence) => sentence.includes(" proves "));
  return [...new Set(sentences), ...(partly ? ["What lies nearer to a limit is not judged."] : [])];
}

function provesOne(gauge: GaugeOnBench, { name, low, high }: BenchLimit, units: Units): string | null {
  const quantity = quantityOf(name);
  const text = (small: number) => figureText(small, quantity, units);
  if (quantity !== gauge.measures || (low === null && high === null)) return null;
  if (name === "creep" || name === "supply-change") return `It shows a change of ${text(Math.ceil(gauge.resolutionThousandths / 1000))} and more.`;
  const signed = name === "gauge-error" || name === "gauge-error-low";
  const bottom = signed && low === null && high !== null ? -Math.abs(high) : low;
  const least = bottom === null ? null : Math.ceil((bottom * 1000 + gauge.errorThousandths) / 1000);
  const most = high === null ? null : Math.floor((high * 1000 - gauge.errorThousandths) / 1000);
  const range = limitText({ low: bottom, high }, quantity, units);
  if (least !== null && most !== null && least > most) {
    if (signed) return `It cannot prove an error ${range}.`;
    return `It can show a change; it cannot prove ${text(Math.round((bottom! + high!) / 2))} from ${text(high!)}.`;
  }
  if (most !== null && most < 0 && !signed) return `It can show a change; it cannot prove a figure of ${range}.`;
  const proven = limitText({ low: least, high: most }, quantity, units);
  return signed ? `It proves an error ${proven}, where ${range} is allowed.` : `Of ${range} it proves ${proven}.`;
}

// ── What is wrong with a figure as typed ──

/** Why an entry cannot be read, quoting it. */
export function entryWords(why: EntryRefusal, typed: string, quantity: Quantity, units: Units): string {
  const unit = unitOf(quantity, units);
  const said = `“${typed.trim().slice(0, 40)}”`;
  switch (why) {
    case "empty":
      return "enter a figure.";
    case "not-a-number":
      return `${said} is not a figure in ${unit}. Write it like ${quantity === "pressure" ? "9.5" : "3.1"}.`;
    case "decimal-mark-open":
      return `${said} could be thousands or a fraction. Write it with a point, or without the mark.`;
    case "other-unit":
      return `${said} names a unit of something else. This is entered in ${unit}.`;
    case "out-of-range":
      return `${said} ${unit} is more than anything on a bench shows.`;
  }
}
