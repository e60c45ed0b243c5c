"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf, WhyNot } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { Confirm } from "../../../components/confirm.tsx";
import { Field } from "../../../components/field.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useTRPC } from "../../../trpc/client.ts";
import type { Gauge } from "./gauge-words.ts";

/** A gauge goes out of use for good; the tests it was used for keep its name. */
export function RetireGauge({ gauge }: { gauge: Gauge }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const [open, setOpen] = useState(false);
  const [words, setWords] = useState<string | null>(null);
  const retire = useMutation(trpc.gauges.retire.mutationOptions({ onSuccess: (answer) => afterAct(answer, () => setWords(null)) }));
  return (
    <>
      <div>
        <Button tone="quiet" aria-expanded={open} onClick={() => setOpen(!open)}>
          Take out of use…<span className="sr-only"> {gauge.name}</span>
        </Button>
      </div>
      {open ? (
        <ActForm act="Take it out of use…" state={{ isPending: false, error: null }} onSubmit={(form) => setWords(textOf(form, "words"))}>
          <Field label="Why" name="words" required maxLength={300} />
        </ActForm>
      ) : null}
      <Confirm open={words !== null} title={`Take ${gauge.name} out of use?`} act="Take it out of use" tone="danger" pending={retire.isPending} onConfirm={() => words !== null && retire.mutate({ gaugeId: gauge.id, words })} onCancel={() => setWords(null)}>
        <p>It measures nothing any more and is not brought back. The tests it was used for keep it.</p>
        <WhyNot state={retire} />
      </Confirm>
    </>
  );
}
