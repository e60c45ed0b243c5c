import fc from "fast-check";
import { expect, test } from "vitest";
import { aComponent, aPolicy, aQueuedOrder, TODAY, wholeSet } from "../testing/index.ts";
import { addDays, addMonths, day } from "./calendar.ts";
import type { ComponentFacts } from "./hand-out.ts";
import type { Role } from "./models.ts";
import { benchQueue, isOpen, mayMove, reasonsForBench, urgencyOf, WORK_ORDER_STATES } from "./work-orders.ts";
import type { BenchFacts, OrderOfSet, QueuedOrder } from "./work-orders.ts";

const facts = (differing: Partial<Record<Role, Partial<ComponentFacts>>> = {}, rest: Partial<BenchFacts> = {}): BenchFacts => ({
  evidenceLock: false, retired: false, components: wholeSet(differing), openFaults: [], notices: [], ...rest,
});
const reasons = (of: BenchFacts, orders: readonly OrderOfSet[] = []) => reasonsForBench(of, orders, aPolicy(), TODAY);
const anOrder = (differing: Partial<OrderOfSet>): OrderOfSet => ({ kind: "service", fault: null, notice: null, state: "waiting", ...differing });

test("a set in order asks for nothing", () => {
  expect(reasons(facts())).toEqual([]);
});

test("a service asks from thirty days or ten dives before, and holds from the day after", () => {
  const due = (days: number) => reasons(facts({ primary: { servicedOn: addMonths(addDays(TODAY, days), -12), beddingCheckedOn: TODAY } }));
  expect(due(31)).toEqual([]);
  expect(due(30)).toEqual([{ kind: "service", fault: null, notice: null, components: ["primary"], holds: false, dueOn: addDays(TODAY, 30) }]);
  expect(due(0)).toMatchObject([{ holds: false }]);
  expect(due(-1)).toMatchObject([{ holds: true }]);
  expect(reasons(facts({ gauge: { divesSinceService: 89 } }))).toEqual([]);
  expect(reasons(facts({ gauge: { divesSinceService: 90 } }))).toMatchObject([{ kind: "service", components: ["gauge"], holds: false }]);
  expect(reasons(facts({ gauge: { divesSinceService: 100 } }))).toMatchObject([{ holds: true }]);
});

test("the same work on several components is one order, due by the earliest", () => {
  const servicedOn = addMonths(addDays(TODAY, 20), -12);
  const both = facts({ primary: { servicedOn, beddingCheckedOn: TODAY }, alternate: { servicedOn: addDays(servicedOn, -5), beddingCheckedOn: TODAY } });
  expect(reasons(both)).toMatchObject([{ kind: "service", components: ["primary", "alternate"], dueOn: addDays(TODAY, 15) }]);
});

test("each notice and each open fault asks for its own order; a watch asks for none", () => {
  const trouble = facts({}, {
    notices: [{ notice: "n1", component: "primary" }, { notice: "n1", component: "alternate" }, { notice: "n2", component: "primary" }],
    openFaults: [{ fault: "f1", component: "gauge", severity: "out" }, { fault: "f2", component: null, severity: "hold" }, { fault: "f3", component: null, severity: "watch" }],
  });
  expect(reasons(trouble).map(({ kind, fault, notice, components }) => [kind, fault ?? notice, components])).toEqual([
    ["notice", "n1", ["primary", "alternate"]],
    ["notice", "n2", ["primary"]],
    ["repair", "f1", ["gauge"]],
    ["repair", "f2", []],
  ]);
  const orders = [anOrder({ kind: "notice", notice: "n1" }), anOrder({ kind: "repair", fault: "f1", state: "parked" }), anOrder({ kind: "repair", fault: "f2", state: "done" })];
  expect(reasons(trouble, orders).map(({ fault, notice }) => fault ?? notice)).toEqual(["n2", "f2"]);
});

test("a new component, one that lay too long and one to bed in ask for their own work", () => {
  const limits = { service: { months: 36, dives: null, minutes: null }, inspection: { months: 24, dives: null, minutes: null } };
  const fresh = { limits, lastUsedOn: null, servicedOn: null, inspectedOn: null, boughtOn: day("2026-05-01"), inUseOn: null };
  const lain = { limits, inUseOn: day("2025-01-01"), lastUsedOn: day("2025-06-01"), servicedOn: day("2025-05-01"), inspectedOn: null, beddingCheckedOn: TODAY };
  expect(reasons(facts({ gauge: fresh, alternate: lain, primary: { beddingCheckedOn: null } })).map(({ kind, components, holds }) => [kind, components, holds])).toEqual([
    ["new-component", ["gauge"], true],
    ["inspection", ["alternate"], true],
    ["bedding-check", ["primary"], false],
  ]);
});

test("no inspection is asked for beside a service, and none at all of a sealed or retired set", () => {
  const limits = { service: { months: 12, dives: null, minutes: null }, inspection: { months: 6, dives: null, minutes: null } };
  const old = facts({ primary: { limits, servicedOn: day("2025-01-01"), inspectedOn: null } });
  expect(reasons(old)).toMatchObject([{ kind: "service", components: ["primary"] }]);
  expect(reasons({ ...old, evidenceLock: true })).toEqual([]);
  expect(reasons({ ...old, retired: true })).toEqual([]);
});

