/** The plan: what it rests on, the search, a plan moved by hand, its acceptance into orders, and what may have changed meanwhile. */
import { contextFor } from "@hangrail/api/context";
import { calendarFor } from "@hangrail/api/plan-calendar";
import { solveStream } from "@hangrail/api/plan-stream";
import type { SolveEvent } from "@hangrail/api/plan-view";
import { acceptLimits, handOut, takeBack } from "@hangrail/db/acts";
import { acceptBuild, moveKit } from "@hangrail/db/bench-acts";
import { confirmClock } from "@hangrail/db/people-acts";
import { addDays, day, type Day } from "@hangrail/rules/calendar";
import ICAL from "ical.js";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { aRequest, codeOf, digestOf, makeApiRoom, type ApiRoom, type Caller } from "../support/api.ts";
import { aHire, AMPLE, AMPLE_FIRST, backDry, done, type RoomSet } from "../support/kit-room.ts";

/**
 * A small room to reckon by hand. Two months between services and no other limit; a service takes an hour
 * for the first stage and half of one for each second stage, 120 minutes, and three seal kits. Two sets
 * (early) were serviced on 16 March, two (late) on 13 April, which is today, a Monday.
 */
const TODAY = day("2026-04-13");
const EARLY_DUE = day("2026-05-16"); // a Saturday, of the week of 11 May: the last whole week before it is 3
const LATE_DUE = day("2026-06-13"); // a Saturday too: week 7
const LIMITS = { serviceMonths: 2, serviceDives: null, serviceMinutes: null, hasInspection: false, inspectionMonths: null, inspectionDives: null, inspectionMinutes: null } as const;
const WEEKS = 12;
const AS_IS = { away: [], lateKits: [], demand: [] };
const KIND = "any warm 210 diving";

let at: ApiRoom;
let manager: Caller;
let technician: Caller;
let early: RoomSet[];
let late: RoomSet[];

beforeAll(async () => {
  at = await makeApiRoom({ sets: 4, stoppedAt: "2026-03-16T08:00:00Z" });
  const { room } = at;
  for (const [model, limits] of [[room.models.first, AMPLE_FIRST], [room.models.second, AMPLE], [room.models.gauge, AMPLE]] as const) {
    done(await acceptLimits(room.db, room.by("technician"), model, { ...limits, ...LIMITS }));
  }
  const build = { balance: null, hpPorts: null, lpPorts: null, lpHalfInchPorts: null, plugsInto: null, inspectionMinutes: 20, page: "Workshop manual, page 2" };
  done(await acceptBuild(room.db, room.by("technician"), room.models.first, { ...build, balance: "balanced", hpPorts: 2, lpPorts: 4, lpHalfInchPorts: 0, serviceMinutes: 60 }));
  done(await acceptBuild(room.db, room.by("technician"), room.models.second, { ...build, serviceMinutes: 30 }));
  early = room.sets.slice(0, 2);
  late = room.sets.slice(2);
  await room.clock.stopAt("2026-04-13T06:00:00Z");
  done(await confirmClock(room.db, room.by("manager"), "Four weeks on"));
  await room.makeReady(late);
  await room.clock.stopAt("2026-04-13T10:00:00Z");
  [manager, technician] = (await Promise.all([at.as("manager"), at.as("technician")])).map(({ api }) => api) as [Caller, Caller];
  // Four hours a week, and none in the week of 4 May.
  done(await manager.plan.setBenchHours({ staffId: room.people.technician, weekOn: null, minutes: 240, words: "" }));
  done(await manager.plan.setBenchHours({ staffId: room.people.technician, weekOn: addDays(TODAY, 21), minutes: 0, words: "Spring holiday" }));
});
afterAll(() => at.close());

const outlook = (weeks = WEEKS) => manager.plan.outlook({ weeks });
const tagsOf = (sets: readonly RoomSet[]) => sets.map(({ tag }) => tag);
const booking = (fromOn: Day, untilOn: Day, sets: number, over = {}) => ({ fromOn, untilOn, connection: null, cold: false, o2Tenths: 210, teaching: false, sets, words: "", source: "typed" as const, ...over });

