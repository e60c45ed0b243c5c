"use client";
import { useMutation } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import { WhyNot } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { DataTable, type TableFeatures } from "../../../components/data-table.tsx";
import { Notice } from "../../../components/notice.tsx";
import { countText, numberText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { leavingOut, mayLeaveOut, type Answers, type Judged, type Problem, type SheetInput } from "./answers.ts";
import { download } from "./files.ts";

type SheetReportProps = { sheet: SheetInput; report: Judged; onAnswers: (answers: Answers) => void };

type Numbered = Problem & { nth: number };

const column = createColumnHelper<TableFeatures, Numbered>();
const columns = column.columns([
  column.accessor((one) => one.row ?? 0, { id: "row", header: "Row", cell: ({ row: { original } }) => (original.row === null ? "whole sheet" : numberText(original.row)) }),
  column.accessor((one) => one.column ?? "", { id: "column", header: "Column", cell: ({ row: { original } }) => (original.column === null ? "—" : `${original.column}${original.header === null || original.header === "" ? "" : `, ${original.header}`}`) }),
  column.accessor((one) => one.value ?? "", { id: "found", header: "Found", enableSorting: false, cell: ({ row: { original } }) => (original.value === null || original.value === "" ? "nothing" : <span className="inline-block min-w-32 font-plate">{original.value}</span>) }),
  column.accessor("sentence", { header: "What is wrong", enableSorting: false }),
]);

/** What the check found: a sentence, every bad cell, and what was read as not known. */
export function SheetReport({ sheet, report, onAnswers }: SheetReportProps) {
  const { verdict, problems, allProblems, counts, summary } = report;
  const loose = problems.filter(mayLeaveOut);
  return (
    <div className="grid gap-6">
      <Notice kind={verdict === "ready" ? "ok" : verdict === "questions" ? "info" : "stop"} title={verdict === "ready" ? "Every cell is understood" : verdict === "questions" ? "Some things are for you to say" : "Not yet"} announce>
        <p>
          “{sheet.fileName}”: {summary}
        </p>
        {verdict === "problems" ? <p>All or nothing: correct the {countText(counts.rowsWithProblems, "row")} in your spreadsheet, save it, and choose it again.</p> : null}
      </Notice>
      {problems.length === 0 ? null : (
        <div className="grid gap-4">
          <DataTable
            caption={allProblems > problems.length ? `The first ${numberText(problems.length)} of ${countText(allProblems, "problem")}` : countText(allProblems, "problem")}
            columns={columns}
            rows={problems.map((problem, nth) => ({ ...problem, nth }))}
            rowKey={(one) => String(one.nth)}
            empty="No problem."
          />
          <AllProblems sheet={sheet} />
        </div>
      )}
      {loose.length === 0 ? null : (
        <div className="flex flex-wrap gap-4">
          {loose.map((problem) => (
            <Button key={problem.column} onClick={() => onAnswers(leavingOut(sheet.answers, problem.column ?? ""))}>
              Leave column {problem.column} out and check again
            </Button>
          ))}
        </div>
      )}
      <Blanks report={report} />
    </div>
  );
}

function AllProblems({ sheet }: { sheet: SheetInput }) {
  const trpc = useTRPC();
  const all = useMutation(trpc.fleet.problems.mutationOptions({ onSuccess: ({ fileName, file }) => download(fileName, file) }));
  return (
    <div className="grid gap-3">
      <div>
        <Button pending={all.isPending} onClick={() => all.mutate(sheet)}>
          Download the whole list
        </Button>
      </div>
      <WhyNot state={all} />
    </div>
  );
}

function Blanks({ report: { blanks } }: { report: Judged }) {
  if (blanks.length === 0) return null;
  const cells = blanks.reduce((sum, blank) => sum + blank.cells, 0);
  return (
    <details>
      <summary className="min-h-12 content-center font-semibold">{countText(cells, "cell")} read as “not known”</summary>
      <ul className="grid gap-1 pt-2">
        {blanks.map((blank) => (
          <li key={`${blank.column} ${blank.word}`}>
            Column {blank.column}, “{blank.header}”: {countText(blank.cells, "cell")} {blank.word === "" ? "empty" : `with “${blank.word}”`}, the first in row {numberText(blank.firstRow)}
          </li>
        ))}
      </ul>
    </details>
  );
}
