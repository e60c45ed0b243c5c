/**
 * The gauges of the bench: how far one may be off, and whether its calibration stands on a day.
 *
 * Source: EN 837-1: the accuracy class is the greatest error in percent of the span. 0 to 25 bar of
 * class 2.5 may be 0.625 bar off; it can show that a needle moves, and cannot tell 9.5 bar from 10.0.
 */
import { addDays } from "./calendar.ts";
import type { Day } from "./calendar.ts";

export interface TestGauge {
  readonly id: string;
  readonly measures: "pressure" | "effort";
  /** Hundredths of a bar, or of a millibar where it measures efforts. */
  readonly spanLow: number;
  readonly spanHigh: number;
  /** Tenths of a percent of the span: class 2.5 = 25. Class 0.25 has to be entered as the coarser 0.3. */
  readonly classTenths: number;
  /** The finest step its display or log shows, in the small unit; without it a part of its class is taken. */
  readonly resolution?: number | null;
  /** `null` = never calibrated, or nobody knows when. */
  readonly calibratedOn: Day | null;
  /** The last day the calibration stands. */
  readonly calibratedUntil: Day | null;
}

/**
 * The greatest error of a gauge, in thousandths of the small unit, so that it is a whole number:
 * class 2.5 over 0 to 2 500 hundredths of a bar = 62 500 thousandths of a hundredth = 0.625 bar.
 *
 * Errors: a RangeError when the gauge makes no sense (`judgeGauge` says why on entry).
 */
export function classErrorThousandths(gauge: TestGauge): number {
  const [problem] = judgeGauge(gauge);
  if (problem !== undefined) throw new RangeError(`The test gauge ${gauge.id} makes no sense: ${problem}.`);
  return (gauge.spanHigh - gauge.spanLow) * gauge.classTenths;
}

/** The greatest error in the small unit, for showing: 62.5 hundredths of a bar. */
export function classErrorOf(gauge: TestGauge): number {
  return classErrorThousandths(gauge) / 1000;
}

/**
 * How finely a change can be read on a gauge, in thousandths of the small unit: its recorded
 * resolution, else a fifth of its class error.
 *
 * A change of one needle is not judged by the class: what the gauge is off at one moment it is off at
 * the next. The fifth is a choice: dials are divided about as finely as their class and are read to a
 * fifth of a division (common practice).
 */
export function resolutionThousandths(gauge: TestGauge): number {
  const { resolution } = gauge;
  if (resolution !== undefined && resolution !== null) return resolution * 1000;
  return Math.ceil(classErrorThousandths(gauge) / 5);
}

export type GaugeProblem = "span" | "class" | "resolution" | "calibration-ends-before-it-begins";

/** What makes no sense of a gauge as entered; an empty list means it may be used. */
export function judgeGauge(gauge: TestGauge): readonly GaugeProblem[] {
  const problems: GaugeProblem[] = [];
  const { spanLow, spanHigh, classTenths, resolution, calibratedOn, calibratedUntil } = gauge;
  if (!(inReason(spanLow) && inReason(spanHigh) && spanLow < spanHigh)) problems.push("span");
  if (!(Number.isSafeInteger(classTenths) && classTenths >= 1 && classTenths <= 100)) problems.push("class");
  const fine = resolution === undefined || resolution === null || (Number.isSafeInteger(resolution) && resolution >= 1);
  if (!fine) problems.push("resolution");
  if (calibratedOn !== null && calibratedUntil !== null && !(calibratedOn <= calibratedUntil)) {
    problems.push("calibration-ends-before-it-begins");
  }
  return problems;
}

const inReason = (n: number): boolean => Number.isSafeInteger(n) && Math.abs(n) <= 1_000_000;

export type CalibrationState = "in-calibration" | "due-soon" | "out-of-date" | "not-yet" | "never";

/**
 * How a gauge's calibration stands on a day; its last day still counts. "due-soon" is in calibration
 * too, and ends within so many days; "not-yet" = on that day it had not been calibrated.
 */
export function calibrationOn(gauge: Pick<TestGauge, "calibratedOn" | "calibratedUntil">, on: Day, soonDays = 30): CalibrationState {
  const { calibratedOn, calibratedUntil } = gauge;
  if (calibratedOn === null || calibratedUntil === null) return "never";
  if (!(calibratedOn <= on)) return "not-yet";
  if (!(on <= calibratedUntil)) return "out-of-date";
  return calibratedUntil <= addDays(on, soonDays) ? "due-soon" : "in-calibration";
}

/** Whether readings of this gauge may be judged on a day. */
export function isInCalibration(gauge: Pick<TestGauge, "calibratedOn" | "calibratedUntil">, on: Day): boolean {
  const state = calibrationOn(gauge, on);
  return state === "in-calibration" || state === "due-soon";
}
