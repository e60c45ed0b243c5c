"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { WhyNot } from "../../../components/act-form.tsx";
import { Notice } from "../../../components/notice.tsx";
import { newRequestId } from "../../../components/use-request-id.ts";
import { useTRPC } from "../../../trpc/client.ts";
import type { Answers, SheetInput } from "./answers.ts";
import { ChooseSheet } from "./choose-sheet.tsx";
import { RecordSheet } from "./record-sheet.tsx";
import { SheetQuestions } from "./sheet-questions.tsx";
import { SheetReport } from "./sheet-report.tsx";

/** A file, its check, the answers to what it leaves open, and the recording: each step below the one before. */
export function BringIn() {
  const trpc = useTRPC();
  const [sheet, setSheet] = useState<SheetInput | null>(null);
  // One number for one sheet as it was checked: pressed twice, or again after a lost answer, it is recorded once.
  const [requestId, setRequestId] = useState(newRequestId);
  const check = useMutation(trpc.fleet.check.mutationOptions());
  const judge = (next: SheetInput) => {
    setSheet(next);
    setRequestId(newRequestId());
    check.mutate(next);
  };
  const answer = (answers: Answers) => {
    if (sheet !== null) judge({ ...sheet, answers });
  };
  const report = check.data?.answer === "judged" ? check.data : null;
  return (
    <section aria-labelledby="bring-in" className="sheet grid gap-6">
      <h2 id="bring-in">Bring in</h2>
      <ChooseSheet pending={check.isPending} onSheet={judge} delimiterOpen={check.data?.answer === "unreadable"} />
      <WhyNot state={check} />
      {check.isPending ? <p role="status">Every cell of “{sheet?.fileName}” is being checked…</p> : null}
      {check.data?.answer === "unreadable" ? (
        <Notice kind="stop" title="The file cannot be read" announce>
          <p>{check.data.sentence}</p>
        </Notice>
      ) : null}
      {sheet !== null && report !== null ? (
        <>
          <SheetReport key={`report ${requestId}`} sheet={sheet} report={report} onAnswers={answer} />
          <SheetQuestions key={`questions ${requestId}`} sheet={sheet} report={report} pending={check.isPending} onAnswers={answer} />
          {report.verdict === "ready" ? <RecordSheet key={requestId} sheet={sheet} report={report} requestId={requestId} /> : null}
        </>
      ) : null}
    </section>
  );
}
