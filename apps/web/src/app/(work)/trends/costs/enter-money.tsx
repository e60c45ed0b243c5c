"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { Field, SelectField } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { useWho } from "../../../../components/who.tsx";
import { readCents } from "../../../../money.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { readNumber } from "./cost-words.ts";
import type { ModelRow } from "./costs-view.tsx";

type Money = Outputs["costs"]["models"]["money"];

const amount = (cents: number | null) => (cents === null ? "" : (cents / 100).toFixed(2));
const notAnAmount = "Write an amount such as 38.00, or leave it empty if nobody knows it.";

/** The manager's own figures, which every cost rests on. */
export function EnterMoney({ models, money }: { models: readonly ModelRow[]; money: Money }) {
  const { roles } = useWho().staff;
  if (!roles.includes("manager")) return null;
  return (
    <section aria-labelledby="money-heading" className="screen-only mt-10 grid gap-8">
      <h2 id="money-heading">The figures behind it</h2>
      <SiteMoney money={money} />
      <ModelMoney models={models} currency={money.currency} />
    </section>
  );
}

function SiteMoney({ money }: { money: Money }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [wrong, setWrong] = useState<Readonly<Record<string, string>>>({});
  const save = useMutation(trpc.costs.setMoney.mutationOptions({ onSuccess: (answer) => afterAct(answer, renew) }));
  const submit = (form: FormData) => {
    const [hour, hire, interest] = [readCents(textOf(form, "hour")), readCents(textOf(form, "hire")), readNumber(textOf(form, "interest"))];
    const currency = textOf(form, "currency").toUpperCase();
    const errors = {
      ...(hour === undefined ? { hour: notAnAmount } : {}),
      ...(hire === undefined ? { hire: notAnAmount } : {}),
      ...(interest == null || interest > 100 ? { interest: "Write a percentage from 0 to 100, such as 4.5." } : {}),
      ...(/^[A-Z]{3}$/.test(currency) ? {} : { currency: "Write the three letters of the currency, such as EUR." }),
    };
    setWrong(errors);
    if (hour === undefined || hire === undefined || interest == null || Object.keys(errors).length > 0) return;
    save.mutate({ requestId, currency, benchHourCents: hour, hireCents: hire, interestPermille: Math.round(interest * 10) });
  };
  return (
    <ActForm act="Keep the site's figures" state={save} done={save.isSuccess ? "Kept." : null} onSubmit={submit}>
      <Field label="A bench hour costs" name="hour" inputMode="decimal" defaultValue={amount(money.benchHourCents)} error={wrong.hour} />
      <Field label="The hire of a set brings in" name="hire" inputMode="decimal" defaultValue={amount(money.hireCents)} error={wrong.hire} />
      <Field label="Interest in per cent a year" name="interest" inputMode="decimal" required defaultValue={String(money.interestPermille / 10)} error={wrong.interest} />
      <Field label="Currency" name="currency" required maxLength={3} defaultValue={money.currency} error={wrong.currency} />
    </ActForm>
  );
}

function ModelMoney({ models, currency }: { models: readonly ModelRow[]; currency: string }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [chosen, setChosen] = useState(models[0]?.id ?? "");
  const [wrong, setWrong] = useState<Readonly<Record<string, string>>>({});
  const save = useMutation(trpc.costs.setModel.mutationOptions({ onSuccess: (answer) => afterAct(answer, renew) }));
  const model = models.find((one) => one.id === chosen);
  if (model === undefined) return null;
  const submit = (form: FormData) => {
    const [price, resale, years] = [readCents(textOf(form, "price")), readCents(textOf(form, "resale")), readNumber(textOf(form, "years"))];
    const badYears = years === undefined || (years !== null && (!Number.isInteger(years) || years < 1 || years > 50));
    setWrong({
      ...(price === undefined ? { price: notAnAmount } : {}),
      ...(resale === undefined ? { resale: notAnAmount } : {}),
      ...(badYears ? { years: "Write whole years from 1 to 50, or leave it empty if nobody knows." } : {}),
    });
    if (price === undefined || resale === undefined || badYears) return;
    save.mutate({ requestId, modelId: model.id, priceCents: price, resaleCents: resale, lifeYears: years });
  };
  return (
    <div className="grid gap-5">
      <div className="max-w-2xl">
        <SelectField label="Model" value={chosen} onChange={(event) => setChosen(event.target.value)}>
          {models.map((one) => (
            <option key={one.id} value={one.id}>
              {one.name}
            </option>
          ))}
        </SelectField>
      </div>
      <ActForm key={chosen} act={`Keep the figures of ${model.name}`} state={save} done={save.isSuccess && save.variables.modelId === chosen ? "Kept." : null} onSubmit={submit}>
        <Field label={`Purchase price in ${currency}`} name="price" inputMode="decimal" defaultValue={amount(model.priceCents)} error={wrong.price} />
        <Field label={`What it sells for at the end in ${currency}`} name="resale" inputMode="decimal" defaultValue={amount(model.resaleCents)} error={wrong.resale} />
        <Field label="Years it is kept" name="years" inputMode="numeric" defaultValue={model.lifeYears === null ? "" : String(model.lifeYears)} error={wrong.years} />
      </ActForm>
    </div>
  );
}