type Asked = Partial<Parameters<Caller["plan"]["solve"]>[0]>;
async function solve(over: Asked = {}): Promise<SolveEvent[]> {
  const events: SolveEvent[] = [];
  for await (const event of await manager.plan.solve({ weeks: WEEKS, locks: [], whatIf: AS_IS, relativeGap: 0, ...over })) events.push(event);
  return events;
}
const answerIn = (events: readonly SolveEvent[]) => {
  const last = events.at(-1);
  if (last?.event !== "answer") throw new Error(`no answer, but ${JSON.stringify(last)}`);
  return last;
};
const foundIn = (events: readonly SolveEvent[]) => {
  const answer = answerIn(events);
  if (answer.answer !== "plan" && answer.answer !== "short") throw new Error(`no plan, but ${JSON.stringify(answer)}`);
  return { ...answer.found, answer: answer.answer, seqs: answer.seqs };
};
const weekOf = (lines: readonly { setId: string; week: number | null }[], set: RoomSet) => lines.find(({ setId }) => setId === set.id)!.week;

describe("the outlook", () => {
  test("of a room without bookings says what is missing, and every set with its days, minutes and kits", async () => {
    const { today, weeks, benchDays, sets, unplanned, missing, daysAtRisk, technicians, room } = await outlook();
    expect([today, weeks.length, weeks[0], weeks[11], benchDays]).toEqual([TODAY, 12, TODAY, "2026-06-29", 3]);
    expect(sets.map(({ tag, dueWeek }) => [tag, dueWeek])).toEqual([...tagsOf(early).map((tag) => [tag, 3]), ...tagsOf(late).map((tag) => [tag, 7])]);
    expect(sets[0]).toMatchObject({
      due: { answer: "falls-due", low: EARLY_DUE, middle: EARLY_DUE, high: EARLY_DUE, leads: [{ work: "service", limb: "months", role: "first-stage" }], perWeek: null },
      doubt: null, work: "service", awayWeeks: 1, minutes: 120, byMaker: [{ maker: "Tarnfell", minutes: 120 }], minutesAssumed: false,
      kits: [{ kit: at.room.kit, count: 3 }], serves: [], outUntil: null, out: [], onBench: [], order: null, state: "ready",
    });
    expect(sets[2]!.due.low).toBe(LATE_DUE);
    expect(unplanned).toEqual([]);
    expect(daysAtRisk).toEqual([]);
    expect(missing).toEqual([{ missing: "bookings" }, { missing: "bench-minutes", models: ["Tarnfell Beck G"] }, { missing: "kit-list", models: ["Tarnfell Beck G"] }]);
    // The chief holds the role too; nobody has said which hours, so there are none.
    expect(technicians).toMatchObject([{ name: "Mira Holt", usual: null, authorisations: [] }, { id: at.room.people.technician, usual: 240, authorisations: [{ maker: "Tarnfell" }] }]);
    expect(technicians[0]!.weeks.every(({ minutes, own }) => minutes === 0 && !own)).toBe(true);
    expect(technicians[1]!.weeks.slice(2, 5)).toEqual([{ minutes: 240, own: false, words: "" }, { minutes: 0, own: true, words: "Spring holiday" }, { minutes: 240, own: false, words: "" }]);
    // A Monday: the whole week is left.
    expect(room).toEqual([240, 240, 240, 0, 240, 240, 240, 240, 240, 240, 240, 240]);
  });

  test("names the days on which bookings would be without a set in date, were nothing serviced", async () => {
    // Three sets every day for eight weeks, to 7 June, and on one Wednesday a fourth.
    done(await manager.plan.makeBookings({ requestId: aRequest(), bookings: [booking(TODAY, addDays(TODAY, 55), 3), booking(addDays(TODAY, 9), addDays(TODAY, 9), 1)] }));
    const { daysAtRisk, cover, kinds } = await outlook();
    expect(kinds).toEqual([{ id: KIND, connection: null, cold: false, o2Tenths: 210, teaching: false, sets: [3, 4, 3, 3, 3, 3, 3, 3, 0, 0, 0, 0] }]);
    // From 17 May, the day after the early sets fell due, two are in date; to 7 June that is 22 days.
    expect(daysAtRisk.map(({ on }) => on)).toEqual(Array.from({ length: 22 }, (_, days) => addDays(EARLY_DUE, days + 1)));
    expect(new Set(daysAtRisk.map(({ kind, booked, able, short }) => [kind, booked, able, short].join(" / ")))).toEqual(new Set([`${KIND} / 3 / 2 / 1`]));
    // A plan goes by whole weeks: the week of 11 May ends without them.
    expect(cover).toEqual([{ kind: KIND, booked: [3, 4, 3, 3, 3, 3, 3, 3, 0, 0, 0, 0], able: [4, 4, 4, 4, 2, 2, 2, 2, 0, 0, 0, 0], short: [0, 0, 0, 0, 1, 1, 1, 1, 0, 0, 0, 0] }]);
  });

  test("asks the same number of questions for four sets as for one site without any", async () => {
    const asked = async (site: string) => {
      const browser = await at.signedIn(at.room.people.manager, site);
      const { query } = at.served.db.reads;
      let count = 0;
      at.served.db.reads.query = ((...args: Parameters<typeof query>) => {
        count += 1;
        return Reflect.apply(query, at.served.db.reads, args);
      }) as typeof query;
      try {
        await browser.api.plan.outlook({ weeks: WEEKS });
      } finally {
        at.served.db.reads.query = query;
      }
      return count;
    };
    expect(await asked(at.room.site)).toBe(await asked(await at.room.openSite("Quay two")));
  });
});

