/** The bench's steps of the model test: orders, tests, kits, notices, seals. Each asks the oracle first. */
import fc from "fast-check";
import { expect } from "vitest";
import type { World } from "./model-world.ts";
import * as bench from "./oracle-bench.ts";
import * as oracle from "./oracle.ts";
import type { Range } from "./oracle-notices.ts";

export type TestKind = "pass" | "as-found" | "fail-as-found" | "not-judged-as-found" | "fail" | "not-judged" | "out-of-limits" | "one-failed" | "one-not-judged" | "one-missing" | "old-gauge";

export type BenchStep =
  | { readonly step: "bench-test"; readonly set: number; readonly kind: TestKind; readonly at: number }
  | { readonly step: "work"; readonly set: number; readonly kind: "service" | "inspection"; readonly all: boolean; readonly kits: "all" | "none" | "one-short" }
  | { readonly step: "shelf"; readonly set: number; readonly kits: number }
  | { readonly step: "order-open"; readonly set: number; readonly asks: oracle.OrderKind; readonly wrongSite: boolean }
  | { readonly step: "order-take" | "order-park" | "order-resume"; readonly which: number }
  | { readonly step: "order-close"; readonly which: number; readonly outcome: "done" | "dropped" }
  | { readonly step: "order-through"; readonly set: number; readonly asks: oracle.OrderKind; readonly leaveOut: "nothing" | "work" }
  | { readonly step: "lift" | "custody"; readonly set: number; readonly wrongSite: boolean }
  | { readonly step: "confirm"; readonly which: number; readonly component: "none" | "fitted" | "of-another-set" }
  | { readonly step: "notice"; readonly set: number; readonly of: oracle.Position; readonly shape: keyof typeof SHAPES }
  | { readonly step: "notice-clear"; readonly which: number }
  | { readonly step: "register-late"; readonly serial: number };

/** Ranges around one number, so that a set's own part lies in it, close to it or away from it. */
const SHAPES = {
  exact: (n: number) => ({ digits: 6, low: n, high: n }),
  "three-wide": (n: number) => ({ digits: 6, low: Math.max(0, n - 1), high: n + 1 }),
  beside: (n: number) => ({ digits: 6, low: n + 1, high: n + 1 }),
  "digit-less": (n: number) => ({ digits: 5, low: n, high: n }),
  "digit-more": (n: number) => ({ digits: 7, low: n * 10, high: n * 10 + 3 }),
  "far-off": (n: number) => ({ digits: 6, low: n + 400_123, high: n + 400_125 }),
  every: () => ({ digits: null, low: 0, high: 0 }),
  "late-ones": () => ({ digits: 6, low: 701_001, high: 701_003 }),
} satisfies Record<string, (n: number) => Pick<Range, "digits" | "low" | "high">>;

const set = fc.nat(2);
const which = fc.nat(5);
const rarely = fc.nat(9).map((n) => n === 0);
const asks = fc.constantFrom<oracle.OrderKind>("inspection", "service", "repair", "notice", "new-component");
const step = <S extends BenchStep["step"]>(name: S) => fc.constant(name);

