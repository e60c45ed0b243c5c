/** The desk: what a scan shows, what goes out and what does not, what comes back and what it counts. */
import { acceptLimits, transferSet } from "@hangrail/db/acts";
import { recordWork, reportFault } from "@hangrail/db/bench-acts";
import { addDays, type Day } from "@hangrail/rules/calendar";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { aRequest, digestOf, failure, makeApiRoom, terms, type ApiRoom, type Caller } from "../support/api.ts";
import { AMPLE, done, serialFor, type RoomSet } from "../support/kit-room.ts";

let at: ApiRoom;
let today: Day;
let backOn: Day;
beforeAll(async () => {
  at = await makeApiRoom({ sets: 50 });
  today = await at.room.today();
  backOn = addDays(today, 3);
});
afterAll(() => at.close());

const fresh = (count: number): RoomSet[] => at.fresh(count);
const desk = async (): Promise<Caller["desk"]> => (await at.as("desk")).api.desk;

type HandOut = Parameters<Caller["desk"]["handOut"]>[0];
async function party(sets: readonly RoomSet[], over: Partial<HandOut> = {}): Promise<HandOut> {
  const seen = await at.room.seen(sets);
  return { requestId: aRequest(), hirer: "Guest of cabin 7", contact: null, hire: terms(backOn), sets: seen.map(({ id, seq }) => ({ setId: id, seq })), ...over };
}

type Return = Parameters<Caller["desk"]["takeBack"]>[0]["sets"][number];
const back = (set: RoomSet, over: Partial<Return> = {}): Return => ({
  setId: set.id, dives: 2, minutes: 90, waterKind: "sea", problem: false, words: null, faultCode: null, component: null, missing: [], ...over,
});

async function out(sets: readonly RoomSet[], over: Partial<HandOut> = {}): Promise<HandOut> {
  const order = await party(sets, over);
  expect(await (await desk()).handOut(order)).toMatchObject({ answer: "done" });
  return order;
}

const stateOf = async (set: RoomSet): Promise<string> => (await (await desk()).lookUp({ tags: [set.tag], hire: null })).sets[0]!.state;
const readings = async (set: RoomSet) =>
  (await at.owner.query<{ dives: number; minutes: number; used: string | null }>("SELECT dives_total AS dives, minutes_total AS minutes, last_used_on::text AS used FROM component WHERE id = ANY ($1) ORDER BY id", [Object.values(set.parts)])).rows;
const lineOf = async (set: RoomSet) =>
  (await at.owner.query<{ dives: number; minutes: number; estimated: boolean; water_kind: string; problem: boolean; words: string | null }>(
    "SELECT dives, minutes, estimated, water_kind, problem, words FROM hire_line WHERE set_id = $1 ORDER BY id DESC LIMIT 1", [set.id])).rows[0];

describe("a scan", () => {
  test("shows a ready set with what falls due, in the order scanned, and names unknown tags", async () => {
    const [one, two] = fresh(2) as [RoomSet, RoomSet];
    const found = await (await desk()).lookUp({ tags: [two.tag, "nobodys-1", one.tag.toLowerCase(), two.tag], hire: terms(backOn) });
    expect(found.sets.map(({ tag, state, ready }) => ({ tag, state, ready }))).toEqual([two, one].map(({ tag }) => ({ tag, state: "ready", ready: true })));
    expect(found.unknown).toEqual(["NOBODYS-1"]);
    expect(found.sets[0]!.due).toMatchObject({ dueOn: { value: addDays(today, 365), work: "inspection" }, divesLeft: { value: 150 } });
    expect(found.sets[0]!.parts.map(({ role }) => role)).toEqual(["first-stage", "primary", "alternate", "gauge"]);
  });

  test("judges for the hire asked about", async () => {
    const [one] = fresh(1) as [RoomSet];
    const holds = async (hire: ReturnType<typeof terms> | null) => (await (await desk()).lookUp({ tags: [one.tag], hire })).sets[0]!.holds.map(({ code }) => code);
    expect(await holds(null)).toEqual([]);
    expect(await holds(terms(backOn, { dives: 151 }))).toEqual(Array(4).fill("inspection-falls-due"));
    expect(await holds(terms(backOn, { o2Tenths: 320 }))).toEqual(["nitrox-connection"]);
    expect(await holds(terms(backOn, { cylinder: { connection: "yoke", bar: 200 } }))).toEqual(["connection"]);
    expect(await holds(terms(backOn, { cylinder: { connection: "din-300", bar: 301 } }))).toEqual(["pressure"]);
    expect(await holds(terms(backOn, { waterTenthsC: 39 }))).toEqual(["cold", "cold", "cold"]);
  });

  test("of another site's set says that it is elsewhere", async () => {
    const [moved] = fresh(1) as [RoomSet];
    const site = await at.room.openSite("Lake Dive Centre");
    done(await transferSet(at.room.db, at.room.by("manager"), moved.id, site));
    const { sets, unknown } = await (await desk()).lookUp({ tags: [moved.tag], hire: terms(backOn) });
    expect(unknown).toEqual([]);
    expect(sets[0]).toMatchObject({ ready: false, siteName: "Lake Dive Centre" });
    expect(sets[0]!.holds[0]!.code).toBe("elsewhere");
  });
});

