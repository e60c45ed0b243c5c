"use client";
import { judgePolicy, type Policy } from "@hangrail/rules/policy";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { Field, Tick } from "../../../../components/field.tsx";
import { useTRPC } from "../../../../trpc/client.ts";
import { ActForm, textOf } from "../act-form.tsx";
import { useReadAgain } from "../use-read-again.ts";

type NumberName = { [Name in keyof Policy]: Policy[Name] extends number ? Name : never }[keyof Policy];
type Figure = { name: NumberName; label: string; hint: string; unit: string; /** Stored parts in one shown unit. */ parts?: 10 };

const figures: readonly Figure[] = [
  { name: "teachingMonths", label: "Service of teaching sets", unit: "months at most", hint: "Only ever shortens a maker's limit." },
  { name: "shelfMonths", label: "Inspection after lying unused", unit: "months", hint: "Seals age in the cupboard too." },
  { name: "beddingDives", label: "Bedding check after", unit: "dives since a service", hint: "Whichever of dives and days comes first." },
  { name: "beddingDays", label: "Bedding check after", unit: "days since a service", hint: "Whichever of dives and days comes first." },
  { name: "nitroxAboveTenths", label: "Nitrox begins above", unit: "% oxygen", parts: 10, hint: "EN 144-3 draws the line at 22 %." },
  { name: "minutesPerDive", label: "A dive of unknown length counts as", unit: "minutes", hint: "For limits in hours." },
  { name: "dryingMinutes", label: "A washed set hangs at least", unit: "minutes", hint: "0: the eye decides." },
  { name: "serviceSoonDays", label: "Say \"service soon\" from", unit: "days before", hint: "A caution only; it holds nothing." },
  { name: "serviceSoonDives", label: "Say \"service soon\" from", unit: "dives left", hint: "A caution only; it holds nothing." },
  { name: "twoDiverDepthDecimetres", label: "Two-diver caution deeper than", unit: "m", parts: 10, hint: "EN 250:2014 tests with two divers to 30 m only." },
];

/** A site's own figures. A stricter or looser one counts from now; it changes nothing that was decided before. */
export function PolicyForm({ policy, mayChange }: { policy: Policy; mayChange: boolean }) {
  const trpc = useTRPC();
  const readAgain = useReadAgain();
  const [problems, setProblems] = useState<Partial<Record<keyof Policy, string>>>({});
  const save = useMutation(trpc.site.setPolicy.mutationOptions({ onSuccess: readAgain }));

  const submit = (form: FormData) => {
    const next = { ...policy, nitroxNeedsM26: form.has("nitroxNeedsM26") };
    for (const { name, parts = 1 } of figures) next[name] = stored(textOf(form, name), parts);
    const found = judgePolicy(next);
    setProblems(Object.fromEntries(found.map(({ field, least, most }) => [field, rangeSentence(field, least, most)])));
    if (found.length === 0) save.mutate(next);
  };

  if (!mayChange) {
    return (
      <section className="sheet">
        <h2>The site&apos;s figures</h2>
        <dl className="mt-3 grid gap-3">
          {figures.map(({ name, label, unit, parts = 1 }) => (
            <div key={name}>
              <dt className="text-soft">{label}</dt>
              <dd>
                {policy[name] / parts} {unit}
              </dd>
            </div>
          ))}
        </dl>
      </section>
    );
  }
  return (
    <section className="sheet grid gap-4" aria-labelledby="policy">
      <h2 id="policy">The site&apos;s figures</h2>
      <ActForm act="Record these figures" pending={save.isPending} error={save.error} done={save.isSuccess ? "Recorded. They count from now." : null} onSubmit={submit}>
        {figures.map(({ name, label, unit, hint, parts = 1 }) => (
          <Field key={name} name={name} label={`${label} (${unit})`} hint={hint} error={problems[name]} inputMode="decimal" defaultValue={policy[name] / parts} required maxLength={8} />
        ))}
        <Tick name="nitroxNeedsM26" defaultChecked={policy.nitroxNeedsM26} label="Nitrox asks for an M26 connection (EN 144-3, Europe)" />
      </ActForm>
    </section>
  );
}

/** "22.5" or "22,5" in stored parts; NaN, which no range holds, for what is not one number in whole parts. */
function stored(text: string, parts: number): number {
  const match = /^(\d{1,5})(?:[.,](\d))?$/.exec(text);
  if (match === null) return Number.NaN;
  const [, whole = "", tenth] = match;
  if (parts === 1) return tenth === undefined ? Number(whole) : Number.NaN;
  return Number(whole) * parts + Number(tenth ?? 0);
}

function rangeSentence(field: keyof Policy, least: number, most: number): string {
  const figure = figures.find((one) => one.name === field);
  const parts = figure?.parts ?? 1;
  return `a ${parts === 1 ? "whole number" : "number"} from ${least / parts} to ${most / parts} is needed.`;
}
