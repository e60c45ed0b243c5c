/** The steps of the model test: each asks the oracle first, then the database, and compares. */
import { randomUUID } from "node:crypto";
import fc from "fast-check";
import { expect } from "vitest";
import { benchStep, benchSteps, benchTest, clearFault, clearNotice, closeOrder, stockShelf, work, type BenchStep } from "./model-bench.ts";
import * as bench from "./oracle-bench.ts";
import * as oracle from "./oracle.ts";
import { WET_MINUTES, type World } from "./model-world.ts";

/** One step as data, so that a failing run can be read and shrunk. */
export type Step =
  | { readonly step: "hand-out"; readonly sets: readonly number[]; readonly until: Until; readonly dives: number; readonly minutes: number; readonly teaching: boolean; readonly readyFirst: boolean; readonly fault: "none" | "wrong-site" | "stale" }
  | { readonly step: "take-back"; readonly set: number; readonly dives: number; readonly wrongSite: boolean }
  | { readonly step: "wash-start" | "wash-end" | "wash-finish" | "breath-test" | "release" | "retire" | "transfer" | "take-off" | "fit-spare" | "make-ready"; readonly set: number; readonly wrongSite: boolean }
  | { readonly step: "fault"; readonly set: number; readonly severity: "out" | "hold" | "watch"; readonly accident: boolean; readonly onComponent: boolean }
  | { readonly step: "clear"; readonly which: number; readonly opened: boolean }
  | { readonly step: "policy"; readonly teachingMonths: number; readonly shelfMonths: number }
  | { readonly step: "limits"; readonly of: "first" | "second" | "gauge"; readonly limits: oracle.Limits }
  | { readonly step: "tick"; readonly minutes: number }
  | { readonly step: "tick-to"; readonly set: number; readonly limb: "service" | "inspection" | "shelf"; readonly days: number; readonly minute: number }
  | { readonly step: "ask-again"; readonly which: number; readonly otherBody: boolean }
  | { readonly step: "clock-wrong"; readonly set: number; readonly days: number }
  | { readonly step: "remember" }
  | BenchStep;

/** The planned return: nights from now, or so many days from the earliest due day. */
type Until = { readonly nights: number } | { readonly fromDue: number };

const set = fc.nat(2);
const rarely = fc.nat(9).map((n) => n === 0);
const LIMITS: readonly oracle.Limits[] = [
  { serviceMonths: 3, serviceDives: 8, serviceMinutes: 480, inspection: { months: 2, dives: 5, minutes: null } },
  { serviceMonths: 6, serviceDives: null, serviceMinutes: 300, inspection: null },
  { serviceMonths: 1, serviceDives: 4, serviceMinutes: null, inspection: { months: 1, dives: 3, minutes: 120 } },
  { serviceMonths: null, serviceDives: 12, serviceMinutes: null, inspection: { months: 3, dives: null, minutes: null } },
];
export const FIRST_LIMITS = LIMITS[0]!;

const handOut = fc.record({
  step: fc.constant("hand-out" as const),
  sets: fc.uniqueArray(set, { minLength: 1, maxLength: 2 }),
  until: fc.oneof(fc.record({ nights: fc.constantFrom(0, 0, 1, 2, 7) }), fc.record({ fromDue: fc.constantFrom(-1, 0, 0, 1) })),
  dives: fc.constantFrom(0, 0, 1, 1, 2, 3, 4, 5, 6),
  minutes: fc.constantFrom(0, 60, 120, 180),
  teaching: fc.boolean(),
  readyFirst: fc.boolean(),
  fault: fc.constantFrom("none" as const, "none" as const, "none" as const, "none" as const, "none" as const, "none" as const, "wrong-site" as const, "stale" as const),
});
const plain = (step: Extract<Step, { wrongSite: boolean; set: number; dives?: never }>["step"]) => fc.record({ step: fc.constant(step as "release"), set, wrongSite: rarely });

