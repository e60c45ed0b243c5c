"use client";
import { PLUGS } from "@hangrail/rules/ports";
import { useMutation } from "@tanstack/react-query";
import { useEffect, useRef, useState } from "react";
import { plugWords } from "../../../../assembly-words.ts";
import { ActForm } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { Choices, Field } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { balances, balanceWords, buildFigureWords, figuresOf, openBuild, readBuild, type Balance, type BuildForm, type BuildProblems, type BuildVersion } from "../build-form.ts";
import type { ModelRow } from "../limits-words.ts";

type EnterBuildProps = { model: ModelRow; now: BuildVersion | null; onAccepted: (sentence: string) => void; onCancel: () => void };
type PlugChoice = (typeof PLUGS)[number] | "none";

/** Design, ports, thread and bench minutes, from the manual. */
export function EnterBuild({ model, now, onAccepted, onCancel }: EnterBuildProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [form, setForm] = useState<BuildForm>(() => openBuild(now));
  const [problems, setProblems] = useState<BuildProblems>({});
  const top = useRef<HTMLParagraphElement>(null);
  useEffect(() => top.current?.focus(), []);
  const accept = useMutation(
    trpc.models.acceptBuild.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          onAccepted("Accepted. Swaps and tests are judged by it from now on.");
        }),
    }),
  );
  const change = (next: Partial<BuildForm>) => setForm({ ...form, ...next });
  const submit = () => {
    const answer = readBuild(form, model.kind);
    setProblems("problems" in answer ? answer.problems : {});
    if ("build" in answer) accept.mutate({ requestId, modelId: model.id, build: answer.build });
  };
  const first = model.kind === "first-stage";
  return (
    <ActForm act="Accept this from the manual" state={accept} onSubmit={submit}>
      <p ref={top} tabIndex={-1}>
        What is left open is not recorded, and then not judged. A nought says that there is none.
      </p>
      {first ? (
        <Choices<Balance | "unknown"> label="Design" name="balance" value={form.balance ?? "unknown"} onChoose={(value) => change({ balance: value === "unknown" ? null : value })} choices={[...balances.map((value) => ({ value, label: balanceWords(value) })), { value: "unknown", label: "not recorded" }]} />
      ) : (
        <Choices<PlugChoice>
          label="Screws into the first stage with"
          hint="The thread of the hose that belongs to it. A part whose hose is recorded by itself has none of its own."
          name="plugsInto"
          value={form.plugsInto ?? "none"}
          onChoose={(value) => change({ plugsInto: value === "none" ? null : value })}
          choices={[...PLUGS.map((value) => ({ value, label: plugWords(value) })), { value: "none", label: "nothing of its own, or not recorded" }]}
        />
      )}
      {figuresOf(model.kind).map((figure) => (
        <Field key={figure} label={buildFigureWords[figure]} className="max-w-40" inputMode="numeric" maxLength={4} error={problems[figure]} value={form[figure]} onChange={(event) => change({ [figure]: event.target.value })} />
      ))}
      <Field label="Where it stands" hint="The manual, its edition and the page." error={problems.page} required maxLength={200} value={form.page} onChange={(event) => change({ page: event.target.value })} />
      <div>
        <Button onClick={onCancel}>Leave it as it is</Button>
      </div>
    </ActForm>
  );
}
