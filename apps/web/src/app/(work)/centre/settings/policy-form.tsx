"use client";
import { judgePolicy, type Policy } from "@hangrail/rules/policy";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { Choices, Field, Tick } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import type { Units } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Inputs } from "../../../../trpc/types.ts";
import { fieldErrors, unitChoices } from "../../../../words.ts";

/** A site's settings as they are shown: the figures of its policy, and how long hirers' names are kept. */
export type SiteFigures = Policy & { retentionMonths: number };

type NumberName = { [Name in keyof SiteFigures]: SiteFigures[Name] extends number ? Name : never }[keyof SiteFigures] & keyof Inputs["site"]["setPolicy"];
type Figure = { name: NumberName; label: string; hint: string; unit: string; /** Stored parts in one shown unit. */ parts?: 10 };

const figures: readonly Figure[] = [
  { name: "teachingMonths", label: "Service of teaching sets", unit: "months at most", hint: "Only ever shortens a maker's limit." },
  { name: "shelfMonths", label: "Inspection after lying unused", unit: "months", hint: "Seals age in the cupboard too." },
  { name: "beddingDives", label: "Bedding check after", unit: "dives since a service", hint: "Whichever of dives and days comes first." },
  { name: "beddingDays", label: "Bedding check after", unit: "days since a service", hint: "Whichever of dives and days comes first." },
  { name: "nitroxAboveTenths", label: "Nitrox begins above", unit: "% oxygen", parts: 10, hint: "EN 144-3 draws the line at 22 %." },
  { name: "minutesPerDive", label: "A dive of unknown length counts as", unit: "minutes", hint: "For limits in hours." },
  { name: "dryingMinutes", label: "A washed set hangs at least", unit: "minutes", hint: "0: the eye decides." },
  { name: "retentionMonths", label: "A hirer's name is kept", unit: "months after the return", hint: "Then it is erased; what was done to the set stays." },
];

type PolicyFormProps = { now: SiteFigures; releaseBySecond: boolean; units: Units; mayChange: boolean };

/** A site's own figures. A stricter or looser one counts from now; it changes nothing that was decided before. */
export function PolicyForm({ now, releaseBySecond, units, mayChange }: PolicyFormProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const [shownUnits, setShownUnits] = useState<Units>(units);
  const [problems, setProblems] = useState<Readonly<Record<string, string>>>({});
  const save = useMutation(trpc.site.setPolicy.mutationOptions({ onSuccess: (answer) => afterAct(answer) }));

  const submit = (form: FormData) => {
    const read = Object.fromEntries(figures.map(({ name, parts = 1 }) => [name, stored(textOf(form, name), parts)])) as Record<NumberName, number>;
    const next = { ...read, nitroxNeedsM26: form.has("nitroxNeedsM26") };
    const { retentionMonths, ...policy } = { ...now, ...next };
    const found = Object.fromEntries(judgePolicy(policy).map(({ field, least, most }) => [field, rangeSentence(field, least, most)]));
    if (!Number.isInteger(retentionMonths)) found["retentionMonths"] = "a whole number is needed.";
    setProblems(found);
    if (Object.keys(found).length === 0) save.mutate({ ...next, units: shownUnits, releaseBySecond: form.has("releaseBySecond") });
  };
  const wrong: Readonly<Record<string, string>> = { ...fieldErrors(save.error), ...problems };

  if (!mayChange) {
    return (
      <section className="sheet">
        <h2>The site&apos;s figures</h2>
        <dl className="mt-3 grid gap-3">
          {figures.map(({ name, label, unit, parts = 1 }) => (
            <div key={name}>
              <dt className="text-soft">{label}</dt>
              <dd>
                {now[name] / parts} {unit}
              </dd>
            </div>
          ))}
          <div>
            <dt className="text-soft">Release</dt>
            <dd>{releaseBySecond ? "by a second person, who did not do the work" : "by any technician authorised for it"}</dd>
          </div>
        </dl>
      </section>
    );
  }
  return (
    <section className="sheet grid gap-4" aria-labelledby="policy">
      <h2 id="policy">The site&apos;s figures</h2>
      <ActForm act="Record these figures" state={save} done={save.data?.answer === "done" ? "Recorded. They count from now." : null} onSubmit={submit}>
        {figures.map(({ name, label, unit, hint, parts = 1 }) => (
          <Field key={name} name={name} label={`${label} (${unit})`} hint={hint} error={wrong[name]} inputMode="decimal" defaultValue={now[name] / parts} required maxLength={8} />
        ))}
        <Choices label="Units shown" name="units" choices={unitChoices} value={shownUnits} onChoose={setShownUnits} />
        <Tick name="nitroxNeedsM26" defaultChecked={now.nitroxNeedsM26} label="Nitrox asks for an M26 connection (EN 144-3, Europe)" />
        <Tick name="releaseBySecond" defaultChecked={releaseBySecond} label="A release needs a second person: whoever did the work does not release it" />
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
