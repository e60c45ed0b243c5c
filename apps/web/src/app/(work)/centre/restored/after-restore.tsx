"use client";
import { useMutation, useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { Button } from "../../../../components/button.tsx";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { Field } from "../../../../components/field.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { Plate } from "../../../../components/plate.tsx";
import { ScanField } from "../../../../components/scan-field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { newRequestId, useRequestId } from "../../../../components/use-request-id.ts";
import { Day, Instant } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";
import { countText } from "../../../../format.ts";
import { isRefused } from "../../../../refused.ts";
import { whyNot } from "../../../../refusal-words.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { errorWords } from "../../../../words.ts";

type Waiting = Outputs["restored"]["waiting"];

/** What waits to be seen, and the manager's word for it: set by set with the scanner, or all that were counted. */
export function AfterRestore() {
  const trpc = useTRPC();
  const { site } = useWho();
  const waiting = useQuery(trpc.restored.waiting.queryOptions());
  if (waiting.error !== null) {
    return (
      <Notice kind="stop" title="Could not be read" announce>
        <p className="mb-3">{errorWords(waiting.error)}</p>
        <Button onClick={() => void waiting.refetch()}>Try again</Button>
      </Notice>
    );
  }
  if (waiting.data === undefined) return <p role="status">Being read…</p>;
  const { restore, here, out } = waiting.data;
  if (restore === null) return <p>This centre was never brought back from a backup. There is nothing to do here.</p>;
  return (
    <div className="grid gap-8">
      <p>
        Brought back <Instant at={restore.restoredAt} timeZone={site.timeZone} /> from a backup of <Instant at={restore.takenAt} timeZone={site.timeZone} />. Hires, returns, washes, faults and work after that are not in the record: enter what you know of them first.
      </p>
      {here + out === 0 ? (
        <Notice kind="ok" title="Every set of this site was seen" />
      ) : (
        <>
          <OneByOne />
          <AllCounted />
          <WaitingSets waiting={waiting.data} />
        </>
      )}
    </div>
  );
}

function OneByOne() {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { site } = useWho();
  const confirm = useMutation(trpc.restored.confirm.mutationOptions({ onSuccess: (answer) => afterAct(answer) }));
  const tag = confirm.variables?.tag ?? "";
  const refusal = whyNot(confirm, site.timeZone);
  return (
    <section className="sheet grid gap-4" aria-labelledby="one-by-one">
      <h2 id="one-by-one">Set by set</h2>
      <ScanField
        act="Seen"
        label="Scan or type the tag of a set you have looked at"
        hint="You say that it is here, that nothing happened to it since the backup, or that what did is recorded."
        heard={refusal !== null ? `${tag}: ${refusal}` : confirm.data === undefined || isRefused(confirm.data) ? null : `${tag} was seen.`}
        refused={refusal !== null}
        onScan={(scannedTag) => confirm.mutate({ requestId: newRequestId(), tag: scannedTag, words: "Looked at since the restore" })}
      />
    </section>
  );
}

function AllCounted() {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [odd, setOdd] = useState<string | null>(null);
  const confirm = useMutation(
    trpc.restored.confirmAll.mutationOptions({
      onSuccess: (answer) => {
        renew();
        return afterAct(answer);
      },
    }),
  );
  const submit = (form: FormData) => {
    const counted = Number(textOf(form, "counted"));
    const isCount = Number.isInteger(counted) && counted >= 0;
    setOdd(isCount ? null : "A count is a whole number.");
    if (isCount) confirm.mutate({ requestId, counted, words: textOf(form, "words") });
  };
  return (
    <section className="sheet grid gap-4" aria-labelledby="all-counted">
      <h2 id="all-counted">All at once, by count</h2>
      <p>Walk the kit room and count every set that is there: on the rail, in the wash, on the bench, sealed. Sets that are out are left out; they are confirmed when they are back.</p>
      <ActForm act="All of these were seen" state={confirm} onSubmit={submit}>
        <Field label="Sets counted" name="counted" inputMode="numeric" error={odd} required maxLength={6} />
        <Field label="How you counted" name="words" hint="For example: with Ana, rail and wash room, at 08:10. Your name and these words go into the record of every set." required maxLength={300} />
      </ActForm>
    </section>
  );
}

function WaitingSets({ waiting: { sets, here, out } }: { waiting: Waiting }) {
  const { today } = useWho();
  return (
    <section className="sheet grid gap-4" aria-labelledby="waiting">
      <h2 id="waiting">{countText(here + out, "set")} still to be seen</h2>
      <ul className="grid gap-2 sm:grid-cols-2 lg:grid-cols-3">
        {sets.map(({ setId, tag, backOn }) => (
          <li key={setId} className="flex flex-wrap items-center gap-x-4">
            <Plate tag={tag} to={`/sets/${tag}`} />
            {backOn === null ? null : (
              <span>
                out, due back <Day day={backOn} today={today} />
              </span>
            )}
          </li>
        ))}
      </ul>
      {here + out > sets.length ? <p className="text-soft">And {countText(here + out - sets.length, "more set")}.</p> : null}
    </section>
  );
}
