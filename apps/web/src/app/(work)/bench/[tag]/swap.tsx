"use client";
import { kindIn, ROLES, type Role } from "@hangrail/rules/models";
import { useMutation, useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { Field, SelectField } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { partName } from "../../../../desk-words.ts";
import { divesText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords, positionWords } from "../../../../words.ts";
import type { BenchSetView } from "./bench-set.tsx";
import { SwapCheck } from "./swap-check.tsx";

type SwapProps = { set: BenchSetView; onDone: (sentence: string) => void };

/** Takes a component off, fits one from the shelf, or both. Each component keeps its own history. */
export function Swap({ set, onDone }: SwapProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [round, setRound] = useState(0);
  const [off, setOff] = useState("");
  const [place, setPlace] = useState<Role>("hose");
  const [on, setOn] = useState("");
  const [problem, setProblem] = useState<string | null>(null);
  const shelf = useQuery(trpc.bench.shelf.queryOptions());
  const fitted = set.parts.find((part) => part.id === off);
  const position = fitted?.role ?? place;
  const fitting = (shelf.data ?? []).filter((part) => part.kind === kindIn(position));
  const swap = useMutation(
    trpc.bench.refit.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          setRound(round + 1);
          setOff("");
          setOn("");
          onDone(`${set.tag} is refitted. It has to be washed, tested and released.`);
        }),
    }),
  );
  const submit = (form: FormData) => {
    const nothing = off === "" && on === "" ? "Choose what comes off, what goes on, or both." : null;
    setProblem(nothing);
    if (nothing === null) swap.mutate({ requestId, setId: set.setId, off: off === "" ? null : off, on: on === "" ? null : on, position, words: textOf(form, "words") });
  };
  return (
    <section className="sheet grid gap-4" aria-labelledby="swap">
      <h2 id="swap">Swap a component</h2>
      <p>The set has to be washed, tested and released afterwards. What comes off lies on the shelf with all its dives.</p>
      <ActForm key={round} act="Record this swap" state={swap} onSubmit={submit}>
        <SelectField
          label="Comes off"
          value={off}
          onChange={(event) => {
            setOff(event.target.value);
            setOn("");
          }}
        >
          <option value="">Nothing: one more is fitted</option>
          {set.parts.map((part) => (
            <option key={part.id} value={part.id}>
              {partName(part)}, {part.maker} {part.model}
            </option>
          ))}
        </SelectField>
        {off !== "" ? null : (
          <SelectField
            label="Place"
            value={place}
            onChange={(event) => {
              setPlace(ROLES.find((role) => role === event.target.value) ?? "hose");
              setOn("");
            }}
          >
            {ROLES.map((role) => (
              <option key={role} value={role}>
                {positionWords(role)}
              </option>
            ))}
          </SelectField>
        )}
        <SelectField label="Goes on, from the shelf" hint={shelfHint(shelf, fitting.length)} value={on} onChange={(event) => setOn(event.target.value)}>
          <option value="">Nothing</option>
          {fitting.map((part) => (
            <option key={part.id} value={part.id}>
              {part.serial}, {part.maker} {part.model}, {divesText(part.dives)}
            </option>
          ))}
        </SelectField>
        <SwapCheck setId={set.setId} off={off} on={on} position={position} />
        <Field label="Why" name="words" required maxLength={300} />
        {problem === null ? null : (
          <p role="alert" className="font-semibold text-danger">
            {problem}
          </p>
        )}
      </ActForm>
    </section>
  );
}

function shelfHint(shelf: { error: unknown; data?: unknown }, count: number): string {
  if (shelf.error !== null) return errorWords(shelf.error);
  if (shelf.data === undefined) return "The shelf is being read…";
  return count === 0 ? "Nothing on the shelf fits this place." : "The record refuses a component with an open fault.";
}
