/**
 * An id of another site is worth as much as one that does not exist: every procedure that takes an id
 * gives both the same answer, and neither changes anything.
 */
import { randomUUID } from "node:crypto";
import { handOut, mixBath, refit, startWash, transferSet } from "@hangrail/db/acts";
import { addGauge, moveKit, openNotice, openWorkOrder, orderKit, reportFault, takeWorkOrder } from "@hangrail/db/bench-acts";
import { addPerson, authorise, enrolDevice, setPolicy, type StaffRole } from "@hangrail/db/people-acts";
import { mondayOf } from "@hangrail/api/plan-facts";
import { newToken, tokenHash } from "@hangrail/api/secrets";
import { makeBookings, openCalendar } from "@hangrail/db/plan-acts";
import { addDays, day } from "@hangrail/rules/calendar";
import { TRPCError } from "@trpc/server";
import { afterAll, beforeAll, expect, test } from "vitest";
import { aRequest, digestOf, makeApiRoom, PIN, procedures, secrets, terms, type ApiRoom, type JsonSchema } from "../support/api.ts";
import { aHire, done, KitRoom, MAKER, type RoomSet } from "../support/kit-room.ts";

interface Theirs {
  readonly site: string;
  readonly set: RoomSet;
  readonly seq: number;
  readonly out: RoomSet;
  readonly hire: string;
  readonly fault: string;
  /** An order that waits, and one that was taken to the bench. */
  readonly order: string;
  readonly taken: string;
  readonly kitOrder: string;
  /** A component a notice is about, and the notice, which is the whole chain's. */
  readonly noticed: string;
  readonly notice: string;
  readonly gauge: string;
  readonly bath: string;
  readonly run: string;
  readonly washing: RoomSet;
  readonly spare: string;
  readonly person: string;
  readonly technician: string;
  readonly device: string;
  readonly booking: string;
  readonly feed: string;
}

let at: ApiRoom;
let theirs: Theirs;
let ours: { readonly ready: RoomSet; readonly out: RoomSet; readonly unready: RoomSet; readonly fault: string; readonly bath: string; readonly run: string };
let onlyHere: string;
/** The token of a tablet enrolled at our site. */
let tablet: string;
let backOn: ReturnType<typeof day>;

