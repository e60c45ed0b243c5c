import fc from "fast-check";
import { expect, test } from "vitest";
import { EARLY_SETTINGS, earlyFaults, shareInterval, tidyTimes } from "./early-faults.ts";
import type { AfterService, EarlySettings } from "./early-faults.ts";

const settings: EarlySettings = { ...EARLY_SETTINGS, groupedBy: "service-kind" };
const spells: fc.Arbitrary<AfterService[]> = fc.array(
  fc.record({ group: fc.constantFrom("yearly", "repair", "first"), lasted: fc.integer({ min: 0, max: 40 }), fault: fc.boolean() }),
  { minLength: 1, maxLength: 60 },
);

test("the order of spells changes no count, no curve and no verdict", () => {
  fc.assert(
    fc.property(spells.chain((given) => fc.tuple(fc.constant(given), fc.shuffledSubarray(given, { minLength: given.length }))), ([given, shuffled]) => {
      const plain = (told: ReturnType<typeof earlyFaults>) =>
        told.answer === "refused" ? told : told.groups.map(({ group, curve, atRisk, verdict, bedding }) => ({ group, curve, atRisk, verdict, bedding }));
      expect(plain(earlyFaults(shuffled, settings))).toEqual(plain(earlyFaults(given, settings)));
    }),
    { numRuns: 300 },
  );
});

test("a group's own figures do not depend on the other groups", () => {
  fc.assert(
    fc.property(spells, (given) => {
      const all = earlyFaults(given, settings);
      if (all.answer === "refused") return;
      for (const { group, curve, weibull, verdict, bedding } of all.groups) {
        const alone = earlyFaults(given.filter((one) => one.group === group), settings);
        expect(alone).toMatchObject({ groups: [{ group, curve, weibull, verdict, bedding }] });
      }
    }),
    { numRuns: 300 },
  );
});

test("the bedding share leaves nobody out unsaid and lies within its limits", () => {
  fc.assert(
    fc.property(spells, fc.nat(20), (given, beddingWithin) => {
      const told = earlyFaults(given, { ...settings, beddingWithin });
      if (told.answer === "refused") return;
      for (const { group, bedding } of told.groups) {
        const own = given.filter((one) => one.group === group);
        expect(bedding.known + bedding.notYetKnown).toBe(own.length);
        expect(bedding.notYetKnown).toBe(own.filter(({ lasted, fault }) => !fault && lasted < beddingWithin).length);
        if (bedding.interval.answer === "refused") expect(bedding.known).toBe(0);
        else expect([bedding.interval.lower <= bedding.interval.share, bedding.interval.share <= bedding.interval.upper]).toEqual([true, true]);
      }
    }),
    { numRuns: 500 },
  );
});

test("limits of a share mirror those of what is left", () => {
  fc.assert(
    fc.property(fc.nat(60), fc.nat(60), fc.constantFrom(0.8, 0.95, 0.99), (x, rest, confidence) => {
      const [one, other] = [shareInterval(x, x + rest, confidence), shareInterval(rest, x + rest, confidence)];
      if (one.answer === "refused" || other.answer === "refused") {
        expect(x + rest).toBe(0);
        return;
      }
      expect(one.lower).toBeCloseTo(1 - other.upper, 9);
      expect([one.lower >= 0, one.lower <= one.share, one.share <= one.upper, one.upper <= 1]).toEqual([true, true, true, true]);
    }),
    { numRuns: 500 },
  );
});

test("tidy times are few, even, and reach as far as they can", () => {
  fc.assert(
    fc.property(fc.nat(1_000_000), (longest) => {
      const times = tidyTimes(longest);
      const step = times[1] ?? 1;
      expect(times.length).toBeLessThanOrEqual(7);
      expect(times.every((time, index) => time === index * step)).toBe(true);
      expect(["1", "2", "5"]).toContain(String(step).replace(/0+$/, ""));
      expect(times.at(-1)! <= longest && times.at(-1)! + step > longest).toBe(true);
    }),
    { numRuns: 500 },
  );
});