export const anyStep: fc.Arbitrary<Step> = fc.oneof(
  { weight: 14, arbitrary: handOut },
  { weight: 7, arbitrary: fc.record({ step: fc.constant("take-back" as const), set, dives: fc.constantFrom(0, 1, 2, 3, 4), wrongSite: rarely }) },
  { weight: 9, arbitrary: plain("make-ready") },
  { weight: 2, arbitrary: plain("wash-start") },
  { weight: 2, arbitrary: plain("wash-end") },
  { weight: 2, arbitrary: plain("wash-finish") },
  { weight: 2, arbitrary: plain("breath-test") },
  { weight: 2, arbitrary: plain("release") },
  { weight: 1, arbitrary: plain("retire") },
  { weight: 1, arbitrary: plain("transfer") },
  { weight: 2, arbitrary: plain("take-off") },
  { weight: 2, arbitrary: plain("fit-spare") },
  { weight: 3, arbitrary: fc.record({ step: fc.constant("fault" as const), set, severity: fc.constantFrom("out" as const, "hold" as const, "watch" as const), accident: rarely, onComponent: fc.boolean() }) },
  { weight: 2, arbitrary: fc.record({ step: fc.constant("clear" as const), which: fc.nat(3), opened: fc.boolean() }) },
  { weight: 1, arbitrary: fc.record({ step: fc.constant("policy" as const), teachingMonths: fc.constantFrom(1, 2, 6), shelfMonths: fc.constantFrom(1, 2, 12) }) },
  { weight: 1, arbitrary: fc.record({ step: fc.constant("limits" as const), of: fc.constantFrom("first" as const, "second" as const, "gauge" as const), limits: fc.constantFrom(...LIMITS) }) },
  { weight: 2, arbitrary: fc.record({ step: fc.constant("tick" as const), minutes: fc.constantFrom(1, 9, 10, 30, 60, 1_440, 3 * 1_440) }) },
  { weight: 6, arbitrary: fc.record({ step: fc.constant("tick-to" as const), set, limb: fc.constantFrom("service" as const, "inspection" as const, "inspection" as const, "shelf" as const), days: fc.constantFrom(-2, -1, 0, 1), minute: fc.constantFrom(0, 720, 1_439) }) },
  { weight: 2, arbitrary: fc.record({ step: fc.constant("ask-again" as const), which: fc.nat(30), otherBody: fc.nat(3).map((n) => n === 0) }) },
  { weight: 1, arbitrary: fc.record({ step: fc.constant("clock-wrong" as const), set, days: fc.constantFrom(-60, -1, 20, 90) }) },
  { weight: 1, arbitrary: fc.constant({ step: "remember" as const }) },
  ...benchSteps,
);

/** The earliest day on which anything of the set falls due, by the oracle. */
function dueDay(world: World, id: string, limb: "service" | "inspection" | "shelf" | "any"): number | null {
  const days = oracle.componentsIn(world.log, id).flatMap(({ component }) => {
    const { service, inspection, shelf } = oracle.standing(world.log, component, false);
    const all = { service: service.due, inspection: inspection?.due ?? null, shelf };
    return limb === "any" ? [all.service, all.inspection] : [all[limb]];
  });
  const known = days.filter((one) => one !== null);
  return known.length === 0 ? null : Math.min(...known);
}

async function handOutStep(world: World, step: Extract<Step, { step: "hand-out" }>): Promise<void> {
  if (step.readyFirst) for (const n of step.sets) await makeReady(world, n);
  const sets = step.sets.map((n) => world.set(n));
  const site = world.siteOf(sets[0]!, step.fault === "wrong-site");
  const day = oracle.today(world.log, site, world.now);
  const due = dueDay(world, sets[0]!.id, "any");
  const backOn = "nights" in step.until ? day + step.until.nights : Math.min((due ?? day) + step.until.fromDue, day + 200);
  const hire = {
    hirer: "Guest", contact: null, backOn: oracle.dayText(backOn), dives: step.dives, minutes: step.minutes, teaching: step.teaching,
    cylinderConnection: "din-232", cylinderBar: 200, o2Tenths: 210, waterTenthsC: 200, depthM: 10,
  };
  const seen = (await world.seqs(sets)).map((one) => (step.fault === "stale" ? { ...one, seq: one.seq - 1 } : one));
  const ask: oracle.Ask = { site, backOn, dives: step.dives, minutes: step.minutes, teaching: step.teaching };
  const expected = sets.flatMap(({ id }) => oracle.reasons(world.log, id, ask, world.now).map((reason) => `${id} ${reason}`)).sort();
  const wanted = backOn < day ? "back-before-today" : step.fault === "stale" ? "stale" : expected.length > 0 ? "hold" : "done";

  const before = wanted === "done" ? null : await world.marks();
  const answer = await world.ask("hand_out", "desk", site, [hire, seen]);
  expect(answer.code ?? answer.answer, "a set goes out exactly when nothing holds it").toBe(wanted);
  if (before !== null) expect(await world.marks(), "a hand-out that is held changes nothing").toEqual(before);
  if (wanted === "hold") {
    world.handedOut.held += 1;
    expect(named(answer), "every reason is named").toEqual(expected);
    expect(named(await world.ask("hand_out", "desk", site, [hire, seen])), "asked again, the same reasons").toEqual(expected);
  }
  if (wanted !== "done") return;
  world.handedOut.count += 1;
  for (const { id } of sets) world.note({ kind: "handed-out", set: id, teaching: step.teaching });
}

