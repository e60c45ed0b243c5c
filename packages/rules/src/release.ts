/**
 * Whether a technician may release a set: what is still missing, all of it at once.
 *
 * A release is a separate act from the work. It needs a bench test passed after the set was last
 * opened, refitted or serviced, and a person the makers authorise on that day. Order of acts is told
 * by the set's sequence numbers, never by clocks.
 */
import { refusalOf } from "./acts.ts";
import { isAuthorised, makersNotCovered } from "./authorisation.ts";
import type { Authorisation } from "./authorisation.ts";
import type { Judgement } from "./bench-readings.ts";
import type { Day } from "./calendar.ts";
import type { Severity } from "./hand-out.ts";
import type { O2Tenths } from "./measures.ts";
import { isStage } from "./models.ts";
import type { Role } from "./models.ts";
import { asksOxygenClean } from "./oxygen-clean.ts";
import type { LastService } from "./oxygen-clean.ts";
import type { WorkOrderState } from "./work-orders.ts";

export interface TestOfSet {
  readonly seq: number;
  readonly phase: "as-found" | "as-left";
  readonly verdict: Judgement["verdict"];
}

export interface ReleaseFacts {
  readonly evidenceLock: boolean;
  readonly retired: boolean;
  readonly out: boolean;
  readonly orders: readonly { readonly order: string; readonly state: WorkOrderState }[];
  readonly openFaults: readonly { readonly fault: string; readonly severity: Severity }[];
  readonly tests: readonly TestOfSet[];
  /** When it was last opened, refitted or serviced; `null` = never since it is recorded here. */
  readonly openedSeq: number | null;
  readonly parts: readonly {
    readonly role: Role;
    readonly maker: string;
    /** The most oxygen its model may meet. */
    readonly modelMostO2: O2Tenths | null;
    readonly lastService: LastService | null;
  }[];
  /** Who opened, refitted or serviced it since its last release; `null` = somebody nobody recorded. */
  readonly workedBy: readonly (string | null)[];
}

export interface Releasing {
  readonly staff: string;
  readonly authorisations: readonly (Authorisation & { readonly oxygenClean: boolean })[];
}

export type ReleaseLack =
  | { readonly code: "evidence-lock" | "retired" | "out" }
  /** On the bench, or laid aside for parts. */
  | { readonly code: "order-open"; readonly order: string }
  | { readonly code: "fault"; readonly fault: string; readonly severity: "out" | "hold" }
  /** `last` is the test that counts and was not passed; `null` = none since the set was opened. */
  | { readonly code: "test"; readonly last: TestOfSet | null }
  | { readonly code: "not-authorised" | "not-authorised-oxygen"; readonly maker: string; readonly on: Day }
  /** The site asks for somebody who did not do the work. */
  | { readonly code: "second-person" };

/** What stands against a release by this person today; an empty list means it may be recorded. */
export function mayRelease(
  facts: ReleaseFacts,
  by: Releasing,
  policy: { readonly releaseBySecond: boolean },
  today: Day,
): readonly ReleaseLack[] {
  const lacks: ReleaseLack[] = [];
  const refusal = refusalOf("released", facts);
  if (refusal !== null) lacks.push({ code: refusal });
  if (facts.out !== false) lacks.push({ code: "out" });
  for (const { order, state } of facts.orders) {
    if (state === "taken" || state === "parked") lacks.push({ code: "order-open", order });
  }
  for (const { fault, severity } of facts.openFaults) {
    if (severity !== "watch") lacks.push({ code: "fault", fault, severity });
  }
  lacks.push(...testLack(facts), ...authorisationLacks(facts, by, today));
  // Work by nobody knows whom may have been this person's.
  if (policy.releaseBySecond && facts.workedBy.some((staff) => staff === null || staff === by.staff)) lacks.push({ code: "second-person" });
  return lacks;
}

/** A pass as left, after the last opening, with nothing worse found since. */
function testLack({ tests, openedSeq }: ReleaseFacts): readonly ReleaseLack[] {
  const since = tests.filter(({ seq }) => openedSeq === null || seq > openedSeq).toSorted((a, b) => a.seq - b.seq);
  const last = since.at(-1) ?? null;
  if (last !== null && last.verdict !== "pass") return [{ code: "test", last }];
  if (openedSeq === null || since.some(({ phase, verdict }) => phase === "as-left" && verdict === "pass")) return [];
  return [{ code: "test", last: null }];
}

/** The breathing path only: no maker authorises anybody for a hose. */
function authorisationLacks({ parts }: ReleaseFacts, { authorisations }: Releasing, on: Day): readonly ReleaseLack[] {
  const stages = parts.filter(({ role }) => isStage(role));
  const not = makersNotCovered(authorisations, stages.map(({ maker }) => maker), on);
  const forOxygen = authorisations.filter(({ oxygenClean }) => oxygenClean);
  const rich = stages.filter(({ modelMostO2, lastService }) => asksOxygenClean(modelMostO2, lastService)).map(({ maker }) => maker);
  const notRich = [...new Set(rich)].filter((maker) => !not.includes(maker) && !isAuthorised(forOxygen, maker, on));
  return [
    ...not.map((maker): ReleaseLack => ({ code: "not-authorised", maker, on })),
    ...notRich.map((maker): ReleaseLack => ({ code: "not-authorised-oxygen", maker, on })),
  ];
}
