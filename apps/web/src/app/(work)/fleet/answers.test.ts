import { day } from "@hangrail/rules/calendar";
import { judgeFleetSheet, type FleetAnswers } from "@hangrail/rules/fleet-sheet";
import { expect, test } from "vitest";
import { groupQuestions, withAnswer, type Answers, type Question } from "./answers.ts";

const today = day("2026-11-25");
const sheet = {
  header: ["Tag", "Part", "Maker", "Model", "Serial", "Bought on", "In use on", "Shelf", "Total dives"],
  rows: [
    ["R-01", "first stage", "Tarnfell", "Beck 10", "F1", "03/04/2024", "04/05/2024", "A", "1,200"],
    ["R-01", "mouth thing", "Tarnfell", "Beck S", "S1", "03/04/2024", "04/05/2024", "A", "1,200"],
    ["R-1", "primary", "Tarnfell", "Beck S", "S2", "03/04/2024", "04/05/2024", "B", "1,200"],
    ["", "gauge", "Tarnfell", "Beck G", "G1", "03/04/2024", "04/05/2024", "B", "1,200"],
  ],
};

function check(answers: Answers): readonly Question[] {
  return judgeFleetSheet(sheet, { answers: answers as FleetAnswers, today, known: { components: [] } }).questions;
}

/** Answers as a person does: every open question with the choice that is named for its kind, until none is open. */
function answerAll(choose: (question: Question) => string): { answers: Answers; rounds: number } {
  let answers: Answers = {};
  for (let rounds = 1; rounds <= 5; rounds += 1) {
    const open = groupQuestions(check(answers), "fleet");
    if (open.length === 0) return { answers, rounds };
    for (const { questions } of open) answers = withAnswer(answers, questions[0], choose(questions[0]), "fleet");
  }
  throw new Error(`Still open: ${JSON.stringify(check(answers))}`);
}

test("every question has its answer in the form the check takes, so that it is asked once", () => {
  const { answers } = answerAll(({ code, choices }) => (code === "unknown-column" ? "ignore" : code === "position-word" ? "primary" : (choices[0] ?? "")));
  expect(answers.columns).toEqual({ "column H": "ignore" });
  expect(answers.dateOrder).toEqual({ boughtOn: "day-first", inUseOn: "day-first" });
  expect(answers.positions).toEqual({ "mouth thing": "primary" });
});

test("two date columns may have two orders", () => {
  const { answers } = answerAll(({ code, column, choices }) => (code === "date-order" ? (column === "F" ? "month-first" : "day-first") : code === "unknown-column" ? "ignore" : code === "position-word" ? "primary" : (choices[0] ?? "")));
  expect(answers.dateOrder).toEqual({ boughtOn: "month-first", inUseOn: "day-first" });
});

test("pairs of tags that look alike are answered together, everything else by itself", () => {
  const question = (code: Question["code"], column: string, about: string | null): Question => ({ code, column, header: "x", about, examples: [], choices: ["same-set", "different-sets"], sentence: "?" });
  const asked = groupQuestions([question("tags-alike", "A", "R1 R-1"), question("tags-alike", "A", "R2 R-2"), question("date-order", "F", null), question("date-order", "G", null)], "fleet");
  expect(asked.map(({ questions }) => questions.length)).toEqual([2, 1, 1]);
});

test("choices are labelled in words, our columns by the title an export writes", () => {
  const [asked] = groupQuestions(check({}).filter(({ code }) => code === "unknown-column"), "fleet");
  const labels = asked?.choices.map(({ label }) => label) ?? [];
  expect(labels[0]).toContain("Leave “Shelf” out");
  expect(labels.length).toBeGreaterThan(10);
  expect(labels.every((label) => !/^[a-z]+[A-Z]/.test(label))).toBe(true);
});