beforeAll(async () => {
  at = await makeApiRoom({ sets: 9 });
  const { room } = at;
  const site = await room.openSite("Lake Dive Centre");
  const chief = () => ({ ...room.by("manager"), site });
  // The room's own manager looks after both sites; the one who asks here has this one alone.
  onlyHere = done(await addPerson(room.db, room.by("manager"), { name: "Mads", login: "mads", passwordHash: "none", pinHash: null }, ["manager"])).staff;
  const person = async (name: string, role: StaffRole): Promise<string> =>
    done(await addPerson(room.db, chief(), { name, login: name.toLowerCase(), passwordHash: "none", pinHash: secrets().pinHash }, [role])).staff;
  const people = { manager: await person("Berta", "manager"), desk: await person("Benno", "desk"), "wash-room": await person("Bruno", "wash-room"), technician: await person("Bella", "technician") };
  done(await authorise(room.db, chief(), people.technician, MAKER, true, day("2000-01-01"), day("2099-12-31"), "Course certificate 7"));
  const [ready, out, unready, washing, ...moved] = room.sets as [RoomSet, RoomSet, RoomSet, RoomSet, ...RoomSet[]];
  for (const { id } of moved) done(await transferSet(room.db, room.by("manager"), id, site));
  done(await setPolicy(room.db, chief(), { dryingMinutes: 30 }));
  const calibrated = { calibratedOn: day("2000-01-01"), validUntil: day("2099-12-31"), certificate: "Certificate 9" };
  const gauge = async (measures: "pressure" | "effort"): Promise<string> =>
    done(await addGauge(room.db, chief(), { name: `Lake gauge, ${measures}`, serial: measures, measures, spanLow: 0, spanHigh: 1_600, classTenths: 10, ...calibrated })).gauge;
  const gauges = { pressure: await gauge("pressure"), effort: await gauge("effort") };
  const lake = new KitRoom({ ...room, site, zone: room.zone, people, gauges });
  done(await moveKit(room.db, lake.by("technician"), room.kit, { kind: "received", quantity: 1_000, lot: "L-8", words: "For the lake" }));
  await lake.makeReady(moved);
  backOn = addDays(await room.today(), 3);
  const [set, gone, broken, wet, stripped] = moved as [RoomSet, RoomSet, RoomSet, RoomSet, RoomSet];
  const bathOf = async (where: KitRoom): Promise<string> => done(await mixBath(room.db, where.by("wash-room"), { product: room.product, label: "Tub", lot: null, productMl: 100, waterMl: 9_900 })).bath;
  const wash = async (where: KitRoom, one: RoomSet, bath: string): Promise<string> => {
    done(await refit(room.db, where.by("technician"), { id: one.id, seq: null }, one.parts.alternate, null, "alternate", "Hose looked at"));
    return done(await startWash(room.db, where.by("wash-room"), bath, [one.id])).run;
  };
  const bath = await bathOf(lake);
  const ourBath = await bathOf(room);
  done(await refit(room.db, lake.by("technician"), { id: stripped.id, seq: null }, stripped.parts.gauge, null, "gauge", "Glass scratched"));
  done(await refit(room.db, room.by("technician"), { id: unready.id, seq: null }, unready.parts.gauge, null, "gauge", "Glass scratched"));
  const order = done(await openWorkOrder(room.db, lake.by("technician"), broken.id, { kind: "inspection", fault: null, notice: null, weekOn: null, words: "" })).order;
  const taken = done(await openWorkOrder(room.db, lake.by("technician"), stripped.id, { kind: "inspection", fault: null, notice: null, weekOn: null, words: "" })).order;
  done(await takeWorkOrder(room.db, lake.by("technician"), taken));
  const about = { title: "Seats", reference: "N-1", hazard: "Gas stops", remedy: "New seat", publishedOn: day("2026-01-01"), ranges: [room.firstStageRange(broken)] };
  tablet = newToken();
  done(await enrolDevice(room.db, room.by("manager"), "Our tablet", tokenHash(tablet)));
  theirs = {
    site,
    order,
    taken,
    kitOrder: done(await orderKit(room.db, lake.by("technician"), room.kit, 3, backOn)).order,
    noticed: broken.parts["first-stage"],
    notice: done(await openNotice(room.db, lake.by("technician"), about)).notice,
    gauge: gauges.pressure,
    set,
    seq: (await lake.seen([set]))[0]!.seq,
    out: gone,
    hire: done(await handOut(room.db, lake.by("desk"), aHire(backOn), await lake.seen([gone]))).hire,
    fault: done(await reportFault(room.db, lake.by("desk"), broken.id, { code: "SS-02", severity: "out", component: null, where: "desk", words: "" })).fault,
    bath,
    run: await wash(lake, wet, bath),
    washing: wet,
    spare: stripped.parts.gauge,
    person: people.desk,
    technician: people.technician,
    device: done(await enrolDevice(room.db, lake.by("manager"), "Lake tablet", Buffer.from(randomUUID()))).device,
    booking: await bookingAt(lake),
    feed: done(await openCalendar(room.db, lake.by("technician"), tokenHash(newToken()), "On the lake's wall")).feed,
  };
  done(await handOut(room.db, room.by("desk"), aHire(backOn), await room.seen([out])));
  const fault = done(await reportFault(room.db, room.by("desk"), unready.id, { code: "SS-05", severity: "watch", component: null, where: "desk", words: "" })).fault;
  ours = { ready, out, unready, fault, bath: ourBath, run: await wash(room, washing, ourBath) };
});
afterAll(() => at.close());

async function bookingAt(where: KitRoom): Promise<string> {
  done(await makeBookings(where.db, where.by("desk"), [{ fromOn: backOn, untilOn: backOn, connection: null, cold: false, o2Tenths: 210, teaching: false, sets: 1, words: "", source: "typed" }]));
  return (await where.db.reads.query<{ id: string }>("SELECT id FROM booking WHERE site_id = $1", [where.site])).rows[0]!.id;
}

interface Case {
  /** The field of the input it is about, as "procedure field" (a list's items by the list's name). */
  readonly field: string;
  /** Who asks; "tablet" = nobody yet, at an enrolled device. */
  readonly as: StaffRole | "tablet";
  /** The other site's id, and the input around an id. */
  readonly foreign: () => string;
  readonly input: (id: string) => unknown;
  /** What is answered where that is no refusal: the id is passed over, or told of as one that is not there. */
  readonly answer?: object;
}

