"use client";
import { useMutation } from "@tanstack/react-query";
import { ActForm } from "../../../components/act-form.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { fieldErrors } from "../../../words.ts";
import type { Person } from "./person-sheet.tsx";
import { newSecrets, SecretFields } from "./secret-fields.tsx";

/** For somebody who forgot theirs. It is recorded who gave them a new one. */
export function ResetForm({ person, onDone }: { person: Person; onDone: () => void }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const save = useMutation(trpc.people.resetSecret.mutationOptions({ onSuccess: (answer) => afterAct(answer, onDone) }));
  return (
    <ActForm act={`Give ${person.name} a new one`} state={save} onSubmit={(form) => save.mutate({ staffId: person.id, ...newSecrets(form) })}>
      <SecretFields required={false} wrong={fieldErrors(save.error)} />
    </ActForm>
  );
}
