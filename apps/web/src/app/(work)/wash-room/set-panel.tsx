"use client";
import { useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { Button, ButtonLink } from "../../../components/button.tsx";
import { Icon } from "../../../components/icon.tsx";
import { Notice } from "../../../components/notice.tsx";
import { Plate } from "../../../components/plate.tsx";
import { StateMark } from "../../../components/state-mark.tsx";
import { useHasRole } from "../../../components/who.tsx";
import { useTRPC } from "../../../trpc/client.ts";
import type { Outputs } from "../../../trpc/types.ts";
import { errorWords } from "../../../words.ts";
import { AbandonForm } from "./abandon-form.tsx";
import { BreathTested } from "./breath-tested.tsx";
import { FinishForm } from "./finish-form.tsx";
import { placeOf, type Queue, type Run } from "./queue.ts";
import { OutOfBath } from "./wet-run.tsx";

type SetPanelProps = { tag: string; /** How often it was scanned on purpose. */ times: number; queue: Queue; onDone: (sentence: string) => void; onClose: () => void };

/** One scanned set: where it is in the wash, and what the wash room can do with it. */
export function SetPanel({ tag, times, queue, onDone, onClose }: SetPanelProps) {
  const trpc = useTRPC();
  const set = useQuery(trpc.sets.one.queryOptions({ tag }));
  return (
    <section className="sheet grid gap-4 border-2 border-edge" aria-label={`Set ${tag}`}>
      <div className="flex flex-wrap items-center justify-between gap-4">
        <h2 className="flex flex-wrap items-center gap-3 text-2xl">
          <Plate tag={tag} />
          {set.data === undefined ? null : <StateMark state={set.data.state} />}
        </h2>
        <Button onClick={onClose}>Close</Button>
      </div>
      {set.error !== null ? (
        <Notice kind="stop" title="No such set" announce>
          <p>{errorWords(set.error)}</p>
        </Notice>
      ) : set.data === undefined ? (
        <p role="status">The set is being looked up…</p>
      ) : (
        <SetActs set={set.data} times={times} run={placeOf(queue, tag).run} waits={placeOf(queue, tag).waiting !== null} onDone={onDone} onClose={onClose} />
      )}
    </section>
  );
}

type SetActsProps = { set: Outputs["sets"]["one"]; times: number; run: Run | null; waits: boolean; onDone: (sentence: string) => void; onClose: () => void };

function SetActs({ set, times, run, waits, onDone, onClose }: SetActsProps) {
  const mayAct = useHasRole("wash-room");
  const [asked, setAsked] = useState<"abandon" | "breath" | null>(null);
  if (set.state === "evidence-lock") {
    return (
      <Notice kind="stop" title="Sealed as evidence" announce>
        <p>Do not wash, open or test it. Leave it as it is and tell the manager.</p>
      </Notice>
    );
  }
  if (asked === "abandon") return <AbandonForm setId={set.setId} tag={set.tag} onDone={onDone} onClose={() => setAsked(null)} />;
  if (asked === "breath") return <BreathTested setId={set.setId} tag={set.tag} onDone={onDone} onClose={() => setAsked(null)} />;
  return (
    <>
      <p role="status" className="text-xl">
        {placeWords(set.tag, run, waits, set.state)}
      </p>
      {!mayAct ? null : run === null ? (
        waits ? (
          <ButtonLink href={`/wash-room/start?tag=${set.tag}`} tone="primary" size="wash">
            <Icon name="bath" size={36} /> Put it in a bath
          </ButtonLink>
        ) : null
      ) : run.wetEndedAt === null ? (
        <>
          <p>Scan {set.tag} once more, or press, when the whole run is lifted out.</p>
          <OutOfBath run={run} scans={times} onDone={onDone} />
        </>
      ) : (
        <FinishForm run={run} onDone={onDone} onClose={onClose} />
      )}
      <div className="flex flex-wrap gap-4">
        {mayAct && run !== null ? <Button onClick={() => setAsked("abandon")}>Take {set.tag} out of the wash unfinished</Button> : null}
        {mayAct && run === null && set.out === null ? (
          <Button onClick={() => setAsked("breath")}>
            <Icon name="person" /> Staff breathed from it
          </Button>
        ) : null}
        <ButtonLink href={`/bench/report?tag=${set.tag}&where=wash-room`}>
          <Icon name="tag" /> Report a fault
        </ButtonLink>
      </div>
    </>
  );
}

function placeWords(tag: string, run: Run | null, waits: boolean, state: Outputs["sets"]["one"]["state"]): string {
  if (run !== null) return run.wetEndedAt === null ? `${tag} is in ${run.bath}.` : `${tag} hangs to dry, out of ${run.bath}.`;
  if (waits) return `${tag} is to be cleaned.`;
  if (state === "out") return `${tag} is with a hirer. The desk takes it back first.`;
  return state === "retired" ? `${tag} is retired.` : `${tag} is clean.`;
}
