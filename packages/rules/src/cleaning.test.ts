import { describe, expect, test } from "vitest";
import { ACTS, endsRelease, refusalOf, soils } from "./acts.ts";
import type { Act } from "./acts.ts";
import { day } from "./calendar.ts";
import { bathExpiresAt, decideEndWet, decideFinish, decideStartRun, isSpent } from "./cleaning.ts";
import type { Bath, Product, WashCandidate } from "./cleaning.ts";

const at = (text: string): number => Date.parse(`2026-${text}:00Z`);
const minute = 60_000;

const product: Product = { leastPpmTenths: 4000, mostPpmTenths: 12_000, wetMinutes: 10, bestBefore: day("2027-01-31") };
const bath: Bath = {
  mixture: { strengthHundredths: 525, productMl: 400, waterMl: 19_600 },
  madeAt: at("06-01T08:00"),
  expiresAt: bathExpiresAt(at("06-01T08:00"), 24 * 60),
};
const candidate = (differing: Partial<WashCandidate> = {}): WashCandidate => ({
  tag: "R-014",
  cleaning: "to-clean",
  out: false,
  retired: false,
  evidenceLock: false,
  components: [{ id: "c1", productAllowed: true }],
  ...differing,
});
const start = (differing: { bath?: Partial<Bath>; product?: Partial<Product>; sets?: WashCandidate[]; now?: number } = {}) =>
  decideStartRun(
    { ...bath, ...differing.bath },
    { ...product, ...differing.product },
    differing.sets ?? [candidate()],
    differing.now ?? at("06-01T14:00"),
    day("2026-06-01"),
  );

describe("starting a run", () => {
  test("says when the sets may come out", () => {
    expect(start()).toEqual({ answer: "start", wetUntil: at("06-01T14:10") });
  });

  test("a bath of 24 hours is good to the last minute of them", () => {
    expect(start({ now: at("06-02T08:00") }).answer).toBe("start");
    expect(start({ now: at("06-02T08:01") })).toEqual({
      answer: "refuse",
      reasons: [{ code: "bath-expired", expiresAt: at("06-02T08:00") }],
    });
  });

  test.each([
    ["a bath not mixed yet", { now: at("06-01T07:59") }, { code: "bath-not-made-yet", madeAt: bath.madeAt }],
    ["no set at all", { sets: [] }, { code: "no-sets" }],
    ["a bottle past its day", { product: { bestBefore: day("2026-05-31") } }, { code: "product-too-old", bestBefore: "2026-05-31" }],
    ["a bath under the label", { product: { leastPpmTenths: 10_501 } }, { code: "bath-strength", is: "below", ppmTenths: 10_500, leastPpmTenths: 10_501, mostPpmTenths: 12_000 }],
    ["a bath over the label", { product: { mostPpmTenths: 10_499 } }, { code: "bath-strength", is: "above", ppmTenths: 10_500, leastPpmTenths: 4000, mostPpmTenths: 10_499 }],
    ["a set at a hirer's", { sets: [candidate({ out: true })] }, { code: "out", tag: "R-014" }],
    ["a retired set", { sets: [candidate({ retired: true })] }, { code: "retired", tag: "R-014" }],
    ["a sealed set", { sets: [candidate({ evidenceLock: true })] }, { code: "evidence-lock", tag: "R-014" }],
    ["a clean set", { sets: [candidate({ cleaning: "clean" })] }, { code: "not-to-clean", tag: "R-014", cleaning: "clean" }],
    ["a set already in a bath", { sets: [candidate({ cleaning: "in-bath" })] }, { code: "not-to-clean", tag: "R-014", cleaning: "in-bath" }],
    ["a product the maker forbids", { sets: [candidate({ components: [{ id: "c2", productAllowed: false }] })] }, { code: "product-not-allowed", tag: "R-014", component: "c2", recorded: true }],
    ["a product nobody recorded", { sets: [candidate({ components: [{ id: "c2", productAllowed: null }] })] }, { code: "product-not-allowed", tag: "R-014", component: "c2", recorded: false }],
    ["a tag scanned twice", { sets: [candidate(), candidate()] }, { code: "twice", tag: "R-014" }],
  ] as const)("is refused with %s", (_what, differing, reason) => {
    expect(start(differing as Parameters<typeof start>[0])).toEqual({ answer: "refuse", reasons: [reason] });
  });

  test("names every reason of every set at once", () => {
    const decision = start({ now: at("06-03T08:00"), sets: [candidate({ tag: "R-001", out: true }), candidate({ tag: "R-002", cleaning: "drying" })] });
    expect(decision.answer === "refuse" && decision.reasons.map(({ code }) => code)).toEqual(["bath-expired", "out", "not-to-clean"]);
  });
});

