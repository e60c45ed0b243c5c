/** The figures on faults. What the rules refuse has no number; the cases have several words for that. */
import { poissonCusum } from "@hangrail/rules/cusum";
import { cusumRunLength } from "@hangrail/rules/cusum-run-length";
import * as distributions from "@hangrail/rules/distributions";
import { rateInterval, rateLimit, rateRatio } from "@hangrail/rules/fault-rates";
import type { Observed } from "@hangrail/rules/fault-rates";
import { benjaminiHochberg } from "@hangrail/rules/multiple-comparisons";
import { exposureToTell, unitsToTell } from "@hangrail/rules/sample-size";
import { shrinkRates } from "@hangrail/rules/shrinkage";
import { trendTest } from "@hangrail/rules/trend-test";
import { uChart } from "@hangrail/rules/u-chart";
import { answering, noNumber } from "./answering.ts";
import { fields, list, number, numberOrNull, text } from "./reading.ts";
import type { Fields } from "./reading.ts";

/** The names and the order of arguments that R gives the same functions. */
const DISTRIBUTIONS: Readonly<Record<string, (arg: (name: string, otherwise?: number) => number) => number>> = {
  dnorm: (arg) => distributions.normalDensity((arg("x") - arg("mean", 0)) / arg("sd", 1)) / arg("sd", 1),
  pnorm: (arg) => distributions.normalCdf((arg("q") - arg("mean", 0)) / arg("sd", 1)),
  qnorm: (arg) => arg("mean", 0) + arg("sd", 1) * distributions.normalQuantile(arg("p")),
  dgamma: (arg) => distributions.gammaDensity(arg("x"), arg("shape"), arg("rate", 1)),
  pgamma: (arg) => distributions.gammaCdf(arg("q"), arg("shape"), arg("rate", 1)),
  qgamma: (arg) => distributions.gammaQuantile(arg("p"), arg("shape"), arg("rate", 1)),
  dchisq: (arg) => distributions.chiSquareDensity(arg("x"), arg("df")),
  pchisq: (arg) => distributions.chiSquareCdf(arg("q"), arg("df")),
  qchisq: (arg) => distributions.chiSquareQuantile(arg("p"), arg("df")),
  dbeta: (arg) => distributions.betaDensity(arg("x"), arg("shape1"), arg("shape2")),
  pbeta: (arg) => distributions.betaCdf(arg("q"), arg("shape1"), arg("shape2")),
  qbeta: (arg) => distributions.betaQuantile(arg("p"), arg("shape1"), arg("shape2")),
  dpois: (arg) => distributions.poissonMass(arg("x"), arg("lambda")),
  ppois: (arg) => distributions.poissonCdf(arg("q"), arg("lambda")),
  qpois: (arg) => distributions.poissonQuantile(arg("p"), arg("lambda")),
  dbinom: (arg) => distributions.binomialMass(arg("x"), arg("size"), arg("prob")),
  pbinom: (arg) => distributions.binomialCdf(arg("q"), arg("size"), arg("prob")),
  qbinom: (arg) => distributions.binomialQuantile(arg("p"), arg("size"), arg("prob")),
  dnbinom: (arg) => distributions.negativeBinomialMass(arg("x"), arg("size"), arg("prob")),
  pnbinom: (arg) => distributions.negativeBinomialCdf(arg("q"), arg("size"), arg("prob")),
  qnbinom: (arg) => distributions.negativeBinomialQuantile(arg("p"), arg("size"), arg("prob")),
};

export const distribution = answering((given) => {
  const name = text(given["fn"], "fn");
  const called = DISTRIBUTIONS[name];
  if (called === undefined) throw new Error(`there is no distribution function "${name}"`);
  const args = fields(given["args"], "args");
  return { value: called((key, otherwise) => number(args[key] ?? otherwise, key)) };
});

export const interval = answering((given) => {
  const seen = observed(given["events"], given["exposure"]);
  const settings = { per: per(given), confidence: confidence(given) };
  const sided = text(given["sided"] ?? "two", "sided");
  if (sided === "two") {
    const told = rateInterval(seen, settings);
    return told.answer === "refused" ? noNumber(told.why) : told;
  }
  if (sided !== "lower" && sided !== "upper") throw new Error(`there is no interval "${sided}"`);
  const told = rateLimit(seen, settings, sided);
  if (told.answer === "refused") return noNumber(told.why);
  return { rate: told.rate, lower: sided === "lower" ? told.limit : 0, upper: sided === "upper" ? told.limit : "Infinity" };
});

export const ratio = answering((given) => {
  const told = rateRatio(observed(given["events1"], given["exposure1"]), observed(given["events2"], given["exposure2"]), confidence(given));
  if (told.answer === "refused") return { ...noNumber(told.why), ...("p" in told ? told.p : {}) };
  const { p, lower } = told;
  return { ratio: told.ratio ?? "Infinity", lower, upper: told.upper ?? "Infinity", ...p };
});