describe("the search", () => {
  test("covers every booking, keeps the holiday free, and is proven best", async () => {
    const events = await solve();
    const { answer, lines, score, gap, bound, weeks, cover, reasons, violations } = foundIn(events);
    expect(answer).toBe("plan");
    expect(violations).toEqual([]);
    expect(score.shortage).toBe(0);
    expect(gap).toBe(0);
    expect(bound).toBe(score.total);
    // One may be away in a week of three bookings, none in that of four; week 3 is the holiday. Week 4, in which the second falls due, costs
    // five for late; week 0 would throw away three weeks of life and have it due again while nobody is left to hire it in the last weeks.
    expect(early.map((set) => weekOf(lines, set)).sort()).toEqual([2, 4]);
    expect(weeks[3]).toEqual({ going: 0, load: 0, room: 0, kits: [] });
    expect(weeks[2]).toEqual({ going: 1, load: 120, room: 240, kits: [{ kit: at.room.kit, count: 3 }] });
    expect(cover[0]!.short).toEqual(WEEKS_OF_NOUGHT);
    expect(cover[0]!.able.slice(0, 5)).toEqual([4, 4, 3, 4, 3]);
    expect(reasons.find(({ week }) => week === 2)).toMatchObject({ reason: { why: "early", weeks: 1, against: [{ week: 3, choice: "stopped", by: { stop: "bench" } }] } });
  });

  test("keeps what is locked, and says so when the locks themselves cannot be kept", async () => {
    const [first, second] = early as [RoomSet, RoomSet];
    const { lines, reasons } = foundIn(await solve({ locks: [{ setId: first.id, week: 2 }] }));
    expect([weekOf(lines, first), weekOf(lines, second)]).toEqual([2, 4]);
    expect(reasons.find(({ set }) => set === first.id)!.reason).toEqual({ why: "locked" });
    const conflict = answerIn(await solve({ locks: [{ setId: first.id, week: 3 }] }));
    expect(conflict).toMatchObject({ answer: "locks-conflict", violations: [{ rule: "bench", week: 3, minutesOver: 120 }, { rule: "technicians", week: 3, makers: ["Tarnfell"] }] });
    expect(answerIn(await solve({ locks: [{ setId: first.id, week: 40 }] }))).toMatchObject({ answer: "no-problem", faults: [{ code: "not-a-count" }] });
  });

  test("with the technician away names the weeks that are short, and the cheapest relief", async () => {
    const { technician: staffId } = at.room.people;
    const answer = answerIn(await solve({ whatIf: { ...AS_IS, away: [{ staffId, fromWeek: 0, untilWeek: 11 }] } }));
    if (answer.answer !== "short") throw new Error(answer.answer);
    expect(answer.leastShort).toBe(true);
    expect(answer.found.cover[0]!.short).toEqual([0, 0, 0, 0, 1, 1, 1, 1, 0, 0, 0, 0]);
    // Two hours of somebody authorised, in a week with three bookings: one more set in date is all that lacks.
    expect(answer.relief!.items).toMatchObject([{ short: "technician", maker: "Tarnfell", minutes: 120 }]);
    expect([0, 2, 3]).toContain(answer.relief!.items[0]!.week);
  });

  test("with more asked for in May says how many sets no service could make ready", async () => {
    const { cover } = foundIn(await solve({ whatIf: { ...AS_IS, demand: [{ fromWeek: 3, untilWeek: 6, percent: 150 }] } }));
    expect(cover[0]!.booked.slice(3, 7)).toEqual([5, 5, 5, 5]);
    expect(cover[0]!.short.slice(3, 7).every((short) => short >= 1)).toBe(true);
  });

  test("waits for kits that are not here: for an order, for one placed today, for a late one", async () => {
    const { kit, db } = at.room;
    const count = (quantity: number) => moveKit(db, at.room.by("manager"), kit, { kind: "counted", quantity, lot: null, words: "" });
    const before = (await outlook()).kits[0]!.stock;
    await count(0);
    // None in hand: an order placed today is here in a fortnight, in week 2.
    const { lines, toOrder } = foundIn(await solve());
    expect(early.map((set) => weekOf(lines, set)).sort()).toEqual([2, 4]);
    expect(toOrder.slice(0, 2)).toEqual([
      { kit, name: "Tarnfell Seal kit", count: 3, neededOn: addDays(TODAY, 14), orderBy: TODAY },
      { kit, name: "Tarnfell Seal kit", count: 3, neededOn: addDays(TODAY, 28), orderBy: addDays(TODAY, 14) },
    ]);
    // Three weeks late they are here in week 5, and week 4 has two sets for three bookings.
    const without = foundIn(await solve({ whatIf: { ...AS_IS, lateKits: [{ kitId: kit, weeks: 3 }] } }));
    expect(without.answer).toBe("short");
    expect(early.every((set) => weekOf(without.lines, set)! >= 5)).toBe(true);
    expect(without.cover[0]!.short.slice(0, 5)).toEqual([0, 0, 0, 0, 1]);
    expect((await outlook()).kits).toMatchObject([{ stock: 0, onOrder: 0, leadDays: 14 }]);
    await count(before);
  });

  test("is one at a time for a person, stops when nobody listens any more, and then may begin again", async () => {
    const running = (await manager.plan.solve({ weeks: WEEKS, locks: [], whatIf: AS_IS }))[Symbol.asyncIterator]();
    const first = running.next();
    expect((await solve()).at(-1)).toEqual({ event: "refused", code: "solving-already" });
    await first;
    await running.return!(undefined);
    let again = (await solve()).at(-1)!;
    // The thread ends in its own time.
    while (again.event === "refused") again = (await solve()).at(-1)!;
    expect(again).toMatchObject({ event: "answer", answer: "plan" });
  });

  test("over HTTP stops when the browser goes away, and then may begin again", async () => {
    const { cookies } = await at.as("manager");
    const body = JSON.stringify({ weeks: WEEKS, locks: [], whatIf: AS_IS });
    const begin = async () => {
      const begun = await solveStream(() => contextFor(at.served, cookies, new Headers()), body, new AbortController().signal);
      if (begun.answer !== "events") throw new Error(begun.message);
      return begun.lines.pipeThrough(new TextDecoderStream() as ReadableWritablePair<string, Uint8Array>);
    };
    const left = (await begin()).getReader();
    await left.read();
    await left.cancel();
    let told = "";
    // The thread ends in its own time.
    do {
      told = "";
      for await (const piece of await begin()) told += piece;
    } while (told.includes("solving-already"));
    expect(JSON.parse(told.trimEnd().split("\n").at(-1)!)).toMatchObject({ event: "answer", answer: "plan" });
  });

  test("is only for the manager", async () => {
    expect(await codeOf(technician.plan.solve({ weeks: WEEKS, locks: [], whatIf: AS_IS }))).toBe("FORBIDDEN");
  });
});