describe("other sets proposed", () => {
  test("suit the hire, are never held, leave out those named, and come in the order that spreads the wear", async () => {
    const [worn, held, fit, unclean] = fresh(4) as [RoomSet, RoomSet, RoomSet, RoomSet];
    done(await reportFault(at.room.db, at.room.by("desk"), held.id, { code: "SS-07", severity: "hold", component: held.parts.primary, where: "desk", words: "" }));
    await (await at.as("desk")).api.washRoom.breathTested({ requestId: aRequest(), setId: unclean.id, words: "" });
    // One set of its own model, with few dives to give: the calendar will call it long after its dives are spent.
    await at.owner.query("UPDATE component SET dives_total = 140 WHERE id = ANY ($1)", [Object.values(worn.parts)]);
    const all = await (await desk()).instead({ hire: terms(backOn), except: [] });
    const tags = all.sets.map(({ tag }) => tag);
    expect(all.sets).toHaveLength(6);
    expect(all.suited).toBeGreaterThan(20);
    expect(tags).not.toContain(held.tag);
    expect(tags).not.toContain(unclean.tag);
    expect(tags).not.toContain(worn.tag);
    const but = await (await desk()).instead({ hire: terms(backOn), except: [tags[0]!, tags[1]!] });
    expect(but.sets.map(({ tag }) => tag).slice(0, 4)).toEqual(tags.slice(2));
    expect(but.suited).toBe(all.suited - 2);
    // With fewer dives left than the hire plans, it is not even counted.
    const heavy = await (await desk()).instead({ hire: terms(backOn, { dives: 11 }), except: [] });
    expect(heavy.suited).toBe(all.suited - 1);
    const none = await (await desk()).instead({ hire: terms(backOn, { cylinder: { connection: "yoke", bar: 200 } }), except: [] });
    expect(none).toEqual({ suited: 0, sets: [] });
    expect(await stateOf(fit)).toBe("ready");
  });
});

