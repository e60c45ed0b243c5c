/** Days at the bench that chance brings about too seldom; run before the random ones. */
import type { BenchStep, TestKind } from "./model-bench.ts";
import type { Step } from "./model-steps.ts";
import type { OrderKind } from "./oracle.ts";

const test = (kind: TestKind, at = 0): BenchStep => ({ step: "bench-test", set: 0, kind, at });
const each = (kind: TestKind, many: number): BenchStep[] => Array.from({ length: many }, (_, at) => test(kind, at));
const open = (asks: OrderKind, wrongSite = false): BenchStep => ({ step: "order-open", set: 0, asks, wrongSite });
const on = (step: "order-take" | "order-park" | "order-resume", which = 0): BenchStep => ({ step, which });
const close = (outcome: "done" | "dropped", which = 0): BenchStep => ({ step: "order-close", which, outcome });
const through = (asks: OrderKind, leaveOut: "nothing" | "work"): BenchStep => ({ step: "order-through", set: 0, asks, leaveOut });
const plain = (step: "release" | "breath-test" | "transfer" | "take-off" | "fit-spare"): Step => ({ step, set: 0, wrongSite: false });
const service = (kits: "all" | "none" | "one-short" = "all"): BenchStep => ({ step: "work", set: 0, kind: "service", all: true, kits });
const shelf = (kits: number): BenchStep => ({ step: "shelf", set: 0, kits });
const fault: Step = { step: "fault", set: 0, severity: "out", accident: false, onComponent: true };
const accident: Step = { step: "fault", set: 0, severity: "out", accident: true, onComponent: false };
const onSeal = (step: "lift" | "custody"): BenchStep => ({ step, set: 0, wrongSite: false });
const confirm = (component: "none" | "fitted" | "of-another-set"): BenchStep => ({ step: "confirm", which: 0, component });
const notice = (of: "first-stage" | "primary" | "gauge", shape: Extract<BenchStep, { step: "notice" }>["shape"]): BenchStep => ({ step: "notice", set: 0, of, shape });
const late = (serial: number): BenchStep => ({ step: "register-late", serial });
const out = (readyFirst: boolean): Step => ({ step: "hand-out", sets: [0], until: { nights: 0 }, dives: 0, minutes: 0, teaching: false, readyFirst, fault: "none" });

export const KNOWN_BENCH_DAYS: readonly (readonly Step[])[] = [
  // One body to a request.
  [plain("breath-test"), { step: "ask-again", which: 0, otherBody: true }, { step: "ask-again", which: 0, otherBody: false }],
  // Each reading wrong in its turn; what is tested when; what it is worth.
  [...each("out-of-limits", 10), ...each("one-missing", 13), ...each("one-not-judged", 13), ...each("one-failed", 13)],
  each("old-gauge", 9),
  [service(), plain("release"), test("as-found"), plain("release"), test("fail"), plain("release"), test("not-judged"), plain("release"), test("pass"), plain("release"), plain("release")],
  [service(), test("pass"), service(), plain("release"), test("pass"), plain("release"), test("fail"), out(false)],
  ...(["fail-as-found", "not-judged-as-found", "not-judged", "fail", "as-found"] as const).map((kind): Step[] => [test(kind), plain("release"), out(false), test("as-found"), plain("release"), test("pass"), plain("release")]),
  [plain("take-off"), test("pass"), plain("fit-spare"), plain("release"), test("pass"), plain("release")],
  // On the bench, and off it.
  [open("inspection"), on("order-take"), plain("release"), out(false), close("dropped"), plain("release"), out(true)],
  [open("inspection"), open("inspection"), open("service"), open("service", true), on("order-take"), on("order-take"), on("order-take", 1), close("dropped"), close("dropped"), on("order-take"), on("order-take", 1)],
  [open("new-component"), on("order-take"), close("done"), test("as-found"), close("done"), test("fail"), on("order-park"), on("order-park"), close("done"), on("order-resume"), on("order-resume"), close("done")],
  [open("service"), on("order-park"), close("done"), out(true), on("order-take"), open("repair"), close("done")],
  [open("service"), on("order-take"), on("order-park"), plain("transfer"), on("order-resume"), close("done"), close("dropped"), out(true)],
  [open("service"), plain("transfer"), open("service"), on("order-take"), accident, close("done"), close("dropped")],
  ...(["inspection", "service", "new-component"] as const).map((asks): Step[] => [through(asks, "work"), through(asks, "nothing"), out(true)]),
  [service(), through("service", "work")],
  [fault, through("repair", "work"), plain("release"), through("repair", "nothing"), out(true)],
  [notice("first-stage", "exact"), through("notice", "work"), through("notice", "nothing"), out(true)],
  // Kits: none, one short, the last ones, none left.
  [service("none"), service("one-short"), shelf(3), service(), shelf(4), service(), service(), out(true)],
  // Seals.
  [onSeal("lift"), onSeal("custody"), accident, onSeal("custody"), test("pass"), onSeal("lift"), onSeal("lift"), out(false), plain("release"), out(true), accident, onSeal("lift")],
  // Faults as found.
  [fault, confirm("of-another-set"), confirm("none"), confirm("fitted"), { step: "clear", which: 0, opened: true }, confirm("none")],
  [fault, { step: "clear", which: 0, opened: false }, confirm("none")],
  // Notices: on what is here, what comes in later, and what is fitted later.
  ...(["exact", "three-wide", "beside", "digit-less", "digit-more", "far-off", "every"] as const).flatMap((shape): Step[][] => [[notice("first-stage", shape), out(false)], [notice("primary", shape), out(false), out(true)]]),
  [notice("first-stage", "late-ones"), notice("primary", "late-ones"), late(701_001), late(701_003), late(701_004), late(70_101), notice("primary", "every"), { step: "notice-clear", which: 0 }, { step: "notice-clear", which: 0 }],
  [plain("take-off"), notice("gauge", "every"), plain("fit-spare"), out(false), out(true)],
  [accident, notice("first-stage", "exact"), { step: "notice-clear", which: 0 }],
];