const WEEKS_OF_NOUGHT = Array.from({ length: WEEKS }, () => 0);

describe("a plan moved by hand", () => {
  const priced = async (lines: { setId: string; week: number | null }[], before: { setId: string; week: number | null }[]) => {
    const answer = await manager.plan.price({ weeks: WEEKS, locks: [], whatIf: AS_IS, lines, before });
    if (answer.answer !== "priced") throw new Error(answer.answer);
    return answer;
  };

  test("is told at once what it costs and which rule it breaks", async () => {
    const [first, second] = early as [RoomSet, RoomSet];
    const before = [{ setId: first.id, week: 0 }, { setId: second.id, week: 2 }];
    // Both in the same week: one booking of that week goes without, less life is thrown away, and the first is due again two weeks later.
    const together = await priced([{ setId: first.id, week: 2 }, { setId: second.id, week: 2 }], before);
    expect(together.plan.violations).toEqual([]);
    expect(together.short).toEqual([{ week: 2, kind: KIND, sets: 1 }]);
    expect(together.change).toMatchObject({ shortage: 1, lost: -2, waste: -2, late: 0, undone: 0 });
    const holiday = await priced([{ setId: first.id, week: 0 }, { setId: second.id, week: 3 }], before);
    expect(holiday.plan.violations).toMatchObject([{ rule: "bench", week: 3, minutesOver: 120 }, { rule: "technicians", week: 3 }]);
    const same = await priced(before, before);
    expect(Object.values(same.change)).toEqual([0, 0, 0, 0, 0, 0, 0]);
  });

  test("shows every other week for one set", async () => {
    const [first, second] = early as [RoomSet, RoomSet];
    const lines = [{ setId: first.id, week: 0 }, { setId: second.id, week: 2 }];
    const answer = await manager.plan.weekChoices({ weeks: WEEKS, locks: [], whatIf: AS_IS, lines, setId: first.id });
    if (answer.answer !== "choices") throw new Error(answer.answer);
    expect(answer.choices).toHaveLength(WEEKS + 1);
    expect(answer.choices[0]).toEqual({ week: 0, choice: "possible", cost: 0, short: [] });
    expect(answer.choices[1]).toMatchObject({ week: 1, choice: "possible", short: [{ week: 1, sets: 1 }] });
    expect(answer.choices[3]).toMatchObject({ week: 3, choice: "stopped", by: { stop: "bench", minutesOver: 120 } });
    expect(await manager.plan.weekChoices({ weeks: WEEKS, locks: [], whatIf: AS_IS, lines, setId: aRequest() })).toEqual({ answer: "no-such-set" });
  });
});

