"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../components/act-form.tsx";
import { Choices, DayField, Field } from "../../../components/field.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useWho } from "../../../components/who.tsx";
import { useTRPC } from "../../../trpc/client.ts";
import { readClass, readSpan, spanUnit, type Measures } from "./gauge-words.ts";

type Problems = { low?: string; high?: string; class?: string };

/** A gauge new to the bench, with its certificate. */
export function AddGauge() {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { site, today } = useWho();
  const [round, setRound] = useState(0);
  const [measures, setMeasures] = useState<Measures>("pressure");
  const [problems, setProblems] = useState<Problems>({});
  const [done, setDone] = useState<string | null>(null);
  const add = useMutation(
    trpc.gauges.add.mutationOptions({
      onMutate: () => setDone(null),
      onSuccess: (answer, { name }) =>
        afterAct(answer, () => {
          setDone(`${name} is in use.`);
          setRound(round + 1);
        }),
    }),
  );
  const submit = (form: FormData) => {
    const low = readSpan(textOf(form, "low"), measures, site.units);
    const high = readSpan(textOf(form, "high"), measures, site.units);
    const grade = readClass(textOf(form, "class"));
    const wrong: Problems = {
      ...(typeof low === "object" ? { low: low.problem } : {}),
      ...(typeof high === "object" ? { high: high.problem } : typeof low === "number" && low >= high ? { high: "the scale ends above where it begins." } : {}),
      ...(typeof grade === "object" ? { class: grade.problem } : {}),
    };
    setProblems(wrong);
    if (typeof low !== "number" || typeof high !== "number" || typeof grade !== "number" || low >= high) return;
    const text = (name: string) => textOf(form, name);
    add.mutate({ name: text("name"), serial: text("serial"), measures, spanLow: low, spanHigh: high, classTenths: grade, calibratedOn: text("on"), validUntil: text("until"), certificate: text("certificate") });
  };
  const unit = spanUnit(measures, site.units);
  return (
    <section className="sheet grid gap-4" aria-labelledby="add-gauge">
      <h2 id="add-gauge">Add a test gauge</h2>
      <ActForm key={round} act="Add this gauge" state={add} done={done} onSubmit={submit}>
        <Field label="Name" name="name" hint="As the bench calls it." required maxLength={80} />
        <Field label="Serial number" name="serial" required maxLength={60} />
        <Choices
          label="It measures"
          name="measures"
          value={measures}
          onChoose={setMeasures}
          choices={[
            { value: "pressure", label: "pressures" },
            { value: "effort", label: "breathing efforts" },
          ]}
        />
        <div className="flex flex-wrap gap-4">
          <Field label={`Scale from (${unit})`} name="low" className="max-w-40" inputMode="decimal" required maxLength={20} defaultValue="0" error={problems.low} />
          <Field label={`to (${unit})`} name="high" className="max-w-40" inputMode="decimal" required maxLength={20} error={problems.high} />
        </div>
        <Field label="Class" name="class" hint="Accuracy class by EN 837-1, as on the dial: the greatest error in per cent of the scale." className="max-w-40" inputMode="decimal" required maxLength={5} error={problems.class} />
        <DayField label="Calibrated on" name="on" required max={today} />
        <DayField label="Valid until" name="until" required />
        <Field label="Certificate" name="certificate" hint="Its number, and who gave it." required maxLength={120} />
      </ActForm>
    </section>
  );
}
