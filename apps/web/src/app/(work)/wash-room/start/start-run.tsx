"use client";
import { useState } from "react";
import { ButtonLink } from "../../../../components/button.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { PageHead } from "../../../../components/page-head.tsx";
import { useHasRole } from "../../../../components/who.tsx";
import { errorWords } from "../../../../words.ts";
import { useQueue, type Queue } from "../queue.ts";
import { Loading } from "./loading-list.tsx";

/** Choose the bath, scan the sets, start: each set says at its scan whether it may go in. */
export function StartRun({ first, all }: { first: string | null; all: boolean }) {
  const queue = useQueue();
  const mayAct = useHasRole("wash-room");
  return (
    <>
      <PageHead title="Put sets in a bath" lead="Rinse off dirt and sand first. The whole second stage is flooded, the first stage is capped.">
        <ButtonLink href="/wash-room">Wash room</ButtonLink>
      </PageHead>
      {!mayAct ? (
        <Notice kind="stop" title="Not yours to record">
          <p>A wash is recorded by whoever has the role of wash-room hand.</p>
        </Notice>
      ) : queue.error !== null ? (
        <Notice kind="stop" title="Could not be read" announce>
          <p>{errorWords(queue.error)}</p>
        </Notice>
      ) : queue.data === undefined ? (
        <p role="status">The baths are being read…</p>
      ) : (
        <WithQueue queue={queue.data} first={first} all={all} />
      )}
    </>
  );
}

/** One wash has no more sets than this. */
const most = 40;

function WithQueue({ queue, first, all }: { queue: Queue; first: string | null; all: boolean }) {
  // What was asked for when the page opened; later scans add to it.
  const [begin] = useState(() => (all ? queue.toClean.slice(0, most).map((set) => set.tag) : first === null ? [] : [first]));
  if (queue.baths.every((bath) => bath.expired)) {
    return (
      <div className="grid gap-4">
        <Notice kind="warn" title={queue.baths.length === 0 ? "No bath stands" : "Every bath has expired"}>
          <p>Mix a bath first; then put the sets in.</p>
        </Notice>
        <ButtonLink href="/wash-room/mix" tone="primary" size="wash">
          Mix a bath
        </ButtonLink>
      </div>
    );
  }
  return <Loading queue={queue} begin={begin} most={most} />;
}
