"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { Field } from "../../../components/field.tsx";
import { useTRPC } from "../../../trpc/client.ts";
import { fieldErrors } from "../../../words.ts";
import { ActForm, textOf } from "./act-form.tsx";
import { rolesIn, RoleTicks } from "./role-ticks.tsx";
import { SecretFields } from "./secret-fields.tsx";
import { useReadAgain } from "./use-read-again.ts";

export function AddPerson() {
  const trpc = useTRPC();
  const readAgain = useReadAgain();
  // Raised after each person, so that the next one begins with empty fields.
  const [round, setRound] = useState(0);
  const [added, setAdded] = useState<string | null>(null);
  const add = useMutation(
    trpc.people.add.mutationOptions({
      onMutate: () => setAdded(null),
      onSuccess: (_answer, { name }) => {
        setAdded(`${name} can sign in now.`);
        setRound(round + 1);
        return readAgain();
      },
    }),
  );
  const submit = (form: FormData) =>
    add.mutate({ name: textOf(form, "name"), login: textOf(form, "login"), password: String(form.get("password")), pin: textOf(form, "pin"), roles: rolesIn(form) });
  return (
    <section className="sheet grid gap-4" aria-labelledby="add-person">
      <h2 id="add-person">Add a person</h2>
      <ActForm key={round} act="Add this person" pending={add.isPending} error={add.error} done={added} onSubmit={submit}>
        <Field label="Name" name="name" hint="As it shall stand in the record." required maxLength={100} />
        <Field label="Login name" name="login" required autoCapitalize="none" spellCheck={false} maxLength={100} />
        <SecretFields required wrong={fieldErrors(add.error)} />
        <RoleTicks />
      </ActForm>
    </section>
  );
}
