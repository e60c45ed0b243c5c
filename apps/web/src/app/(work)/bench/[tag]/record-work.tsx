"use client";
import { useMutation, useQuery } from "@tanstack/react-query";
import { useSearchParams } from "next/navigation";
import { useState } from "react";
import { workFollows, workKinds, workWords, type WorkKind } from "../../../../bench-words.ts";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { Choices, TextField, Tick } from "../../../../components/field.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { countText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";
import type { BenchSetView } from "./bench-set.tsx";
import { askedKits, readKits, type FurtherKit } from "./kit-entry.ts";
import { KitLines } from "./kit-lines.tsx";
import { OxygenTick } from "./oxygen-tick.tsx";
import { PartLine } from "./part-line.tsx";
import { orderOfWork, WorkOrderTick } from "./work-order-tick.tsx";

type RecordWorkProps = {
  set: BenchSetView;
  makers: readonly string[];
  /** The work order it is done under; else the one the address names. */
  order?: string;
  onDone: (sentence: string) => void;
};

/** Service, inspection or bedding check of the components ticked, with the kits it used up and the order it belongs to. */
export function RecordWork({ set, makers, order: given, onDone }: RecordWorkProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const address = useSearchParams();
  const named = given ?? address.get("order");
  const answer = useQuery(trpc.kits.forService.queryOptions({ setId: set.setId }));
  const order = orderOfWork(answer.data?.orders ?? [], named);
  const [round, setRound] = useState(0);
  const [chosen, setKind] = useState<WorkKind | null>(null);
  // Nothing is ticked beforehand: a limit reset by mistake would let a set out that is due.
  const [ticked, setTicked] = useState<ReadonlySet<string>>(new Set());
  const [typed, setTyped] = useState<ReadonlyMap<string, string>>(new Map());
  const [further, setFurther] = useState<readonly FurtherKit[]>([]);
  const [belongs, setBelongs] = useState(true);
  const [problem, setProblem] = useState<string | null>(null);
  // An order says what it is for; of any other the technician says it.
  const kind = chosen ?? workKinds.find((one) => named !== null && one === order?.kind) ?? null;
  const components = set.parts.filter((part) => ticked.has(part.id)).map((part) => part.id);
  const serviced = kind === "service" ? components : [];
  const record = useMutation(
    trpc.bench.recordWork.mutationOptions({
      onSuccess: (done, work) =>
        afterAct(done, () => {
          renew();
          setRound(round + 1);
          setKind(null);
          setTicked(new Set());
          setTyped(new Map());
          setFurther([]);
          const kits = (work.kits ?? []).reduce((sum, { quantity }) => sum + quantity, 0);
          const after = work.kind === "service" || set.holds.some((hold) => hold.code === "not-released") ? "Now test and release." : "Now to the wash room.";
          onDone(`${workWords(work.kind)} of ${countText(work.components.length, "component")} is recorded. ${after}${kits === 0 ? "" : ` ${countText(kits, "kit")} came off the shelf.`}`);
        }),
    }),
  );
  const submit = (form: FormData) => {
    const used = answer.data === undefined ? { problem: "The kits could not be read. Wait a moment, or load the page again." } : readKits(askedKits(answer.data, serviced), typed, further, answer.data.shelf);
    const wrong = kind === null ? "Choose what was done." : components.length === 0 ? "Tick the components it was done on." : "problem" in used ? used.problem : null;
    setProblem(wrong);
    if (kind === null || wrong !== null || !("kits" in used)) return;
    const under = belongs && order !== null && order.takenBy !== null ? order.id : null;
    record.mutate({ requestId, setId: set.setId, kind, components, oxygenClean: form.has("oxygenClean"), words: textOf(form, "words"), order: under, kits: [...used.kits] });
  };
  const tick = (id: string, on: boolean) => setTicked(new Set(on ? [...ticked, id] : [...ticked].filter((one) => one !== id)));
  return (
    <section className="sheet grid gap-4" aria-labelledby="work">
      <h2 id="work">Record work</h2>
      <ActForm key={round} act={kind === null ? "Record this work" : `Record this ${workWords(kind).toLowerCase()}`} state={record} onSubmit={submit}>
        <WorkOrderTick order={order} named={answer.data === undefined ? null : named} belongs={belongs} onBelongs={setBelongs} />
        <Choices label="What was done?" name="kind" choices={workKinds.map((value) => ({ value, label: workWords(value) }))} value={kind} onChoose={setKind} hint={kind === null ? "Choose one." : workFollows(kind)} />
        <fieldset>
          <legend className="mb-2 font-semibold">On which components?</legend>
          <div className="grid gap-4">
            {set.parts.map((part) => (
              <div key={part.id}>
                <Tick label={<PartLine part={part} />} checked={ticked.has(part.id)} onChange={(event) => tick(part.id, event.target.checked)} />
                {makers.includes(part.maker) ? null : <p className="mt-1 font-semibold">You are not authorised for {part.maker} today.</p>}
              </div>
            ))}
            <div>
              <Button onClick={() => setTicked(new Set(set.parts.map((part) => part.id)))}>Tick all {set.parts.length}</Button>
            </div>
          </div>
        </fieldset>
        {kind === null || components.length === 0 ? null : answer.error !== null ? (
          <Notice kind="stop" title="The kits could not be read" announce>
            <p>{errorWords(answer.error)}</p>
          </Notice>
        ) : answer.data === undefined ? (
          <p role="status">The kits are being read…</p>
        ) : (
          <KitLines parts={set.parts} answer={answer.data} serviced={serviced} ticked={components} typed={typed} onType={setTyped} further={further} onFurther={setFurther} />
        )}
        <OxygenTick parts={set.parts} answer={answer.data ?? null} serviced={serviced} />
        <TextField label="In words" name="words" hint="What was found and done. Readings belong to the bench test." required maxLength={1000} />
        {problem === null ? null : (
          <p role="alert" className="font-semibold text-danger">
            {problem}
          </p>
        )}
      </ActForm>
    </section>
  );
}