function named(answer: { readonly [fact: string]: unknown }): string[] {
  const holds = answer["holds"] as readonly { set: string; code: string; component: string | null }[];
  return [...new Set(holds.map((one) => `${one.set} ${one.code} ${one.component ?? ""}`.trim()))].sort();
}

async function washStep(world: World, name: "wash-start" | "wash-end" | "wash-finish", n: number, wrongSite: boolean): Promise<void> {
  const { id } = world.set(n);
  const site = world.siteOf(world.set(n), wrongSite);
  const run = oracle.openRun(world.log, id);
  if (name === "wash-start") {
    const bath = await world.expectAct(null, "mix_bath", "wash-room", site, [{ product: world.ground.room.product, label: "Tub", lot: null, productMl: 100, waterMl: 9_900 }]);
    const stop = oracle.untouchable(world.log, id, site) ?? (oracle.isClean(world.log, id) ? "already-clean" : run !== null ? "already-washing" : null);
    const started = await world.expectAct(stop, "start_wash", "wash-room", site, [bath!["bath"], [id]]);
    if (started !== null) world.note({ kind: "wash-started", set: id, run: started["run"] as string, wetMinutes: WET_MINUTES });
    return;
  }
  const policy = [...world.log].reverse().find((f) => f.kind === "policy" && f.site === site) as Extract<oracle.Fact, { kind: "policy" }>;
  const gone = run === null || wrongSite ? "no-such-run" : null;
  if (name === "wash-end") {
    const stop = gone ?? (run!.wetEndedAt !== null ? "already-ended" : world.now < run!.startedAt + run!.wetMinutes ? "too-short" : null);
    if ((await world.expectAct(stop, "end_wet", "wash-room", site, [run?.run ?? randomUUID()])) !== null) world.note({ kind: "wet-ended", set: id, run: run!.run });
    return;
  }
  const stop = gone ?? (run!.wetEndedAt === null ? "still-in-bath" : world.now < run!.wetEndedAt + policy.dryingMinutes ? "still-drying" : null);
  if ((await world.expectAct(stop, "finish_wash", "wash-room", site, [run?.run ?? randomUUID(), [id]])) !== null) world.note({ kind: "cleaned", set: id, run: run!.run });
}

