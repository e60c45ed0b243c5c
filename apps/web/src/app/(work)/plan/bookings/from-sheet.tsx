"use client";
import type { BookingSheetAnswer } from "@hangrail/api/plan-view";
import { BOOKING_COLUMNS } from "@hangrail/rules/sheet-columns";
import { useMutation } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import { useRef, useState } from "react";
import { WhyNot } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { SheetChooser } from "../../../../components/sheet-chooser.tsx";
import { countText, numberText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Inputs } from "../../../../trpc/types.ts";
import { choiceWords } from "../../fleet/answers.ts";
import { base64Of, downloadHeader, mostBytes } from "../../fleet/files.ts";
import { ReadBookings } from "./read-bookings.tsx";

const titles = BOOKING_COLUMNS.map(({ title }) => title);
const needed = BOOKING_COLUMNS.filter(({ required }) => required).map(({ title }) => title);
type Sheet = Inputs["plan"]["bookingsFromSheet"];
type Answers = Sheet["answers"];

/** Bookings from a spreadsheet: every bad cell is shown, and nothing is recorded before all are good. */
export function FromSheet() {
  const trpc = useTRPC();
  const input = useRef<HTMLInputElement>(null);
  const [sheet, setSheet] = useState<Sheet | null>(null);
  const [wrong, setWrong] = useState<string | null>(null);
  const [done, setDone] = useState<string | null>(null);
  const [round, setRound] = useState(0);
  const read = useMutation(trpc.plan.bookingsFromSheet.mutationOptions());
  const ask = (next: Sheet) => {
    setSheet(next);
    setRound((before) => before + 1);
    read.mutate(next);
  };
  const take = async (file: File | undefined) => {
    if (file === undefined) return;
    setDone(null);
    setWrong(file.size > mostBytes ? `“${file.name}” is larger than 5 MB. Save the one sheet as CSV, or divide it.` : null);
    if (file.size > mostBytes) return;
    try {
      ask({ fileName: file.name.slice(0, 200), file: await base64Of(file), answers: {} });
    } catch {
      setWrong(`This browser could not read “${file.name}”. Choose it again.`);
    }
  };
  return (
    <section className="sheet grid gap-4" aria-labelledby="sheet-bookings">
      <h2 id="sheet-bookings">From a sheet</h2>
      <p className="max-w-prose">One row for each booking, saved as CSV, with the columns {needed.join(", ")}; {titles.filter((title) => !needed.includes(title)).join(", ")} may be there. It is only read now; nothing is recorded before you say so.</p>
      <div className="flex flex-wrap gap-4">
        <Button pending={read.isPending} pendingWords="Being read…" onClick={() => input.current?.click()}>
          Choose a CSV file
        </Button>
        <Button onClick={() => downloadHeader("bookings.csv", titles)}>Download an empty sheet</Button>
      </div>
      <SheetChooser field={input} label="CSV file with bookings" onFile={(file) => void take(file)} />
      {wrong === null ? null : (
        <Notice kind="stop" title="The file was not taken" announce>
          <p>{wrong}</p>
        </Notice>
      )}
      <WhyNot state={read} />
      {done === null ? null : (
        <Notice kind="ok" announce>
          <p>{done}</p>
        </Notice>
      )}
      {read.data === undefined || sheet === null || read.isPending ? null : (
        <Judged
          key={round}
          name={sheet.fileName}
          answer={read.data}
          onAnswers={(answers) => ask({ ...sheet, answers: { ...sheet.answers, ...answers } })}
          onDone={(words) => {
            setDone(words);
            read.reset();
          }}
          onDrop={() => read.reset()}
        />
      )}
    </section>
  );
}