export const benchSteps: readonly { weight: number; arbitrary: fc.Arbitrary<BenchStep> }[] = [
  { weight: 4, arbitrary: fc.record({ step: step("bench-test"), set, kind: fc.constantFrom<TestKind>("pass", "pass", "as-found", "fail-as-found", "not-judged-as-found", "fail", "not-judged", "out-of-limits", "one-failed", "one-not-judged", "one-missing", "old-gauge"), at: fc.nat(12) }) },
  { weight: 4, arbitrary: fc.record({ step: step("work"), set, kind: fc.constantFrom("service" as const, "inspection" as const, "inspection" as const), all: fc.nat(3).map((n) => n > 0), kits: fc.constantFrom("all" as const, "all" as const, "all" as const, "none" as const, "one-short" as const) }) },
  { weight: 1, arbitrary: fc.record({ step: step("shelf"), set, kits: fc.constantFrom(0, 1, 4, 5, 100) }) },
  { weight: 2, arbitrary: fc.record({ step: step("order-open"), set, asks, wrongSite: rarely }) },
  { weight: 3, arbitrary: fc.record({ step: fc.constantFrom("order-take" as const, "order-take" as const, "order-park" as const, "order-resume" as const), which }) },
  { weight: 2, arbitrary: fc.record({ step: step("order-close"), which, outcome: fc.constantFrom("done" as const, "dropped" as const) }) },
  { weight: 2, arbitrary: fc.record({ step: step("order-through"), set, asks, leaveOut: fc.constantFrom("nothing" as const, "nothing" as const, "work" as const) }) },
  { weight: 2, arbitrary: fc.record({ step: fc.constantFrom("lift" as const, "lift" as const, "custody" as const), set, wrongSite: rarely }) },
  { weight: 2, arbitrary: fc.record({ step: step("confirm"), which, component: fc.constantFrom("none" as const, "fitted" as const, "of-another-set" as const) }) },
  { weight: 2, arbitrary: fc.record({ step: step("notice"), set, of: fc.constantFrom<oracle.Position>("first-stage", "primary", "alternate", "gauge"), shape: fc.constantFrom(...(Object.keys(SHAPES) as (keyof typeof SHAPES)[])) }) },
  { weight: 1, arbitrary: fc.record({ step: step("notice-clear"), which }) },
  { weight: 1, arbitrary: fc.record({ step: step("register-late"), serial: fc.constantFrom(701_001, 701_003, 701_004, 70_101, 1) }) },
];

interface Needed {
  readonly position: oracle.Position;
  readonly name: string;
  readonly supplyCbar?: number;
  readonly atCbar?: number;
  readonly gauge: "pressure" | "effort" | null;
  /** At the very limit. */
  readonly good: number;
  /** Just beyond it. */
  readonly bad: number;
}
const ofSecond = (position: "primary" | "alternate", good: number, bad: number): Needed[] => [
  { position, name: "cracking-effort", gauge: "effort", good, bad },
  { position, name: "vacuum-held", gauge: null, good: 1, bad: 0 },
  { position, name: "immersion-leak", gauge: null, good: 0, bad: 1 },
];
/** What a passed test has to hold, by the limits of the room's models. */
const NEEDED: readonly Needed[] = [
  { position: "first-stage", name: "intermediate-pressure", supplyCbar: 20_000, gauge: "pressure", good: 1_000, bad: 1_001 },
  { position: "first-stage", name: "intermediate-pressure", supplyCbar: 5_000, gauge: "pressure", good: 900, bad: 899 },
  { position: "first-stage", name: "creep", supplyCbar: 20_000, gauge: "pressure", good: 30, bad: 31 },
  ...ofSecond("primary", 320, 321),
  ...ofSecond("alternate", 300, 299),
  { position: "gauge", name: "gauge-zero", gauge: null, good: 0, bad: 1 },
  ...[5_000, 10_000, 20_000].map((atCbar): Needed => ({ position: "gauge", name: "gauge-error", atCbar, gauge: "pressure", good: 0, bad: 0 })),
];

/** What a test recorded like that is refused with: only one that calls itself passed can be contradicted. */
const CONTRADICTED: Readonly<Partial<Record<TestKind, string>>> = { "out-of-limits": "test-not-passed", "one-failed": "test-not-passed", "one-not-judged": "test-incomplete", "one-missing": "test-incomplete", "old-gauge": "gauge-out-of-date" };