describe("an accepted plan", () => {
  const accepted = async (weeks: readonly (readonly [RoomSet, number | null])[], over: Partial<Parameters<Caller["plan"]["accept"]>[0]> = {}) => {
    const seen = new Map((await at.room.seen(weeks.map(([set]) => set))).map(({ id, seq }) => [id, seq]));
    return { requestId: aRequest(), weeks: WEEKS, fromOn: TODAY, lines: weeks.map(([set, week]) => ({ setId: set.id, week, seq: seen.get(set.id)!, locked: false })), bound: null, words: "Spring", ...over };
  };
  const weekOnBench = async () =>
    Object.fromEntries((await technician.workOrders.queue()).items.filter(({ order }) => order !== null && order.kind === "service").map(({ set, order }) => [set.tag, order!.weekOn]));

  test("is refused when by the facts of now it breaks a rule, or begins in a week that is over", async () => {
    const [first, second] = early as [RoomSet, RoomSet];
    const before = await digestOf(at.owner);
    expect(await manager.plan.accept(await accepted([[first, 3], [second, 2]]))).toMatchObject({ answer: "breaks", violations: [{ rule: "bench" }, { rule: "technicians" }] });
    expect(await manager.plan.accept(await accepted([[first, 2]], { fromOn: addDays(TODAY, -7) }))).toEqual({ answer: "week-passed" });
    expect(await digestOf(at.owner)).toBe(before);
  });

  test("becomes orders at the bench, one for each set, with its week; asked again it is the same", async () => {
    const { lines, seqs, bound } = foundIn(await solve());
    const input = { requestId: aRequest(), weeks: WEEKS, fromOn: TODAY, bound, words: "Spring", lines: lines.map((line) => ({ ...line, seq: seqs[line.setId]!, locked: false })) };
    const going = lines.filter(({ week }) => week !== null).length;
    const answer = await manager.plan.accept(input);
    expect(answer).toMatchObject({ answer: "done", orders: going });
    expect(await manager.plan.accept(input)).toEqual({ ...answer, repeat: true });
    expect(await weekOnBench()).toEqual(Object.fromEntries([...early, ...late].map((set) => [set.tag, addDays(TODAY, 7 * weekOf(lines, set)!)])));
    const { accepted: plan, sets } = await outlook();
    expect(plan).toMatchObject({ words: "Spring", acceptedBy: "Mira Holt", gap: 0, weeks: WEEKS });
    expect(plan!.lines.map(({ order, since, work }) => [order.state, since, work])).toEqual(Array.from({ length: going }, () => ["waiting", [], "service"]));
    // The one in week 4 goes a week after its last whole week in date.
    expect(plan!.lines.filter(({ nowLate }) => nowLate).map(({ weekOn }) => weekOn)).toEqual([addDays(TODAY, 28)]);
    expect(sets[0]!.order).toMatchObject({ weekOn: addDays(TODAY, 7 * weekOf(lines, early[0]!)!) });
  });

  test("gives way to the next: weeks move, what is no longer in it is dropped, what was taken stays", async () => {
    const [first, second] = early as [RoomSet, RoomSet];
    const [third, fourth] = late as [RoomSet, RoomSet];
    const orderOf = async (set: RoomSet) => (await technician.workOrders.queue()).items.find((item) => item.set.tag === set.tag && item.order?.kind === "service")?.order?.id;
    const [movedOrder, takenOrder] = [await orderOf(second), await orderOf(first)];
    done(await technician.workOrders.take({ requestId: aRequest(), orderId: takenOrder! }));
    // The one on the bench is away this week and due after its service; it has no line of its own.
    expect(await manager.plan.accept(await accepted([[second, 4], [third, 6], [first, null], [fourth, null]]))).toMatchObject({ answer: "done", orders: 2 });
    const queue = (await technician.workOrders.queue()).items;
    expect(queue.find(({ order }) => order?.id === movedOrder)!.order!.weekOn).toBe(addDays(TODAY, 28));
    expect(queue.find(({ order }) => order?.id === takenOrder)!.order!.state).toBe("taken");
    expect(await orderOf(fourth)).toBeUndefined();
    const { rows } = await at.owner.query("SELECT outcome, done_words FROM work_order WHERE set_id = $1", [fourth.id]);
    expect(rows).toEqual([{ outcome: "dropped", done_words: "No longer in the plan" }]);
    expect((await outlook()).accepted!.lines.map(({ tag, weekOn, nowLate }) => [tag, weekOn, nowLate])).toEqual([[second.tag, addDays(TODAY, 28), true], [third.tag, addDays(TODAY, 42), false]]);
  });

  test("is refused when a set has lived through something since, and says what", async () => {
    const { db } = at.room;
    const [third] = late as [RoomSet];
    const old = await accepted([[third, 6]]);
    done(await handOut(db, at.room.by("desk"), aHire(addDays(TODAY, 1)), await at.room.seen([third])));
    const before = await digestOf(at.owner);
    expect(await manager.plan.accept(old)).toEqual({ answer: "stale", sets: [{ id: third.id, tag: third.tag, seq: old.lines[0]!.seq + 1, since: ["handed-out"] }] });
    expect(await digestOf(at.owner)).toBe(before);
    const { sets, accepted: plan } = await outlook();
    expect(sets.find(({ tag }) => tag === third.tag)).toMatchObject({ state: "out", outUntil: addDays(TODAY, 1), out: [0] });
    expect(plan!.lines.find(({ tag }) => tag === third.tag)!.since).toEqual(["handed-out"]);
    done(await takeBack(db, at.room.by("desk"), [backDry(third.id)]));
  });

  test("tells which kits are to be ordered, and as a sheet", async () => {
    const { kit, db } = at.room;
    const before = (await outlook()).kits[0]!;
    done(await moveKit(db, at.room.by("manager"), kit, { kind: "counted", quantity: 3, lot: null, words: "" }));
    // Six kits for two sets, in weeks 4 and 6; three are here.
    const list = await technician.plan.orderList();
    expect(list).toEqual([{ kit, name: "Tarnfell Seal kit", count: 3, neededOn: addDays(TODAY, 42), orderBy: addDays(TODAY, 28) }]);
    const { rows, file, fileName } = await technician.plan.orderListSheet();
    expect([rows, fileName]).toEqual([1, `kits-to-order-${TODAY}.csv`]);
    expect(Buffer.from(file, "base64").toString("utf8").replace("\uFEFF", "").split("\r\n")).toEqual(["Kit,How many,Needed on,Order by", "Tarnfell Seal kit,3,2026-05-25,2026-05-11", ""]);
    done(await moveKit(db, at.room.by("manager"), kit, { kind: "counted", quantity: before.stock, lot: null, words: "" }));
  });
});

