"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { DayField, Field } from "../../../components/field.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useRequestId } from "../../../components/use-request-id.ts";
import { useWho } from "../../../components/who.tsx";
import { useTRPC } from "../../../trpc/client.ts";
import type { Gauge } from "./gauge-words.ts";

/** A gauge is back with a certificate. */
export function CalibrateGauge({ gauge }: { gauge: Gauge }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { today } = useWho();
  const { requestId, renew } = useRequestId();
  const [open, setOpen] = useState(false);
  const [done, setDone] = useState<string | null>(null);
  const calibrate = useMutation(
    trpc.gauges.calibrate.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          setOpen(false);
          setDone("The calibration is noted.");
        }),
    }),
  );
  const submit = (form: FormData) => calibrate.mutate({ requestId, gaugeId: gauge.id, on: textOf(form, "on"), until: textOf(form, "until"), certificate: textOf(form, "certificate") });
  return (
    <>
      {done === null ? null : <p role="status">{done}</p>}
      <div>
        <Button
          aria-expanded={open}
          onClick={() => {
            setDone(null);
            setOpen(!open);
          }}
        >
          Note a calibration<span className="sr-only"> of {gauge.name}</span>
        </Button>
      </div>
      {open ? (
        <ActForm act="Note this calibration" state={calibrate} onSubmit={submit}>
          <DayField label="Calibrated on" name="on" required max={today} />
          <DayField label="Valid until" name="until" required />
          <Field label="Certificate" name="certificate" hint="Its number, and who gave it." required maxLength={120} />
        </ActForm>
      ) : null}
    </>
  );
}