const line = (setId: string, over: object = {}) => ({ setId, dives: 1, minutes: null, waterKind: "sea", problem: false, words: null, faultCode: null, component: null, missing: [], ...over });
const report = (setId: string, component: string | null) => ({ requestId: aRequest(), setId, code: "SS-02", component, where: "bench", words: "" });
const work = (setId: string, components: string[]) => ({ requestId: aRequest(), setId, kind: "service", components, oxygenClean: false, words: "Kit fitted" });
const used = (over: object) => ({ ...work(ours.ready.id, [ours.ready.parts.gauge]), kits: [{ component: ours.ready.parts.gauge, kit: at.room.kit, lot: "L-7", quantity: 1, ...over }] });
const reading = (component: string, gauge: string | null = null) => ({ component, name: "drop-at-purge", value: 100, supplyCbar: 20_000, at: null, gauge, adjuster: "none", venturi: "none" });
/** What was read of our ready set, and something else among it. */
const bench = (over: object, ...more: object[]) => ({ requestId: aRequest(), setId: ours.ready.id, phase: "as-found", words: "", orderId: null, readings: [reading(ours.ready.parts["first-stage"]), ...more], curves: [], ...over });
const curve = (over: object) => ({ component: ours.ready.parts["first-stage"], supplyCbar: 20_000, gauge: null, points: Array.from({ length: 400 }, (_, second) => [second, second < 5 ? 0 : 950]), ...over });
const judged = (off: string | null, on: string | null) => ({ off, on, position: "gauge" });
const late = (setId: string, scan: object, after: object = { seq: 1 }) => ({ requestId: aRequest(), setId, after, scannedAt: "2026-01-01T00:00:00Z", scan });
const swap = (setId: string, off: string | null, on: string | null) => ({ requestId: aRequest(), setId, off, on, position: "gauge", words: "Swap" });

const repair = (setId: string, fault: string | null, notice: string | null = null) => ({ requestId: aRequest(), setId, kind: fault !== null ? "repair" : notice !== null ? "notice" : "service", fault, notice, words: "" });
const found = (faultId: string, component: string | null) => ({ requestId: aRequest(), faultId, code: "SS-02", component, words: "" });
const JPEG = Buffer.from([0xff, 0xd8, 0xff, 0xe0, 0]).toString("base64");

const figures = (sites: string, more: object) => ({ from: "2026-01", until: "2026-02", sites, count: "confirmed", kind: null, modelId: null, maker: null, code: null, water: null, ...more });

/** A plan asked for with this locked, away or late, and what is in its lines. */
const planned = ({ setId, staffId, kitId }: { setId?: string; staffId?: string; kitId?: string }) => ({
  weeks: 4,
  locks: setId === undefined ? [] : [{ setId, week: 1 }],
  whatIf: { away: staffId === undefined ? [] : [{ staffId, fromWeek: 0, untilWeek: 3 }], lateKits: kitId === undefined ? [] : [{ kitId, weeks: 1 }], demand: [] },
});
const passedOver = { field: "", as: "manager" as const, answer: { event: "answer" } };
const priced = (violations: object[]) => ({ answer: "priced", plan: expect.objectContaining({ violations }) });
const NO_SUCH_LINE = [{ rule: "line", set: "(the id)" }];