describe("bookings", () => {
  const sheet = (text: string, answers = {}) => manager.plan.bookingsFromSheet({ fileName: "bookings.csv", file: Buffer.from(text).toString("base64"), answers });

  test("from a sheet are shown, then recorded by a second word", async () => {
    const before = await digestOf(at.owner);
    const answer = await sheet("From;Until;Sets;Valve;Oxygen %;Note\n2026-07-06;2026-07-10;2;DIN 300;32;Club\n2026-07-13;2026-07-13;1;;;\n");
    expect(await digestOf(at.owner)).toBe(before);
    if (answer.answer !== "good") throw new Error(JSON.stringify(answer));
    expect(answer.bookings).toEqual([
      { fromOn: "2026-07-06", untilOn: "2026-07-10", sets: 2, connection: "din-300", cold: false, o2Tenths: 320, teaching: false, words: "Club", source: "sheet" },
      { fromOn: "2026-07-13", untilOn: "2026-07-13", sets: 1, connection: null, cold: false, o2Tenths: 210, teaching: false, words: "", source: "sheet" },
    ]);
    const request = aRequest();
    const record = () => manager.plan.makeBookings({ requestId: request, bookings: [...answer.bookings] as never });
    expect(await record()).toEqual({ answer: "done", bookings: 2 });
    expect(await record()).toEqual({ answer: "done", bookings: 2, repeat: true });
    expect((await manager.plan.bookings()).filter(({ source }) => source === "sheet")).toHaveLength(2);
  });

  test("with a bad cell are none at all, and every bad cell is named", async () => {
    const answer = await sheet("From,Until,Sets,Valve\n2026-07-06,2026-07-05,2,DIN\n2026-08-01,2026-08-02,none,yoke\n2026-08-01,2026-08-02,1,yoke\n");
    expect(answer).toMatchObject({ answer: "problems", rows: 3, more: 0, problems: [{ code: "valve-word", row: 2, column: "D" }, { code: "empty", row: 3, column: "C" }] });
    expect(await sheet("")).toMatchObject({ answer: "unreadable" });
    expect(await sheet("From,Until,Sets\n05/08/2026,06/08/2026,2\n")).toMatchObject({ answer: "questions", questions: [{ code: "date-order" }, { code: "date-order" }] });
    expect(await sheet("From,Until,Sets\n05/08/2026,06/08/2026,2\n", { dateOrder: "day-first" })).toMatchObject({ answer: "good", bookings: [{ fromOn: "2026-08-05" }] });
  });

  test("are withdrawn once", async () => {
    const [one] = (await manager.plan.bookings()).filter(({ source }) => source === "sheet");
    expect(await manager.plan.withdrawBooking({ bookingId: one!.id })).toEqual({ answer: "done" });
    expect(await manager.plan.withdrawBooking({ bookingId: one!.id })).toMatchObject({ answer: "refused", code: "no-such-booking" });
    expect((await manager.plan.bookings()).map(({ id }) => id)).not.toContain(one!.id);
  });

  test("like last year's hires are what was out on the busiest day of each week, times the percentage", async () => {
    // One set was out from 13 to 14 April; a year of whole weeks later is 12 April 2027, a Monday.
    const answer = await manager.plan.bookingsFromPastHires({ fromOn: addDays(TODAY, 364), weeks: 2, percent: 150 });
    expect(answer).toEqual({
      hires: 1, recorded: 0,
      bookings: [{ fromOn: "2027-04-12", untilOn: "2027-04-18", connection: "din-232", cold: false, o2Tenths: 210, teaching: false, sets: 2, words: "", source: "past-hires" }],
    });
    expect(await codeOf(manager.plan.bookingsFromPastHires({ fromOn: addDays(TODAY, 365), weeks: 2, percent: 100 }))).toBe("BAD_REQUEST");
  });
});

