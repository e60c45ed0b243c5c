"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { holdsLine } from "../../../bench-words.ts";
import { ActForm, textOf } from "../../../components/act-form.tsx";
import { TextField, Tick } from "../../../components/field.tsx";
import { Plate } from "../../../components/plate.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useRequestId } from "../../../components/use-request-id.ts";
import { useWho } from "../../../components/who.tsx";
import { countText, listText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { beforeRelease, type ShownSet } from "./blocks.ts";
import { notAuthorisedFor } from "./not-authorised.ts";

type ReleaseManyProps = { sets: readonly ShownSet[]; makers: readonly string[]; mayAct: boolean };

/** Sets whose work is done: ticked and released together, with what was checked. */
export function ReleaseMany({ sets, makers, mayAct }: ReleaseManyProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { site } = useWho();
  const { requestId, renew } = useRequestId();
  const [ticked, setTicked] = useState<ReadonlySet<string>>(new Set());
  const [round, setRound] = useState(0);
  const [said, setSaid] = useState<string | null>(null);
  const chosen = sets.filter((set) => ticked.has(set.setId));
  const release = useMutation(
    trpc.bench.release.mutationOptions({
      onMutate: () => setSaid(null),
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          setSaid(`${listText(chosen.map((set) => set.tag))}: released. What is not clean goes to the wash room.`);
          setTicked(new Set());
          setRound(round + 1);
        }),
    }),
  );
  const submit = (form: FormData) => {
    if (chosen.length > 0) release.mutate({ requestId, setIds: chosen.map((set) => set.setId), words: textOf(form, "words") });
  };
  return (
    <section aria-labelledby="to-release" className="grid gap-4">
      <h2 id="to-release">To release: {countText(sets.length, "set")}</h2>
      {sets.length === 0 && said === null ? (
        <p>No set waits for its release.</p>
      ) : (
        <ActForm key={round} act={chosen.length === 0 ? "Tick the sets first" : `Release ${countText(chosen.length, "set")}`} state={release} done={said} onSubmit={submit}>
          <ul className="grid gap-4">
            {sets.map((set) => {
              const first = beforeRelease(set);
              const unauthorised = notAuthorisedFor(set, makers);
              const remark = [first.length === 0 ? null : `first: ${holdsLine({ ...set, holds: first }, site.units)}`, unauthorised.length === 0 ? null : `you are not authorised for ${listText(unauthorised)}`].filter((part) => part !== null).join("; ");
              return (
                <li key={set.setId} className="flex flex-wrap items-center gap-4">
                  {mayAct && first.length === 0 && unauthorised.length === 0 ? (
                    <Tick label={<Plate tag={set.tag} />} checked={ticked.has(set.setId)} onChange={(event) => setTicked(new Set(event.target.checked ? [...ticked, set.setId] : [...ticked].filter((id) => id !== set.setId)))} />
                  ) : (
                    <Plate tag={set.tag} to={`/bench/${set.tag}`} />
                  )}
                  <span className="min-w-0 flex-1 basis-40">{remark === "" ? `${set.parts.map((part) => part.model).slice(0, 2).join(", ")}` : `Not yet: ${remark}.`}</span>
                </li>
              );
            })}
          </ul>
          {mayAct ? <TextField label="What was checked" name="words" hint="As it shall stand in the record of each: pressures at both supplies, creep, cracking effort, leaks, gauge." required maxLength={1000} /> : null}
        </ActForm>
      )}
    </section>
  );
}