const CASES: readonly Case[] = [
  { ...passedOver, field: "plan.solve setId", foreign: () => theirs.set.id, input: (setId) => planned({ setId }) },
  { ...passedOver, field: "plan.solve staffId", foreign: () => theirs.technician, input: (staffId) => planned({ staffId }) },
  { field: "plan.price setId", as: "manager", foreign: () => theirs.set.id, input: (setId) => ({ ...planned({ setId }), lines: [{ setId, week: 1 }], before: null }), answer: priced(NO_SUCH_LINE) },
  { field: "plan.price staffId", as: "manager", foreign: () => theirs.technician, input: (staffId) => ({ ...planned({ staffId }), lines: [], before: null }), answer: priced([]) },
  { field: "plan.weekChoices setId", as: "manager", foreign: () => theirs.set.id, input: (setId) => ({ ...planned({ setId }), lines: [], setId }), answer: { answer: "no-such-set" } },
  { field: "plan.weekChoices staffId", as: "manager", foreign: () => theirs.technician, input: (staffId) => ({ ...planned({ staffId }), lines: [], setId: ours.ready.id }), answer: { answer: "choices" } },
  { field: "plan.accept setId", as: "manager", foreign: () => theirs.set.id, input: (setId) => ({ requestId: aRequest(), weeks: 4, fromOn: mondayOf(addDays(backOn, -3)), lines: [{ setId, week: 1, seq: 1, locked: false }], bound: null, words: "" }), answer: { answer: "breaks", violations: NO_SUCH_LINE } },
  { field: "plan.withdrawBooking bookingId", as: "desk", foreign: () => theirs.booking, input: (bookingId) => ({ bookingId }) },
  { field: "plan.setBenchHours staffId", as: "manager", foreign: () => theirs.technician, input: (staffId) => ({ staffId, weekOn: null, minutes: 60, words: "" }) },
  { field: "plan.revokeCalendar feedId", as: "manager", foreign: () => theirs.feed, input: (feedId) => ({ feedId }) },
  { field: "bench.reportFault setId", as: "desk", foreign: () => theirs.set.id, input: (id) => report(id, null) },
  { field: "bench.reportFault component", as: "technician", foreign: () => theirs.set.parts.gauge, input: (id) => report(ours.ready.id, id) },
  { field: "bench.clearFault faultId", as: "technician", foreign: () => theirs.fault, input: (id) => ({ requestId: aRequest(), faultId: id, outcome: "mended", words: "Seat renewed", opened: false }) },
  { field: "bench.clearFault faultId", as: "desk", foreign: () => theirs.fault, input: (id) => ({ requestId: aRequest(), faultId: id, outcome: "mended", words: "Seat renewed", opened: false }) },
  { field: "bench.recordWork setId", as: "technician", foreign: () => theirs.set.id, input: (id) => work(id, [theirs.set.parts.gauge]) },
  { field: "bench.recordWork components", as: "technician", foreign: () => theirs.set.parts.gauge, input: (id) => work(ours.ready.id, [ours.ready.parts.gauge, id]) },
  { field: "bench.release setIds", as: "technician", foreign: () => theirs.set.id, input: (id) => ({ requestId: aRequest(), setIds: [ours.unready.id, id], words: "Tested" }) },
  { field: "bench.releaseCheck setId", as: "technician", foreign: () => theirs.set.id, input: (setId) => ({ setId }) },
  { field: "bench.recordWork order", as: "technician", foreign: () => theirs.order, input: (order) => ({ ...work(ours.ready.id, [ours.ready.parts.gauge]), order }) },
  { field: "faults.confirm faultId", as: "technician", foreign: () => theirs.fault, input: (id) => found(id, null) },
  { field: "faults.confirm component", as: "technician", foreign: () => theirs.set.parts.gauge, input: (id) => found(ours.fault, id) },
  { field: "faults.addPhoto faultId", as: "desk", foreign: () => theirs.fault, input: (faultId) => ({ requestId: aRequest(), faultId, base64: JPEG }) },
  { field: "workOrders.one orderId", as: "technician", foreign: () => theirs.order, input: (orderId) => ({ orderId }) },
  { field: "workOrders.ofSet setId", as: "technician", foreign: () => theirs.set.id, input: (setId) => ({ setId }) },
  { field: "workOrders.open setId", as: "technician", foreign: () => theirs.set.id, input: (id) => repair(id, null) },
  { field: "workOrders.open fault", as: "technician", foreign: () => theirs.fault, input: (id) => repair(ours.ready.id, id) },
  { field: "workOrders.take orderId", as: "technician", foreign: () => theirs.order, input: (orderId) => ({ requestId: aRequest(), orderId }) },
  { field: "workOrders.park orderId", as: "technician", foreign: () => theirs.order, input: (orderId) => ({ requestId: aRequest(), orderId, why: "Seat", expectedOn: null }) },
  { field: "workOrders.resume orderId", as: "technician", foreign: () => theirs.order, input: (orderId) => ({ requestId: aRequest(), orderId }) },
  { field: "workOrders.finish orderId", as: "technician", foreign: () => theirs.order, input: (orderId) => ({ requestId: aRequest(), orderId, minutes: 5, words: "Done" }) },
  { field: "workOrders.drop orderId", as: "manager", foreign: () => theirs.order, input: (orderId) => ({ requestId: aRequest(), orderId, words: "Not needed" }) },
  { field: "bench.refit setId", as: "technician", foreign: () => theirs.set.id, input: (id) => swap(id, theirs.set.parts.gauge, null) },
  { field: "bench.refit off", as: "technician", foreign: () => theirs.set.parts.gauge, input: (id) => swap(ours.ready.id, id, null) },
  { field: "bench.refit on", as: "technician", foreign: () => theirs.spare, input: (id) => swap(ours.unready.id, null, id) },
  { field: "desk.handOut setId", as: "desk", foreign: () => theirs.set.id, input: (id) => ({ requestId: aRequest(), hirer: "Ida", contact: null, hire: terms(backOn), sets: [{ setId: id, seq: theirs.seq }] }) },
  { field: "desk.handOut setId", as: "desk", foreign: () => theirs.set.id, input: (id) => ({ requestId: aRequest(), hirer: "Ida", contact: null, hire: terms(backOn), sets: [{ setId: id, seq: 1 }] }) },
  { field: "desk.takeBack setId", as: "desk", foreign: () => theirs.out.id, input: (id) => ({ requestId: aRequest(), sets: [line(id)] }) },
  { field: "desk.takeBack component", as: "desk", foreign: () => theirs.set.parts.gauge, input: (id) => ({ requestId: aRequest(), sets: [line(ours.out.id, { problem: true, component: id })] }) },
  { field: "desk.takeBack missing", as: "desk", foreign: () => theirs.set.parts.gauge, input: (id) => ({ requestId: aRequest(), sets: [line(ours.out.id, { missing: [id] })] }) },
  { field: "desk.slip hire", as: "desk", foreign: () => theirs.hire, input: (hire) => ({ hire }) },
  { field: "people.setRoles staffId", as: "manager", foreign: () => theirs.person, input: (staffId) => ({ staffId, roles: ["desk"] }) },
  { field: "people.resetSecret staffId", as: "manager", foreign: () => theirs.person, input: (staffId) => ({ staffId, pin: "274918" }) },
  { field: "people.close staffId", as: "manager", foreign: () => theirs.person, input: (staffId) => ({ staffId }) },
  { field: "people.authorise staffId", as: "manager", foreign: () => theirs.technician, input: (staffId) => ({ staffId, maker: MAKER, oxygenClean: false, from: "2026-01-01", until: "2027-01-01", evidence: "Course" }) },
  { field: "people.revokeDevice deviceId", as: "manager", foreign: () => theirs.device, input: (deviceId) => ({ deviceId }) },
  { field: "session.chooseSite siteId", as: "desk", foreign: () => theirs.site, input: (siteId) => ({ siteId }) },
  { field: "evidence.noteCustody setId", as: "technician", foreign: () => theirs.set.id, input: (setId) => ({ requestId: aRequest(), setId, from: "a", to: "b", place: "c", words: "" }) },
  { field: "evidence.lift setId", as: "manager", foreign: () => theirs.set.id, input: (setId) => ({ requestId: aRequest(), setId, allowedBy: "a", words: "b" }) },
  { field: "record.correct setId", as: "technician", foreign: () => theirs.set.id, input: (setId) => ({ requestId: aRequest(), setId, entry: 1, words: "Another serial" }) },
  { field: "gauges.calibrate gaugeId", as: "technician", foreign: () => theirs.gauge, input: (gaugeId) => ({ requestId: aRequest(), gaugeId, on: "2026-01-01", until: "2027-01-01", certificate: "4" }) },
  { field: "gauges.retire gaugeId", as: "technician", foreign: () => theirs.gauge, input: (gaugeId) => ({ gaugeId, words: "Broken" }) },
  { field: "benchTests.record setId", as: "technician", foreign: () => theirs.set.id, input: (setId) => bench({ setId }) },
  { field: "benchTests.record orderId", as: "technician", foreign: () => theirs.taken, input: (orderId) => bench({ orderId }) },
  { field: "benchTests.record component", as: "technician", foreign: () => theirs.set.parts["first-stage"], input: (id) => bench({}, reading(id)) },
  { field: "benchTests.record component", as: "technician", foreign: () => theirs.set.parts["first-stage"], input: (id) => bench({ curves: [curve({ component: id })] }) },
  { field: "benchTests.record gauge", as: "technician", foreign: () => theirs.gauge, input: (id) => bench({}, reading(ours.ready.parts["first-stage"], id)) },
  { field: "benchTests.record gauge", as: "technician", foreign: () => theirs.gauge, input: (id) => bench({ curves: [curve({ gauge: id })] }) },
  { field: "assembly.judge setId", as: "technician", foreign: () => theirs.set.id, input: (setId) => ({ setId, swap: null }) },
  { field: "assembly.judge setId", as: "desk", foreign: () => theirs.set.id, input: (setId) => ({ setId, swap: judged(theirs.set.parts.gauge, null) }) },
  { field: "assembly.judge setId", as: "technician", foreign: () => theirs.set.id, input: (setId) => ({ setId, swap: judged(null, ours.ready.parts.gauge) }) },
  { field: "assembly.judge off", as: "technician", foreign: () => theirs.set.parts.gauge, input: (off) => ({ setId: ours.ready.id, swap: judged(off, null) }) },
  { field: "assembly.judge on", as: "technician", foreign: () => theirs.spare, input: (on) => ({ setId: ours.unready.id, swap: judged(null, on) }) },
  { field: "bench.recordWork component", as: "technician", foreign: () => theirs.set.parts.gauge, input: (component) => used({ component }) },
  { field: "kits.forService setId", as: "technician", foreign: () => theirs.set.id, input: (setId) => ({ setId }) },
  { field: "kits.closeOrder orderId", as: "technician", foreign: () => theirs.kitOrder, input: (orderId) => ({ requestId: aRequest(), orderId, received: 3, lot: null }) },
  { field: "notices.clear componentId", as: "technician", foreign: () => theirs.noticed, input: (componentId) => ({ requestId: aRequest(), noticeId: theirs.notice, componentId, remedy: "New seat" }) },
  { field: "session.switchPerson staffId", as: "tablet", foreign: () => theirs.person, input: (staffId) => ({ staffId, pin: PIN }) },
  ...(["rates", "months", "codes", "behind"] as const).map((name): Case => ({ field: `trends.${name} sites`, as: "technician", foreign: () => theirs.site, input: (sites) => figures(sites, name === "rates" ? { by: "model" } : name === "behind" ? { page: 0 } : {}) })),
  { field: "trends.afterService sites", as: "technician", foreign: () => theirs.site, input: (sites) => figures(sites, { by: "model", unit: "dives" }) },
  { field: "sets.life setId", as: "desk", foreign: () => theirs.set.id, input: (setId) => ({ setId, before: null }) },
  { field: "sets.retire setId", as: "manager", foreign: () => theirs.set.id, input: (setId) => ({ requestId: aRequest(), setId, words: "Worn" }) },
  { field: "sets.transfer setId", as: "manager", foreign: () => theirs.set.id, input: (setId) => ({ requestId: aRequest(), setId, toSiteId: at.room.site }) },
  { field: "washRoom.emptyBath bathId", as: "wash-room", foreign: () => theirs.bath, input: (bathId) => ({ bathId }) },
  { field: "washRoom.mayGoIn bathId", as: "wash-room", foreign: () => theirs.bath, input: (bathId) => ({ bathId, tag: ours.ready.tag }) },
  { field: "washRoom.startRun bathId", as: "wash-room", foreign: () => theirs.bath, input: (bathId) => ({ requestId: aRequest(), bathId, tags: [ours.unready.tag] }) },
  { field: "washRoom.endWet runId", as: "wash-room", foreign: () => theirs.run, input: (runId) => ({ requestId: aRequest(), runId }) },
  { field: "washRoom.finish runId", as: "wash-room", foreign: () => theirs.run, input: (runId) => ({ requestId: aRequest(), runId, setIds: [theirs.washing.id], rinsed: true, purgedUnderPressure: true, dry: true }) },
  { field: "washRoom.finish setIds", as: "wash-room", foreign: () => theirs.washing.id, input: (id) => ({ requestId: aRequest(), runId: ours.run, setIds: [id], rinsed: true, purgedUnderPressure: true, dry: true }) },
  { field: "washRoom.enterLate setId", as: "wash-room", foreign: () => theirs.washing.id, input: (setId) => late(setId, { step: "out" }) },
  { field: "washRoom.enterLate bathId", as: "wash-room", foreign: () => theirs.bath, input: (bathId) => late(ours.unready.id, { step: "in", bathId }) },
  { field: "washRoom.abandon setId", as: "wash-room", foreign: () => theirs.washing.id, input: (setId) => ({ requestId: aRequest(), setId, words: "Dropped" }) },
  { field: "washRoom.breathTested setId", as: "wash-room", foreign: () => theirs.set.id, input: (setId) => ({ requestId: aRequest(), setId, words: "" }) },
  // Tags are read off a set, and are as good as ids.
  { field: "sets.one tag", as: "desk", foreign: () => theirs.set.tag, input: (tag) => ({ tag }) },
  { field: "washRoom.mayGoIn tag", as: "wash-room", foreign: () => theirs.set.tag, input: (tag) => ({ bathId: ours.bath, tag }) },
  { field: "washRoom.startRun tags", as: "wash-room", foreign: () => theirs.washing.tag, input: (tag) => ({ requestId: aRequest(), bathId: ours.bath, tags: [tag] }) },
];

