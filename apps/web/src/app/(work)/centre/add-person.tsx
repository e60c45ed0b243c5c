"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../components/act-form.tsx";
import { Field } from "../../../components/field.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { fieldErrors } from "../../../words.ts";
import { rolesIn, RoleTicks } from "./role-ticks.tsx";
import { SecretFields } from "./secret-fields.tsx";

export function AddPerson() {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  // Raised after each person, so that the next one begins with empty fields.
  const [round, setRound] = useState(0);
  const [added, setAdded] = useState<string | null>(null);
  const add = useMutation(
    trpc.people.add.mutationOptions({
      onMutate: () => setAdded(null),
      onSuccess: (answer, { name }) =>
        afterAct(answer, () => {
          setAdded(`${name} can sign in now.`);
          setRound(round + 1);
        }),
    }),
  );
  const submit = (form: FormData) =>
    add.mutate({ name: textOf(form, "name"), login: textOf(form, "login"), password: String(form.get("password")), pin: textOf(form, "pin"), roles: rolesIn(form) });
  return (
    <section className="sheet grid gap-4" aria-labelledby="add-person">
      <h2 id="add-person">Add a person</h2>
      <ActForm key={round} act="Add this person" state={add} done={added} onSubmit={submit}>
        <Field label="Name" name="name" hint="As it shall stand in the record." required maxLength={100} />
        <Field label="Login name" name="login" required autoCapitalize="none" spellCheck={false} maxLength={100} />
        <SecretFields required wrong={fieldErrors(add.error)} />
        <RoleTicks />
      </ActForm>
    </section>
  );
}