describe("the morning sheet", () => {
  test("holds the sets ready at its hour with what they may meet, and what is booked for the day", async () => {
    const { api: desk } = await at.as("desk");
    const { today, at: hour, sets, bookings } = await desk.plan.morningSheet();
    // One is on the bench, one waits for the wash room.
    const figures = { connection: "din-300", maxBar: 300, maxO2Tenths: 400, cold: true, divesLeft: null };
    expect(sets).toEqual([{ setId: early[1]!.id, tag: early[1]!.tag, ...figures, dueOn: EARLY_DUE }, { setId: late[1]!.id, tag: late[1]!.tag, ...figures, dueOn: LATE_DUE }]);
    expect([today, hour]).toEqual([TODAY, await at.room.clock.read()]);
    expect(bookings).toEqual([{ connection: null, cold: false, o2Tenths: 210, teaching: false, sets: 3, words: "" }]);
  });
});

describe("what is not known", () => {
  test("is never 'not due': a set without limits is named apart, one with an unknown count is due now", async () => {
    const inUseOn = addDays(TODAY, -10);
    const set = await at.room.registerSet({ boughtOn: inUseOn, inUseOn });
    await at.owner.query("UPDATE component SET counts_known = false WHERE id = $1", [set.parts.primary]);
    done(await acceptLimits(at.room.db, at.room.by("technician"), at.room.models.second, { ...AMPLE, ...LIMITS, serviceDives: 100 }));
    const { sets } = await outlook();
    expect(sets.find(({ tag }) => tag === set.tag)).toMatchObject({ doubt: "count-unknown", dueWeek: -1, due: { answer: "not-judged" } });
    // No dive was ever counted here: when the hundredth comes nobody can say, but the months have an end.
    expect(sets.find(({ tag }) => tag === late[1]!.tag)).toMatchObject({ doubt: "too-little-known", dueWeek: 7, due: { answer: "too-little-known", low: null, high: LATE_DUE } });
    done(await acceptLimits(at.room.db, at.room.by("technician"), at.room.models.second, { ...AMPLE, ...LIMITS }));
  });

  test("of the past: too little history is an answer", async () => {
    expect(await manager.plan.forecastsHeld()).toEqual({ answer: "refused", why: "too-few", forecasts: 0 });
  });
});