/** Readings of every stage in the set, at the very limits. What is wrong is wrong with one of them: the one `at` that place. */
export async function benchTest(world: World, n: number, kind: TestKind, at = 0): Promise<void> {
  const { id } = world.set(n);
  const site = world.siteOf(world.set(n));
  const verdict = kind.startsWith("fail") ? "fail" : kind.startsWith("not-judged") ? "not-judged" : "pass";
  const gauges = world.ground.gauges[site]!;
  const parts = oracle.componentsIn(world.log, id);
  const needed = NEEDED.filter((one) => parts.some(({ position }) => position === one.position) && (kind !== "out-of-limits" || one.bad !== one.good) && (kind !== "old-gauge" || one.gauge !== null));
  const wrong = needed[at % needed.length]!;
  const readings = parts.flatMap(({ component, position }) =>
    NEEDED.flatMap((one) => {
      const isWrong = one === wrong;
      if (one.position !== position || (kind === "one-missing" && isWrong)) return [];
      return [{
        component, name: one.name, supplyCbar: one.supplyCbar ?? null, atCbar: one.atCbar ?? null, value: isWrong && kind === "out-of-limits" ? one.bad : one.good, adjuster: null, venturi: null,
        gauge: one.gauge === null ? null : gauges[isWrong && kind === "old-gauge" ? "old" : one.gauge],
        verdict: isWrong && kind === "one-not-judged" ? "not-judged" : isWrong && kind === "one-failed" ? "fail" : verdict, why: null, low: null, high: null,
      }];
    }),
  );
  const asLeft = !kind.endsWith("as-found");
  const stop = oracle.untouchable(world.log, id, site) ?? CONTRADICTED[kind] ?? null;
  const order = bench.takenOrder(world.log, id)?.order ?? null;
  const input = { phase: asLeft ? "as-left" : "as-found", verdict, words: "", order, readings, curves: [] };
  if ((await world.expectAct(stop, "record_bench_test", "technician", site, [id, input])) === null) return;
  // Wrong as found, or not proved right as left: what was released is so no more.
  const bad = verdict === "fail" || (asLeft && verdict !== "pass");
  world.note({ kind: bad ? "test-failed" : "bench-tested", set: id, asLeft, verdict });
}

export async function work(world: World, n: number, kind: "service" | "inspection", all: boolean, laid: "all" | "none" | "one-short" = "all"): Promise<void> {
  const { id } = world.set(n);
  const site = world.siteOf(world.set(n));
  const parts = oracle.componentsIn(world.log, id).map(({ component }) => component);
  const components = all ? parts : parts.slice(0, 1);
  const laidOut = kind === "inspection" || laid === "none" ? [] : laid === "one-short" ? components.slice(1) : components;
  const order = bench.takenOrder(world.log, id)?.order ?? null;
  const stop = oracle.untouchable(world.log, id, site) ?? (kind === "service" ? bench.stopsService(world.log, site, components, laidOut, id) : null);
  const input = { kind, components, oxygenClean: false, words: "Done", order, kits: world.ground.room.kitsFor(laidOut) };
  if ((await world.expectAct(stop, "record_work", "technician", site, [id, input])) === null) return;
  world.note({ kind: kind === "service" ? "serviced" : "inspected", set: id, components, order });
  if (laidOut.length > 0) world.note({ kind: "kits-used", site, kits: laidOut.length });
}

export async function stockShelf(world: World, site: string, kits: number): Promise<void> {
  const answer = await world.expectAct(null, "move_kit", "technician", site, [world.ground.room.kit, { kind: "counted", quantity: kits, lot: null, words: "" }]);
  expect(answer!["stock"]).toBe(kits);
  world.note({ kind: "kits-counted", site, kits });
}

/** Opens an order for something there is to do, as far as there is; answers it, also when it was there already. */
async function openOrder(world: World, n: number, wanted: oracle.OrderKind, wrongSite = false): Promise<bench.Order | null> {
  const { id } = world.set(n);
  const site = world.siteOf(world.set(n), wrongSite);
  const about = wanted === "repair" ? oracle.openFaults(world.log).find((one) => one.set === id)?.fault : wanted === "notice" ? bench.openNotices(world.log, id)[0]?.notice : undefined;
  const kind = (wanted === "repair" || wanted === "notice") && about === undefined ? "inspection" : wanted;
  const stop = bench.stopsOpening(world.log, id, site, kind, about ?? null);
  const input = { kind, fault: kind === "repair" ? about : null, notice: kind === "notice" ? about : null, weekOn: null, words: "" };
  const opened = await world.expectAct(stop, "open_work_order", "technician", site, [id, input]);
  if (opened !== null) world.note({ kind: "order-opened", set: id, order: opened["order"] as string, asks: kind, about: about ?? null });
  return bench.orders(world.log).find((one) => one.set === id && one.asks === kind && one.about === (about ?? null) && !one.closed) ?? null;
}

