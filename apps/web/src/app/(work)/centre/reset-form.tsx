"use client";
import { useMutation } from "@tanstack/react-query";
import { useTRPC } from "../../../trpc/client.ts";
import { fieldErrors } from "../../../words.ts";
import { ActForm } from "./act-form.tsx";
import type { Person } from "./person-sheet.tsx";
import { newSecrets, SecretFields } from "./secret-fields.tsx";
import { useReadAgain } from "./use-read-again.ts";

/** For somebody who forgot theirs. It is recorded who gave them a new one. */
export function ResetForm({ person, onDone }: { person: Person; onDone: () => void }) {
  const trpc = useTRPC();
  const readAgain = useReadAgain();
  const save = useMutation(trpc.people.resetSecret.mutationOptions({ onSuccess: () => readAgain().then(onDone) }));
  return (
    <ActForm act={`Give ${person.name} a new one`} pending={save.isPending} error={save.error} onSubmit={(form) => save.mutate({ staffId: person.id, ...newSecrets(form) })}>
      <SecretFields required={false} wrong={fieldErrors(save.error)} />
    </ActForm>
  );
}
