"use client";
import { useQuery } from "@tanstack/react-query";
import { useEffect, useRef, useState } from "react";
import { ButtonLink } from "../../../../../components/button.tsx";
import { Notice } from "../../../../../components/notice.tsx";
import { PageHead } from "../../../../../components/page-head.tsx";
import { Plate } from "../../../../../components/plate.tsx";
import { StateMark } from "../../../../../components/state-mark.tsx";
import { useHasRole } from "../../../../../components/who.tsx";
import { phaseWords, type Verdict } from "../../../../../bench-test-words.ts";
import { useTRPC } from "../../../../../trpc/client.ts";
import { errorWords } from "../../../../../words.ts";
import { EnterTest } from "./enter-test.tsx";
import { PastTests } from "./past-tests.tsx";

export type RecordedTest = { phase: "as-found" | "as-left"; verdict: Verdict };

/** The bench test of one set: what was read as found and as left, judged as it is typed. */
export function BenchTest({ tag }: { tag: string }) {
  const trpc = useTRPC();
  const technician = useHasRole("technician");
  const manager = useHasRole("manager");
  const mayLook = technician || manager;
  const set = useQuery(trpc.sets.one.queryOptions({ tag }));
  const form = useQuery(trpc.benchTests.form.queryOptions({ tag }, { enabled: mayLook }));
  const [recorded, setRecorded] = useState<RecordedTest | null>(null);
  // A form begun anew after each test: nothing of the one before stays in it.
  const [round, setRound] = useState(0);
  const failed = set.error ?? form.error;
  const state = set.data?.state;
  const sealed = set.data?.holds.some((hold) => hold.code === "evidence-lock") ?? false;
  return (
    <>
      <PageHead
        title={
          <span className="flex flex-wrap items-center gap-4">
            Bench test <Plate tag={tag} />
            {state === undefined ? null : <StateMark state={state} />}
          </span>
        }
        lead="Each reading is judged as you type it; what is recorded is judged again in the same way."
      >
        <ButtonLink href={`/bench/${tag}`}>{tag} at the bench</ButtonLink>
        <ButtonLink href={`/bench/${tag}/test/past`}>Tests on paper</ButtonLink>
      </PageHead>
      {!mayLook ? (
        <Notice kind="info" title="For the bench">
          <p>Bench tests are entered by a technician. Managers may look at them.</p>
        </Notice>
      ) : failed !== null ? (
        <Notice kind="stop" title="Could not be read" announce>
          <p>{errorWords(failed)}</p>
        </Notice>
      ) : set.data === undefined || form.data === undefined ? (
        <p role="status">The set, its limits and the test gauges are being read…</p>
      ) : (
        <div className="grid gap-8">
          <Recorded tag={tag} recorded={recorded} />
          {!technician ? (
            <p>A technician enters a test. The tests so far stand below.</p>
          ) : sealed || set.data.out !== null || set.data.state === "retired" ? (
            <Notice kind="info" title="No test can be recorded now">
              <p>{sealed ? "The set is sealed as evidence: nothing may be done to it." : set.data.out !== null ? "The set is with a hirer. Test it after the desk has taken it back." : "The set is retired."}</p>
            </Notice>
          ) : (
            <EnterTest
              key={round}
              form={form.data}
              onRecorded={(test) => {
                setRecorded(test);
                setRound(round + 1);
              }}
            />
          )}
          <PastTests tag={tag} />
        </div>
      )}
    </>
  );
}

/** What became of the test just recorded, and what follows. */
function Recorded({ tag, recorded }: { tag: string; recorded: RecordedTest | null }) {
  const box = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (recorded !== null) box.current?.focus();
  }, [recorded]);
  return (
    <div ref={box} tabIndex={-1}>
      {recorded === null ? null : (
        <Notice kind={recorded.verdict === "pass" ? "ok" : recorded.verdict === "fail" ? "stop" : "warn"} title={`Recorded ${phaseWords(recorded.phase).toLowerCase()}: ${recorded.verdict === "pass" ? "passed" : recorded.verdict === "fail" ? "failed" : "not judged"}`} announce>
          <p>{nextWords(recorded)}</p>
          <p className="mt-3">
            <ButtonLink href={`/bench/${tag}`}>Back to {tag} at the bench</ButtonLink>
          </p>
        </Notice>
      )}
    </div>
  );
}

function nextWords({ phase, verdict }: RecordedTest): string {
  if (phase === "as-found") return "Now do the work, and test it again as left.";
  switch (verdict) {
    case "pass":
      return "The release is an act of its own.";
    case "fail":
      return "It stays on the bench: put it right and test it again.";
    case "not-judged":
      return "A test that is not judged releases nothing: read what is missing and test it again.";
  }
}
