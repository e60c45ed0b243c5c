"use client";
import { benchLimitsOf, type BenchLimitName } from "@hangrail/rules/bench-limits";
import { useMutation } from "@tanstack/react-query";
import { useEffect, useRef, useState, type SubmitEvent } from "react";
import { Button } from "../../../../components/button.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { useWho } from "../../../../components/who.tsx";
import { countText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { readBenchLimits, rowOf, withStartingValues, type BenchLimit, type BenchLimitForm, type BenchLimitProblems, type LimitRow } from "../bench-limit-form.ts";
import type { ModelRow } from "../limits-words.ts";
import { BenchLimitRow } from "./bench-limit-row.tsx";
import { ReviewBenchLimits } from "./review-bench-limits.tsx";

type EnterBenchLimitsProps = { model: ModelRow; onAccepted: (sentence: string) => void; onCancel: () => void };

/** Two steps, as for the due limits: copy the figures, then read them back and accept them. */
export function EnterBenchLimits({ model, onAccepted, onCancel }: EnterBenchLimitsProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { site } = useWho();
  const { requestId, renew } = useRequestId();
  const [form, setForm] = useState<BenchLimitForm>({});
  const [problems, setProblems] = useState<BenchLimitProblems>({});
  const [nothing, setNothing] = useState(false);
  const [review, setReview] = useState<readonly BenchLimit[] | null>(null);
  const first = useRef<HTMLParagraphElement>(null);
  useEffect(() => first.current?.focus(), []);
  const accept = useMutation(
    trpc.models.acceptBenchLimits.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          onAccepted(`Accepted. Tests of ${model.maker} ${model.name} are judged by this from now on; a test already recorded keeps its verdict.`);
        }),
    }),
  );
  const submit = (event: SubmitEvent<HTMLFormElement>) => {
    event.preventDefault();
    const answer = readBenchLimits(form, model.kind, site.units);
    setProblems("problems" in answer ? answer.problems : {});
    setNothing("limits" in answer && answer.limits.length === 0);
    if ("limits" in answer && answer.limits.length > 0) setReview(answer.limits);
  };
  const change = (name: BenchLimitName, next: Partial<LimitRow>) => setForm({ ...form, [name]: { ...rowOf(form, name), ...next } });
  const back = () => {
    renew();
    accept.reset();
    setReview(null);
  };
  if (review !== null) return <ReviewBenchLimits model={model} limits={review} state={accept} onAccept={() => accept.mutate({ requestId, modelId: model.id, limits: [...review] })} onBack={back} />;
  const wrong = Object.keys(problems).length;
  return (
    <form method="post" noValidate className="grid max-w-3xl gap-6" onSubmit={submit}>
      <p ref={first} tabIndex={-1}>
        Copy what stands in the manual; estimate nothing. A row left empty stays as it is.
      </p>
      {benchLimitsOf(model.kind).map((name) => (
        <BenchLimitRow key={name} name={name} row={rowOf(form, name)} error={problems[name]} onChange={(next) => change(name, next)} />
      ))}
      <div className="grid gap-2">
        <div>
          <Button tone="quiet" onClick={() => setForm(withStartingValues(form, model.kind, site.units))}>
            Fill empty rows with starting values
          </Button>
        </div>
        <p className="text-soft">
          Starting values are <strong>not the maker&apos;s</strong>: figures as most designs have them, to compare the manual with. They count for nothing until you have found the figure in the manual, put it right here, named the page and accepted it.
        </p>
      </div>
      {wrong === 0 && !nothing ? null : (
        <Notice kind="stop" title="Not complete yet" announce>
          <p>{nothing ? "Enter at least one limit." : `${countText(wrong, "row")} above still to be put right.`}</p>
        </Notice>
      )}
      <div className="flex flex-wrap gap-4">
        <Button onClick={onCancel}>Leave it as it is</Button>
        <Button type="submit" tone="primary">
          Read it back to me
        </Button>
      </div>
    </form>
  );
}
