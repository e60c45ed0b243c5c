"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { Field } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { fieldErrors } from "../../../../words.ts";

const figures = [
  { name: "minPpm", label: "Least strength in the bath (ppm)", hint: "1 % is 10 000 ppm." },
  { name: "maxPpm", label: "Most strength in the bath (ppm)" },
  { name: "wetMinutes", label: "Wet time (minutes)", hint: "How long the whole set stays in the bath." },
  { name: "bathHours", label: "A bath is good for (hours)" },
] as const;
type FigureName = (typeof figures)[number]["name"];

/** A disinfectant as its label describes it. The label decides; nothing is proposed here. */
export function AddProduct() {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const [round, setRound] = useState(0);
  const [added, setAdded] = useState<string | null>(null);
  const [wrong, setWrong] = useState<Readonly<Record<string, string>>>({});
  const add = useMutation(
    trpc.washRoom.acceptProduct.mutationOptions({
      onMutate: () => setAdded(null),
      onSuccess: (answer, { name }) =>
        afterAct(answer, () => {
          setAdded(`${name} is recorded. Now record the models whose maker allows it.`);
          setRound(round + 1);
        }),
    }),
  );
  const submit = (form: FormData) => {
    const strengthHundredths = percentInHundredths(textOf(form, "strength"));
    const read = Object.fromEntries(figures.map(({ name }) => [name, wholeNumber(textOf(form, name))])) as Record<FigureName, number | null>;
    const { minPpm, maxPpm, wetMinutes, bathHours } = read;
    const problems = Object.fromEntries(figures.filter(({ name }) => read[name] === null).map(({ name }) => [name, "write a whole number, without commas or points."]));
    if (strengthHundredths === null) problems["strengthHundredths"] = "write a percentage such as 5 or 5.25.";
    setWrong(problems);
    if (strengthHundredths === null || minPpm === null || maxPpm === null || wetMinutes === null || bathHours === null) return;
    add.mutate({ name: textOf(form, "name"), strengthHundredths, minPpm, maxPpm, wetMinutes, bathHours, labelPage: textOf(form, "labelPage") });
  };
  const errors = { ...fieldErrors(add.error), ...wrong };
  return (
    <section className="sheet grid gap-4" aria-labelledby="add-product">
      <h2 id="add-product">Add a product from its label</h2>
      <ActForm key={round} act="Record this product" state={add} done={added} onSubmit={submit}>
        <Field label="Name on the bottle" name="name" required maxLength={80} error={errors["name"]} />
        <Field label="Strength in the bottle (%)" name="strength" inputMode="decimal" hint="Of the active substance." required maxLength={6} error={errors["strengthHundredths"]} />
        {figures.map((figure) => (
          <Field key={figure.name} name={figure.name} label={figure.label} hint={"hint" in figure ? figure.hint : undefined} inputMode="numeric" required maxLength={7} error={errors[figure.name]} />
        ))}
        <Field label="Where it was read" name="labelPage" hint="For example: label of the 5 litre can, back, read on the day it was bought." required maxLength={200} error={errors["labelPage"]} />
      </ActForm>
    </section>
  );
}

function wholeNumber(text: string): number | null {
  return /^\d{1,7}$/.test(text) ? Number(text) : null;
}

/** "5.25" or "5,25" as 525. */
function percentInHundredths(text: string): number | null {
  const match = /^(\d{1,3})(?:[.,](\d{1,2}))?$/.exec(text);
  if (match === null) return null;
  const [, whole = "", part = ""] = match;
  return Number(whole) * 100 + Number(part.padEnd(2, "0"));
}