describe("a hand-out", () => {
  test("records the party whole, and the sets are out", async () => {
    const sets = fresh(3);
    const order = await party(sets, { contact: "Berth 12", hire: terms(backOn, { minutes: 70, teaching: true }) });
    const answer = await (await desk()).handOut(order);
    expect(answer).toMatchObject({ answer: "done" });
    const { rows } = await at.owner.query(
      "SELECT n.name, n.contact, h.back_on::text, h.dives, h.minutes, h.teaching, count(*)::int AS sets FROM hire h JOIN hirer n ON n.id = h.hirer_id JOIN hire_line l ON l.hire_id = h.id WHERE h.request_id = $1 GROUP BY n.id, h.id",
      [order.requestId],
    );
    expect(rows).toEqual([{ name: "Guest of cabin 7", contact: "Berth 12", back_on: backOn, dives: 2, minutes: 70, teaching: true, sets: 3 }]);
    for (const set of sets) expect(await stateOf(set)).toBe("out");
  });

  test("asked for again gets the same answer, although the set is out", async () => {
    const order = await party(fresh(1));
    const first = await (await desk()).handOut(order);
    const before = await digestOf(at.owner);
    expect(await (await desk()).handOut(order)).toEqual({ ...first, repeat: true });
    expect(await digestOf(at.owner)).toBe(before);
  });

  test("under a request id used for something else is refused", async () => {
    const [one, two] = fresh(2) as [RoomSet, RoomSet];
    const order = await out([one]);
    const before = await digestOf(at.owner);
    expect(await (await desk()).handOut({ ...order, hirer: "Somebody else" })).toEqual({ answer: "refused", code: "request-reused", facts: {} });
    expect(await (await desk()).handOut(await party([two], { requestId: order.requestId }))).toMatchObject({ code: "request-reused" });
    // Another person's word is not a repeat either.
    const manager = await at.as("manager");
    expect(await manager.api.desk.handOut(order)).toMatchObject({ code: "request-reused" });
    expect(await digestOf(at.owner)).toBe(before);
    expect(await stateOf(two)).toBe("ready");
  });

  test("of a held set says every reason, in gate order, and writes nothing", async () => {
    const [one] = fresh(1) as [RoomSet];
    done(await reportFault(at.room.db, at.room.by("desk"), one.id, { code: "SS-02", severity: "out", component: one.parts.primary, where: "desk", words: "" }));
    await (await at.as("desk")).api.washRoom.breathTested({ requestId: aRequest(), setId: one.id, words: "" });
    const before = await digestOf(at.owner);
    const answer = await (await desk()).handOut(await party([one], { hire: terms(backOn, { o2Tenths: 410, waterTenthsC: 20 }) }));
    if (answer.answer !== "hold") throw new Error(`It answered ${answer.answer}.`);
    expect(answer.sets[0]!.holds.map(({ code, component }) => [code, component])).toEqual([
      ["fault", one.parts.primary], ["not-clean", null], ["nitrox-connection", one.parts["first-stage"]],
      ...(["first-stage", "primary", "alternate", "gauge"] as const).map((part) => ["oxygen", one.parts[part]]),
      ...(["first-stage", "primary", "alternate"] as const).map((part) => ["cold", one.parts[part]]),
    ]);
    expect(await digestOf(at.owner)).toBe(before);
  });

  test("of three with one held gives nobody anything", async () => {
    const [one, bad, three] = fresh(3) as [RoomSet, RoomSet, RoomSet];
    done(await reportFault(at.room.db, at.room.by("desk"), bad.id, { code: "HO-01", severity: "out", component: null, where: "desk", words: "" }));
    const before = await digestOf(at.owner);
    const notes = async () => (await at.owner.query("SELECT FROM security_log WHERE kind = 'hand-out-held' AND detail->'tags' = $1", [JSON.stringify([bad.tag])])).rowCount;
    const answer = await (await desk()).handOut(await party([one, bad, three]));
    if (answer.answer !== "hold") throw new Error(`It answered ${answer.answer}.`);
    expect(answer.sets.map(({ tag, ready }) => [tag, ready])).toEqual([[one.tag, true], [bad.tag, false], [three.tag, true]]);
    expect(await digestOf(at.owner)).toBe(before);
    expect(await notes()).toBe(1);
    expect(await stateOf(one)).toBe("ready");
  });

  test("decided on an old screen is told what changed since, by whom, and what did not", async () => {
    const [one, two] = fresh(2) as [RoomSet, RoomSet];
    const order = await party([one, two]);
    done(await reportFault(at.room.db, at.room.by("wash-room"), one.id, { code: "SS-05", severity: "watch", component: null, where: "wash-room", words: "" }));
    const before = await digestOf(at.owner);
    expect(await (await desk()).handOut(order)).toEqual({
      answer: "stale", sets: [{ setId: one.id, tag: one.tag, changes: [{ act: "fault-reported", at: expect.any(Date) as Date, by: "Wim Brook" }] }],
    });
    expect(await digestOf(at.owner)).toBe(before);
    // Decided anew on what is true now, it goes: a watch holds nothing.
    expect(await (await desk()).handOut(await party([one, two]))).toMatchObject({ answer: "done" });
  });

  test("of a set twice is refused", async () => {
    const [one] = fresh(1) as [RoomSet];
    const order = await party([one]);
    expect(await (await desk()).handOut({ ...order, sets: [...order.sets, ...order.sets] })).toMatchObject({ answer: "refused", code: "same-set-twice" });
  });

  test("with a return before today is refused with the day", async () => {
    const order = await party(fresh(1), { hire: terms(addDays(today, -1)) });
    expect(await (await desk()).handOut(order)).toEqual({ answer: "refused", code: "back-before-today", facts: { today } });
    expect(await (await desk()).handOut({ ...order, requestId: aRequest(), hire: terms(today) })).toMatchObject({ answer: "done" });
  });

  test.each([
    ["hirer", { hirer: "x".repeat(200) }, "At most 120 characters."],
    ["hirer", { hirer: "  " }, "Please write something here."],
    ["hirer", { hirer: "Eve\u0000" }, "Control characters are not allowed."],
    ["hire.backOn", { hire: terms("2026-02-30" as Day) }, "A day is written YYYY-MM-DD."],
    ["hire.dives", { hire: { ...terms("2026-12-24" as Day), dives: 1.5 } }, "Planned dives is a whole number."],
    ["hire.cylinder.bar", { hire: { ...terms("2026-12-24" as Day), cylinder: { connection: "yoke", bar: 2320 } as const } }, "Cylinder pressure in bar: at most 1000."],
    ["requestId", { requestId: "1" }, "A request id is missing; reload the page."],
  ] as const)("with a bad %s is refused with a sentence", async (field, over, sentence) => {
    const order = await party(at.room.sets.slice(0, 1));
    const error = await failure((await desk()).handOut({ ...order, ...over }));
    expect(error.code).toBe("BAD_REQUEST");
    const { issues } = error.cause as unknown as { issues: { path: PropertyKey[]; message: string }[] };
    expect(issues.map(({ path, message }) => [path.map(String).join("."), message])).toEqual([[field, sentence]]);
  });

  test("is held while the clock cannot be trusted", async () => {
    const order = await party(fresh(1));
    await at.room.clock.advance(-30);
    expect(await (await desk()).handOut(order)).toMatchObject({ answer: "refused", code: "clock-behind" });
    await at.room.clock.advance(30);
    expect(await (await desk()).handOut(order)).toMatchObject({ answer: "done" });
  });
});