function Judged({ name, answer, onAnswers, onDone, onDrop }: { name: string; answer: BookingSheetAnswer; onAnswers: (answers: Answers) => void; onDone: (words: string) => void; onDrop: () => void }) {
  switch (answer.answer) {
    case "unreadable":
      return (
        <Notice kind="stop" title="The file cannot be read" announce>
          <p>{answer.sentence}</p>
        </Notice>
      );
    case "problems":
      return (
        <>
          <Notice kind="stop" title="Not yet" announce>
            <p>
              “{name}”: {countText(answer.rows, "row")} read, {countText(answer.problems.length + answer.more, "problem")}. All or nothing: correct them in your spreadsheet, save it, and choose it again.
            </p>
          </Notice>
          <DataTable
            caption={answer.more > 0 ? `The first ${numberText(answer.problems.length)} problems; ${numberText(answer.more)} more` : countText(answer.problems.length, "problem")}
            columns={columns}
            rows={answer.problems.map((problem, nth) => ({ ...problem, nth }))}
            rowKey={(one) => String(one.nth)}
            empty="No problem."
          />
        </>
      );
    case "questions":
      return <Questions questions={answer.questions} onAnswers={onAnswers} />;
    case "good":
      return <ReadBookings bookings={answer.bookings} onDone={onDone} onDrop={onDrop} />;
  }
}

type Question = Extract<BookingSheetAnswer, { answer: "questions" }>["questions"][number];

/** What the sheet does not say and nobody may guess, each as a choice of its own; one answer holds for the whole sheet. */
function Questions({ questions, onAnswers }: { questions: readonly Question[]; onAnswers: (answers: Answers) => void }) {
  const asked = [...new Map(questions.map((question) => [question.code, question])).values()];
  return (
    <div className="grid gap-4">
      <Notice kind="info" title="Some things are for you to say" announce />
      {asked.map((question) => (
        <fieldset key={question.code}>
          <legend className="mb-2 font-semibold">{question.sentence}</legend>
          <div className="flex flex-wrap gap-4">
            {(question.code === "unknown-column" ? ["ignore"] : question.choices).map((choice) => (
              <Button key={choice} onClick={() => onAnswers(answerOf(question.code, choice))}>
                {question.code === "unknown-column" ? "Leave out every column that is not understood" : choiceWords(choice)}
              </Button>
            ))}
          </div>
        </fieldset>
      ))}
    </div>
  );
}

/** A choice as the answer that goes along with the next reading. */
export function answerOf(code: Question["code"], choice: string): Answers {
  switch (code) {
    case "date-order":
      return choice === "day-first" || choice === "month-first" ? { dateOrder: choice } : {};
    case "day-numbers":
      return choice === "from-1900" || choice === "from-1904" ? { dayNumbers: choice } : {};
    case "decimal-mark":
      return choice === "comma" || choice === "point" ? { decimalMark: choice } : {};
    case "short-rows":
      return { shortRows: "empty" };
    case "unknown-column":
      return { ignoreUnknown: true };
    // Of parts alone; no sheet of bookings asks these.
    case "blank-tags":
    case "tags-alike":
    case "position-word":
      return {};
  }
}

type Problem = Extract<BookingSheetAnswer, { answer: "problems" }>["problems"][number] & { nth: number };
const column = createColumnHelper<TableFeatures, Problem>();
const columns = column.columns([
  column.accessor((one) => one.row ?? 0, { id: "row", header: "Row", cell: ({ row: { original } }) => (original.row === null ? "whole sheet" : numberText(original.row)) }),
  column.accessor((one) => one.column ?? "", { id: "column", header: "Column", cell: ({ row: { original } }) => (original.column === null ? "—" : `${original.column}${original.header === null || original.header === "" ? "" : `, ${original.header}`}`) }),
  column.accessor((one) => one.value ?? "", { id: "found", header: "Found", enableSorting: false, cell: ({ row: { original } }) => (original.value === null || original.value === "" ? "nothing" : <span className="font-plate">{original.value}</span>) }),
  column.accessor("sentence", { header: "What is wrong", enableSorting: false }),
]);
