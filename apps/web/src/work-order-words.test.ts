import { WORK_ORDER_KINDS, URGENCIES } from "@hangrail/rules/work-orders";
import type { ReleaseLack } from "@hangrail/rules/release";
import { expect, test } from "vitest";
import { lackWords, orderKindTitle, orderKindWords, urgencyWords } from "./work-order-words.ts";

test("every kind of order has its own title and its own words in a sentence", () => {
  expect(new Set(WORK_ORDER_KINDS.map(orderKindTitle)).size).toBe(WORK_ORDER_KINDS.length);
  expect(new Set(WORK_ORDER_KINDS.map(orderKindWords)).size).toBe(WORK_ORDER_KINDS.length);
  expect(orderKindWords("sung-to")).toBe("work");
});

test("every urgency says what puts an order there", () => {
  for (const urgency of URGENCIES) expect(urgencyWords(urgency).why).toMatch(/^[A-Z].*\.$/);
});

test("what a release lacks is a whole sentence; a test not judged is told as no pass", () => {
  const lacks: ReleaseLack[] = [
    { code: "evidence-lock" },
    { code: "retired" },
    { code: "out" },
    { code: "order-open", order: "o1" },
    { code: "fault", fault: "f1", severity: "out" },
    { code: "fault", fault: "f1", severity: "hold" },
    { code: "test", last: null },
    { code: "test", last: { seq: 4, phase: "as-left", verdict: "fail" } },
    { code: "test", last: { seq: 4, phase: "as-left", verdict: "not-judged" } },
    { code: "not-authorised", maker: "Tarnfell", on: "2026-04-01" as never },
    { code: "not-authorised-oxygen", maker: "Tarnfell", on: "2026-04-01" as never },
    { code: "second-person" },
  ];
  const sentences = lacks.map(lackWords);
  expect(new Set(sentences).size).toBe(lacks.length);
  for (const sentence of sentences) expect(sentence).toMatch(/^[A-Z].*\.$/);
  expect(lackWords({ code: "test", last: { seq: 4, phase: "as-left", verdict: "not-judged" } })).toContain("no pass");
});