describe("a return", () => {
  test("counts the dives stated on every component, and the set is to be cleaned", async () => {
    const [one] = fresh(1) as [RoomSet];
    await out([one]);
    expect(await (await desk()).takeBack({ requestId: aRequest(), sets: [back(one, { dives: 3, minutes: 140, words: "All well" })] })).toMatchObject({ answer: "done" });
    expect(await readings(one)).toEqual(Array(4).fill({ dives: 3, minutes: 140, used: today }));
    expect(await lineOf(one)).toEqual({ dives: 3, minutes: 140, estimated: false, water_kind: "sea", problem: false, words: "All well" });
    expect(await stateOf(one)).toBe("to-clean");
  });

  test.each([
    ["nothing said: the plan, marked", { dives: null, minutes: null }, { dives: 2, minutes: 120, estimated: true }],
    ["minutes not said: reckoned from the dives, marked", { dives: 3, minutes: null }, { dives: 3, minutes: 180, estimated: true }],
    ["wet, and none said: one, marked", { dives: 0, minutes: null }, { dives: 1, minutes: 60, estimated: true }],
    ["dry: none", { dives: null, minutes: null, waterKind: "none" as const }, { dives: 0, minutes: 0, estimated: false }],
    ["dry, but dives said: those", { dives: 2, minutes: 80, waterKind: "none" as const }, { dives: 2, minutes: 80, estimated: false }],
  ])("%s", async (_, said, counted) => {
    const [one] = fresh(1) as [RoomSet];
    await out([one]);
    await (await desk()).takeBack({ requestId: aRequest(), sets: [back(one, said)] });
    expect(await lineOf(one)).toMatchObject(counted);
    expect(await readings(one)).toEqual(Array(4).fill({ dives: counted.dives, minutes: counted.minutes, used: counted.dives > 0 ? today : null }));
  });

  test("needs the question about problems answered", async () => {
    const [one] = fresh(1) as [RoomSet];
    await out([one]);
    const { problem: _, ...silent } = back(one);
    const error = await failure((await desk()).takeBack({ requestId: aRequest(), sets: [silent as Return] }));
    expect(error).toMatchObject({ code: "BAD_REQUEST" });
    expect(error.message).toContain("“Any problem?” has to be answered.");
    expect(await stateOf(one)).toBe("out");
  });

  test("with a problem opens a fault that tags the set out, in the hirer's words", async () => {
    const [one, two] = fresh(2) as [RoomSet, RoomSet];
    await out([one, two]);
    await (await desk()).takeBack({ requestId: aRequest(), sets: [back(one, { problem: true, words: "It hissed at twenty metres" }), back(two, { problem: true, faultCode: "SS-05", component: two.parts.primary })] });
    const { faults } = await (await at.as("technician")).api.bench.queue();
    expect(faults.filter(({ setId }) => setId === one.id)).toMatchObject([{ code: "GN-04", severity: "out", component: null, where: "desk", words: "It hissed at twenty metres", reportedBy: "Dina Marsh" }]);
    // A code that elsewhere would only be watched: at a return the bench looks first.
    expect(faults.filter(({ setId }) => setId === two.id)).toMatchObject([{ code: "SS-05", severity: "out", component: two.parts.primary }]);
    expect([await stateOf(one), await stateOf(two)]).toEqual(["tagged-out", "tagged-out"]);
  });

  test("with a component missing ends its fitting after its dives, and the set is incomplete", async () => {
    const [one] = fresh(1) as [RoomSet];
    await out([one]);
    await (await desk()).takeBack({ requestId: aRequest(), sets: [back(one, { missing: [one.parts.gauge] })] });
    expect(await readings(one)).toEqual(Array(4).fill({ dives: 2, minutes: 90, used: today }));
    const { sets } = await (await desk()).lookUp({ tags: [one.tag], hire: null });
    expect(sets[0]!.parts.map(({ role }) => role)).toEqual(["first-stage", "primary", "alternate"]);
    expect(sets[0]!.holds).toContainEqual(expect.objectContaining({ code: "incomplete", missing: ["gauge"] }));
    expect(sets[0]!.holds.map(({ code }) => code)).toContain("not-released");
  });

  test("of a part twice missing, or a fault on a part of another set, changes nothing", async () => {
    const [one, other] = fresh(2) as [RoomSet, RoomSet];
    await out([one]);
    const before = await digestOf(at.owner);
    expect(await failure((await desk()).takeBack({ requestId: aRequest(), sets: [back(one, { missing: [one.parts.gauge, one.parts.gauge] })] }))).toMatchObject({ code: "BAD_REQUEST" });
    expect(await (await desk()).takeBack({ requestId: aRequest(), sets: [back(one, { problem: true, component: other.parts.gauge })] })).toMatchObject({ answer: "refused", code: "not-fitted" });
    expect(await digestOf(at.owner)).toBe(before);
  });

  test("asked for again gets the first answer and counts once, also when the set went out again since", async () => {
    const [one] = fresh(1) as [RoomSet];
    await out([one]);
    const order = { requestId: aRequest(), sets: [back(one, { dives: null, minutes: null, problem: true, component: one.parts.gauge, missing: [one.parts.gauge] })] };
    const first = await (await desk()).takeBack(order);
    expect(first).toMatchObject({ answer: "done" });
    expect(await (await desk()).takeBack(order)).toEqual({ ...first, repeat: true });
    expect(await readings(one)).toEqual(Array(4).fill({ dives: 2, minutes: 120, used: today }));

    const [two] = fresh(1) as [RoomSet];
    await out([two]);
    const dry = { requestId: aRequest(), sets: [back(two, { dives: null, minutes: null })] };
    const answer = await (await desk()).takeBack(dry);
    await at.room.wash([two]);
    await out([two], { hire: terms(backOn, { dives: 5 }) });
    expect(await (await desk()).takeBack(dry)).toEqual({ ...answer, repeat: true });
    expect(await stateOf(two)).toBe("out");
  });

  test("of a set that is not out, or of one out and one not, is refused whole", async () => {
    const [one, two] = fresh(2) as [RoomSet, RoomSet];
    await out([one]);
    expect(await (await desk()).takeBack({ requestId: aRequest(), sets: [back(one), back(two)] })).toEqual({ answer: "refused", code: "not-out", facts: { tags: [two.tag] } });
    expect(await (await desk()).takeBack({ requestId: aRequest(), sets: [back(one), back(one)] })).toMatchObject({ code: "same-set-twice" });
    expect(await stateOf(one)).toBe("out");
  });

  test("counts dives that use up a limit, and the set is overdue at once", async () => {
    const [one] = fresh(1) as [RoomSet];
    await out([one]);
    await (await desk()).takeBack({ requestId: aRequest(), sets: [back(one, { dives: 150, minutes: 9_000 })] });
    const { sets } = await (await desk()).lookUp({ tags: [one.tag], hire: null });
    expect(sets[0]!.holds.map(({ code }) => code)).toContain("inspection-overdue");
  });
});

