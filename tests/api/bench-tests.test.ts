/** Bench tests: judged by the server alone, whatever was sent; and what the record tells of them later. */
import { acceptBenchLimits, acceptBuild, openWorkOrder, recordBenchTest, takeWorkOrder } from "@hangrail/db/bench-acts";
import { day } from "@hangrail/rules/calendar";
import { afterAll, beforeAll, expect, test } from "vitest";
import { aRequest, codeOf, digestOf, failure, makeApiRoom, type ApiRoom, type Caller } from "../support/api.ts";
import { done, type RoomSet } from "../support/kit-room.ts";

let at: ApiRoom;
let technician: Caller;
let master: string;
let late: string;
const page = "Workshop manual, page 14";

beforeAll(async () => {
  at = await makeApiRoom({ stoppedAt: "2026-03-20T08:00:00Z", sets: 1 });
  technician = (await at.as("technician")).api;
  const { room } = at;
  const by = () => room.by("technician");
  done(await acceptBenchLimits(room.db, by(), room.models.gauge, [{ name: "gauge-error-low", low: null, high: 500, page }, { name: "gauge-error", low: null, high: 1_000, page }]));
  done(await acceptBuild(room.db, by(), room.models.first, { balance: "balanced", hpPorts: 2, lpPorts: 4, lpHalfInchPorts: 0, plugsInto: null, serviceMinutes: 60, inspectionMinutes: 20, page }));
  const gauge = (name: string, over: object = {}) => ({ name, serial: name, measures: "pressure" as const, spanLow: 0, spanHigh: 30_000, classTenths: 6, calibratedOn: day("2026-01-01"), validUntil: day("2027-01-01"), certificate: "C 9", ...over });
  master = done(await technician.gauges.add(gauge("Master"))).gauge;
  late = done(await technician.gauges.add(gauge("Late", { spanHigh: 1_600, classTenths: 10, calibratedOn: day("2025-01-01"), validUntil: day("2026-03-19") }))).gauge;
});
afterAll(() => at.close());

type Sent = Parameters<Caller["benchTests"]["record"]>[0];
type Reading = Sent["readings"][number];

const reading = (component: string, name: Reading["name"], value: number, over: Partial<Reading> = {}): Reading => ({
  component, name, value, supplyCbar: null, at: null, gauge: null, adjuster: "none", venturi: "none", ...over,
});

/** Everything in the middle of the limits. */
function goodReadings({ parts }: RoomSet): Reading[] {
  const { pressure, effort } = at.room.gauges;
  const against = (shown: number) => reading(parts.gauge, "gauge-error", 100, { at: shown, gauge: master });
  return [
    reading(parts["first-stage"], "intermediate-pressure", 950, { supplyCbar: 20_000, gauge: pressure }),
    reading(parts["first-stage"], "creep", 10, { supplyCbar: 20_000, gauge: pressure }),
    reading(parts["first-stage"], "intermediate-pressure", 940, { supplyCbar: 5_000, gauge: pressure }),
    ...([["primary", 260], ["alternate", 400]] as const).flatMap(([position, value]) => [
      reading(parts[position], "cracking-effort", value, { gauge: effort, adjuster: "out", venturi: "dive" }),
      reading(parts[position], "vacuum-held", 1),
      reading(parts[position], "immersion-leak", 0),
    ]),
    reading(parts.gauge, "gauge-zero", 0),
    against(5_000), against(10_000), against(20_000),
  ];
}

const sent = (set: RoomSet, over: Partial<Sent> = {}): Sent => ({ requestId: aRequest(), setId: set.id, phase: "as-left", words: "", orderId: null, readings: goodReadings(set), curves: [], ...over });
const record = (set: RoomSet, over: Partial<Sent> = {}) => technician.benchTests.record(sent(set, over));
const newest = async (set: RoomSet) => (await technician.benchTests.past({ tag: set.tag, before: null })).tests[0]!;

