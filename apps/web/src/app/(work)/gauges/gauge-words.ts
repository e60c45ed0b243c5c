/** Test gauges as text and as typed: how far one may be off, and how its calibration stands. */
import type { CalibrationState } from "@hangrail/rules/test-gauges";
import { readEffort, readPressure } from "@hangrail/rules/units";
import type { IconName } from "../../../components/icon.tsx";
import { effortUnit, pressureUnit } from "../../../bench-test-words.ts";
import { dayText, effortText, pressureText, type Units } from "../../../format.ts";
import type { Outputs } from "../../../trpc/types.ts";

export type Gauge = Outputs["gauges"]["list"]["gauges"][number];
export type Measures = Gauge["measures"];

/** How a calibration stands today, as a word and a shape. */
export function calibrationLook(state: CalibrationState): { word: string; icon: IconName } {
  switch (state) {
    case "in-calibration":
      return { word: "In calibration", icon: "tick" };
    case "due-soon":
      return { word: "Due soon", icon: "clock" };
    case "out-of-date":
      return { word: "Out of date", icon: "octagon" };
    case "not-yet":
    case "never":
      return { word: "Not calibrated", icon: "octagon" };
  }
}

export function calibrationText({ calibration, calibratedUntil }: Pick<Gauge, "calibration" | "calibratedUntil">): string {
  const until = calibratedUntil === null ? null : dayText(calibratedUntil);
  switch (calibration) {
    case "in-calibration":
      return `Its calibration stands until ${until}.`;
    case "due-soon":
      return `Its calibration ends on ${until}: send it off.`;
    case "out-of-date":
      return `Its calibration ended on ${until}: no reading of it passes a test.`;
    case "not-yet":
    case "never":
      return "No calibration is noted: no reading of it passes a test.";
  }
}

/** 9.5 and 10.0 bar, the two that have to be told apart most often, are this far from each other. */
const HALF_A_BAR = 50_000;

/** How far a gauge may be off by its class, and what that means at the bench. */
export function classText({ measures, errorThousandths, classTenths }: Pick<Gauge, "measures" | "errorThousandths" | "classTenths">, units: Units): string {
  const named = `Class ${classTenths / 10}`;
  if (errorThousandths === null) return `${named}: its scale makes no sense, so no reading of it is judged.`;
  if (measures === "effort") return `${named}: may be off by ${exactText(errorThousandths, "mbar")} either way.`;
  const off = `${named}: may be off by ${exactText(errorThousandths, "bar")}${units === "metric" ? "" : ` (${pressureText(Math.ceil(errorThousandths / 1000), units)})`} either way`;
  return errorThousandths >= HALF_A_BAR ? `${off}. It can show a change; it cannot prove 9.5 from 10.0 bar.` : `${off}. It tells 9.5 from 10.0 bar.`;
}

/** Thousandths of a hundredth as a decimal with no digit too few: 62 500 as "0.625 bar". */
function exactText(thousandths: number, unit: string): string {
  return `${Number((thousandths / 100_000).toFixed(5))} ${unit}`;
}

export function spanText({ measures, spanLow, spanHigh }: Pick<Gauge, "measures" | "spanLow" | "spanHigh">, units: Units): string {
  const text = (small: number) => (measures === "pressure" ? pressureText(small, units) : effortText(small, units));
  return `${text(spanLow)} to ${text(spanHigh)}`;
}

export function spanUnit(measures: Measures, units: Units): string {
  return measures === "pressure" ? pressureUnit(units) : effortUnit(units);
}

/** An end of the scale as typed, in small units; or what is wrong with it. */
export function readSpan(text: string, measures: Measures, units: Units): number | { problem: string } {
  const entry = measures === "pressure" ? readPressure(text, pressureUnit(units)) : readEffort(text, effortUnit(units));
  return entry.entry === "value" ? entry.value : { problem: `a figure in ${spanUnit(measures, units)} is needed.` };
}

/** The class as it stands on the dial, in tenths. */
export function readClass(text: string): number | { problem: string } {
  const match = /^(\d{1,2})(?:[.,](\d+))?$/.exec(text.trim());
  const problem = { problem: "a class such as 1 or 2.5 is needed, from 0.1 to 10." };
  if (match === null) return problem;
  const decimals = match[2] ?? "";
  // A finer class than can be kept is kept as the next coarser one: never as better than it is.
  const tenths = Number(match[1]) * 10 + Math.ceil(Number(`0.${decimals || "0"}`) * 10 - 1e-9);
  return tenths >= 1 && tenths <= 100 ? tenths : problem;
}
