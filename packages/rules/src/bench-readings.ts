/**
 * The readings of a bench test, and the judgement of each by itself.
 *
 * A reading passes only when its gauge can prove it: the value ± the gauge's class error must lie
 * inside the limit. A change seen on one gauge (creep, the change between two supplies) is judged with
 * the gauge's resolution instead. Every reason why a reading cannot be judged is named at once.
 */
import { limitNamed, standingOf } from "./bench-limits.ts";
import type { BenchLimit, Edges } from "./bench-limits.ts";
import type { Day } from "./calendar.ts";
import type { Centibar } from "./measures.ts";
import type { Role } from "./models.ts";
import { classErrorThousandths, isInCalibration, judgeGauge, resolutionThousandths } from "./test-gauges.ts";
import type { TestGauge } from "./test-gauges.ts";

export const READING_NAMES = [
  /** Where the needle locks up at that supply. */
  "intermediate-pressure",
  /** Rise over five minutes after lock-up. */
  "creep",
  /** Fall while the purge is held. */
  "drop-at-purge",
  "cracking-effort",
  "exhalation-effort",
  /** 1 = with its inlet shut it holds a gentle breath in, 0 = it does not. */
  "vacuum-held",
  /** 1 = bubbles under water, 0 = none. */
  "immersion-leak",
  /** What a gauge shows without pressure. */
  "gauge-zero",
  /** What a gauge shows less what the master shows; the master is the reading's test gauge. */
  "gauge-error",
] as const;
export type ReadingName = (typeof READING_NAMES)[number];

export type Adjuster = "in" | "middle" | "out" | "none";
export type Venturi = "dive" | "pre-dive" | "none";

export interface BenchReading {
  readonly component: string;
  readonly name: ReadingName;
  /** Pressure in the cylinder; `null` = not written down, or nothing to do with it. */
  readonly supplyCbar: Centibar | null;
  /** Whole hundredths of a bar or of a millibar; 1 or 0 for yes or no. */
  readonly value: number;
  /** For "gauge-error": what the master showed. */
  readonly at: Centibar | null;
  /** The test gauge it was read on. */
  readonly gauge: string | null;
  readonly adjuster: Adjuster;
  readonly venturi: Venturi;
}

/** How the intermediate pressure of a first stage goes with its supply. */
export type Balance = "balanced" | "unbalanced-piston" | "unbalanced-diaphragm";

/** A component on the bench, in its place in the set. */
export interface BenchPart {
  readonly component: string;
  readonly role: Role;
  /** The limits in force for its model. */
  readonly limits: readonly BenchLimit[];
  /** First stages; `null` = not recorded. */
  readonly balance: Balance | null;
}

export type WhyNotJudged =
  | "missing"
  | "unreadable"
  | "unknown-part"
  | "wrong-part"
  | "no-limit"
  | "no-gauge"
  | "wrong-gauge"
  | "outside-span"
  | "out-of-calibration"
  | "gauge-cannot-tell"
  | "supply-unknown"
  /** "gauge-error" without what the master showed. */
  | "master-unknown"
  | "one-supply-only"
  | "design-unknown"
  /** The adjuster was not turned out, or the lever not at "dive". */
  | "adjuster-position"
  | "venturi-position"
  /** What should creep up went down: the supply was shut, or it leaks. */
  | "fell";

export type Judgement =
  | { readonly verdict: "pass" }
  /** Past an edge by so much; against the design's way; or a plain "no". */
  | { readonly verdict: "fail"; readonly edge: "low" | "high" | "direction" | "answer"; readonly by: number | null }
  | { readonly verdict: "not-judged"; readonly why: readonly [WhyNotJudged, ...WhyNotJudged[]] };

export type Zone = "low" | "middle" | "high";

/** A low supply is about 50 bar (EN 250:2014, 6.7.1 tests there too), hundredths of a bar. */
const LOW_SUPPLY = [3000, 7000] as const;
/** A high supply is a cylinder still well filled; common practice is 200 bar, and a choice from 150 bar on. */
const HIGH_SUPPLY = 15_000;

/** Whether a supply counts as high or low; `null` = it is neither. */
export function supplyZone(supply: Centibar | null): "low" | "high" | null {
  if (supply === null) return null;
  if (supply >= HIGH_SUPPLY) return "high";
  return supply >= LOW_SUPPLY[0] && supply <= LOW_SUPPLY[1] ? "low" : null;
}

/** Which part of its scale a gauge was compared in; up to 70 bar the limit for the low end counts. */
export function masterZone(at: Centibar | null): Zone | null {
  if (at === null || !(at > 0)) return null;
  if (at <= LOW_SUPPLY[1]) return "low";
  return at >= HIGH_SUPPLY ? "high" : "middle";
}

