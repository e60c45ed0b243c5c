/** A pasted curve in words: what was found in it, or what is wrong with it and where. */
import type { ColumnProblem, ColumnRefusal } from "@hangrail/rules/pressure-column";
import { MOST_POINTS } from "@hangrail/rules/pressure-column";
import type { FoundCurve, IncompleteCurve } from "@hangrail/rules/pressure-curve";
import { figureText } from "../../../../../bench-test-words.ts";
import { countText, numberText, secondsText, type Units } from "../../../../../format.ts";

/** What a curve shows, in plain sentences. */
export function curveWords(found: FoundCurve | IncompleteCurve, units: Units): string {
  const text = (small: number) => figureText(small, "pressure", units);
  if (found.answer === "found") {
    const change = found.creep >= 0 ? `creep of ${text(found.creep)}` : `fall of ${text(-found.creep)}`;
    const on = found.stillCreeping ? ` In the last minute it still rose, by ${text(found.lastMinuteRise)}.` : "";
    const several = found.lockUps > 1 ? ` It locked up ${countText(found.lockUps, "time")}; the five minutes with the most creep count.` : "";
    return `It locked up at ${text(found.lockUp)} and stood at ${text(found.afterFiveMinutes)} five minutes later: a ${change}.${on}${several}`;
  }
  switch (found.why) {
    case "no-points":
      return "There is no point in the curve.";
    case "not-in-order":
      return "The points are not in the order of time.";
    case "no-lock-up":
      return "The pressure never came up, or never stopped: no lock-up is found in it.";
    case "too-short":
      return `It locked up${found.lockUp === null ? "" : ` at ${text(found.lockUp)}`}, but the curve ends before the five minutes are over${found.secondsMissing === null ? "" : `: ${secondsText(found.secondsMissing)} are missing`}. Creep is not judged.`;
    case "too-sparse":
      return "There are too few points to know when it locked up, or what it did in between. One a second is plenty.";
  }
}

/** Why a pasted column cannot be read. */
export function columnWords(reason: ColumnRefusal): string {
  switch (reason.code) {
    case "no-points":
      return "there are no two columns of figures in it. Paste time and pressure.";
    case "too-long":
      return "it is too long to be one curve.";
    case "too-many-points":
      return `it has more than ${numberText(MOST_POINTS)} points. Paste the minutes around the test.`;
    case "too-many-headings":
      return "it begins with more than 50 lines without figures. Paste the figures alone.";
    case "unit-unknown":
      return "nothing in it says bar or psi. Choose the unit.";
    case "unit-unclear":
      return "it names both bar and psi, or another unit than was chosen. Choose “as it says”, or paste the figures alone.";
    case "time-unit":
      return `its times are in “${reason.unit}”. Paste them in seconds, or as minutes and seconds (5:00).`;
    case "decimal-mark-open":
      return "its commas could be thousands or decimals. Choose which.";
    case "bad-lines": {
      const lines = reason.problems.slice(0, 5).map(lineWords);
      const more = reason.problems.length + reason.more - lines.length;
      return `${lines.join(" ")}${more > 0 ? ` And ${countText(more, "more line", "more lines")}.` : ""}`;
    }
  }
}

function lineWords({ line, code, text }: ColumnProblem): string {
  return `Line ${numberText(line)} (“${text}”) ${problemWords(code)}.`;
}

function problemWords(code: ColumnProblem["code"]): string {
  switch (code) {
    case "not-two-figures":
      return "is not a time and a pressure";
    case "time-form":
      return "has a time that cannot be read";
    case "time-goes-back":
      return "goes back in time";
    case "pressure-form":
      return "has a pressure that cannot be read";
    case "pressure-out-of-range":
      return "has a pressure that no gauge of a bench shows";
    case "unit-differs":
      return "names another unit than the rest";
  }
}
