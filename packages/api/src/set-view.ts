/** What every screen shows of a set: judged afresh from the facts, never from what was shown before. */
import type { LoadedSet } from "@hangrail/db/set-facts";
import type { HireInput } from "@hangrail/db/acts";
import type { Day } from "@hangrail/rules/calendar";
import { decidingLimb, dueOf, type SetDue } from "@hangrail/rules/due-dates";
import { faultOf, isFaultCode } from "@hangrail/rules/faults";
import { decideHandOut, standingHolds, type Caution, type HireTerms, type Hold } from "@hangrail/rules/hand-out";
import type { Role } from "@hangrail/rules/models";
import type { Policy } from "@hangrail/rules/policy";
import { stateOf, type SetState } from "@hangrail/rules/set-state";
import type { HireTermsInput } from "./inputs.ts";

/** A hire as entered → as the rules weigh it. */
export function termsOf(input: HireTermsInput, policy: Pick<Policy, "minutesPerDive">): HireTerms {
  return {
    backOn: input.backOn,
    dives: input.dives,
    minutes: input.minutes ?? input.dives * policy.minutesPerDive,
    teaching: input.teaching,
    cylinder: { connection: input.cylinder.connection, centibar: input.cylinder.bar * 100 },
    o2Tenths: input.o2Tenths,
    waterTenthsC: input.waterTenthsC,
    depthDecimetres: input.depthM * 10,
  };
}

/** … → as it is recorded. */
export function recordedTerms(input: HireTermsInput, hirer: string, contact: string | null, policy: Pick<Policy, "minutesPerDive">): HireInput {
  return {
    hirer,
    contact,
    backOn: input.backOn,
    dives: input.dives,
    minutes: input.minutes ?? input.dives * policy.minutesPerDive,
    teaching: input.teaching,
    cylinderConnection: input.cylinder.connection,
    cylinderBar: input.cylinder.bar,
    o2Tenths: input.o2Tenths,
    waterTenthsC: input.waterTenthsC,
    depthM: input.depthM,
  };
}

export interface SetView {
  readonly setId: string;
  readonly tag: string;
  readonly seq: number;
  readonly siteName: string;
  readonly today: Day;
  readonly state: SetState;
  readonly ready: boolean;
  readonly holds: readonly Hold[];
  readonly cautions: readonly Caution[];
  /** The open faults behind the holds: what the fault list calls each, and what the finder said. */
  readonly openFaults: readonly { readonly component: string | null; readonly said: string; readonly words: string }[];
  readonly due: SetDue;
  readonly parts: readonly { readonly id: string; readonly role: Role; readonly serial: string; readonly maker: string; readonly model: string; readonly modelId: string }[];
  readonly out: LoadedSet["out"];
}

/**
 * A set with its state, its holds and what falls due. With a hire the holds are those for that hire,
 * without one those that stand whatever the hire is.
 */
export function setView(set: LoadedSet, hire: HireTermsInput | null): SetView {
  const standing = standingHolds(set.facts, set.components, set.policy, set.today);
  const decision = hire && decideHandOut(set.facts, set.components, termsOf(hire, set.policy), set.policy, set.today);
  const holds: readonly Hold[] = decision?.holds ?? standing;
  const cautions: readonly Caution[] = decision?.cautions ?? [];
  const view: SetView = {
    setId: set.id,
    tag: set.tag,
    seq: set.seq,
    siteName: set.siteName,
    today: set.today,
    state: stateOf(set.facts, standing, set.bench),
    ready: holds.length === 0,
    holds,
    cautions,
    openFaults: set.faults.filter(({ severity }) => severity !== "watch").map(({ component, code, words }) => ({ component, said: isFaultCode(code) ? faultOf(code).words : code, words })),
    due: decidingLimb(set.components.map((c) => ({ id: c.id, due: dueOf(c, set.policy, set.today) }))),
    parts: set.components.map((c) => ({ id: c.id, role: c.role, serial: c.serial, maker: c.maker, model: c.modelName, modelId: c.modelId })),
    out: set.out,
  };
  return set.facts.here ? view : { ...view, ...KNOWN_ELSEWHERE };
}

/** Of another site's set the desk learns where it belongs, and nothing else. */
const KNOWN_ELSEWHERE = {
  seq: 0,
  state: "held",
  ready: false,
  holds: [{ code: "elsewhere", component: null }],
  cautions: [],
  openFaults: [],
  due: { dueOn: null, divesLeft: null, minutesLeft: null, notJudged: [], state: "not-judged" },
  parts: [],
  out: null,
} as const;