const SECOND_STAGE: readonly ReadingName[] = ["cracking-effort", "exhalation-effort", "vacuum-held", "immersion-leak"];
const READINGS_OF: Readonly<Record<Role, readonly ReadingName[]>> = {
  "first-stage": ["intermediate-pressure", "creep", "drop-at-purge", "immersion-leak"],
  primary: SECOND_STAGE,
  alternate: SECOND_STAGE,
  gauge: ["gauge-zero", "gauge-error", "immersion-leak"],
  "inflator-hose": ["immersion-leak"],
  hose: ["immersion-leak"],
  transmitter: ["immersion-leak"],
};

/** What may be read of a component in a position. */
export function readingsOf(role: Role): readonly ReadingName[] {
  return READINGS_OF[role];
}

/** A reading's judgement, and the edges it was judged by. */
export interface Judged {
  readonly judgement: Judgement;
  readonly limit: Edges | null;
}

/**
 * Judges one reading of a component. `part` is `null` for a component that is not on the bench.
 *
 * Errors: none; whatever stands against judging it is in the answer.
 */
export function judgeReading(reading: BenchReading, part: BenchPart | null, gauges: readonly TestGauge[], on: Day): Judged {
  if (part === null) return notJudged(["unknown-part"]);
  if (!READINGS_OF[part.role].includes(reading.name)) return notJudged(["wrong-part"]);
  if (!(Number.isSafeInteger(reading.value) && Math.abs(reading.value) <= 1_000_000)) return notJudged(["unreadable"]);
  switch (reading.name) {
    case "vacuum-held":
      return yesOrNo(reading.value, 1);
    case "immersion-leak":
      return yesOrNo(reading.value, 0);
    case "gauge-zero":
      return { judgement: zeroOnZero(reading.value), limit: { low: 0, high: 0 } };
    case "drop-at-purge":
      return notJudged(["no-limit"]);
    default:
      return judgeMeasured(reading, reading.name, part, gauges, on);
  }
}

const notJudged = (why: readonly [WhyNotJudged, ...WhyNotJudged[]], limit: Edges | null = null): Judged => ({
  judgement: { verdict: "not-judged", why },
  limit,
});

function yesOrNo(value: number, wanted: 0 | 1): Judged {
  if (value !== 0 && value !== 1) return notJudged(["unreadable"]);
  return { judgement: value === wanted ? { verdict: "pass" } : { verdict: "fail", edge: "answer", by: null }, limit: null };
}

/** A needle at rest sits on its zero, whatever the gauge may be off elsewhere (common practice). */
function zeroOnZero(value: number): Judgement {
  return value === 0 ? { verdict: "pass" } : { verdict: "fail", edge: value > 0 ? "high" : "low", by: Math.abs(value) };
}

type Measured = "intermediate-pressure" | "creep" | "cracking-effort" | "exhalation-effort" | "gauge-error";

function judgeMeasured(reading: BenchReading, name: Measured, part: BenchPart, gauges: readonly TestGauge[], on: Day): Judged {
  const limit = edgesFor(reading, name, part);
  const why: WhyNotJudged[] = [];
  if (limit === null) why.push("no-limit");
  if (name === "intermediate-pressure" && reading.supplyCbar === null) why.push("supply-unknown");
  if (name === "gauge-error" && masterZone(reading.at) === null) why.push("master-unknown");
  if (name === "cracking-effort") why.push(...outOfPosition(reading));
  const gauge = gauges.find(({ id }) => id === reading.gauge);
  const shown = name === "creep" ? null : name === "gauge-error" ? reading.at : reading.value;
  why.push(...gaugeReasons(gauge, name === "cracking-effort" || name === "exhalation-effort" ? "effort" : "pressure", shown, on));
  const [first, ...others] = why;
  if (limit === null || gauge === undefined || first !== undefined) return notJudged([first ?? "no-gauge", ...others], limit);
  const error = name === "creep" ? resolutionThousandths(gauge) : classErrorThousandths(gauge);
  if (name === "creep" && reading.value * 1000 < -error) return notJudged(["fell"], limit);
  return { judgement: judgeStanding(reading.value, error, limit), limit };
}

function judgeStanding(value: number, errorThousandths: number, limit: Edges): Judgement {
  const standing = standingOf(value, errorThousandths, limit);
  if (standing.standing === "inside") return { verdict: "pass" };
  if (standing.standing === "cannot-tell") return { verdict: "not-judged", why: ["gauge-cannot-tell"] };
  return { verdict: "fail", edge: standing.edge, by: standing.by };
}

/** A limit of cracking effort is for the lightest setting: adjuster turned out, lever at "dive" (common practice). */
function outOfPosition({ adjuster, venturi }: BenchReading): WhyNotJudged[] {
  const why: WhyNotJudged[] = [];
  if (adjuster !== "out" && adjuster !== "none") why.push("adjuster-position");
  if (venturi !== "dive" && venturi !== "none") why.push("venturi-position");
  return why;
}