async function simpleStep(world: World, step: Exclude<Extract<Step, { wrongSite: boolean; set: number }>, BenchStep>): Promise<void> {
  const chosen = world.set(step.set);
  const { id } = chosen;
  const site = world.siteOf(chosen, step.wrongSite);
  const stop = oracle.untouchable(world.log, id, site);
  switch (step.step) {
    case "take-back": {
      const out = oracle.isOut(world.log, id);
      const line = { set: id, dives: step.dives, minutes: step.dives * 60, estimated: false, waterKind: step.dives > 0 ? "sea" : "none", problem: false, words: null, fault: null, missing: [] };
      const code = stop === "no-such-set" ? stop : out ? null : "not-out";
      if ((await world.expectAct(code, "take_back", "desk", site, [[line]])) !== null) world.note({ kind: "taken-back", set: id, dives: step.dives, minutes: step.dives * 60 });
      return;
    }
    case "breath-test":
      if ((await world.expectAct(stop, "soil_set", "desk", site, [id, "breath-tested", "Tried"])) !== null) world.note({ kind: "breath-tested", set: id });
      return;
    case "release": {
      if ((await world.expectAct(bench.stopsRelease(world.log, id, site), "release_sets", "technician", site, [[id], "Tested"])) !== null) world.note({ kind: "released", set: id });
      return;
    }
    case "retire":
      if ((await world.expectAct(stop, "retire_set", "manager", site, [id, "Worn"])) !== null) world.note({ kind: "retired", set: id });
      return;
    case "transfer": {
      const to = world.ground.sites.find((one) => one !== oracle.siteOf(world.log, id))!;
      if ((await world.expectAct(stop, "transfer_set", "manager", site, [id, to])) !== null) world.note({ kind: "transferred", set: id, to });
      return;
    }
    case "take-off": {
      const gauge = oracle.componentsIn(world.log, id).find(({ position }) => position === "gauge")?.component ?? chosen.parts.gauge;
      const code = stop ?? (oracle.placeOf(world.log, gauge)?.set === id ? null : "not-fitted");
      if ((await world.expectAct(code, "refit", "technician", site, [id, null, gauge, null, "gauge", "Fogged"])) !== null) world.note({ kind: "removed", set: id, component: gauge });
      return;
    }
    case "fit-spare": {
      const { spare } = world.ground;
      const faulty = oracle.openFaults(world.log).some((f) => f.component === spare && f.set !== id && f.severity !== "watch");
      const code = stop ?? (oracle.homeOf(world.log, spare) !== site ? "no-such-component" : oracle.placeOf(world.log, spare) !== null ? "fitted-elsewhere" : faulty ? "part-has-fault" : null);
      const [seen] = await world.seqs([chosen]);
      if ((await world.expectAct(code, "refit", "technician", site, [id, seen!.seq, null, spare, "gauge", "Spare"])) !== null) world.note({ kind: "fitted", set: id, component: spare, position: "gauge" });
      return;
    }
    case "make-ready":
      await makeReady(world, step.set);
      return;
    default:
      await washStep(world, step.step, step.set, step.wrongSite);
  }
}

/** Clears, services what is due, releases and washes, as a good day at the centre would. */
async function makeReady(world: World, n: number): Promise<void> {
  const { id } = world.set(n);
  const site = world.siteOf(world.set(n));
  if (oracle.isOut(world.log, id)) await simpleStep(world, { step: "take-back", set: n, dives: 1, wrongSite: false });
  if (oracle.untouchable(world.log, id, site) !== null) return;
  for (const open of oracle.openFaults(world.log)) if (open.set === id) await clearFault(world, open, false);
  for (const open of bench.openNotices(world.log, id)) await clearNotice(world, open);
  const order = bench.takenOrder(world.log, id);
  if (order !== null) await closeOrder(world, order, "dropped");
  const day = oracle.today(world.log, site, world.now);
  const ask: oracle.Ask = { site, backOn: day, dives: 0, minutes: 0, teaching: false };
  if (oracle.reasons(world.log, id, ask, world.now).some((one) => /overdue|inspection/.test(one))) {
    if (bench.onTheShelf(world.log, site) < 10) await stockShelf(world, site, 100);
    await work(world, n, "service", true);
  }
  if (oracle.asksTest(world.log, id)) await benchTest(world, n, "pass");
  if (!oracle.isReleased(world.log, id)) await simpleStep(world, { step: "release", set: n, wrongSite: false });
  if (oracle.isClean(world.log, id)) return;
  if (oracle.openRun(world.log, id) === null) await washStep(world, "wash-start", n, false);
  if (oracle.openRun(world.log, id)?.wetEndedAt === null) {
    await world.tick(WET_MINUTES);
    await washStep(world, "wash-end", n, false);
  }
  await world.tick(30);
  await washStep(world, "wash-finish", n, false);
}