describe("what is out", () => {
  test("is listed late ones first, with the hirer", async () => {
    const [late, due] = fresh(2) as [RoomSet, RoomSet];
    await out([due], { hirer: "Party of two", contact: "Room 4" });
    await out([late], { hire: terms(today), hirer: "The late one" });
    await at.room.clock.advance(24 * 60);
    const rows = await (await at.as("manager")).api.desk.outNow();
    const mine = rows.filter(({ setId }) => setId === late.id || setId === due.id);
    expect(mine).toMatchObject([
      { tag: late.tag, hirer: "The late one", late: true, backOn: today, plannedDives: 2, teaching: false },
      { tag: due.tag, hirer: "Party of two", contact: "Room 4", late: false, backOn },
    ]);
    expect(rows.map(({ backOn: day }) => day)).toEqual(rows.map(({ backOn: day }) => day).sort());
  });
});

describe("a slip", () => {
  test("shows the components as handed out, even after a swap", async () => {
    const [one, donor] = fresh(2) as [RoomSet, RoomSet];
    const handed = await (await desk()).handOut(await party([one], { hirer: "Slip reader" }));
    if (handed.answer !== "done") throw new Error(`It answered ${handed.answer}.`);
    const slip = await (await desk()).slip({ hire: handed.hire });
    expect(slip).toMatchObject({ hirer: "Slip reader", backOn, dives: 2, cylinderBar: 232, site: "Harbour Dive Centre", outBy: "Dina Marsh", sets: [{ tag: one.tag, back: false }] });
    const serials = (answer: typeof slip) => answer.sets[0]!.parts.map(({ role, serial }) => [role, serial]);
    const asHandedOut = (["first-stage", "primary", "alternate", "gauge"] as const).map((role) => [role, serialFor(role, Number(one.tag.slice(2)))]);
    expect(serials(slip)).toEqual(asHandedOut);

    await (await desk()).takeBack({ requestId: aRequest(), sets: [back(one)] });
    const bench = (await at.as("technician")).api.bench;
    await bench.refit({ requestId: aRequest(), setId: donor.id, off: donor.parts.gauge, on: null, position: "gauge", words: "For another set" });
    expect(await bench.refit({ requestId: aRequest(), setId: one.id, off: one.parts.gauge, on: donor.parts.gauge, position: "gauge", words: "Glass fogged" })).toMatchObject({ answer: "done" });
    const later = await (await desk()).slip({ hire: handed.hire });
    expect(serials(later)).toEqual(asHandedOut);
    expect(later.sets[0]!.back).toBe(true);
  });
});

