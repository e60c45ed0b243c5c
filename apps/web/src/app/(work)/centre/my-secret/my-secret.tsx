"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm } from "../../../../components/act-form.tsx";
import { Field } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { fieldErrors } from "../../../../words.ts";
import { newSecrets, SecretFields } from "../secret-fields.tsx";

export function MySecret() {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const [round, setRound] = useState(0);
  const change = useMutation(trpc.session.changeSecret.mutationOptions({ onSuccess: (answer) => afterAct(answer, () => setRound(round + 1)) }));
  return (
    <div className="sheet">
      <ActForm key={round} act="Change it" state={change} done={round > 0 && change.data?.answer === "done" ? "Changed. The old one no longer works." : null} onSubmit={(form) => change.mutate({ current: String(form.get("current")), ...newSecrets(form) })}>
        <Field label="Your present password" name="current" type="password" required autoComplete="current-password" maxLength={200} />
        <SecretFields required={false} wrong={fieldErrors(change.error)} />
      </ActForm>
    </div>
  );
}
