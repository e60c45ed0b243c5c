import { expect, test } from "vitest";
import { compared, roundsOf, type KeptReading, type KeptTest } from "./compared.ts";

const reading = (over: Partial<KeptReading>): KeptReading => ({ component: "F", name: "intermediate-pressure", supplyCbar: 20_000, atCbar: null, value: 950, adjuster: null, venturi: null, gauge: "T-2", verdict: "pass", why: null, low: 900, high: 1_000, ...over });

const kept = (seq: number, phase: KeptTest["phase"], verdict: KeptTest["verdict"], readings: KeptReading[] = [], role: "first-stage" | null = "first-stage"): KeptTest => ({
  id: String(seq), seq, phase, verdict, words: "", order: null, testedAt: "2026-03-20T08:00:00Z", testedBy: "Tove Stone", parts: [{ component: "F", role, serial: "F1", model: "Tarnfell Beck" }], readings, curves: [],
});

const seqs = (tests: readonly KeptTest[]) => roundsOf(tests).map((round) => round.map(({ seq }) => seq));

test("a round runs from as found to the test as left that passed", () => {
  expect(seqs([kept(5, "as-left", "pass"), kept(4, "as-left", "fail"), kept(3, "as-found", "fail"), kept(2, "as-left", "pass"), kept(1, "as-left", "pass")])).toEqual([[3, 4, 5], [2], [1]]);
  expect(seqs([kept(2, "as-found", "fail"), kept(1, "as-left", "not-judged")])).toEqual([[2], [1]]);
  expect(seqs([])).toEqual([]);
});

test("each reading stands beside the same one of the other tests; what was not read leaves its place empty", () => {
  const found = kept(1, "as-found", "fail", [reading({ value: 1_100, verdict: "fail", why: "high" }), reading({ value: 940, supplyCbar: 5_000 })]);
  const left = kept(2, "as-left", "not-judged", [reading({ value: 950 }), reading({ value: 955 }), reading({ name: "creep", value: 10 })]);
  const [part] = compared([found, left]);
  expect(part!.lines.map(({ name, zone, cells }) => [name, zone, cells.map((cell) => cell.map(({ value }) => value))])).toEqual([
    ["intermediate-pressure", "high", [[1_100], [950, 955]]],
    ["intermediate-pressure", "low", [[940], []]],
    ["creep", null, [[], [10]]],
  ]);
});
