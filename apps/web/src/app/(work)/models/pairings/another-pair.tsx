"use client";
import { useMutation, useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { Field, SelectField } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useTRPC } from "../../../../trpc/client.ts";

/** A pair that sits in no set yet: before a refit it is looked up. */
export function AnotherPair() {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const [round, setRound] = useState(0);
  const [done, setDone] = useState<string | null>(null);
  const models = useQuery(trpc.models.list.queryOptions());
  const approve = useMutation(
    trpc.models.setPairing.mutationOptions({
      onMutate: () => setDone(null),
      onSuccess: (answer) =>
        afterAct(answer, () => {
          setDone("Approved.");
          setRound(round + 1);
        }),
    }),
  );
  const submit = (form: FormData) => approve.mutate({ firstModelId: textOf(form, "first"), secondModelId: textOf(form, "second"), approved: true, manualPage: textOf(form, "page") });
  const options = (kind: "first-stage" | "second-stage") =>
    models.data
      ?.filter((model) => model.kind === kind)
      .map((model) => (
        <option key={model.id} value={model.id}>
          {model.maker} {model.name}
        </option>
      ));
  return (
    <section className="sheet grid gap-4" aria-labelledby="another-pair">
      <h2 id="another-pair">Approve a pair that is in no set yet</h2>
      <ActForm key={round} act="Approve this pair" state={approve} done={done} onSubmit={submit}>
        <SelectField label="Second stage" name="second" required defaultValue="">
          <option value="">choose…</option>
          {options("second-stage")}
        </SelectField>
        <SelectField label="On first stage" name="first" required defaultValue="">
          <option value="">choose…</option>
          {options("first-stage")}
        </SelectField>
        <Field label="Where the maker says so" name="page" hint="The manual, its edition and the page." required maxLength={200} />
      </ActForm>
    </section>
  );
}
