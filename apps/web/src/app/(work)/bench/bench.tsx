"use client";
import { useQuery } from "@tanstack/react-query";
import { useRouter } from "next/navigation";
import { ButtonLink } from "../../../components/button.tsx";
import { Icon } from "../../../components/icon.tsx";
import { Notice } from "../../../components/notice.tsx";
import { PageHead } from "../../../components/page-head.tsx";
import { ScanField } from "../../../components/scan-field.tsx";
import { useHasRole, useWho } from "../../../components/who.tsx";
import { useTRPC } from "../../../trpc/client.ts";
import { errorWords } from "../../../words.ts";
import { Authorised } from "./authorised.tsx";
import { blocksOf, soonDue } from "./blocks.ts";
import { DueWork, Held, SoonDue } from "./held-sets.tsx";
import { NotJudged } from "./not-judged.tsx";
import { ReleaseMany } from "./release-many.tsx";
import { TaggedOut } from "./tagged-out.tsx";

const rowsRead = 100;
const board = { search: null, states: [], modelId: null, descending: false, page: 0, size: rowsRead };

/** What the bench has to look at, each set in the block where its next step stands. */
export function Bench() {
  const trpc = useTRPC();
  const router = useRouter();
  const { today } = useWho();
  const mayAct = useHasRole("technician");
  const queue = useQuery(trpc.bench.queue.queryOptions());
  const held = useQuery(trpc.sets.outOfService.queryOptions());
  const models = useQuery(trpc.models.list.queryOptions());
  // Sets whose work is due although they wait for the wash or are out: the board gives those whose limits end first.
  const byDay = useQuery(trpc.sets.board.queryOptions({ ...board, sort: "dueOn" }));
  const byDives = useQuery(trpc.sets.board.queryOptions({ ...board, sort: "divesLeft" }));
  const error = queue.error ?? held.error ?? models.error ?? byDay.error ?? byDives.error;
  const endingFirst = [...(byDay.data?.rows ?? []), ...(byDives.data?.rows ?? [])];
  const blocks = blocksOf([...(held.data?.rows ?? []), ...endingFirst.filter((set) => set.out === null)]);

  return (
    <>
      <PageHead title="Bench" lead="Work is recorded by whoever is authorised for the maker today. Work and release are two acts.">
        <ButtonLink href="/bench/report?where=bench">
          <Icon name="tag" /> Report a fault
        </ButtonLink>
      </PageHead>
      <ScanField label="Scan a set to work on it" act="Open" onScan={(tag) => router.push(`/bench/${encodeURIComponent(tag)}`)} />
      {error !== null ? (
        <Notice kind="stop" title="Could not be read" announce>
          <p>{errorWords(error)}</p>
        </Notice>
      ) : queue.data === undefined || held.data === undefined || models.data === undefined ? (
        <p role="status">The bench is being read…</p>
      ) : (
        <div className="grid gap-8">
          <Authorised makers={queue.data.makers} />
          <TaggedOut sets={blocks.taggedOut} faults={queue.data.faults} />
          <ReleaseMany sets={blocks.toRelease} makers={queue.data.makers} mayAct={mayAct} />
          <DueWork sets={blocks.dueWork} />
          <Held sets={blocks.otherwiseHeld} />
          <SoonDue sets={soonDue(endingFirst, today)} />
          <NotJudged models={models.data} />
          {held.data.total > held.data.rows.length ? (
            <p>
              Only the first {held.data.rows.length} of {held.data.total} sets out of service are shown.
            </p>
          ) : null}
        </div>
      )}
    </>
  );
}
