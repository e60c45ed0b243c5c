"use client";
import { useEffect, useRef, useState } from "react";
import { AwayNotice } from "../../../away/away-notice.tsx";
import { AwayRoom } from "../../../away/away-room.tsx";
import { keepAwayPage } from "../../../away/keep.ts";
import { pictureOf } from "../../../away/picture.ts";
import { savePicture } from "../../../away/store.ts";
import { useKept } from "../../../away/use-away.ts";
import { ButtonLink } from "../../../components/button.tsx";
import { useConnection } from "../../../components/connection.ts";
import { Icon } from "../../../components/icon.tsx";
import { Notice } from "../../../components/notice.tsx";
import { PageHead } from "../../../components/page-head.tsx";
import { ScanField } from "../../../components/scan-field.tsx";
import { useHasRole, useWho } from "../../../components/who.tsx";
import { errorWords } from "../../../words.ts";
import { Baths } from "./baths.tsx";
import { DryingRun } from "./drying-run.tsx";
import { KeptScans } from "./kept-scans.tsx";
import { useQueue, type Queue } from "./queue.ts";
import { SetPanel } from "./set-panel.tsx";
import { WaitingSets } from "./waiting-sets.tsx";
import { WetRun } from "./wet-run.tsx";

type Scanned = { tag: string; /** By the tablet's steady clock. */ at: number; times: number };

/** Milliseconds within which a scanner may read one label twice by itself. */
const twoReads = 1_500;

/** The wash room at a glance, made for wet gloves: what is wet and until when, what hangs, what waits. */
export function WashRoom() {
  const queue = useQueue();
  const mayAct = useHasRole("wash-room");
  const away = useAway() && mayAct;
  useKeeping(mayAct ? queue.data : undefined);
  const kept = useKept();
  const [scanned, setScanned] = useState<Scanned | null>(null);
  const [done, setDone] = useState<string | null>(null);
  const doneBox = useRef<HTMLDivElement>(null);
  // What was pressed is gone from the screen by now; the keyboard goes on from the sentence that says so.
  useEffect(() => {
    if (done !== null) doneBox.current?.focus();
  }, [done]);
  const tell = (sentence: string) => {
    setScanned(null);
    setDone(sentence);
  };
  const scan = (tag: string) => {
    setDone(null);
    const at = performance.now();
    const again = scanned?.tag === tag && at - scanned.at > twoReads;
    setScanned({ tag, at, times: again ? scanned.times + 1 : scanned?.tag === tag ? scanned.times : 1 });
  };

  const keptScans = kept === undefined || kept === "failed" || !mayAct ? null : <KeptScans scans={kept.scans} away={away} />;
  if (away) {
    return (
      <>
        <PageHead title="Wash room" lead="Bath, rinse, purge under pressure, dry: only then is a set clean." />
        <div className="grid gap-6">
          <AwayNotice />
          {keptScans}
          {kept === undefined ? (
            <p role="status">What this tablet keeps is being read…</p>
          ) : kept === "failed" || kept.picture === null ? (
            <Notice kind="stop" title="This tablet keeps nothing" announce>
              <p>Write on paper what goes into the bath, and enter it when the network is back.</p>
            </Notice>
          ) : (
            <AwayRoom picture={kept.picture} scans={kept.scans} />
          )}
        </div>
      </>
    );
  }

  return (
    <>
      <PageHead title="Wash room" lead="Bath, rinse, purge under pressure, dry: only then is a set clean.">
        <ButtonLink href="/wash-room/products">Products</ButtonLink>
        <ButtonLink href="/bench/report?where=wash-room">
          <Icon name="tag" /> Report a fault
        </ButtonLink>
      </PageHead>
      {mayAct ? (
        <div className="screen-only mb-6 grid gap-4 sm:grid-cols-2">
          <ButtonLink href="/wash-room/start" tone="primary" size="wash">
            <Icon name="bath" size={36} /> Put sets in a bath
          </ButtonLink>
          <ButtonLink href="/wash-room/mix" size="wash">
            <Icon name="drop" size={36} /> Mix a bath
          </ButtonLink>
        </div>
      ) : (
        <div className="mb-6">
          <Notice kind="info" title="You may look">
            <p>Washing is recorded by whoever has the role of wash-room hand.</p>
          </Notice>
        </div>
      )}
      {keptScans}
      <ScanField size="desk" label="Scan a set to see where it is" act="Look" onScan={scan} />
      <div ref={doneBox} tabIndex={-1} className="mb-6 grid gap-6">
        {done === null ? null : (
          <Notice kind="ok" announce>
            <p>{done}</p>
          </Notice>
        )}
        {scanned === null || queue.data === undefined ? null : <SetPanel key={scanned.tag} tag={scanned.tag} times={scanned.times} queue={queue.data} onDone={tell} onClose={() => setScanned(null)} />}
      </div>
      {queue.error !== null ? (
        <Notice kind="stop" title="Could not be read" announce>
          <p>{errorWords(queue.error)}</p>
        </Notice>
      ) : queue.data === undefined ? (
        <p role="status">The wash room is being read…</p>
      ) : (
        <div className="grid items-start gap-8 xl:grid-cols-[3fr_2fr]">
          <div className="grid gap-8">
            <section aria-labelledby="in-bath" className="grid gap-4">
              <h2 id="in-bath">In the bath</h2>
              {queue.data.runs.every((run) => run.wetEndedAt !== null) ? <p>No set is in a bath.</p> : null}
              {queue.data.runs.map((run) => (run.wetEndedAt === null ? <WetRun key={run.run} run={run} now={queue.data.now} mayAct={mayAct} onDone={tell} /> : null))}
            </section>
            <section aria-labelledby="drying" className="grid gap-4">
              <h2 id="drying">Drying</h2>
              {queue.data.runs.every((run) => run.wetEndedAt === null) ? <p>No set hangs to dry.</p> : null}
              {queue.data.runs.map((run) => (run.wetEndedAt === null ? null : <DryingRun key={run.run} run={run} now={queue.data.now} mayAct={mayAct} onDone={tell} />))}
            </section>
          </div>
          <div className="grid gap-8">
            <WaitingSets waiting={queue.data.toClean} now={queue.data.now} />
            <Baths baths={queue.data.baths} now={queue.data.now} mayAct={mayAct} onDone={tell} />
          </div>
        </div>
      )}
    </>
  );
}

/** A stream that is heard again within this time, in milliseconds, takes nobody's form from the screen. */
const aMoment = 5_000;

/** Whether the network is away: at once by the browser's own word, after a moment when only the server is not heard. */
function useAway(): boolean {
  const lost = useConnection() === "lost";
  const [lasts, setLasts] = useState(false);
  useEffect(() => {
    if (!lost) return;
    const timer = setTimeout(() => setLasts(true), aMoment);
    return () => {
      clearTimeout(timer);
      setLasts(false);
    };
  }, [lost]);
  return lost && (lasts || !navigator.onLine);
}

/** Keeps the page, and the wash room as it stands, for the time without a network. */
function useKeeping(queue: Queue | undefined) {
  const { site } = useWho();
  const may = queue !== undefined;
  useEffect(() => {
    if (may) keepAwayPage().catch(() => undefined);
  }, [may]);
  useEffect(() => {
    if (queue !== undefined) savePicture(pictureOf(queue, site)).catch(() => undefined);
  }, [queue, site]);
}
