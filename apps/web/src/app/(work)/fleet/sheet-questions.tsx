"use client";
import { useState, type SubmitEvent } from "react";
import { Button } from "../../../components/button.tsx";
import { Choices, SelectField } from "../../../components/field.tsx";
import { countText, numberText } from "../../../format.ts";
import { groupQuestions, withAnswer, type Answers, type Asked, type Judged, type SheetInput } from "./answers.ts";

type SheetQuestionsProps = { sheet: SheetInput; report: Judged; pending: boolean; onAnswers: (answers: Answers) => void };

/** What the sheet leaves open, each as a choice. The answers go along with the next check. */
export function SheetQuestions({ sheet, report, pending, onAnswers }: SheetQuestionsProps) {
  const [given, setGiven] = useState<Readonly<Record<string, string>>>({});
  const asked = groupQuestions(report.questions, sheet.kind);
  const answered = Object.keys(sheet.answers).length > 0;
  if (asked.length === 0 && !answered) return null;
  const open = asked.filter(({ key }) => given[key] === undefined).length;
  const submit = (event: SubmitEvent<HTMLFormElement>) => {
    event.preventDefault();
    onAnswers(asked.reduce((answers, { key, questions: [first] }) => (given[key] === undefined ? answers : withAnswer(answers, first, given[key], sheet.kind)), sheet.answers));
  };
  return (
    <form method="post" className="grid gap-6" onSubmit={submit} aria-label="Open questions">
      {asked.length === 0 ? null : <h3>{countText(asked.length, "question")} to answer</h3>}
      {asked.map((one) => (
        <OneQuestion key={one.key} asked={one} value={given[one.key] ?? null} onChoose={(value) => setGiven({ ...given, [one.key]: value })} />
      ))}
      <div className="flex flex-wrap gap-4">
        {answered ? <Button onClick={() => onAnswers({})}>Forget my answers and check again</Button> : null}
        {asked.length === 0 ? null : (
          <Button type="submit" tone="primary" pending={pending} pendingWords="Being checked…" refusedBecause={open === asked.length ? "Answer at least one question first." : null}>
            Check again with {open === 0 ? "these answers" : "the answers given so far"}
          </Button>
        )}
      </div>
    </form>
  );
}

/** More choices than fit in sight are a list. */
const mostInSight = 4;

function OneQuestion({ asked: { key, questions, choices }, value, onChoose }: { asked: Asked; value: string | null; onChoose: (value: string) => void }) {
  const sentences = questions.map((question) => question.sentence);
  const cells = questions[0].examples.map(({ row, value: cell }) => `row ${numberText(row)}: ${cell === "" ? "empty" : cell}`);
  const label = sentences.length === 1 ? sentences[0] : `${sentences.length} of these have one answer: ${sentences.slice(0, 3).join(" ")}${sentences.length > 3 ? " …" : ""}`;
  const hint = cells.length === 0 ? undefined : `For example ${cells.join("; ")}.`;
  if (choices.length <= mostInSight) return <Choices label={label} hint={hint} name={key} choices={choices} value={value} onChoose={onChoose} />;
  return (
    <SelectField label={label} hint={hint} name={key} value={value ?? ""} onChange={(event) => onChoose(event.target.value)}>
      <option value="" disabled>
        choose…
      </option>
      {choices.map((choice) => (
        <option key={choice.value} value={choice.value}>
          {choice.label}
        </option>
      ))}
    </SelectField>
  );
}
