"use client";
import { useState } from "react";
import { Button } from "../../../components/button.tsx";
import { Countdown } from "../../../components/countdown.tsx";
import { Instant } from "../../../components/when.tsx";
import { useWho } from "../../../components/who.tsx";
import { listText } from "../../../format.ts";
import { FinishForm } from "./finish-form.tsx";
import { Plates } from "./plates.tsx";
import type { Run } from "./queue.ts";

type DryingRunProps = { run: Run; now: string; mayAct: boolean; onDone: (sentence: string) => void };

/** A run that hangs: from when it may be called clean, and the form that does so. */
export function DryingRun({ run, now, mayAct, onDone }: DryingRunProps) {
  const { site } = useWho();
  const [open, setOpen] = useState(false);
  return (
    <article className="sheet grid gap-4" aria-label={`Drying: ${listText(run.sets.map((set) => set.tag))}`}>
      <p className="text-xl">
        {run.dryAt === null ? null : <Countdown until={run.dryAt} serverNow={now} label="Hangs for another" over="Drying time over" />}
      </p>
      <Plates sets={run.sets} />
      <p className="text-soft">
        {run.wetEndedAt === null ? null : <>Out of {run.bath} since <Instant at={run.wetEndedAt} timeZone={site.timeZone} short />. </>}
        {run.dryAt === null ? null : <>May be clean from <Instant at={run.dryAt} timeZone={site.timeZone} short />.</>}
      </p>
      {!mayAct ? null : open ? (
        <FinishForm run={run} onDone={onDone} onClose={() => setOpen(false)} />
      ) : (
        <Button size="wash" onClick={() => setOpen(true)}>
          Rinsed, purged and dry…
        </Button>
      )}
    </article>
  );
}