test("limits that were tightened after the screen was shown hold the hand-out", async () => {
  const [one] = fresh(1) as [RoomSet];
  done(await recordWork(at.room.db, at.room.by("technician"), one.id, { kind: "inspection", components: [one.parts.gauge], oxygenClean: false, words: "Looked at" }));
  await at.room.wash([one]);
  const order = await party([one]);
  done(await acceptLimits(at.room.db, at.room.by("technician"), at.room.models.gauge, { ...AMPLE, inspectionDives: 1 }));
  expect(await (await desk()).handOut(order)).toMatchObject({ answer: "stale" });
  const again = await (await desk()).handOut(await party([one]));
  expect(again).toMatchObject({ answer: "hold", sets: [{ holds: [{ code: "inspection-falls-due", component: one.parts.gauge }] }] });
});

test("of a part whose model takes more than 40 % oxygen the last service decides", async () => {
  const [one] = fresh(1) as [RoomSet];
  done(await acceptLimits(at.room.db, at.room.by("technician"), at.room.models.second, { ...AMPLE, maxO2Tenths: 1_000 }));
  const { primary, alternate } = one.parts;
  const serviced = async (oxygenClean: boolean) =>
    done(await recordWork(at.room.db, at.room.by("technician"), one.id, { kind: "service", components: [primary], oxygenClean, words: "Kit fitted", kits: at.room.kitsFor([primary]) }));
  const heldAt = async (o2Tenths: number) => {
    const { sets } = await (await desk()).lookUp({ tags: [one.tag], hire: terms(backOn, { o2Tenths }) });
    return sets[0]!.holds.flatMap((hold) => (hold.code === "oxygen" && [primary, alternate].includes(hold.component) ? [[hold.component, hold.most]] : []));
  };
  expect(await heldAt(400)).toEqual([]);
  expect(await heldAt(401)).toEqual([[primary, 400], [alternate, 400]]);
  await serviced(true);
  expect(await heldAt(1_000)).toEqual([[alternate, 400]]);
  await serviced(false);
  expect(await heldAt(500)).toEqual([[primary, 400], [alternate, 400]]);
});