test("the form has the parts with the limits in force, and each gauge as it stands today", async () => {
  const set = at.room.sets[0]!;
  const form = await technician.benchTests.form({ tag: set.tag });
  expect(form.parts.map(({ role, component }) => [role, component])).toEqual(Object.entries(set.parts));
  expect(form.parts[0]).toMatchObject({ balance: "balanced", maker: "Tarnfell", limits: [{ name: "creep", low: null, high: 30 }, { name: "intermediate-pressure", low: 900, high: 1_000 }, { name: "supply-change", low: null, high: 50 }] });
  expect(form.gauges.find(({ name }) => name === "Late")).toMatchObject({ calibration: "out-of-date", errorThousandths: 16_000, resolutionThousandths: 3_200 });
  expect(form.gauges.find(({ name }) => name === "Master")).toMatchObject({ calibration: "in-calibration", calibratedUntil: "2027-01-01" });
  expect(await codeOf(technician.benchTests.form({ tag: "NO-SUCH" }))).toBe("NOT_FOUND");
});

test("a whole test passes, is kept reading by reading, and lets the set be released", async () => {
  const set = await at.room.registerSet();
  await at.room.service([set]);
  expect(await record(set)).toMatchObject({ answer: "done", verdict: "pass", complete: true });
  const kept = await newest(set);
  expect(kept).toMatchObject({ phase: "as-left", verdict: "pass", testedBy: "Tove Stone" });
  expect(kept.parts.map(({ role }) => role)).toEqual(["first-stage", "primary", "alternate", "gauge"]);
  expect(kept.readings.find(({ name }) => name === "supply-change")).toMatchObject({ value: -10, verdict: "pass", low: -50, high: 50, gauge: null });
  expect(kept.readings.find(({ name }) => name === "cracking-effort")).toMatchObject({ value: 260, adjuster: "out", venturi: "dive", gauge: "Test gauge, effort", low: 200, high: 320 });
  expect(kept.readings.find(({ name, atCbar }) => name === "gauge-error" && atCbar === 5_000)).toMatchObject({ low: -500, high: 500, gauge: "Master" });
  const { rows } = await at.owner.query("SELECT FROM regulator_set WHERE id = $1 AND tested_seq >= retest_seq", [set.id]);
  expect(rows).toHaveLength(1);
});

test("a verdict cannot be sent along", async () => {
  const set = at.room.sets[0]!;
  expect(await codeOf(technician.benchTests.record({ ...sent(set), verdict: "pass" } as Sent))).toBe("BAD_REQUEST");
  const [first, ...others] = goodReadings(set);
  expect(await codeOf(technician.benchTests.record(sent(set, { readings: [{ ...first!, verdict: "pass" } as Reading, ...others] })))).toBe("BAD_REQUEST");
});

test("one reading past its limit fails the test, which is recorded as failed", async () => {
  const set = await at.room.registerSet();
  const readings = goodReadings(set).map((one) => (one.name === "creep" ? { ...one, value: 90 } : one));
  expect(await record(set, { readings })).toMatchObject({ answer: "done", verdict: "fail" });
  expect((await newest(set)).readings.find(({ name }) => name === "creep")).toMatchObject({ value: 90, verdict: "fail", why: "high", high: 30 });
});

test("what was not read, or cannot be judged, keeps a test from passing", async () => {
  const set = await at.room.registerSet();
  await at.room.service([set]);
  const without = goodReadings(set).filter(({ name }) => name !== "vacuum-held");
  expect(await record(set, { readings: without, phase: "as-found" })).toMatchObject({ verdict: "not-judged", complete: false });
  const onLate = goodReadings(set).map((one) => (one.name === "intermediate-pressure" ? { ...one, gauge: late } : one));
  expect(await record(set, { readings: onLate })).toMatchObject({ verdict: "not-judged", complete: true });
  expect((await newest(set)).readings[0]).toMatchObject({ verdict: "not-judged", why: "out-of-calibration", gauge: "Late" });
  const turnedIn = goodReadings(set).map((one) => (one.name === "cracking-effort" ? { ...one, adjuster: "in" as const, venturi: "pre-dive" as const } : one));
  expect(await record(set, { readings: turnedIn })).toMatchObject({ verdict: "not-judged" });
  expect((await newest(set)).readings.find(({ name }) => name === "cracking-effort")).toMatchObject({ why: "adjuster-position venturi-position" });
  const { rows } = await at.owner.query("SELECT FROM regulator_set WHERE id = $1 AND tested_seq >= retest_seq", [set.id]);
  expect(rows).toHaveLength(0);
});

