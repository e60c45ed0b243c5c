/** The forecasts of use and the stock of kits. What the rules refuse has no number; the cases have several words for that. */
import { backtest } from "@hangrail/rules/backtest";
import type { Backtest } from "@hangrail/rules/backtest";
import { addDays } from "@hangrail/rules/calendar";
import { chanceOfAtLeast, predictCount } from "@hangrail/rules/count-prediction";
import { projectDates } from "@hangrail/rules/date-projection";
import { firstPassage } from "@hangrail/rules/first-passage";
import { scoreForecasts, skill } from "@hangrail/rules/forecast-scoring";
import { seasonClock } from "@hangrail/rules/season";
import { costOfAmount, costOfOrder, normalReorderPoint, orderAmountOnce, orderOnce, reorderPoint } from "@hangrail/rules/stock";
import { FORECAST_SETTINGS } from "@hangrail/rules/use-forecast";
import type { ReferenceCase } from "../cases.ts";
import { differences } from "../compare.ts";
import type { Adapter } from "./adapter.ts";
import { answering, noNumber } from "./answering.ts";
import { fields, list, number, numberOrNull, readDay, text } from "./reading.ts";
import type { Fields } from "./reading.ts";

/** Far enough for a date of any use, a hundred years. */
const HORIZON_DAYS = 36_525;

export const countPrediction = answering((given) => {
  const rate = rateOf(given);
  const ahead = number(given["horizonExposure"], "horizonExposure");
  const atLeast = numberOrNull(given["atLeast"], "atLeast");
  return { ...predictCount(rate, ahead, shares(given)), ...(atLeast === null ? {} : { pAtLeast: chanceOfAtLeast(atLeast, rate, ahead) }) };
});

export const passage = answering((given) => {
  const told = firstPassage(rateOf(given), number(given["remaining"], "remaining"), shares(given), dispersion(given));
  return told.answer === "refused" ? noNumber(told.why) : { times: told.exposures };
});

export const dateProjection = answering((given) => {
  const clock = seasonClock(numbers(given["monthIndex"], "monthIndex"), readDay(given["asOf"], "asOf"), HORIZON_DAYS, 1);
  const told = projectDates(rateOf(given), number(given["remaining"], "remaining"), shares(given), clock, dispersion(given));
  if (told.answer === "refused") return noNumber(told.why);
  return { dates: told.days, exposureNeeded: told.exposuresNeeded, alreadyReached: told.alreadyReached };
});

export const scoring = answering((given) => {
  const column = (key: string) => numbers(given[key], key);
  const [lower, middle, upper] = [column("lower"), column("median"), column("upper")];
  const forecasts = column("actual").map((actual, index) => ({
    actual,
    lower: at(lower, index, "lower"),
    middle: at(middle, index, "median"),
    upper: at(upper, index, "upper"),
  }));
  const alpha = number(given["alpha"], "alpha");
  const told = scoreForecasts(forecasts, alpha);
  if (told.answer === "refused") return noNumber(told.why);
  const { pinballMiddle, pinball, meanMiss } = told;
  const names = { ...told, pinballMedian: pinballMiddle, pinballMean: pinball, mae: meanMiss };
  if (given["baselineMedian"] === undefined) return names;
  const baseline = column("baselineMedian").map((said, index) => ({ actual: forecasts[index]!.actual, lower: said, middle: said, upper: said }));
  const scored = scoreForecasts(baseline, alpha);
  return { ...names, skill: scored.answer === "refused" ? null : skill(pinballMiddle, scored.pinballMiddle) };
});

export const reorder = answering((given) => {
  const lead = { days: number(given["leadDays"], "leadDays"), deviationDays: number(given["leadSd"] ?? 0, "leadSd") };
  const level = number(given["serviceLevel"], "serviceLevel");
  const meanPerDay = number(given["meanPerDay"], "meanPerDay");
  const dist = text(given["dist"], "dist");
  if (dist === "normal") {
    const told = normalReorderPoint({ meanPerDay, deviationPerDay: number(given["sdPerDay"], "sdPerDay") }, lead, level);
    return { ...told, sdLeadTime: told.deviation };
  }
  const told = reorderPoint({ meanPerDay, varianceToMean: varianceToMean(dist, given) }, lead, level, number(given["scheduled"] ?? 0, "scheduled"));
  return { ...told, pStockout: told.chanceOfStockout };
});