/** Ids that belong to no site: models, kits, notices, products and sites are the whole chain's. They only have to exist. */
const CHAIN: readonly (Omit<Case, "foreign"> & { readonly answer?: unknown })[] = [
  // A kit nobody knows cannot be late.
  { ...passedOver, field: "plan.solve kitId", input: (kitId) => planned({ kitId }) },
  { field: "plan.price kitId", as: "manager", input: (kitId) => ({ ...planned({ kitId }), lines: [], before: null }), answer: priced([]) },
  { field: "plan.weekChoices kitId", as: "manager", input: (kitId) => ({ ...planned({ kitId }), lines: [], setId: ours.ready.id }), answer: { answer: "choices" } },
  { field: "workOrders.open notice", as: "technician", input: (id) => repair(ours.ready.id, null, id) },
  { field: "models.history modelId", as: "technician", input: (modelId) => ({ modelId }), answer: [] },
  { field: "sets.board modelId", as: "desk", input: (modelId) => ({ search: null, states: [], modelId, sort: "tag", descending: false, page: 0, size: 10 }), answer: { rows: [], total: 0 } },
  { field: "models.acceptLimits modelId", as: "technician", input: (modelId) => ({ requestId: aRequest(), modelId, limits: LIMITS }) },
  { field: "models.setPairing firstModelId", as: "technician", input: (id) => ({ firstModelId: id, secondModelId: at.room.models.second, approved: true, manualPage: "3" }) },
  { field: "models.setPairing secondModelId", as: "technician", input: (id) => ({ firstModelId: at.room.models.first, secondModelId: id, approved: true, manualPage: "3" }) },
  { field: "sets.register modelId", as: "technician", input: (modelId) => ({ requestId: aRequest(), tag: "X-1", parts: [{ modelId, serial: "1", position: "gauge", boughtOn: null, inUseOn: null }] }) },
  { field: "sets.transfer toSiteId", as: "manager", input: (toSiteId) => ({ requestId: aRequest(), setId: ours.ready.id, toSiteId }) },
  { field: "bench.recordWork kit", as: "technician", input: (kit) => used({ kit }) },
  { field: "kits.movements kitId", as: "technician", input: (kitId) => ({ kitId }), answer: { movements: [], closed: [] } },
  { field: "kits.move kitId", as: "technician", input: (kitId) => ({ requestId: aRequest(), kitId, kind: "received", quantity: 1, lot: null, words: "" }) },
  { field: "kits.order kitId", as: "technician", input: (kitId) => ({ requestId: aRequest(), kitId, quantity: 1, expectedOn: backOn }) },
  { field: "notices.one noticeId", as: "technician", input: (noticeId) => ({ noticeId }) },
  { field: "notices.clear noticeId", as: "technician", input: (noticeId) => ({ requestId: aRequest(), noticeId, componentId: ours.ready.parts["first-stage"], remedy: "New seat" }) },
  { field: "notices.preview modelId", as: "technician", input: (modelId) => ({ models: [{ modelId, every: true, serials: "" }] }), answer: { answer: "preview", looked: 0, matches: [], elsewhere: 0 } },
  { field: "notices.open modelId", as: "technician", input: (modelId) => ({ requestId: aRequest(), title: "Seats", reference: "N-2", hazard: "Gas stops", remedy: "New seat", publishedOn: "2026-01-01", models: [{ modelId, every: true, serials: "" }] }) },
  { field: "costs.setModel modelId", as: "manager", input: (modelId) => ({ requestId: aRequest(), modelId, priceCents: 1, resaleCents: null, lifeYears: null }) },
  { field: "models.manual modelId", as: "technician", input: (modelId) => ({ modelId }), answer: { limits: [], builds: [], kitLists: [], disinfectants: [], pairings: [] } },
  { field: "models.acceptBenchLimits modelId", as: "technician", input: (modelId) => ({ requestId: aRequest(), modelId, limits: [{ name: "creep", low: null, high: 30, page: "14" }] }) },
  { field: "models.acceptBuild modelId", as: "technician", input: (modelId) => ({ requestId: aRequest(), modelId, build: BUILD }) },
  { field: "models.acceptKits modelId", as: "technician", input: (modelId) => ({ requestId: aRequest(), modelId, lines: [], page: "20" }) },
  { field: "models.acceptKits kit", as: "technician", input: (kit) => ({ requestId: aRequest(), modelId: at.room.models.second, lines: [{ kit, quantity: 1 }], page: "20" }) },
  // A figure about a model that is not there counts nothing.
  { field: "trends.rates modelId", as: "technician", input: (modelId) => figures("mine", { modelId, by: "model" }), answer: { rows: [], fleet: { dives: 0, faults: 0 } } },
  { field: "trends.months modelId", as: "technician", input: (modelId) => figures("mine", { modelId }), answer: { chart: { answer: "refused", why: "no-exposure" } } },
  { field: "trends.codes modelId", as: "technician", input: (modelId) => figures("mine", { modelId }), answer: { pareto: { answer: "refused", why: "no-faults" } } },
  { field: "trends.afterService modelId", as: "technician", input: (modelId) => figures("mine", { modelId, by: "model", unit: "dives" }), answer: { found: { answer: "refused", why: "no-spells" } } },
  { field: "trends.behind modelId", as: "technician", input: (modelId) => figures("mine", { modelId, page: 0 }), answer: { rows: [], total: 0 } },
  // A scan that follows one which is not recorded.
  { field: "washRoom.enterLate request", as: "wash-room", input: (request) => late(ours.unready.id, { step: "out" }, { request }) },
  { field: "washRoom.mixBath productId", as: "wash-room", input: (productId) => ({ requestId: aRequest(), productId, label: "Tub", lot: null, productMl: 100, waterMl: 9_900 }) },
  { field: "washRoom.approveProduct productId", as: "technician", input: (productId) => ({ productId, modelIds: [at.room.models.first], manualPage: "2" }) },
  { field: "washRoom.approveProduct modelIds", as: "technician", input: (id) => ({ productId: at.room.product, modelIds: [at.room.models.first, id], manualPage: "2" }) },
];
const BUILD = { balance: null, hpPorts: null, lpPorts: null, lpHalfInchPorts: null, plugsInto: "lp-3/8", serviceMinutes: null, inspectionMinutes: null, page: "14" };
const LIMITS = {
  serviceMonths: 24, serviceDives: 300, serviceMinutes: null, hasInspection: false, inspectionMonths: null, inspectionDives: null, inspectionMinutes: null,
  maxO2Tenths: 400, coldRating: "unknown", connection: "din-300", maxSupplyBar: 300, manualPage: "12",
};