test("an order waits, is taken, may be parked and taken up again, and ends done or dropped", () => {
  const moves = WORK_ORDER_STATES.flatMap((from) => WORK_ORDER_STATES.filter((to) => mayMove(from, to)).map((to) => `${from} > ${to}`));
  expect(moves).toEqual(["waiting > taken", "waiting > dropped", "taken > parked", "taken > done", "taken > dropped", "parked > taken", "parked > dropped"]);
  expect(WORK_ORDER_STATES.filter(isOpen)).toEqual(["waiting", "taken", "parked"]);
});

const queue = (...orders: readonly Partial<QueuedOrder>[]) => benchQueue(orders.map(aQueuedOrder), TODAY, 30).map(({ id }) => id);

test("the queue goes by urgency, then by need, due day, bookings at stake and age", () => {
  expect(
    queue(
      { id: "later" },
      { id: "due in 30", dueOn: addDays(TODAY, 30) },
      { id: "due in 31", dueOn: addDays(TODAY, 31) },
      { id: "hold", worstFault: "hold" },
      { id: "overdue", overdue: true, dueOn: addDays(TODAY, -1) },
      { id: "out, not needed", worstFault: "out" },
      { id: "notice, needed later", kind: "notice", neededOn: addDays(TODAY, 9) },
      { id: "out, needed tomorrow", worstFault: "out", neededOn: addDays(TODAY, 1) },
      { id: "sealed", worstFault: "out", evidenceLock: true, neededOn: TODAY },
    ),
  ).toEqual(["out, needed tomorrow", "notice, needed later", "out, not needed", "overdue", "hold", "due in 30", "due in 31", "later"]);
  expect(queue({ id: "a", bookingsAtStake: 1, openedAt: 1 }, { id: "b", bookingsAtStake: 3, openedAt: 2 }, { id: "c", bookingsAtStake: 1, openedAt: 0 })).toEqual(["b", "c", "a"]);
  expect(queue({ id: "b" }, { id: "a" })).toEqual(["a", "b"]);
});

const anyOrder = fc.record({
  kind: fc.constantFrom("service", "notice", "repair"),
  evidenceLock: fc.constantFrom(false, false, false, true),
  worstFault: fc.constantFrom(null, "out", "hold", "watch"),
  neededOn: fc.option(fc.nat(2).map((n) => addDays(TODAY, n))),
  dueOn: fc.option(fc.integer({ min: 29, max: 31 }).map((n) => addDays(TODAY, n))),
  overdue: fc.boolean(),
  bookingsAtStake: fc.constantFrom(0, 1, 2, Number.NaN),
  openedAt: fc.nat(2),
});

test("however the orders come in, the queue is the same", () => {
  fc.assert(
    fc.property(fc.array(anyOrder, { maxLength: 8 }).chain((orders) => {
      const named = orders.map((order, at) => ({ ...order, id: `w${at}` }));
      return fc.tuple(fc.constant(named), fc.shuffledSubarray(named, { minLength: named.length }));
    }), ([orders, shuffled]) => {
      expect(queue(...shuffled)).toEqual(queue(...orders));
      expect(queue(...orders)).toHaveLength(orders.filter(({ evidenceLock }) => evidenceLock === false).length);
    }),
    { numRuns: 500 },
  );
});

test("an out fault or a notice is never behind anything that is not", () => {
  fc.assert(
    fc.property(fc.array(anyOrder, { minLength: 2, maxLength: 8 }), (orders) => {
      const listed = benchQueue(orders.map((order, at) => aQueuedOrder({ ...order, id: `w${at}` })), TODAY, 30);
      const stopped = listed.map((order) => order.kind === "notice" || order.worstFault === "out");
      expect(stopped.toSorted((a, b) => Number(b) - Number(a))).toEqual(stopped);
      expect(listed.every((order) => (urgencyOf(order, TODAY, 30) === "stopped") === (order.kind === "notice" || order.worstFault === "out"))).toBe(true);
    }),
  );
});

test("one more fact about a component never takes a reason away", () => {
  const more = fc.constantFrom<Partial<ComponentFacts>>({ divesSinceService: 100 }, { taughtSinceService: true }, { divesSinceService: 95 });
  fc.assert(
    fc.property(fc.integer({ min: 88, max: 101 }), fc.integer({ min: -3, max: 33 }), more, (used, days, more) => {
      const before = aComponent({ servicedOn: addMonths(addDays(TODAY, days), -12), divesSinceService: used, beddingCheckedOn: TODAY });
      const after = { ...before, ...more, divesSinceService: Math.max(used, more.divesSinceService ?? 0) };
      const kinds = (one: ComponentFacts) => reasons(facts({}, { components: [one] })).map(({ kind }) => kind);
      expect(kinds(after)).toEqual(expect.arrayContaining(kinds(before)));
    }),
  );
});
