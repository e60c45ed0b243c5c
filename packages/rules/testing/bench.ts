/** Makers of what lies on the bench. By default everything passes; a test says what does not. */
import type { BenchLimit } from "../src/bench-limits.ts";
import type { BenchPart, BenchReading } from "../src/bench-readings.ts";
import { day } from "../src/calendar.ts";
import type { Role } from "../src/models.ts";
import type { AssembledPart, ModelBuild, Plug } from "../src/ports.ts";
import type { ReleaseFacts } from "../src/release.ts";
import type { TestGauge } from "../src/test-gauges.ts";
import type { QueuedOrder } from "../src/work-orders.ts";

/** A pressure gauge of 0 to 16 bar, class 0.6, in calibration on TODAY: at most 0.096 bar off. */
export function aTestGauge(differing: Partial<TestGauge> = {}): TestGauge {
  return {
    id: "p16",
    measures: "pressure",
    spanLow: 0,
    spanHigh: 1600,
    classTenths: 6,
    calibratedOn: day("2026-01-10"),
    calibratedUntil: day("2027-01-09"),
    ...differing,
  };
}

/** A bench's gauges: for intermediate pressure, for efforts (0 to 20 mbar), and a master of 0 to 400 bar. */
export const BENCH_GAUGES: readonly TestGauge[] = [
  aTestGauge(),
  aTestGauge({ id: "e20", measures: "effort", spanHigh: 2000, classTenths: 10 }),
  aTestGauge({ id: "master", spanHigh: 40_000, classTenths: 2 }),
];

/** Invented limits: 9 to 10 bar, creep 0.3, change 0.5, 3 and 5 mbar, a gauge within 5 and 10 bar. */
export const BENCH_LIMITS: readonly BenchLimit[] = [
  { name: "intermediate-pressure", low: 900, high: 1000 },
  { name: "creep", low: null, high: 30 },
  { name: "supply-change", low: null, high: 50 },
  { name: "cracking-effort-primary", low: 150, high: 310 },
  { name: "cracking-effort-alternate", low: 250, high: 500 },
  { name: "exhalation-effort", low: null, high: 125 },
  { name: "gauge-error-low", low: null, high: 500 },
  { name: "gauge-error", low: null, high: 1000 },
];

/** A component named after its position, its model balanced and with the limits above. */
export function aBenchPart(differing: Partial<BenchPart> = {}): BenchPart {
  const role = differing.role ?? "first-stage";
  return { component: role, role, limits: BENCH_LIMITS, balance: role === "first-stage" ? "balanced" : null, ...differing };
}

const WHOLE: readonly Role[] = ["first-stage", "primary", "alternate", "gauge", "inflator-hose"];

/** The parts of a whole set; a test says what differs by position. */
export function wholeBench(differing: Partial<Record<Role, Partial<BenchPart>>> = {}): readonly BenchPart[] {
  return WHOLE.map((role) => aBenchPart({ role, ...differing[role] }));
}

/** A lock-up at 9.5 bar on a well-filled cylinder. */
export function aBenchReading(differing: Partial<BenchReading> = {}): BenchReading {
  return { component: "first-stage", name: "intermediate-pressure", supplyCbar: 20_000, value: 950, at: null, gauge: "p16", adjuster: "none", venturi: "none", ...differing };
}

const secondStage = (component: Role, effort: number): readonly BenchReading[] => [
  aBenchReading({ component, name: "cracking-effort", value: effort, gauge: "e20", adjuster: "out", venturi: "dive" }),
  aBenchReading({ component, name: "vacuum-held", value: 1, gauge: null }),
  aBenchReading({ component, name: "immersion-leak", value: 0, gauge: null }),
];

/** Every reading a whole set needs, all of them good. */
export function wholeTest(): readonly BenchReading[] {
  const ofGauge = (at: number, value: number) => aBenchReading({ component: "gauge", name: "gauge-error", supplyCbar: null, at, value, gauge: "master" });
  return [
    aBenchReading(),
    aBenchReading({ supplyCbar: 5000, value: 940 }),
    aBenchReading({ name: "creep", value: 10 }),
    ...secondStage("primary", 230),
    ...secondStage("alternate", 380),
    aBenchReading({ component: "gauge", name: "gauge-zero", supplyCbar: 0, value: 0, gauge: null }),
    ofGauge(20_000, 300),
    ofGauge(10_000, -200),
    ofGauge(5000, 100),
  ];
}

/** How a model is built: a balanced first stage with two high-pressure and four low-pressure ports, or a part with its plug. */
export function aModelBuild(differing: Partial<ModelBuild> = {}): ModelBuild {
  return { balance: null, hpPorts: null, lpPorts: null, lpHalfInchPorts: null, plugsInto: null, serviceMinutes: 45, inspectionMinutes: 20, ...differing };
}

const PLUG_IN: Readonly<Record<Role, Plug | null>> = {
  "first-stage": null,
  primary: "lp-3/8",
  alternate: "lp-3/8",
  gauge: "hp-7/16",
  "inflator-hose": "lp-3/8",
  hose: "lp-3/8",
  transmitter: "hp-7/16",
};

/** A part as it sits in a set, every plug on its own side and every pairing approved. */
export function anAssembledPart(differing: Partial<AssembledPart> = {}): AssembledPart {
  const role = differing.role ?? "first-stage";
  const first = role === "first-stage";
  const build = aModelBuild(first ? { balance: "balanced", hpPorts: 2, lpPorts: 4, lpHalfInchPorts: 0 } : { plugsInto: PLUG_IN[role] });
  return { component: role, role, build, pairingApproved: role === "primary" || role === "alternate" ? true : null, ...differing };
}

/** A whole set as put together; a test says what differs by position. */
export function wholeAssembly(differing: Partial<Record<Role, Partial<AssembledPart>>> = {}): readonly AssembledPart[] {
  return WHOLE.map((role) => anAssembledPart({ role, ...differing[role] }));
}

/** A set that may be released: tested after it was opened, all of one maker, on no other bench. */
export function aReleaseCase(differing: Partial<ReleaseFacts> = {}): ReleaseFacts {
  return {
    evidenceLock: false,
    retired: false,
    out: false,
    orders: [],
    openFaults: [],
    tests: [{ seq: 12, phase: "as-left", verdict: "pass" }],
    openedSeq: 11,
    parts: WHOLE.map((role) => ({ role, maker: "Kelpline", modelMostO2: 400, lastService: { oxygenClean: false } })),
    workedBy: ["ana"],
    ...differing,
  };
}

/** An order that is not urgent. */
export function aQueuedOrder(differing: Partial<QueuedOrder> = {}): QueuedOrder {
  return {
    id: "w1", kind: "service", evidenceLock: false, worstFault: null, neededOn: null, dueOn: null, overdue: false, bookingsAtStake: 0, openedAt: 1_780_000_000_000, ...differing,
  };
}
