/** Survival to the first fault, and what a set costs. What the rules refuse has no number. */
import { equivalentAnnualCost } from "@hangrail/rules/annual-cost";
import { logRank } from "@hangrail/rules/log-rank";
import { economicLife, optimalReplacement } from "@hangrail/rules/replacement";
import { survivalOf } from "@hangrail/rules/survival";
import type { Spell } from "@hangrail/rules/survival";
import { fitWeibull } from "@hangrail/rules/weibull";
import { isRecord } from "../cases.ts";
import { answering, noNumber } from "./answering.ts";
import { list, number, numberOrNull, text } from "./reading.ts";
import type { Fields } from "./reading.ts";

export const kaplanMeier = answering((given) => {
  const form = text(given["ci"] ?? "log-log", "ci");
  if (form !== "log-log") throw new Error(`there is no band "${form}", only log-log`);
  const told = survivalOf(spells(given), confidence(given));
  if (told.answer === "refused") return noNumber(told.why);
  const column = (key: keyof (typeof told.steps)[number]) => told.steps.map((step) => step[key]);
  return {
    t: column("time"),
    nRisk: column("atRisk"),
    nEvent: column("faults"),
    surv: column("survival"),
    seGreenwood: column("standardError"),
    lower: column("lower"),
    upper: column("upper"),
    median: told.median,
    medianLower: told.medianLower,
    medianUpper: told.medianUpper,
    survAtEnd: told.survivalAtEnd,
  };
});

export const logRankOfGroups = answering((given, one) => {
  const names = list(given["group"], "group").map((name, index) => text(name, `group ${index + 1}`));
  const told = logRank(spells(given).map((spell, index) => ({ ...spell, group: text(names[index], `group ${index + 1}`) })));
  if (told.answer === "refused") return noNumber(told.why);
  // A case lists the groups in an order of its own.
  const listed = isRecord(one.expected) && Array.isArray(one.expected["groups"]) ? one.expected["groups"] : [];
  const groups = [...told.groups].sort((a, b) => listed.indexOf(a.group) - listed.indexOf(b.group));
  return {
    chisq: told.chiSquare,
    df: told.degrees,
    p: told.p,
    groups: groups.map(({ group }) => group),
    observed: groups.map(({ observed }) => observed),
    expected: groups.map(({ expected }) => expected),
  };
});

export const weibullMle = answering((given) => {
  const told = fitWeibull(spells(given), confidence(given));
  return told.answer === "refused" ? noNumber(told.why) : told;
});

export const annualCost = answering((given) => {
  const told = equivalentAnnualCost({
    capital: number(given["capital"], "capital"),
    salvage: number(given["salvage"] ?? 0, "salvage"),
    annualCosts: numbers(given["annualCosts"], "annualCosts"),
    rate: number(given["rate"], "rate"),
  });
  if (told.answer === "refused") return noNumber(told.why);
  const dives = numberOrNull(given["divesPerYear"], "divesPerYear");
  const { presentCost, annuityFactor, annualCost: eac } = told;
  if (dives === 0) return { ...noNumber("no-dives"), presentCost, annuityFactor, eac, costPerDive: null };
  return { presentCost, annuityFactor, eac, costPerDive: dives === null ? null : eac / dives };
});

export const lifeOfCosts = answering((given) => {
  const told = economicLife({
    capital: number(given["capital"], "capital"),
    salvageByYear: numbers(given["salvageByYear"], "salvageByYear"),
    costByYear: numbers(given["costByYear"], "costByYear"),
    rate: number(given["rate"], "rate"),
  });
  if (told.answer === "refused") return noNumber(told.why);
  return { eacByYear: told.annualCostByYear, economicLife: told.years, minEac: told.leastAnnualCost, atEdge: told.atEdge };
});

export const replacementAge = answering((given) => {
  const told = optimalReplacement({
    shape: number(given["shape"], "shape"),
    scale: number(given["scale"], "scale"),
    preventiveCost: number(given["preventiveCost"], "preventiveCost"),
    failureCost: number(given["failureCost"], "failureCost"),
  });
  return told.answer === "refused" ? noNumber(told.why) : told;
});

function spells(given: Fields): readonly Spell[] {
  const events = list(given["event"], "event");
  return numbers(given["time"], "time").map((time, index) => ({ time, fault: isFault(events[index], index) }));
}

function isFault(event: unknown, index: number): boolean {
  if (event === 1 || event === true) return true;
  if (event === 0 || event === false) return false;
  throw new Error(`event ${index + 1} must be 0 or 1, not ${JSON.stringify(event)}`);
}

function confidence(given: Fields): number {
  return number(given["conf"] ?? 0.95, "conf");
}

function numbers(value: unknown, what: string): readonly number[] {
  return list(value, what).map((one, index) => number(one, `${what}, number ${index + 1}`));
}