async function faultStep(world: World, step: Extract<Step, { step: "fault" }>): Promise<void> {
  const chosen = world.set(step.set);
  const site = world.siteOf(chosen);
  const component = step.onComponent ? (oracle.componentsIn(world.log, chosen.id)[0]?.component ?? null) : null;
  const code = step.accident ? "GN-03" : "SS-02";
  const severity = step.accident ? "out" : step.severity;
  const stop = oracle.isSealed(world.log, chosen.id) ? "evidence-lock" : null;
  const reported = await world.expectAct(stop, "report_fault", "desk", site, [chosen.id, { code, severity, component, where: "desk", words: "Heard" }]);
  if (reported === null) return;
  world.note({ kind: "fault", set: chosen.id, fault: reported["fault"] as string, severity, component });
  if (step.accident) world.note({ kind: "sealed", set: chosen.id });
}

async function clockWrong(world: World, step: Extract<Step, { step: "clock-wrong" }>): Promise<void> {
  const chosen = world.set(step.set);
  const site = world.siteOf(chosen);
  await world.setClock(world.now + step.days * 1_440);
  const hire = {
    hirer: "Guest", contact: null, backOn: oracle.dayText(oracle.today(world.log, site, world.now) + 100), dives: 0, minutes: 0, teaching: false,
    cylinderConnection: "din-232", cylinderBar: 200, o2Tenths: 210, waterTenthsC: 200, depthM: 10,
  };
  await world.expectAct(step.days < 0 ? "clock-behind" : "clock-leap", "hand_out", "desk", site, [hire, await world.seqs([chosen])]);
  await world.setClock(world.now);
}

async function tickTo(world: World, step: Extract<Step, { step: "tick-to" }>): Promise<void> {
  const { id } = world.set(step.set);
  const due = dueDay(world, id, step.limb);
  if (due === null) return;
  const site = oracle.siteOf(world.log, id);
  const midnight = world.now - ((world.now - oracle.today(world.log, site, world.now) * 1_440) % 1_440);
  const ahead = midnight - oracle.today(world.log, site, midnight) * 1_440;
  const target = (due + step.days) * 1_440 + ahead + step.minute;
  if (target > world.now && target < world.now + 400 * 1_440) await world.tick(target - world.now);
}

async function settle(world: World, step: Step): Promise<void> {
  switch (step.step) {
    case "hand-out":
      return handOutStep(world, step);
    case "fault":
      return faultStep(world, step);
    case "clear": {
      const open = oracle.openFaults(world.log);
      return open.length === 0 ? undefined : clearFault(world, open[step.which % open.length]!, step.opened);
    }
    case "policy": {
      const [site] = world.ground.sites;
      await world.expectAct(null, "set_policy", "manager", site, [{ teachingMonths: step.teachingMonths, shelfMonths: step.shelfMonths }]);
      return world.note({ kind: "policy", site, teachingMonths: step.teachingMonths, shelfMonths: step.shelfMonths, dryingMinutes: 30 });
    }
    case "limits": {
      const model = world.ground.room.models[step.of];
      await world.expectAct(null, "accept_limits", "technician", world.ground.sites[0], [model, asAccepted(step.limits, step.of)]);
      return world.note({ kind: "limits", model, limits: step.limits });
    }
    case "tick":
      return world.tick(step.minutes);
    case "tick-to":
      return tickTo(world, step);
    case "ask-again":
      return world.askAgain(step.which, step.otherBody);
    case "clock-wrong":
      return clockWrong(world, step);
    case "remember":
      return world.remember();
    case "take-back": case "wash-start": case "wash-end": case "wash-finish": case "breath-test": case "release":
    case "retire": case "transfer": case "take-off": case "fit-spare": case "make-ready":
      return simpleStep(world, step);
    default:
      return benchStep(world, step);
  }
}

/** Limits as the act takes them. */
export function asAccepted(limits: oracle.Limits, of: "first" | "second" | "gauge"): Record<string, unknown> {
  return {
    serviceMonths: limits.serviceMonths, serviceDives: limits.serviceDives, serviceMinutes: limits.serviceMinutes, hasInspection: limits.inspection !== null,
    inspectionMonths: limits.inspection?.months ?? null, inspectionDives: limits.inspection?.dives ?? null, inspectionMinutes: limits.inspection?.minutes ?? null,
    maxO2Tenths: 400, coldRating: "tested-4C", connection: of === "first" ? "din-300" : null, maxSupplyBar: of === "first" ? 300 : null, manualPage: "Workshop manual, page 12",
  };
}