async function onOrder(world: World, one: bench.Order, act: "take" | "park" | "resume"): Promise<void> {
  const site = oracle.siteOf(world.log, one.set);
  const stop = { take: bench.stopsTaking, park: bench.stopsParking, resume: bench.stopsResuming }[act](world.log, one, site);
  const values = act === "park" ? [one.order, "No seals", null] : [one.order];
  if ((await world.expectAct(stop, `${act}_work_order`, "technician", site, values)) === null) return;
  world.note({ kind: act === "take" ? "order-taken" : act === "park" ? "order-parked" : "order-resumed", set: one.set, order: one.order });
}

export async function closeOrder(world: World, one: bench.Order, outcome: "done" | "dropped"): Promise<void> {
  const site = oracle.siteOf(world.log, one.set);
  const stop = bench.stopsClosing(world.log, one, site, outcome);
  const close = { outcome, minutes: outcome === "done" ? 25 : null, words: "" };
  if ((await world.expectAct(stop, "close_work_order", "technician", site, [one.order, close])) !== null) world.note({ kind: "order-closed", set: one.set, order: one.order });
}

/** An order from its opening to its end, with the work it asks for or without. */
async function orderThrough(world: World, { set: n, asks: wanted, leaveOut }: Extract<BenchStep, { step: "order-through" }>): Promise<void> {
  const order = await openOrder(world, n, wanted);
  if (order === null) return;
  await onOrder(world, order, "take");
  const { id } = world.set(n);
  if (leaveOut === "nothing") {
    for (const open of oracle.openFaults(world.log)) if (open.fault === order.about) await clearFault(world, open, true);
    for (const open of bench.openNotices(world.log, id)) if (open.notice === order.about) await clearNotice(world, open);
    if (order.asks === "service" || order.asks === "inspection") await work(world, n, order.asks, false);
    await benchTest(world, n, "pass");
  }
  const now = bench.orders(world.log).find((one) => one.order === order.order)!;
  await closeOrder(world, now, "done");
}

export async function clearFault(world: World, open: { fault: string; set: string }, opened: boolean): Promise<void> {
  const site = oracle.siteOf(world.log, open.set);
  const stop = oracle.untouchable(world.log, open.set, site);
  if ((await world.expectAct(stop, "clear_fault", "technician", site, [open.fault, "mended", "Renewed", opened])) === null) return;
  if (opened) world.note({ kind: "opened", set: open.set });
  world.note({ kind: "fault-cleared", set: open.set, fault: open.fault });
}

export async function clearNotice(world: World, { notice, component, open }: oracle.Match): Promise<void> {
  const place = oracle.placeOf(world.log, component);
  const isAway = place !== null && oracle.isOut(world.log, place.set);
  const stop = place !== null && oracle.isSealed(world.log, place.set) ? "evidence-lock" : isAway ? "out" : open ? null : "already-cleared";
  if ((await world.expectAct(stop, "clear_notice", "technician", oracle.homeOf(world.log, component), [notice, component, "Seat renewed"])) !== null) world.note({ kind: "notice-cleared", notice, component });
}

async function openNotice(world: World, { set: n, of, shape }: Extract<BenchStep, { step: "notice" }>): Promise<void> {
  const part = oracle.partsOf(world.log).find((one) => one.component === world.set(n).parts[of])!;
  const range: Range = { model: part.model, prefix: part.serial.slice(0, 2), ...SHAPES[shape](Number(part.serial.slice(2))) };
  const { model, prefix, digits } = range;
  const written = { model, prefix, digits, low: digits === null ? null : String(range.low), high: digits === null ? null : String(range.high) };
  const input = { title: "Seats", reference: `N-${world.log.length}`, hazard: "Gas stops", remedy: "New seat", publishedOn: "2027-11-01", ranges: [written] };
  const answer = await world.expectAct(null, "open_notice", "technician", world.ground.sites[0], [input]);
  const notice = answer!["notice"] as string;
  world.note({ kind: "notice", notice, ranges: [range] });
  const found = oracle.matches(world.log).filter((one) => one.notice === notice);
  const sets = new Set(found.flatMap(({ component }) => oracle.placeOf(world.log, component)?.set ?? []));
  expect([answer!["components"], answer!["sets"]], "a notice finds what it is about").toEqual([found.length, sets.size]);
}