export const newsvendor = answering((given) => {
  const costs = { over: number(given["overCost"], "overCost"), short: number(given["shortCost"], "shortCost") };
  const mean = number(given["mean"], "mean");
  const dist = text(given["dist"], "dist");
  const evaluateAt = numberOrNull(given["evaluateAt"], "evaluateAt");
  if (dist === "normal") {
    const demand = { mean, deviation: number(given["sd"], "sd") };
    const told = orderAmountOnce(demand, costs);
    if (told.answer === "refused") return noNumber(told.why);
    return { ...told, ...(evaluateAt === null ? {} : { costAt: costOfAmount(demand, costs, evaluateAt) }) };
  }
  const demand = { mean, variance: mean * varianceToMean(dist, given) };
  const told = orderOnce(demand, costs);
  if (told.answer === "refused") return noNumber(told.why);
  return { ...told, ...(evaluateAt === null ? {} : { costAt: costOfOrder(demand, costs, evaluateAt) }) };
});

/**
 * The truths and the baselines are known numbers and are compared; the forecast has to reach its mark:
 * coverage within bounds, pinball loss at most so much, and less than that of each baseline named.
 */
export const pastForecasts: Adapter = {
  judge: (one) => {
    const expected = fields(one.expected, "expected");
    const pass = fields(one.tolerance["pass"], "tolerance.pass");
    const told = askThePast(one);
    const scores = {
      lifetimeMean: summary(told.scores.lifetimeMean),
      last28: summary(told.scores.lastFourWeeks),
      sameSeasonLastYear: summary(told.scores.sameDaysLastYear),
    };
    const known = fields(expected["scores"], "expected.scores");
    const found = differences(
      { actualDays: told.marked.map(({ actual }) => actual), scores },
      { actualDays: expected["actualDays"], scores: Object.fromEntries(Object.entries(known).filter(([name]) => name in scores)) },
      { default: { abs: 1e-4 } },
    );
    const { coverage, pinball } = told.scores.forecast;
    const bound = (key: string) => number(pass[key], key);
    if (coverage < bound("coverageMin")) found.push(`coverage ${coverage} is below ${bound("coverageMin")}`);
    if (coverage > bound("coverageMax")) found.push(`coverage ${coverage} is above ${bound("coverageMax")}`);
    if (pinball > bound("pinballMax")) found.push(`pinball loss ${pinball} is above ${bound("pinballMax")}`);
    for (const name of list(pass["mustBeat"] ?? [], "mustBeat")) {
      const other = fields(known[text(name, "mustBeat")], `scores.${String(name)}`);
      const theirs = number(other["pinball"], "pinball");
      if (pinball >= theirs) found.push(`pinball loss ${pinball} is not below the ${theirs} of ${String(name)}`);
    }
    return found;
  },
};

function askThePast(one: ReferenceCase): Backtest {
  const given = fields(one.input, "input");
  const expected = fields(one.expected, "expected");
  const first = readDay(given["firstDay"], "firstDay");
  const components = list(given["daily"], "daily").map((row) => ({
    kind: "set",
    history: {
      since: first,
      uses: text(row, "daily")
        .split(" ")
        .map((dives, index) => ({ on: addDays(first, index), dives: Number(dives), minutes: 0 }))
        .filter(({ dives }) => dives > 0),
    },
  }));
  const questions = list(given["tasks"], "tasks").map((value) => {
    const task = fields(value, "task");
    return { component: number(task["set"], "set"), asOf: readDay(task["asOf"], "asOf"), remaining: number(task["remaining"], "remaining") };
  });
  const [low, , high] = numbers(expected["quantiles"], "quantiles");
  if (low === undefined || high === undefined) throw new Error("quantiles must be three");
  const settings = { ...FORECAST_SETTINGS, share: high - low, horizonDays: number(expected["capDays"], "capDays") };
  const told = backtest(components, questions, settings, readDay(given["lastDay"], "lastDay"));
  if (told.answer === "refused") throw new Error(told.why);
  return told;
}

function summary({ coverage, pinball, medianMiss, meanMiss, meanWidth }: Backtest["scores"]["forecast"]) {
  return { coverage, pinball, medianAE: medianMiss, MAE: meanMiss, width: meanWidth };
}

function rateOf(given: Fields) {
  return { shape: number(given["shape"], "shape"), exposure: number(given["rate"], "rate") };
}

function dispersion(given: Fields): number {
  return number(given["phi"] ?? given["dispersion"] ?? 1, "phi");
}

function shares(given: Fields): readonly number[] {
  return numbers(given["probs"], "probs");
}

function varianceToMean(dist: string, given: Fields): number {
  if (dist === "poisson") return 1;
  if (dist === "nbinom") return number(given["varianceToMean"], "varianceToMean");
  throw new Error(`there is no distribution "${dist}"`);
}

function numbers(value: unknown, what: string): readonly number[] {
  return list(value, what).map((one, index) => number(one, `${what}, number ${index + 1}`));
}

function at(values: readonly number[], index: number, what: string): number {
  return number(values[index], `${what}, number ${index + 1}`);
}
