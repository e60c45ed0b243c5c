"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../components/act-form.tsx";
import { TextField, Tick } from "../../../components/field.tsx";
import { Link } from "../../../components/link.tsx";
import { Notice } from "../../../components/notice.tsx";
import { Plate } from "../../../components/plate.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useRequestId } from "../../../components/use-request-id.ts";
import { countText, listText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import type { Outputs } from "../../../trpc/types.ts";
import { Lacks } from "./lacks.tsx";

export type ToRelease = Outputs["bench"]["toRelease"]["sets"][number];
type ReleaseManyProps = { sets: readonly ToRelease[]; mayAct: boolean };

/** Sets that wait for a signature: those that lack nothing are ticked and released together. */
export function ReleaseMany({ sets, mayAct }: ReleaseManyProps) {
  const [said, setSaid] = useState<string | null>(null);
  const may = sets.filter((set) => set.lacks.length === 0);
  const lacking = sets.filter((set) => set.lacks.length > 0);
  return (
    <section aria-labelledby="to-release" className="grid gap-4">
      <h2 id="to-release">To release: {countText(sets.length, "set")}</h2>
      {said === null ? null : (
        <Notice kind="ok" announce>
          <p>{said}</p>
        </Notice>
      )}
      {sets.length === 0 && said === null ? <p>No set waits for its release.</p> : null}
      {may.length === 0 ? null : mayAct ? <ReleaseForm sets={may} onDone={setSaid} /> : <p>Nothing is missing for {listText(may.map(({ tag }) => tag))}; a technician releases them.</p>}
      {lacking.length === 0 ? null : (
        <ul className="grid gap-4" aria-label="Not yet">
          {lacking.map((set) => (
            <li key={set.setId} className="flex flex-wrap items-start gap-4">
              <Plate tag={set.tag} to={`/bench/${set.tag}`} />
              <div className="min-w-0 flex-1 basis-60">
                <p className="font-semibold">Not yet:</p>
                <Lacks lacks={set.lacks} />
              </div>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

function ReleaseForm({ sets, onDone }: { sets: readonly ToRelease[]; onDone: (sentence: string) => void }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [ticked, setTicked] = useState<ReadonlySet<string>>(new Set());
  const [round, setRound] = useState(0);
  const [tried, setTried] = useState(false);
  const chosen = sets.filter((set) => ticked.has(set.setId));
  const release = useMutation(
    trpc.bench.release.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          if (answer.answer === "lacks") return;
          renew();
          onDone(`${listText(chosen.map((set) => set.tag))}: released. What is not clean goes to the wash room.`);
          setTicked(new Set());
          setRound(round + 1);
        }),
    }),
  );
  const submit = (form: FormData) => {
    setTried(chosen.length === 0);
    if (chosen.length > 0) release.mutate({ requestId, setIds: chosen.map((set) => set.setId), words: textOf(form, "words") });
  };
  const tick = (setId: string, on: boolean) => setTicked(new Set(on ? [...ticked, setId] : [...ticked].filter((id) => id !== setId)));
  return (
    <ActForm key={round} act={chosen.length === 0 ? "Release the sets ticked" : `Release ${countText(chosen.length, "set")}`} state={release} onSubmit={submit}>
      <ul className="grid gap-4">
        {sets.map((set) => (
          <li key={set.setId} className="flex flex-wrap items-center gap-4">
            <Tick label={<Plate tag={set.tag} />} checked={ticked.has(set.setId)} onChange={(event) => tick(set.setId, event.target.checked)} />
            <Link href={`/bench/${set.tag}`} className="inline-flex min-h-12 items-center">
              Look at {set.tag}
            </Link>
          </li>
        ))}
      </ul>
      {tried && chosen.length === 0 ? (
        <p role="alert" className="font-semibold text-danger">
          Tick at least one set.
        </p>
      ) : null}
      <NotReleased answer={release.data} />
      <TextField label="What was checked" name="words" hint="As it shall stand in the record of each." required maxLength={1000} />
    </ActForm>
  );
}

/** What the sets still lack, when the answer to a release was that. */
export function NotReleased({ answer }: { answer: Outputs["bench"]["release"] | undefined }) {
  if (answer?.answer !== "lacks") return null;
  return (
    <Notice kind="stop" title="Not released" announce>
      {answer.sets.map(({ setId, tag, lacks }) => (
        <div key={setId}>
          <p className="font-semibold">{tag}</p>
          <Lacks lacks={lacks} />
        </div>
      ))}
    </Notice>
  );
}