export const gammaPoisson = answering((given) => {
  const told = shrinkRates(series(given["events"], given["exposures"]), { per: per(given), confidence: confidence(given) });
  if (told.answer === "refused") return noNumber(told.why);
  const column = (key: "rawRate" | "rate" | "lower" | "upper") => told.groups.map((one) => one[key]);
  const common = { pooledRate: told.pooledRate, rawRate: column("rawRate"), shrunken: column("rate"), rankWorstFirst: told.rankWorstFirst };
  if (told.answer === "pooled") return { ...noNumber(told.why), ...common, pooledLower: told.lower, pooledUpper: told.upper };
  const { alpha, beta, priorMean, logLik, pooledLogLik } = told;
  return { ...common, alpha, beta, priorMean, logLik, pooledLogLik, lower: column("lower"), upper: column("upper") };
});

export const falseDiscovery = answering((given) => benjaminiHochberg(numbers(given["p"], "p"), number(given["q"], "q")));

export const uChartOfMonths = answering((given) => {
  const settings = { per: per(given), sigma: number(given["sigma"] ?? 3, "sigma"), alpha: number(given["alpha"] ?? 0.0027, "alpha") };
  const told = uChart(series(given["counts"], given["exposures"]), settings);
  if (told.answer === "refused") return noNumber(told.why);
  const { points } = told;
  const where = (holds: (point: (typeof points)[number]) => boolean) => points.flatMap((point, index) => (holds(point) ? [index] : []));
  return {
    uBar: told.meanRate,
    rate: points.map((point) => point && point.rate),
    ucl: points.map((point) => point && point.upperLimit),
    lcl: points.map((point) => point && point.lowerLimit),
    probUpperCount: points.map((point) => point && point.mostExpected),
    probLowerCount: points.map((point) => point && point.leastExpected),
    signalSigma: where((point) => point?.signalSigma === true),
    signalProb: where((point) => point !== null && point.signal !== null),
    skipped: where((point) => point === null),
  };
});

export const cusum = answering((given) => {
  const shift = { from: number(given["lambda0"], "lambda0"), to: number(given["lambda1"], "lambda1") };
  const told = poissonCusum(series(given["counts"], given["exposures"]), { shift, per: per(given), h: number(given["h"], "h") });
  return told.answer === "refused" ? noNumber(told.why) : told;
});

export const cusumArl = answering((given) => {
  // A sum that must pass the limit, rather than reach it, meets a limit a hair higher.
  const hair = given["signal"] === "S>h" ? 1e-6 : 0;
  const told = cusumRunLength([{ mean: number(given["theta"], "theta"), allowance: number(given["k"], "k") }], number(given["h"], "h") + hair);
  return told.answer === "refused" ? noNumber(told.why) : { arl: told.arl, firArl: told.headStartArl };
});

export const trend = answering((given) => {
  const toFault = given["truncation"] === "failure";
  const ends = toFault ? [] : numbers(given["observedTo"], "observedTo");
  const systems = list(given["systems"], "systems").map((events, index) => ({
    events: numbers(events, `system ${index + 1}`),
    until: toFault ? null : number(ends[index], `the end of system ${index + 1}`),
  }));
  const told = trendTest(systems, number(given["conf"] ?? 0.95, "conf"));
  return told.answer === "refused" ? noNumber(told.why) : told;
});

export const sampleSize = answering((given) => {
  const certainty = { alpha: number(given["alpha"], "alpha"), power: number(given["power"], "power") };
  if (given["mean1"] !== undefined) {
    const told = unitsToTell(number(given["mean1"], "mean1"), number(given["mean2"], "mean2"), certainty);
    return told.answer === "refused" ? noNumber(told.why) : told;
  }
  const told = exposureToTell({
    ...certainty,
    baseRate: number(given["baseRatePer100"], "baseRatePer100"),
    per: 100,
    ratio: number(given["ratio"], "ratio"),
    allocation: numberOrNull(given["allocation"], "allocation") ?? 1,
  });
  if (told.answer === "refused") return noNumber(told.why);
  const { root, logarithm, powerAtRoot, exact, expectedEvents } = told;
  return { exposureSqrt: root, exposureLog: logarithm, powerAtSqrt: powerAtRoot, exactExposure: exact, expectedEvents };
});

function per(given: Fields): number {
  return number(given["per"] ?? 1, "per");
}

function confidence(given: Fields): number {
  return number(given["conf"] ?? 0.95, "conf");
}

function observed(events: unknown, exposure: unknown): Observed {
  return { events: number(events, "events"), exposure: number(exposure, "exposure") };
}

function series(events: unknown, exposures: unknown): readonly Observed[] {
  const [counted, within] = [list(events, "events"), list(exposures, "exposures")];
  if (counted.length !== within.length) throw new RangeError(`${counted.length} counts in ${within.length} exposures: each count wants its own.`);
  return counted.map((one, index) => observed(one, within[index]));
}

function numbers(value: unknown, what: string): readonly number[] {
  return list(value, what).map((one, index) => number(one, `${what}, number ${index + 1}`));
}
