"use client";
import { useQuery } from "@tanstack/react-query";
import { useEffect, useRef, useState } from "react";
import { ButtonLink } from "../../../../components/button.tsx";
import { HoldList } from "../../../../components/hold-list.tsx";
import { Icon } from "../../../../components/icon.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { PageHead } from "../../../../components/page-head.tsx";
import { Plate } from "../../../../components/plate.tsx";
import { StateMark } from "../../../../components/state-mark.tsx";
import { useHasRole, useWho } from "../../../../components/who.tsx";
import { contextOf } from "../../../../desk-words.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { errorWords } from "../../../../words.ts";
import { Authorised } from "../authorised.tsx";
import { BenchParts } from "./bench-parts.tsx";
import { OpenFaults } from "./open-faults.tsx";
import { RecordWork } from "./record-work.tsx";
import { ReleaseOne } from "./release-one.tsx";
import { Swap } from "./swap.tsx";
import { PastTests } from "./test/past-tests.tsx";
import { WaitingWork } from "./waiting-work.tsx";

export type BenchSetView = Outputs["sets"]["one"];

/** One set at the bench: what holds it, and each act the bench can record of it. */
export function BenchSet({ tag }: { tag: string }) {
  const trpc = useTRPC();
  const set = useQuery(trpc.sets.one.queryOptions({ tag }));
  return (
    <>
      <PageHead
        title={
          <span className="flex flex-wrap items-center gap-4">
            <Plate tag={tag} />
            {set.data === undefined ? null : <StateMark state={set.data.state} />}
          </span>
        }
      >
        <ButtonLink href="/bench">Bench</ButtonLink>
        <ButtonLink href={`/sets/${tag}`}>Its life</ButtonLink>
        <ButtonLink href={`/bench/${tag}/test`}>Bench test</ButtonLink>
        <ButtonLink href={`/bench/report?tag=${tag}&where=bench`}>
          <Icon name="tag" /> Report a fault
        </ButtonLink>
      </PageHead>
      {set.error !== null ? (
        <Notice kind="stop" title="Could not be read" announce>
          <p>{errorWords(set.error)}</p>
        </Notice>
      ) : set.data === undefined ? (
        <p role="status">The set is being read…</p>
      ) : (
        <WithSet set={set.data} />
      )}
    </>
  );
}

function WithSet({ set }: { set: BenchSetView }) {
  const trpc = useTRPC();
  const { site } = useWho();
  const technician = useHasRole("technician");
  const manager = useHasRole("manager");
  const queue = useQuery(trpc.bench.queue.queryOptions(undefined, { enabled: technician || manager }));
  const makers = queue.data?.makers ?? [];
  const [done, setDone] = useState<string | null>(null);
  const doneBox = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (done !== null) doneBox.current?.focus();
  }, [done]);
  const sealed = set.holds.some((hold) => hold.code === "evidence-lock");
  const untouched = sealed || set.out !== null || set.state === "retired";
  return (
    <div className="grid gap-8">
      <div ref={doneBox} tabIndex={-1}>
        {done === null ? null : (
          <Notice kind="ok" announce>
            <p>{done}</p>
          </Notice>
        )}
      </div>
      {set.holds.length === 0 ? <p>Nothing holds this set: it is ready.</p> : <HoldList holds={set.holds} cautions={[]} {...contextOf(set, site.units)} />}
      {queue.data === undefined ? null : <Authorised makers={makers} />}
      {(technician || manager) && !sealed ? <WaitingWork setId={set.setId} /> : null}
      <OpenFaults set={set} sealed={sealed} onDone={setDone} />
      {set.out === null ? null : (
        <Notice kind="info" title="It is with a hirer">
          <p>Work is recorded after the desk has taken it back.</p>
        </Notice>
      )}
      {!technician || untouched ? (
        <BenchParts set={set} />
      ) : (
        <>
          <ReleaseOne set={set} onDone={setDone} />
          <RecordWork set={set} makers={makers} onDone={setDone} />
          <Swap set={set} onDone={setDone} />
        </>
      )}
      {technician || manager ? <PastTests tag={set.tag} /> : null}
    </div>
  );
}
