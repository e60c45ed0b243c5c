"use client";
import { useMutation } from "@tanstack/react-query";
import { Link } from "../../../components/link.tsx";
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
  const { requestId, renew } = useRequestId();
  const [ticked, setTicked] = useState<ReadonlySet<string>>(new Set());
  const [round, setRound] = useState(0);
  const [said, setSaid] = useState<string | null>(null);
  const [tried, setTried] = useState(false);
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
    setTried(chosen.length === 0);
    if (chosen.length > 0) release.mutate({ requestId, setIds: chosen.map((set) => set.setId), words: textOf(form, "words") });
  };
  const tick = (setId: string, on: boolean) => setTicked(new Set(on ? [...ticked, setId] : [...ticked].filter((id) => id !== setId)));
  const lines = sets.map((set) => <ReleaseLine key={set.setId} set={set} makers={makers} mayAct={mayAct} ticked={ticked.has(set.setId)} onTick={(on) => tick(set.setId, on)} />);
  return (
    <section aria-labelledby="to-release" className="grid gap-4">
      <h2 id="to-release">To release: {countText(sets.length, "set")}</h2>
      {sets.length === 0 && said === null ? (
        <p>No set waits for its release.</p>
      ) : !mayAct ? (
        <ul className="grid gap-4">{lines}</ul>
      ) : (
        <ActForm key={round} act={chosen.length === 0 ? "Release the sets ticked" : `Release ${countText(chosen.length, "set")}`} state={release} done={said} onSubmit={submit}>
          <ul className="grid gap-4">{lines}</ul>
          {tried && chosen.length === 0 ? (
            <p role="alert" className="font-semibold text-danger">
              Tick at least one set.
            </p>
          ) : null}
          <TextField label="What was checked" name="words" hint="As it shall stand in the record of each: pressures at both supplies, creep, cracking effort, leaks, gauge." required maxLength={1000} />
        </ActForm>
      )}
    </section>
  );
}

type ReleaseLineProps = { set: ShownSet; makers: readonly string[]; mayAct: boolean; ticked: boolean; onTick: (on: boolean) => void };

/** A set to tick, or, when something else comes first, what that is. */
function ReleaseLine({ set, makers, mayAct, ticked, onTick }: ReleaseLineProps) {
  const { site } = useWho();
  const first = beforeRelease(set);
  const unauthorised = mayAct ? notAuthorisedFor(set, makers) : [];
  const remarks = [
    first.length === 0 ? null : `first ${holdsLine({ ...set, holds: first }, site.units)}`,
    unauthorised.length === 0 ? null : `you are not authorised for ${listText(unauthorised)}`,
  ].filter((part) => part !== null);
  return (
    <li className="flex flex-wrap items-center gap-4">
      {mayAct && remarks.length === 0 ? (
        <>
          <Tick label={<Plate tag={set.tag} />} checked={ticked} onChange={(event) => onTick(event.target.checked)} />
          <Link href={`/bench/${set.tag}`} className="inline-flex min-h-12 items-center">
            Look at {set.tag}
          </Link>
        </>
      ) : (
        <Plate tag={set.tag} to={`/bench/${set.tag}`} />
      )}
      {remarks.length === 0 ? null : <span className="min-w-0 flex-1 basis-40">Not yet: {remarks.join("; ")}.</span>}
    </li>
  );
}