const out = (over: Partial<Extract<Step, { step: "hand-out" }>> = {}): Step => ({
  step: "hand-out", sets: [0], until: { nights: 0 }, dives: 0, minutes: 0, teaching: false, readyFirst: true, fault: "none", ...over,
});
const back = (dives: number): Step => ({ step: "take-back", set: 0, dives, wrongSite: false });
const on = (step: "wash-start" | "wash-end" | "wash-finish" | "breath-test" | "release" | "transfer" | "take-off" | "fit-spare", n = 0): Step => ({ step, set: n, wrongSite: false });
const wait = (minutes: number): Step => ({ step: "tick", minutes });
const inspect: Step = { step: "work", set: 0, kind: "inspection", all: true, kits: "all" };

/** Days that chance brings about too seldom; run before the random ones. */
export const KNOWN_DAYS: readonly (readonly Step[])[] = [
  // What is planned against what is left.
  [{ step: "limits", of: "second", limits: LIMITS[1]! }, out({ dives: 3, minutes: 180 }), back(3), out({ minutes: 120 }), back(0), out({ minutes: 180 })],
  [out({ dives: 3 }), back(3), out({ dives: 6 })],
  [out({ dives: 3 }), back(3), out({ dives: 2 }), back(2), out({ dives: 0 })],
  // The due day and the days around it; teaching; an inspection moves the inspection alone.
  ...[-1, 0, 1].map((fromDue): Step[] => [out({ until: { fromDue } })]),
  [out({ teaching: true, dives: 1 }), back(1), wait(3 * 1_440), inspect, out({ until: { fromDue: 1 } })],
  [{ step: "tick-to", set: 0, limb: "inspection", days: -1, minute: 720 }, inspect, out({ until: { fromDue: 1 } }), out({ until: { fromDue: 0 } })],
  [{ step: "policy", teachingMonths: 2, shelfMonths: 1 }, { step: "tick-to", set: 0, limb: "shelf", days: 0, minute: 1_439 }, out({ readyFirst: false }), { step: "take-back", set: 0, dives: 0, wrongSite: false }, wait(1), out({ readyFirst: false })],
  // The spare: never looked at; its faults and dives are its own.
  [on("take-off"), on("fit-spare"), out({ readyFirst: false })],
  [on("take-off"), on("fit-spare"), out(), back(2), on("take-off"), { step: "fault", set: 0, severity: "out", accident: false, onComponent: true }],
  [on("take-off"), on("fit-spare"), { step: "fault", set: 0, severity: "hold", accident: false, onComponent: true }, on("take-off"), on("fit-spare", 1), on("fit-spare")],
  // The wash, to the minute.
  [on("breath-test"), on("wash-start"), on("wash-end"), wait(9), on("wash-end"), wait(1), on("wash-end"), on("wash-finish"), wait(29), on("wash-finish"), wait(1), on("wash-finish"), out({ readyFirst: false })],
  [on("breath-test"), on("wash-start"), on("breath-test"), wait(10), on("wash-end"), on("wash-start")],
  // Sealed, also while it is out; moved to another site.
  [out({ readyFirst: false, dives: 1 }), { step: "fault", set: 0, severity: "out", accident: true, onComponent: false }, back(1), out(), on("release"), on("wash-start")],
  [on("breath-test"), on("wash-start"), { step: "fault", set: 0, severity: "out", accident: true, onComponent: false }, wait(10), on("wash-end")],
  [on("transfer"), on("wash-start"), wait(10), on("wash-end"), wait(30), on("wash-finish"), out({ readyFirst: false }), out()],
];

/** A step as fast-check runs it. */
export class StepCommand implements fc.AsyncCommand<object, World> {
  constructor(readonly step: Step) {}
  check(): boolean {
    return true;
  }
  run(_: object, world: World): Promise<void> {
    return settle(world, this.step);
  }
  toString(): string {
    return JSON.stringify(this.step);
  }
}
