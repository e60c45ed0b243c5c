/** Which rule answers which method. A method that is not here is a failure, and is named. */
import type { Adapter } from "./adapter.ts";
import { calendar } from "./calendar.ts";
import { countPrediction, dateProjection, newsvendor, passage, pastForecasts, reorder, scoring } from "./forecasts.ts";
import { due, handOut } from "./gate.ts";
import { milpClassic, servicePlan } from "./planning.ts";
import { cusum, cusumArl, distribution, falseDiscovery, gammaPoisson, interval, ratio, sampleSize, trend, uChartOfMonths } from "./statistics.ts";
import { annualCost, kaplanMeier, lifeOfCosts, logRankOfGroups, replacementAge, weibullMle } from "./survival-and-costs.ts";

export const ADAPTERS: ReadonlyMap<string, Adapter> = new Map<string, Adapter>([
  ["calendar", calendar],
  ["due", due],
  ["hand-out", handOut],
  ["service-plan", servicePlan],
  ["milp-classic", milpClassic],
  ["distributions", distribution],
  ["rate-interval", interval],
  ["rate-ratio", ratio],
  ["eb-gamma-poisson", gammaPoisson],
  ["benjamini-hochberg", falseDiscovery],
  ["u-chart", uChartOfMonths],
  ["poisson-cusum", cusum],
  ["poisson-cusum-arl", cusumArl],
  ["trend-test", trend],
  ["sample-size", sampleSize],
  ["kaplan-meier", kaplanMeier],
  ["log-rank", logRankOfGroups],
  ["weibull-mle", weibullMle],
  ["equivalent-annual-cost", annualCost],
  ["economic-life", lifeOfCosts],
  ["optimal-replacement", replacementAge],
  ["count-prediction", countPrediction],
  ["first-passage", passage],
  ["date-projection", dateProjection],
  ["forecast-scoring", scoring],
  ["backtest", pastForecasts],
  ["reorder-point", reorder],
  ["newsvendor", newsvendor],
]);