describe("the calendar", () => {
  test("is opened by its address alone, holds a week for each set, and ends when it is revoked", async () => {
    const { db } = at.served;
    const opened = await technician.plan.openCalendar({ words: "Wall in the workshop" });
    if (opened.answer !== "done") throw new Error(JSON.stringify(opened));
    const token = opened.path.split("/").at(-1)!;
    expect((await at.owner.query("SELECT count(*)::int AS n FROM calendar_feed WHERE token_hash = sha256($1::bytea) AND position($1::bytea IN token_hash) = 0", [Buffer.from(token)])).rows).toEqual([{ n: 1 }]);
    const found = await calendarFor(db, token);
    if (found.answer !== "calendar") throw new Error(found.answer);
    for (const line of found.text.split("\r\n")) expect(Buffer.byteLength(line)).toBeLessThanOrEqual(75);
    expect(found.text.replaceAll("\r\n", "")).not.toMatch(/[\r\n]|Guest/);
    const calendar = new ICAL.Component(ICAL.parse(found.text) as never);
    const events = calendar.getAllSubcomponents("vevent").map((one) => new ICAL.Event(one));
    expect(events.map(({ summary, startDate, endDate }) => [summary, startDate.isDate, startDate.toString(), endDate.toString()])).toEqual([
      [`Service ${early[1]!.tag}`, true, addDays(TODAY, 28), addDays(TODAY, 35)],
      [`Service ${late[0]!.tag}`, true, addDays(TODAY, 42), addDays(TODAY, 49)],
    ]);
    expect(calendar.getAllSubcomponents("vevent").every((one) => one.getFirstPropertyValue("dtstamp") !== null)).toBe(true);
    const again = await calendarFor(db, token);
    expect(again).toEqual(found);
    expect(events.every(({ uid }) => /^[0-9a-f-]{36}@hangrail$/.test(uid))).toBe(true);

    expect(await technician.plan.calendars()).toMatchObject([{ id: opened.feed, words: "Wall in the workshop", revokedAt: null }]);
    done(await manager.plan.revokeCalendar({ feedId: opened.feed }));
    expect(await calendarFor(db, token)).toEqual(await calendarFor(db, "A".repeat(43)));
    expect(await calendarFor(db, token)).toEqual({ answer: "none" });
  });

  test("is not found by trying: wrong addresses wait, the right one does not", async () => {
    const { db } = at.served;
    const opened = await manager.plan.openCalendar({ words: "Phone" });
    if (opened.answer !== "done") throw new Error(JSON.stringify(opened));
    const answers = new Set<string>();
    for (let tries = 0; tries < 6; tries += 1) answers.add((await calendarFor(db, "B".repeat(43))).answer);
    expect([...answers]).toContain("too-many-tries");
    expect((await calendarFor(db, opened.path.split("/").at(-1)!)).answer).toBe("calendar");
  });
});
