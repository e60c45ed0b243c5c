"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { workFollows, workKinds, workWords, type WorkKind } from "../../../../bench-words.ts";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { Choices, TextField, Tick } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { countText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { BenchSetView } from "./bench-set.tsx";
import { PartLine } from "./part-line.tsx";

type RecordWorkProps = {
  set: BenchSetView;
  makers: readonly string[];
  /** The work order taken to the bench that this work belongs to. */
  order?: string | null;
  onDone: (sentence: string) => void;
};

/** Service, inspection or bedding check of the components ticked. */
export function RecordWork({ set, makers, order = null, onDone }: RecordWorkProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [round, setRound] = useState(0);
  const [kind, setKind] = useState<WorkKind | null>(null);
  // Nothing is ticked beforehand: a limit reset by mistake would let a set out that is due.
  const [ticked, setTicked] = useState<ReadonlySet<string>>(new Set());
  const [problem, setProblem] = useState<string | null>(null);
  const record = useMutation(
    trpc.bench.recordWork.mutationOptions({
      onSuccess: (answer, work) =>
        afterAct(answer, () => {
          renew();
          setRound(round + 1);
          setKind(null);
          setTicked(new Set());
          onDone(`${workWords(work.kind)} of ${countText(work.components.length, "component")} is recorded. ${work.kind === "service" || set.holds.some((hold) => hold.code === "not-released") ? "Now test and release." : "Now to the wash room."}`);
        }),
    }),
  );
  const submit = (form: FormData) => {
    const components = set.parts.filter((part) => ticked.has(part.id)).map((part) => part.id);
    const wrong = kind === null ? "Choose what was done." : components.length === 0 ? "Tick the components it was done on." : null;
    setProblem(wrong);
    if (kind === null || wrong !== null) return;
    record.mutate({ requestId, setId: set.setId, kind, components, oxygenClean: form.has("oxygenClean"), order, words: textOf(form, "words") });
  };
  return (
    <section className="sheet grid gap-4" aria-labelledby="work">
      <h2 id="work">Record work</h2>
      <ActForm key={round} act={kind === null ? "Record this work" : `Record this ${workWords(kind).toLowerCase()}`} state={record} onSubmit={submit}>
        <Choices label="What was done?" name="kind" choices={workKinds.map((value) => ({ value, label: workWords(value) }))} value={kind} onChoose={setKind} hint={kind === null ? "Choose one." : workFollows(kind)} />
        <fieldset>
          <legend className="mb-2 font-semibold">On which components?</legend>
          <div className="grid gap-4">
            {set.parts.map((part) => (
              <div key={part.id}>
                <Tick label={<PartLine part={part} />} checked={ticked.has(part.id)} onChange={(event) => setTicked(new Set(event.target.checked ? [...ticked, part.id] : [...ticked].filter((id) => id !== part.id)))} />
                {makers.includes(part.maker) ? null : <p className="mt-1 font-semibold">You are not authorised for {part.maker} today.</p>}
              </div>
            ))}
            <div>
              <Button onClick={() => setTicked(new Set(set.parts.map((part) => part.id)))}>Tick all {set.parts.length}</Button>
            </div>
          </div>
        </fieldset>
        <Tick name="oxygenClean" label="Done oxygen-clean, with oxygen-compatible lubricant" />
        <TextField label="In words" name="words" hint="As found, parts and kit with lot, readings as left, test gauge." required maxLength={1000} />
        {problem === null ? null : (
          <p role="alert" className="font-semibold text-danger">
            {problem}
          </p>
        )}
      </ActForm>
    </section>
  );
}