/** What a procedure answers, be it an answer or an error, with the id in question taken out. */
async function answerTo(one: Pick<Case, "field" | "as" | "input">, id: string): Promise<{ readonly answer: unknown; readonly changed: boolean }> {
  const path = one.field.split(" ")[0]!;
  const before = await digestOf(at.owner);
  const browser = one.as === "tablet" ? at.browser() : one.as === "manager" ? await at.signedIn(onlyHere) : await at.as(one.as);
  if (one.as === "tablet") browser.setCookie("hangrail_device", tablet);
  const answer = await browser.call(path, one.input(id)).catch((error: unknown) => {
    if (error instanceof TRPCError) return { code: error.code, message: error.message };
    throw error;
  });
  const text = JSON.stringify(await lastOf(answer)).replaceAll(id, "(the id)");
  return { answer: JSON.parse(text) as unknown, changed: (await digestOf(at.owner)) !== before };
}

/** The last of a stream; anything else as it is. */
async function lastOf(answer: unknown): Promise<unknown> {
  if (typeof answer !== "object" || answer === null || !(Symbol.asyncIterator in answer)) return answer;
  let last: unknown = null;
  for await (const one of answer as AsyncIterable<unknown>) last = one;
  return last;
}

const REFUSAL = expect.toSatisfy((answer: { code?: string; answer?: string }) => answer.answer === "refused" || ["NOT_FOUND", "FORBIDDEN", "BAD_REQUEST", "UNAUTHORIZED"].includes(answer.code ?? ""), "a refusal");

