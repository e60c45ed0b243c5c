import fc from "fast-check";
import { expect, test } from "vitest";
import { aReleaseCase, TODAY } from "../testing/index.ts";
import { day } from "./calendar.ts";
import { mayRelease } from "./release.ts";
import type { ReleaseFacts, Releasing } from "./release.ts";

const ben: Releasing = { staff: "ben", authorisations: [{ maker: "Kelpline", from: day("2025-01-01"), until: day("2026-12-31"), oxygenClean: false }] };
const ask = (differing: Partial<ReleaseFacts> = {}, by = ben, releaseBySecond = true, today = TODAY) => mayRelease(aReleaseCase(differing), by, { releaseBySecond }, today);
const codes = (...asked: Parameters<typeof ask>) => ask(...asked).map(({ code }) => code);

test("a set tested after its last opening may be released by whom its maker authorises", () => {
  expect(ask()).toEqual([]);
});

test("a technician valid to 31 March releases nothing of that maker on 1 April", () => {
  const until = { ...ben, authorisations: [{ maker: "Kelpline", from: day("2025-04-01"), until: day("2026-03-31"), oxygenClean: true }] };
  expect(ask({}, until, true, day("2026-03-31"))).toEqual([]);
  expect(ask({}, until, true, day("2026-04-01"))).toEqual([{ code: "not-authorised", maker: "Kelpline", on: "2026-04-01" }]);
});

test("everything that is missing is named at once", () => {
  const lacks = ask({
    evidenceLock: true,
    out: true,
    orders: [{ order: "w1", state: "taken" }, { order: "w2", state: "parked" }, { order: "w3", state: "waiting" }, { order: "w4", state: "done" }],
    openFaults: [{ fault: "f1", severity: "out" }, { fault: "f2", severity: "hold" }, { fault: "f3", severity: "watch" }],
    tests: [],
    workedBy: ["ana", "ben"],
    parts: [{ role: "primary", maker: "Other", modelMostO2: 1000, lastService: { oxygenClean: true } }],
  });
  expect(lacks).toEqual([
    { code: "evidence-lock" },
    { code: "out" },
    { code: "order-open", order: "w1" },
    { code: "order-open", order: "w2" },
    { code: "fault", fault: "f1", severity: "out" },
    { code: "fault", fault: "f2", severity: "hold" },
    { code: "test", last: null },
    { code: "not-authorised", maker: "Other", on: TODAY },
    { code: "second-person" },
  ]);
});

test("only a test after the last opening, as left and passed, with nothing worse since, counts", () => {
  const test = (seq: number, verdict: "pass" | "fail" | "not-judged", phase: "as-left" | "as-found" = "as-left") => ({ seq, verdict, phase });
  expect(codes({ tests: [test(10, "pass")] })).toEqual(["test"]);
  expect(codes({ tests: [test(11, "pass")] })).toEqual(["test"]);
  expect(codes({ tests: [test(12, "pass")] })).toEqual([]);
  expect(codes({ tests: [test(12, "pass", "as-found")] })).toEqual(["test"]);
  expect(codes({ tests: [test(12, "not-judged")] })).toEqual(["test"]);
  expect(ask({ tests: [test(14, "fail", "as-found"), test(12, "pass")] })).toEqual([{ code: "test", last: test(14, "fail", "as-found") }]);
  expect(codes({ tests: [test(12, "fail"), test(13, "pass")] })).toEqual([]);
  expect(codes({ tests: [], openedSeq: null })).toEqual([]);
  expect(codes({ tests: [test(3, "fail")], openedSeq: null })).toEqual(["test"]);
});

test("a part that may meet more than 40 % oxygen asks for a technician authorised for it", () => {
  const rich = (oxygenClean: boolean) => ({ parts: [{ role: "first-stage", maker: "Kelpline", modelMostO2: 1000, lastService: { oxygenClean } }] as const });
  expect(ask(rich(true))).toEqual([{ code: "not-authorised-oxygen", maker: "Kelpline", on: TODAY }]);
  expect(ask(rich(false))).toEqual([]);
  expect(ask(rich(true), { ...ben, authorisations: ben.authorisations.map((one) => ({ ...one, oxygenClean: true })) })).toEqual([]);
});

test("makers of hoses and gauges authorise nobody", () => {
  expect(ask({ parts: [{ role: "hose", maker: "Other", modelMostO2: null, lastService: null }] })).toEqual([]);
});

test("a second person is asked for where the site does, and unknown work may have been anybody's", () => {
  expect(codes({ workedBy: ["ben"] })).toEqual(["second-person"]);
  expect(codes({ workedBy: [null] })).toEqual(["second-person"]);
  expect(codes({ workedBy: ["ben", null] }, ben, false)).toEqual([]);
});

test("one more fact against a set never takes away what is missing", () => {
  const against = fc.constantFrom<(facts: ReleaseFacts) => Partial<ReleaseFacts>>(
    () => ({ evidenceLock: true }),
    () => ({ out: true }),
    ({ orders }) => ({ orders: [...orders, { order: "w9", state: "taken" }] }),
    ({ openFaults }) => ({ openFaults: [...openFaults, { fault: "f9", severity: "hold" }] }),
    ({ tests }) => ({ tests: [...tests, { seq: 20, phase: "as-left", verdict: "fail" }] }),
    ({ openedSeq }) => ({ openedSeq: (openedSeq ?? 0) + 1 }),
    ({ workedBy }) => ({ workedBy: [...workedBy, "ben"] }),
    ({ parts }) => ({ parts: [...parts, { role: "alternate", maker: "Other", modelMostO2: 1000, lastService: { oxygenClean: true } }] }),
  );
  fc.assert(
    fc.property(fc.array(against, { maxLength: 3 }), against, (some, more) => {
      const facts = some.reduce((before, one) => ({ ...before, ...one(before) }), aReleaseCase());
      const before = mayRelease(facts, ben, { releaseBySecond: true }, TODAY).map(({ code }) => code);
      const after = mayRelease({ ...facts, ...more(facts) }, ben, { releaseBySecond: true }, TODAY).map(({ code }) => code);
      expect(after).toEqual(expect.arrayContaining(before));
    }),
  );
});