function edgesFor(reading: BenchReading, name: Measured, { role, limits, balance }: BenchPart): Edges | null {
  switch (name) {
    case "intermediate-pressure": {
      const limit = limitNamed(limits, name);
      // An unbalanced piston falls with its supply, so the lower edge is for a well-filled cylinder.
      if (limit === null || balance !== "unbalanced-piston" || supplyZone(reading.supplyCbar) === "high") return limit;
      return limit.high === null ? null : { low: null, high: limit.high };
    }
    case "cracking-effort":
      return limitNamed(limits, role === "alternate" ? "cracking-effort-alternate" : "cracking-effort-primary");
    case "gauge-error":
      return eitherWay(limitNamed(limits, masterZone(reading.at) === "low" ? "gauge-error-low" : "gauge-error"));
    default:
      return limitNamed(limits, name);
  }
}

/** "At most 5 bar" of an error or a change means either way. */
function eitherWay(limit: BenchLimit | null): Edges | null {
  if (limit === null || limit.high === null) return null;
  return { low: limit.low ?? -Math.abs(limit.high), high: limit.high };
}

/** What stands against a gauge for one reading; `shown` is what it showed, where that is known. */
function gaugeReasons(gauge: TestGauge | undefined, measures: TestGauge["measures"], shown: number | null, on: Day): WhyNotJudged[] {
  if (gauge === undefined) return ["no-gauge"];
  const why: WhyNotJudged[] = [];
  if (gauge.measures !== measures || judgeGauge(gauge).length > 0) why.push("wrong-gauge");
  else if (shown !== null && !(shown >= gauge.spanLow && shown <= gauge.spanHigh)) why.push("outside-span");
  if (!isInCalibration(gauge, on)) why.push("out-of-calibration");
  return why;
}

/** The change from the high to the low supply, and how it was judged; `value: null` = it could not be taken. */
export interface JudgedChange extends Judged {
  /** Intermediate pressure at the low supply less that at the high one. */
  readonly value: number | null;
}

/**
 * Judges how the intermediate pressure changes from a high to a low supply. Balanced: within the limit.
 * Unbalanced: the way the design goes, a piston down and a diaphragm up, and within the limit where
 * there is one. Of several readings the pair that looks worst counts.
 *
 * On one gauge the change is judged with its resolution; on two, with both class errors.
 */
export function judgeSupplyChange(part: BenchPart, readings: readonly BenchReading[], gauges: readonly TestGauge[], on: Day): JudgedChange {
  const mine = readings.filter((one) => one.component === part.component && one.name === "intermediate-pressure" && Number.isSafeInteger(one.value));
  const high = mine.filter(({ supplyCbar }) => supplyZone(supplyCbar) === "high");
  const low = mine.filter(({ supplyCbar }) => supplyZone(supplyCbar) === "low");
  const limit = eitherWay(limitNamed(part.limits, "supply-change"));
  const why: WhyNotJudged[] = [];
  if (high.length === 0 && low.length === 0) why.push("missing");
  else if (high.length === 0 || low.length === 0) why.push("one-supply-only");
  if (part.balance === null) why.push("design-unknown");
  else if (part.balance === "balanced" && limit === null) why.push("no-limit");
  const [first, ...others] = why;
  if (first !== undefined) return { value: null, ...notJudged([first, ...others], limit) };
  return low.flatMap((below) => high.map((above) => judgePair(part.balance, limit, above, below, gauges, on))).reduce(worse);
}

function judgePair(balance: Balance | null, limit: Edges | null, above: BenchReading, below: BenchReading, gauges: readonly TestGauge[], on: Day): JudgedChange {
  const value = below.value - above.value;
  const at = gauges.find(({ id }) => id === above.gauge);
  const then = gauges.find(({ id }) => id === below.gauge);
  const why = new Set([...gaugeReasons(at, "pressure", above.value, on), ...gaugeReasons(then, "pressure", below.value, on)]);
  const [first, ...others] = why;
  if (at === undefined || then === undefined || first !== undefined) return { value, ...notJudged([first ?? "no-gauge", ...others], limit) };
  const error = at.id === then.id ? resolutionThousandths(at) : classErrorThousandths(at) + classErrorThousandths(then);
  const way: Edges | null = balance === "unbalanced-piston" ? { low: null, high: 0 } : balance === "unbalanced-diaphragm" ? { low: 0, high: null } : null;
  const judgements: Judgement[] = [];
  if (way !== null) {
    const byWay = judgeStanding(value, error, way);
    judgements.push(byWay.verdict === "fail" ? { ...byWay, edge: "direction" } : byWay);
  }
  if (limit !== null) judgements.push(judgeStanding(value, error, limit));
  const judged = judgements.map((judgement): JudgedChange => ({ value, judgement, limit }));
  return judged.reduce(worse);
}

const BADNESS: Readonly<Record<Judgement["verdict"], number>> = { pass: 0, "not-judged": 1, fail: 2 };

function worse(one: JudgedChange, other: JudgedChange): JudgedChange {
  return BADNESS[other.judgement.verdict] > BADNESS[one.judgement.verdict] ? other : one;
}
