/** Makers of facts for tests and the demo fleet. By default everything is well; a test says what is not. */
import { day } from "../src/calendar.ts";
import type { ComponentFacts, HireTerms, SetFacts } from "../src/hand-out.ts";
import type { Role } from "../src/models.ts";
import { DEFAULT_POLICY } from "../src/policy.ts";
import type { Policy } from "../src/policy.ts";

/** The day on which the makers' sets are judged. */
export const TODAY = day("2026-07-03");

/** A site's policy: the default one, except for what is said. */
export function aPolicy(differing: Partial<Policy> = {}): Policy {
  return { ...DEFAULT_POLICY, nitroxNeedsM26: false, ...differing };
}

/** A component serviced two months before TODAY, 20 dives ago, with limits of 12 months and 100 dives. */
export function aComponent(differing: Partial<ComponentFacts> = {}): ComponentFacts {
  const role = differing.role ?? "first-stage";
  return {
    id: differing.id ?? role,
    role,
    limits: { service: { months: 12, dives: 100, minutes: null }, inspection: null },
    boughtOn: day("2024-02-01"),
    inUseOn: day("2024-03-01"),
    servicedOn: day("2026-05-03"),
    inspectedOn: null,
    beddingCheckedOn: day("2026-06-20"),
    lastUsedOn: day("2026-07-01"),
    divesSinceService: 20,
    minutesSinceService: 20 * 60,
    divesSinceInspection: 20,
    minutesSinceInspection: 20 * 60,
    taughtSinceService: false,
    notice: "none",
    openFaults: [],
    maxO2Tenths: 400,
    coldRating: "tested-4C",
    connection: role === "first-stage" ? "din-300" : null,
    maxSupplyCentibar: role === "first-stage" ? 30_000 : null,
    pairingApproved: role === "primary" || role === "alternate" ? true : null,
    ...differing,
  };
}

const WHOLE: readonly Role[] = ["first-stage", "primary", "alternate", "gauge", "inflator-hose"];

/**
 * The components of a whole set, each named after its position; a test says what differs by position:
 * `wholeSet({ primary: { pairingApproved: false } })`.
 */
export function wholeSet(differing: Partial<Record<Role, Partial<ComponentFacts>>> = {}): readonly ComponentFacts[] {
  return WHOLE.map((role) => aComponent({ role, ...differing[role] }));
}

/** A set that is here, clean and released. */
export function aSet(differing: Partial<SetFacts> = {}): SetFacts {
  return {
    evidenceLock: false,
    retired: false,
    out: false,
    here: true,
    restored: false,
    released: true,
    cleaning: "clean",
    openFaults: [],
    ...differing,
  };
}

/** A weekend of four dives on air in warm water. */
export function aHire(differing: Partial<HireTerms> = {}): HireTerms {
  return {
    backOn: day("2026-07-05"),
    dives: 4,
    minutes: 4 * 60,
    teaching: false,
    cylinder: { connection: "din-232", centibar: 23_200 },
    o2Tenths: 210,
    waterTenthsC: 180,
    depthDecimetres: 180,
    ...differing,
  };
}

export {
  aBenchPart,
  aBenchReading,
  aModelBuild,
  anAssembledPart,
  aQueuedOrder,
  aReleaseCase,
  aTestGauge,
  BENCH_GAUGES,
  BENCH_LIMITS,
  wholeAssembly,
  wholeBench,
  wholeTest,
} from "./bench.ts";
export { aPressureCurve } from "./pressure-curves.ts";
