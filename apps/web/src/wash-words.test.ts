import { decideFinish, decideStartRun } from "@hangrail/rules/cleaning";
import { day } from "@hangrail/rules/calendar";
import { describe, expect, test } from "vitest";
import { washReasons, washReasonWords } from "./wash-words.ts";

const zone = "Europe/Malta";
const now = Date.parse("2026-06-30T12:00:00Z");
const bath = { mixture: { strengthHundredths: 500, productMl: 100, waterMl: 9_900 }, madeAt: now - 60_000, expiresAt: now + 60_000 };
const product = { leastPpmTenths: 4_000, mostPpmTenths: 6_000, wetMinutes: 10, bestBefore: null };
const set = { tag: "R-014", cleaning: "to-clean" as const, out: false, retired: false, evidenceLock: false, components: [] };

function reasonsOf(change: { bath?: object; set?: object }): string[] {
  const decision = decideStartRun({ ...bath, ...change.bath }, product, [{ ...set, ...change.set }], now, day("2026-06-30"));
  return washReasons(decision).map((reason) => washReasonWords(reason, zone));
}

describe("why a set does not go into the bath", () => {
  test("a spent bath says until when it was good", () => {
    expect(reasonsOf({ bath: { expiresAt: now - 60_000 } })).toEqual(["That bath was good until 30 Jun 2026, 13:59. Empty it and mix a new one."]);
  });

  test("a weak bath says how weak and what the label asks", () => {
    expect(reasonsOf({ bath: { mixture: { ...bath.mixture, productMl: 50 } } })).toEqual(["The bath has 251.3 ppm (0.02513 %), below the label's 400 to 600 ppm. Mix a new one."]);
  });

  test("a set in the wrong state says which", () => {
    expect(reasonsOf({ set: { cleaning: "drying" } })).toEqual(["R-014 is drying already."]);
    expect(reasonsOf({ set: { cleaning: "clean" } })).toEqual(["R-014 is clean already."]);
    expect(reasonsOf({ set: { evidenceLock: true } })[0]).toContain("sealed as evidence");
  });

  test("a model nobody looked up is told from one that forbids the product", () => {
    expect(reasonsOf({ set: { components: [{ id: "Tarnfell Beck S", productAllowed: null }] } })[0]).toContain("nobody has recorded that its maker allows this product on Tarnfell Beck S");
    expect(reasonsOf({ set: { components: [{ id: "Tarnfell Beck S", productAllowed: false }] } })[0]).toContain("does not allow this product on Tarnfell Beck S");
  });
});

test("an unfinished wash says each step that is missing, and until when it hangs", () => {
  const decision = decideFinish({ wetEndedAt: now }, { rinsed: true, purgedUnderPressure: false, dry: false }, { dryingMinutes: 30 }, now);
  expect(washReasons(decision).map((reason) => washReasonWords(reason, zone))).toEqual([
    "Too early: the sets hang to dry until 30 Jun 2026, 14:30.",
    "Purge each set under pressure, and tick it.",
    "Wait until each set is dry, and tick it.",
  ]);
});

test("the record's own refusals are told from their facts", () => {
  expect(washReasonWords({ code: "bath-expired", expiredAt: "2026-06-30T12:10:00Z" }, zone)).toContain("30 Jun 2026, 14:10");
  expect(washReasonWords({ code: "bath-strength", ppm: 380, min: 400, max: 800 }, zone)).toContain("380 ppm");
  expect(washReasonWords({ code: "already-washing", tag: "R-014" }, zone)).toBe("R-014 is in another wash already.");
  expect(washReasons({ answer: "done" })).toEqual([]);
});