describe("ending the wet time", () => {
  const run = { startedAt: at("06-01T14:00"), wetMinutes: 10, bathExpiresAt: bath.expiresAt };

  test("10 minutes from 14:00 are over at 14:10 and not at 14:09", () => {
    expect(decideEndWet(run, at("06-01T14:09"))).toEqual({ answer: "refuse", reasons: [{ code: "too-short", wetUntil: at("06-01T14:10") }] });
    expect(decideEndWet(run, at("06-01T14:10") - 1).answer).toBe("refuse");
    expect(decideEndWet(run, at("06-01T14:10")).answer).toBe("end");
  });

  test("the bath may expire while the sets lie in it, but not before", () => {
    expect(decideEndWet({ ...run, bathExpiresAt: run.startedAt }, at("06-01T15:00")).answer).toBe("end");
    expect(decideEndWet({ ...run, bathExpiresAt: run.startedAt - 1 }, at("06-01T15:00"))).toEqual({
      answer: "refuse",
      reasons: [{ code: "bath-was-expired", expiresAt: run.startedAt - 1 }],
    });
  });
});

describe("finishing", () => {
  const word = { rinsed: true, purgedUnderPressure: true, dry: true };
  const wetEndedAt = at("06-01T14:10");
  const policy = { dryingMinutes: 120 };

  test("wants the site's drying time", () => {
    expect(decideFinish({ wetEndedAt }, word, policy, wetEndedAt + 120 * minute)).toEqual({ answer: "clean" });
    expect(decideFinish({ wetEndedAt }, word, policy, wetEndedAt + 120 * minute - 1)).toEqual({
      answer: "refuse",
      reasons: [{ code: "drying-too-short", dryFrom: wetEndedAt + 120 * minute }],
    });
  });

  test("wants no time where the site asks for none, but still the word that it is dry", () => {
    expect(decideFinish({ wetEndedAt }, word, { dryingMinutes: 0 }, wetEndedAt).answer).toBe("clean");
    expect(decideFinish({ wetEndedAt }, { ...word, dry: false }, { dryingMinutes: 0 }, wetEndedAt).answer).toBe("refuse");
  });

  test("wants every step", () => {
    const nothing = { rinsed: false, purgedUnderPressure: false, dry: false };
    expect(decideFinish({ wetEndedAt: null }, nothing, policy, wetEndedAt)).toEqual({
      answer: "refuse",
      reasons: [{ code: "still-in-bath" }, { code: "not-rinsed" }, { code: "not-purged" }, { code: "not-dry" }],
    });
  });
});

test("a bath without a proper end of life is spent", () => {
  expect(isSpent({ expiresAt: Number.NaN }, 0)).toBe(true);
});

describe("what the acts do to a set", () => {
  const isClean = (acts: readonly Act[]): boolean =>
    acts.reduce((clean, act) => (soils(act) ? false : act === "cleaned" ? true : clean), false);
  const isReleased = (acts: readonly Act[]): boolean =>
    acts.reduce((released, act) => (endsRelease(act) ? false : act === "released" ? true : released), false);

  test("cleaned at nine, breathed at the bench at eleven: to clean", () => {
    expect(isClean(["cleaned"])).toBe(true);
    expect(isClean(["cleaned", "bench-tested"])).toBe(false);
    expect(isClean(["cleaned", "breath-tested"])).toBe(false);
  });

  test("a hirer who keeps it overnight needs no wash between; the next hirer does", () => {
    // The hire of several days is one hand-out and one return, with no act between them.
    expect(isClean(["cleaned", "handed-out", "taken-back"])).toBe(false);
    expect(isClean(["cleaned", "handed-out", "taken-back", "wash-started", "wet-ended", "cleaned"])).toBe(true);
  });

  test("a wash broken off is no wash", () => {
    expect(isClean(["taken-back", "wash-started", "wash-abandoned"])).toBe(false);
  });

  test.each(["registered", "imported", "fitted", "removed", "serviced", "transferred", "opened"] as const)("%s ends a release and soils", (act) => {
    expect(isReleased(["released", act])).toBe(false);
    expect(isClean(["cleaned", act])).toBe(false);
  });

  test("a fault cleared from outside leaves the release, one that had the set opened ends it", () => {
    expect(isReleased(["released", "fault-reported", "fault-cleared"])).toBe(true);
    expect(isReleased(["released", "fault-reported", "opened", "fault-cleared"])).toBe(false);
  });

  test("under evidence lock nothing is done to it (GN-03)", () => {
    const sealed = { evidenceLock: true, retired: false };
    const allowed = (Object.keys(ACTS) as Act[]).filter((act) => refusalOf(act, sealed) === null);
    expect(allowed).toEqual(["taken-back", "fault-reported", "photo-added", "order-opened", "order-done", "custody-noted", "evidence-lifted", "notice-opened", "restored", "restored-seen", "corrected"]);
    for (const act of ["handed-out", "wash-started", "cleaned", "serviced", "opened", "bench-tested", "released", "fitted", "retired"] as const) {
      expect(refusalOf(act, sealed)).toBe("evidence-lock");
    }
  });

  test("a retired set only gives its parts away", () => {
    const retired = { evidenceLock: false, retired: true };
    expect([refusalOf("removed", retired), refusalOf("handed-out", retired), refusalOf("serviced", retired)]).toEqual([null, "retired", "retired"]);
    expect(refusalOf("handed-out", { evidenceLock: false, retired: false })).toBeNull();
  });
});