test("a gauge of ±0.6 bar cannot prove 9.5 from 10.0", async () => {
  const set = await at.room.registerSet();
  const coarse = done(await technician.gauges.add({ name: "Coarse", serial: "C", measures: "pressure", spanLow: 0, spanHigh: 2_500, classTenths: 25, calibratedOn: day("2026-01-01"), validUntil: day("2027-01-01"), certificate: "C 1" })).gauge;
  const readings = goodReadings(set).map((one) => (one.component === set.parts["first-stage"] ? { ...one, gauge: coarse } : one));
  expect(await record(set, { readings })).toMatchObject({ verdict: "not-judged" });
  expect((await newest(set)).readings[0]).toMatchObject({ value: 950, verdict: "not-judged", why: "gauge-cannot-tell" });
});

/** Opened at 5 s; locks up at so much, creeps evenly over five minutes. */
function curveOf(lockUp: number, creep: number, seconds = 320): [number, number][] {
  return Array.from({ length: seconds + 1 }, (_, s) => [s, s < 5 ? 0 : s < 8 ? Math.round((lockUp * (s - 4)) / 4) : lockUp + Math.round((Math.min(s - 8, 300) * creep) / 300)]);
}

test("lock-up and creep are found in a pasted curve, and the curve is kept", async () => {
  const set = await at.room.registerSet();
  const pasted = goodReadings(set).filter(({ name, supplyCbar }) => name !== "creep" && !(name === "intermediate-pressure" && supplyCbar === 20_000));
  const curve = { component: set.parts["first-stage"], supplyCbar: 20_000, gauge: at.room.gauges.pressure, points: curveOf(950, 12) };
  expect(await record(set, { readings: pasted, curves: [curve] })).toMatchObject({ answer: "done", verdict: "pass" });
  const kept = await newest(set);
  const found = kept.readings.filter(({ supplyCbar }) => supplyCbar === 20_000).map(({ name, value, verdict }) => [name, value, verdict]);
  expect(found).toEqual([["intermediate-pressure", 950, "pass"], ["creep", 12, "pass"]]);
  expect(kept.curves[0]).toMatchObject({ count: 321, supplyCbar: 20_000, found: { answer: "found", lockUp: 950 } });
  const short = { ...curve, points: curveOf(950, 12, 100) };
  expect(await record(set, { readings: pasted, curves: [short] })).toMatchObject({ verdict: "not-judged", complete: false });
  const creeping = { ...curve, points: curveOf(950, 60) };
  expect(await record(set, { readings: pasted, curves: [creeping] })).toMatchObject({ verdict: "fail" });
});

test("a curve of twenty thousand points is taken and drawn with few; one more is refused", async () => {
  const set = await at.room.registerSet();
  const long = Array.from({ length: 20_000 }, (_, n): [number, number] => [n / 10, n < 50 ? 0 : 950]);
  const curve = { component: set.parts["first-stage"], supplyCbar: 20_000, gauge: at.room.gauges.pressure, points: long };
  expect(await record(set, { readings: [], curves: [curve] })).toMatchObject({ answer: "done" });
  const [kept] = (await newest(set)).curves;
  expect(kept).toMatchObject({ count: 20_000 });
  expect(kept!.points.length).toBeLessThanOrEqual(600);
  expect(await codeOf(record(set, { readings: [], curves: [{ ...curve, points: [...long, [9_999, 950]] }] }))).toBe("BAD_REQUEST");
});