test.each(CASES)("$field ($as): the other site's is as good as none", async (one) => {
  const absent = await answerTo(one, one.field.includes("tag") ? "NOBODYS-1" : randomUUID());
  expect(absent).toEqual({ answer: one.answer === undefined ? REFUSAL : expect.objectContaining(one.answer), changed: false });
  expect(await answerTo(one, one.foreign())).toEqual(absent);
});

test.each(CHAIN)("$field: an id that does not exist is refused", async (one) => {
  const { answer, changed } = await answerTo(one, randomUUID());
  expect(changed).toBe(false);
  if (one.answer === undefined) expect(answer).toEqual(REFUSAL);
  else expect(answer).toMatchObject(one.answer as object);
});

test("a manager of both sites gives a person of one a role at the other", async () => {
  const both = await at.signedIn(at.room.people.manager);
  expect(await both.api.people.setRoles({ staffId: theirs.person, roles: ["desk"] })).toMatchObject({ answer: "done" });
  expect(await both.api.people.setRoles({ staffId: theirs.person, roles: [] })).toMatchObject({ answer: "done" });
});

test("of what is the whole chain's another site's share is not told", async () => {
  const { api } = await at.as("technician");
  const { room } = at;
  const { movements, closed } = await api.kits.movements({ kitId: room.kit });
  expect(movements.map(({ words }) => words)).toContain("First delivery");
  expect(movements.map(({ words }) => words)).not.toContain("For the lake");
  expect(closed).toEqual([]);
  expect((await api.kits.list()).kits.find(({ id }) => id === room.kit)).toMatchObject({ orders: [] });
  // How many parts it holds elsewhere is told, and nothing of which and where.
  expect(await api.notices.one({ noticeId: theirs.notice })).toMatchObject({ matches: [], elsewhere: 1 });
  const { serial } = (await at.owner.query<{ serial: string }>("SELECT serial FROM component WHERE id = $1", [theirs.noticed])).rows[0]!;
  expect(await api.notices.preview({ models: [{ modelId: room.models.first, every: false, serials: serial }] })).toMatchObject({ matches: [], elsewhere: 1 });
});

test("the desk sees of another site's set that it is elsewhere", async () => {
  const { sets } = await (await at.as("desk")).api.desk.lookUp({ tags: [theirs.set.tag], hire: null });
  expect(sets[0]).toMatchObject({ tag: theirs.set.tag, ready: false, siteName: "Lake Dive Centre" });
  expect(sets[0]!.holds.map(({ code }) => code)).toContain("elsewhere");
});

test("no field with an id is left out", () => {
  const covered = new Set([...CASES, ...CHAIN].map(({ field }) => field));
  const found = procedures().flatMap(({ path, input }) => (input === null ? [] : idFields(input).map((name) => `${path} ${name}`))).filter((field) => !field.endsWith(" requestId"));
  expect(found.length).toBeGreaterThan(35);
  expect(found.filter((field) => !covered.has(field))).toEqual([]);
});

/** The names of fields that hold ids, at any depth. */
function idFields(schema: JsonSchema, name = ""): string[] {
  if (schema.format === "uuid") return [name];
  const own = Object.entries(schema.properties ?? {}).flatMap(([key, value]) => idFields(value, key));
  return [...own, ...(schema.items ? idFields(schema.items, name) : []), ...(schema.anyOf ?? []).flatMap((one) => idFields(one, name))];
}
