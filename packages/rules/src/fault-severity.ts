/**
 * The severities of the fault list as a site tunes them. A line may always be taken more seriously;
 * what the list calls "out" is never taken more lightly.
 */
import { faultOf, isFaultCode, mayTune } from "./faults.ts";
import type { FaultCode } from "./faults.ts";
import type { Severity } from "./hand-out.ts";

const MILDEST_FIRST: readonly Severity[] = ["watch", "hold", "out"];

/** The severities a line may be given, the mildest first; with one alone there is nothing to tune. */
export function tunableTo(code: FaultCode): readonly Severity[] {
  return MILDEST_FIRST.filter((severity) => mayTune(code, severity));
}

/**
 * The severity a fault opens with at a site. `tuned` holds the site's own severities by code.
 *
 * A severity the line may not have counts for nothing: the list's own stands, whatever a row says.
 */
export function severityInForce(code: FaultCode, tuned: ReadonlyMap<string, Severity>): Severity {
  const own = tuned.get(code);
  return own !== undefined && tunableTo(code).includes(own) ? own : faultOf(code).severity;
}

export interface TuningProblem {
  readonly code: string;
  readonly problem: "no-such-code" | "too-mild";
  /** What it may be given; empty when there is no such code. */
  readonly may: readonly Severity[];
}

/** Every tuned severity that may not be; an empty list means they may be kept. */
export function judgeTuning(tuned: ReadonlyMap<string, Severity>): readonly TuningProblem[] {
  const problems: TuningProblem[] = [];
  for (const [code, severity] of tuned) {
    if (!isFaultCode(code)) problems.push({ code, problem: "no-such-code", may: [] });
    else if (!tunableTo(code).includes(severity)) problems.push({ code, problem: "too-mild", may: tunableTo(code) });
  }
  return problems;
}
