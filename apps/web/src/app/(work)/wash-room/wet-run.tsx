"use client";
import { useMutation } from "@tanstack/react-query";
import { useEffect, useEffectEvent } from "react";
import { WhyNot } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { Countdown } from "../../../components/countdown.tsx";
import { Icon } from "../../../components/icon.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useRequestId } from "../../../components/use-request-id.ts";
import { Instant } from "../../../components/when.tsx";
import { useWho } from "../../../components/who.tsx";
import { listText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { Plates } from "./plates.tsx";
import type { Run } from "./queue.ts";

type WetRunProps = { run: Run; now: string; mayAct: boolean; onDone: (sentence: string) => void };

/** A run in the bath, with its wet time counted down and the way out. */
export function WetRun({ run, now, mayAct, onDone }: WetRunProps) {
  const { site } = useWho();
  return (
    <article className="sheet grid gap-4" aria-label={`Run in ${run.bath}: ${listText(run.sets.map((set) => set.tag))}`}>
      <div className="flex flex-wrap items-baseline justify-between gap-x-6 gap-y-2">
        <h3>
          {run.bath} <span className="font-normal text-soft">({run.product})</span>
        </h3>
        <p className="text-xl">
          <Countdown until={run.wetUntil} serverNow={now} label="Wet time left" over="Wet time over" />
        </p>
      </div>
      <Plates sets={run.sets} />
      <p className="text-soft">
        In since <Instant at={run.startedAt} timeZone={site.timeZone} short />, put in by {run.startedBy}; {run.wetMinutes} min by the label.
      </p>
      {mayAct ? <OutOfBath run={run} onDone={onDone} /> : null}
    </article>
  );
}

type OutOfBathProps = { run: Run; /** How often a set of the run was scanned: every scan after the first says the same as the press. */ scans?: number; onDone: (sentence: string) => void };

/** Pressed when the sets are lifted out. Too early is refused by the record, with the time that is missing. */
export function OutOfBath({ run, scans = 1, onDone }: OutOfBathProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const end = useMutation(
    trpc.washRoom.endWet.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          onDone(`${listText(run.sets.map((set) => set.tag))}: out of the bath. Rinse in drinking water, purge under pressure, hang to dry.`);
        }),
    }),
  );
  const out = () => end.mutate({ requestId, runId: run.run });
  const scannedAgain = useEffectEvent(() => {
    if (!end.isPending) out();
  });
  useEffect(() => {
    if (scans > 1) scannedAgain();
  }, [scans]);
  return (
    <>
      <WhyNot state={end} />
      <Button size="wash" tone="primary" pending={end.isPending} pendingWords="Being recorded…" onClick={out}>
        <Icon name="drop" size={36} /> Out of the bath
      </Button>
    </>
  );
}