/** A set comes in after the notices: its parts are matched as it is registered. */
async function registerLate(world: World, serial: number): Promise<void> {
  const site = world.ground.sites[0];
  const { models } = world.ground.room;
  const tag = `L-${serial}`;
  if (oracle.partsOf(world.log).some((one) => one.serial === `FI${serial}`)) return;
  const day = oracle.today(world.log, site, world.now);
  const parts = [{ model: models.first, position: "first-stage" as const, serial: `FI${serial}` }, { model: models.second, position: "primary" as const, serial: `pr-${serial}` }];
  const bought = { boughtOn: oracle.dayText(day), inUseOn: oracle.dayText(day) };
  const answer = await world.expectAct(null, "register_set", "technician", site, [tag, JSON.stringify(parts.map((one) => ({ ...one, ...bought })))]);
  const id = answer!["set"] as string;
  const { rows } = await world.client.query<{ position: string; component: string }>("SELECT position, component_id AS component FROM fitting WHERE set_id = $1", [id]);
  world.note({ kind: "registered", set: id, site, parts: parts.map((one) => ({ ...one, bought: day, inUse: day, component: rows.find((row) => row.position === one.position)!.component })) });
}

async function confirmFault(world: World, { which: at, component }: Extract<BenchStep, { step: "confirm" }>): Promise<void> {
  const reported = world.log.filter((f) => f.kind === "fault");
  const fault = reported[at % Math.max(1, reported.length)];
  if (fault?.kind !== "fault") return;
  const site = oracle.siteOf(world.log, fault.set);
  const other = world.ground.sets.find(({ id }) => id !== fault.set)!;
  const found = component === "none" ? null : component === "fitted" ? (oracle.componentsIn(world.log, fault.set)[0]?.component ?? null) : other.parts.primary;
  const stop = bench.stopsConfirming(world.log, fault.fault, site, component !== "of-another-set");
  if ((await world.expectAct(stop, "confirm_fault", "technician", site, [fault.fault, { code: "SS-03", component: found, words: "Seen" }])) !== null) world.note({ kind: "fault-confirmed", set: fault.set, fault: fault.fault });
}

async function onSeal(world: World, { step: name, set: n, wrongSite }: Extract<BenchStep, { step: "lift" | "custody" }>): Promise<void> {
  const { id } = world.set(n);
  const site = world.siteOf(world.set(n), wrongSite);
  const stop = wrongSite ? "no-such-set" : oracle.isSealed(world.log, id) ? null : "not-sealed";
  if (name === "custody") {
    await world.expectAct(stop, "note_custody", "technician", site, [id, { from: "Police", to: "Insurer", place: "Safe", words: "" }]);
    return;
  }
  if ((await world.expectAct(stop, "lift_evidence", "manager", site, [id, "Harbour police", "Closed"])) !== null) world.note({ kind: "seal-lifted", set: id });
}

export async function benchStep(world: World, one: BenchStep): Promise<void> {
  switch (one.step) {
    case "bench-test":
      return benchTest(world, one.set, one.kind, one.at);
    case "work":
      return work(world, one.set, one.kind, one.all, one.kits);
    case "shelf":
      return stockShelf(world, world.siteOf(world.set(one.set)), one.kits);
    case "order-open":
      return void (await openOrder(world, one.set, one.asks, one.wrongSite));
    case "order-through":
      return orderThrough(world, one);
    case "order-take": case "order-park": case "order-resume": case "order-close": {
      const all = bench.orders(world.log);
      const order = all[one.which % Math.max(1, all.length)];
      if (order === undefined) return;
      return one.step === "order-close" ? closeOrder(world, order, one.outcome) : onOrder(world, order, one.step.slice("order-".length) as "take");
    }
    case "notice":
      return openNotice(world, one);
    case "notice-clear": {
      const all = oracle.matches(world.log);
      return all.length === 0 ? undefined : clearNotice(world, all[one.which % all.length]!);
    }
    case "register-late":
      return registerLate(world, one.serial);
    case "confirm":
      return confirmFault(world, one);
    default:
      return onSeal(world, one);
  }
}
