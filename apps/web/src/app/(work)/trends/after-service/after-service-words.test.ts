import { earlyFaults, EARLY_SETTINGS } from "@hangrail/rules/early-faults";
import { expect, test } from "vitest";
import { beddingWords, curvePoints, differenceWords, groupWords, verdictWords } from "./after-service-words.ts";

const spells = (group: string, lasted: readonly number[], fault: boolean) => lasted.map((dives) => ({ group, lasted: dives, fault }));
const told = (all: Parameters<typeof earlyFaults>[0]) => {
  const found = earlyFaults(all, { ...EARLY_SETTINGS, groupedBy: "model" });
  if (found.answer === "refused") throw new Error("There were spells.");
  return found;
};

test("a model is called by its name, a kind of service by its part", () => {
  expect(groupWords("m1", { m1: "Tarn One" })).toBe("Tarn One");
  expect([groupWords("second-stage", {}), groupWords("first-stage oxygen-clean", {})]).toEqual(["Second stage", "First stage, oxygen-clean"]);
});

test("parts that fail in their first dives are said to fail early, and how many of them", () => {
  const found = told([...spells("a", [1, 1, 2, 2, 3, 3, 4, 5, 6, 9], true), ...spells("a", Array.from({ length: 40 }, (_, index) => 60 + index), false)]);
  const [group] = found.groups;
  expect(verdictWords(group!)).toMatch(/^Faults come early/);
  expect(beddingWords(group!)).toMatch(/^10 of 50 \(20 %; 10 % to 34 %\)\.$/);
});

test("without a fault nothing is claimed, and the line stays at the top to the longest part watched", () => {
  const found = told([...spells("a", [40, 60], false), ...spells("b", [3], false)]);
  expect(differenceWords(found, "model")).toBe("No part failed after its service in this period.");
  expect(verdictWords(found.groups[0]!)).toMatch(/^Too little to tell/);
  expect(curvePoints(found.groups[0]!)).toEqual([{ at: 0, share: 100 }, { at: 60, share: 100 }]);
  expect(beddingWords(found.groups[1]!)).toBe("Nothing known yet. 1 part is still in it.");
});