test("what makes no sense is refused with a sentence, and nothing is written", async () => {
  const set = at.room.sets[0]!;
  const other = await at.room.registerSet();
  const before = await digestOf(at.owner);
  const curve = { component: set.parts["first-stage"], supplyCbar: 20_000, gauge: null, points: curveOf(950, 12) };
  expect((await failure(record(set, { readings: [] }))).message).toContain("Nothing was read");
  expect((await failure(record(set, { curves: [{ ...curve, points: [[5, 900], [4, 900]] }] }))).message).toContain("must not go back");
  expect((await failure(record(set, { curves: [{ ...curve, component: set.parts.primary }] }))).message).toContain("no first stage");
  expect(await codeOf(record(set, { readings: Array.from({ length: 201 }, () => goodReadings(set)[0]!) }))).toBe("BAD_REQUEST");
  expect(await codeOf(record(set, { curves: Array.from({ length: 5 }, () => curve) }))).toBe("BAD_REQUEST");
  expect(await codeOf(record(set, { readings: [reading(set.parts.primary, "cracking-effort", 2.5)] }))).toBe("BAD_REQUEST");
  expect(await record(set, { readings: goodReadings(other) })).toMatchObject({ answer: "refused", code: "not-fitted" });
  // One among many that are of this set, whatever was read of it, is not passed over.
  for (const stray of [...goodReadings(other), reading(aRequest(), "vacuum-held", 1), reading(other.parts.primary, "drop-at-purge", 100), reading(other.parts.gauge, "vacuum-held", 7)]) {
    expect(await record(set, { readings: [...goodReadings(set), stray] })).toEqual({ answer: "refused", code: "not-fitted", facts: {} });
    expect(await record(set, { phase: "as-found", readings: [stray, ...goodReadings(set)] })).toEqual({ answer: "refused", code: "not-fitted", facts: {} });
  }
  // So is a curve of a part that was taken off in the meantime.
  const gone = { phase: "as-found", verdict: "fail", words: "", order: null, readings: [], curves: [{ component: other.parts["first-stage"], supplyCbar: 20_000, points: [[0, 950]] }] } as const;
  expect(await recordBenchTest(at.room.db, at.room.by("technician"), set.id, gone)).toEqual({ answer: "refused", code: "not-fitted", facts: {} });
  expect(await record(set, { orderId: aRequest() })).toMatchObject({ answer: "refused", code: "order-not-taken" });
  expect(await record(set, { readings: [{ ...goodReadings(set)[0]!, gauge: aRequest() }] })).toMatchObject({ answer: "refused", code: "no-such-gauge" });
  expect(await digestOf(at.owner)).toBe(before);
});

test("pressed twice it is recorded once, under the order it belongs to", async () => {
  const set = await at.room.registerSet();
  const { room } = at;
  const { order } = done(await openWorkOrder(room.db, room.by("manager"), set.id, { kind: "new-component", fault: null, notice: null, weekOn: null, words: "" }));
  done(await takeWorkOrder(room.db, room.by("technician"), order));
  expect((await technician.benchTests.form({ tag: set.tag })).orders).toMatchObject([{ id: order, takenBy: "Tove Stone" }]);
  const same = sent(set, { orderId: order, phase: "as-found", words: "As it came" });
  const first = await technician.benchTests.record(same);
  expect(first).toMatchObject({ answer: "done" });
  expect(await technician.benchTests.record(same)).toMatchObject({ answer: "done", repeat: true });
  const { tests, more } = await technician.benchTests.past({ tag: set.tag, before: null });
  expect(tests).toMatchObject([{ order, phase: "as-found", words: "As it came" }]);
  expect(more).toBe(false);
});

test("earlier tests come page by page, none twice", async () => {
  const set = await at.room.registerSet();
  for (let n = 0; n < 10; n += 1) await record(set, { words: `Test ${n}` });
  const first = await technician.benchTests.past({ tag: set.tag, before: null });
  expect(first.more).toBe(true);
  const rest = await technician.benchTests.past({ tag: set.tag, before: first.tests.at(-1)!.seq });
  expect(rest.more).toBe(false);
  expect([...first.tests, ...rest.tests].map(({ words }) => words)).toEqual(Array.from({ length: 10 }, (_, n) => `Test ${9 - n}`));
});
