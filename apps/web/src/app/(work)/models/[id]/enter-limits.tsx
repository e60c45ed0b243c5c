"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { openForm, readForm, type LimitsForm, type LimitsProblems } from "../limits-form.ts";
import type { Limits, ModelRow } from "../limits-words.ts";
import { LimitsFields } from "./limits-fields.tsx";
import { ReviewLimits } from "./review-limits.tsx";

type EnterLimitsProps = { model: ModelRow; onAccepted: (sets: number) => void; onCancel: () => void };

/** Two steps: copy the figures from the manual, then read them back as a sentence and accept them. */
export function EnterLimits({ model, onAccepted, onCancel }: EnterLimitsProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [form, setForm] = useState<LimitsForm>(() => openForm(model.limits));
  const [problems, setProblems] = useState<LimitsProblems>({});
  const [review, setReview] = useState<Limits | null>(null);
  const accept = useMutation(
    trpc.models.acceptLimits.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          onAccepted(answer.answer === "done" ? answer.sets : 0);
        }),
    }),
  );
  const read = () => {
    const answer = readForm(form, model.kind);
    setProblems("problems" in answer ? answer.problems : {});
    if ("limits" in answer) setReview(answer.limits);
  };
  const change = (next: Partial<LimitsForm>) => setForm({ ...form, ...next });
  const back = () => {
    // What is changed now is another act.
    renew();
    accept.reset();
    setReview(null);
  };
  if (review !== null) return <ReviewLimits model={model} limits={review} state={accept} onAccept={() => accept.mutate({ requestId, modelId: model.id, limits: review })} onBack={back} />;
  return <LimitsFields model={model} form={form} problems={problems} onChange={change} onRead={read} onCancel={onCancel} />;
}
