"use client";
import { MODEL_KINDS } from "@hangrail/rules/models";
import { useMutation } from "@tanstack/react-query";
import { Link } from "../../../components/link.tsx";
import { useState } from "react";
import { ActForm, textOf } from "../../../components/act-form.tsx";
import { Field, SelectField } from "../../../components/field.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useWho } from "../../../components/who.tsx";
import { useTRPC } from "../../../trpc/client.ts";
import { kindWords } from "./limits-words.ts";

/** A model new to the centre. Its limits are the next step. */
export function AddModel() {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { staff } = useWho();
  const [round, setRound] = useState(0);
  const [added, setAdded] = useState<{ id: string; name: string } | null>(null);
  const add = useMutation(
    trpc.models.add.mutationOptions({
      onMutate: () => setAdded(null),
      onSuccess: (answer, { maker, name }) =>
        afterAct(answer, () => {
          if (answer.answer === "done") setAdded({ id: answer.model, name: `${maker} ${name}` });
          setRound(round + 1);
        }),
    }),
  );
  if (!staff.roles.some((role) => role === "technician" || role === "manager")) return null;
  const submit = (form: FormData) => {
    const kind = MODEL_KINDS.find((one) => one === textOf(form, "kind"));
    if (kind !== undefined) add.mutate({ kind, maker: textOf(form, "maker"), name: textOf(form, "name") });
  };
  return (
    <section className="sheet mt-8 grid gap-4" aria-labelledby="add-model">
      <h2 id="add-model">Add a model</h2>
      <ActForm key={round} act="Add this model" state={add} done={added === null ? null : `${added.name} is added; nobody can judge it before its limits are accepted.`} onSubmit={submit}>
        <SelectField label="Kind" name="kind" defaultValue="first-stage">
          {MODEL_KINDS.map((kind) => (
            <option key={kind} value={kind}>
              {kindWords(kind)}
            </option>
          ))}
        </SelectField>
        <Field label="Maker" name="maker" hint="Written as in a technician's authorisation." required maxLength={80} />
        <Field label="Model" name="name" required maxLength={80} />
      </ActForm>
      {added === null ? null : (
        <p>
          <Link href={`/models/${added.id}`} className="inline-flex min-h-12 items-center">
            To the limits of {added.name}
          </Link>
        </p>
      )}
    </section>
  );
}
