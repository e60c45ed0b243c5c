"use client";
import { useMutation, useQuery } from "@tanstack/react-query";
import { WhyNot } from "../../../components/act-form.tsx";
import { Button, ButtonLink } from "../../../components/button.tsx";
import { Notice } from "../../../components/notice.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { countText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { ClashTable } from "./clash-table.tsx";
import { isRunning, phaseWords, type Recorded } from "./import-words.ts";
import type { Judged, SheetInput } from "./answers.ts";

type RecordSheetProps = { sheet: SheetInput; report: Judged; requestId: string };

/** The last step: every row is recorded, or none. */
export function RecordSheet({ sheet, report, requestId }: RecordSheetProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const record = useMutation(trpc.fleet.record.mutationOptions({ onSuccess: (answer) => afterAct(answer) }));
  const { newRows, alreadyHere } = report.counts;
  if (newRows === 0) return <p>There is nothing in it that is not recorded already.</p>;
  if (record.data?.answer === "done") return <Done done={record.data} kind={sheet.kind} />;
  return (
    <div className="grid gap-4">
      <p>
        {sheet.kind === "fleet"
          ? "The sets come in as they are said to be, but nothing goes out on a sheet's word: each is released by a technician and washed first."
          : "Past work counts for the due dates. It releases nothing: a technician of yours does."}
        {alreadyHere > 0 ? ` ${countText(alreadyHere, "row")} recorded before ${alreadyHere === 1 ? "is" : "are"} passed over.` : ""}
      </p>
      <div>
        <Button tone="primary" size="desk" pending={record.isPending} pendingWords="Being recorded…" onClick={() => record.mutate({ requestId, sheet })}>
          Record {countText(newRows, "row")}
          {report.newSets === 0 ? "" : `: ${countText(report.newSets, "new set")}`}
        </Button>
      </div>
      {record.isPending ? <Progress fileName={sheet.fileName} /> : null}
      <WhyNot state={record} />
      {record.error === null ? null : <p>You may press it again: what has been recorded already is passed over, so nothing comes in twice.</p>}
      <NotRecorded answer={record.data} />
    </div>
  );
}

function NotRecorded({ answer }: { answer: Recorded | undefined }) {
  switch (answer?.answer) {
    case "clash":
      return <ClashTable clashes={answer.problems} />;
    case "unreadable":
      return (
        <Notice kind="stop" title="Nothing was recorded" announce>
          <p>{answer.sentence}</p>
        </Notice>
      );
    case "judged":
      return (
        <Notice kind="stop" title="Nothing was recorded" announce>
          <p>The record changed since the sheet was checked. {answer.summary} Choose the file again to see what is in the way.</p>
        </Notice>
      );
    default:
      return null;
  }
}

/** How far it is, asked every second. */
function Progress({ fileName }: { fileName: string }) {
  const trpc = useTRPC();
  const imports = useQuery(trpc.fleet.imports.queryOptions(undefined, { refetchInterval: 1_000 }));
  const job = imports.data?.find((one) => one.fileName === fileName && isRunning(one));
  const known = job !== undefined && job.rowsTotal > 0;
  return (
    <div className="grid max-w-xl gap-2">
      <p role="status">{job === undefined ? "Being sent…" : `Now ${phaseWords(job.phase)}${known ? `: ${countText(job.rowsTotal, "row")}` : ""}…`}</p>
      <progress className="h-4 w-full accent-sea" aria-label="How far the import is" {...(known && job.rowsDone > 0 ? { max: job.rowsTotal, value: job.rowsDone } : {})} />
      <p className="text-soft">You may leave this page: it goes on, and stands in the list of imports below.</p>
    </div>
  );
}

function Done({ done, kind }: { done: Extract<Recorded, { answer: "done" }>; kind: SheetInput["kind"] }) {
  return (
    <div className="grid gap-4">
      <Notice kind="ok" title="Recorded" announce>
        <p>
          {countText(done.newRows, "row")} recorded{kind === "fleet" ? `, ${countText(done.newSets, "new set")}` : ""}.{done.alreadyHere > 0 ? ` ${countText(done.alreadyHere, "row")} ${done.alreadyHere === 1 ? "was" : "were"} here already.` : ""} The same sheet may come in again: nothing is recorded twice.
        </p>
      </Notice>
      <div className="flex flex-wrap gap-4">
        <ButtonLink href="/models" tone="primary">
          Next: the limits of the models
        </ButtonLink>
        <ButtonLink href="/sets">To the sets</ButtonLink>
      </div>
    </div>
  );
}
