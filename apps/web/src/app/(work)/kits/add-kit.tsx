"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../components/act-form.tsx";
import { Field } from "../../../components/field.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { readCount, readPrice } from "./kit-words.ts";

type AddKitProps = { currency: string; kit?: { maker: string; name: string; priceCents: number | null; leadDays: number | null } };

/** A kit new to the centre; or, of one it knows, another price or lead time. */
export function AddKit({ currency, kit }: AddKitProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const [round, setRound] = useState(0);
  const [done, setDone] = useState<string | null>(null);
  const [problems, setProblems] = useState<{ price?: string; lead?: string }>({});
  const keep = useMutation(
    trpc.kits.keep.mutationOptions({
      onMutate: () => setDone(null),
      onSuccess: (answer, { maker, name }) =>
        afterAct(answer, () => {
          setDone(kit === undefined ? `${maker} ${name} is entered.` : "Changed.");
          setRound(round + 1);
        }),
    }),
  );
  const submit = (form: FormData) => {
    const price = readPrice(textOf(form, "price"));
    const lead = readCount(textOf(form, "lead"), 0, 1_000);
    const wrong = { ...(isProblem(price) ? { price: price.problem } : {}), ...(isProblem(lead) ? { lead: lead.problem } : {}) };
    setProblems(wrong);
    if (isProblem(price) || isProblem(lead)) return;
    keep.mutate({ maker: kit?.maker ?? textOf(form, "maker"), name: kit?.name ?? textOf(form, "name"), priceCents: price, leadDays: lead });
  };
  return (
    <section className="sheet grid gap-4" aria-labelledby="add-kit">
      <h2 id="add-kit">{kit === undefined ? "Enter a kit" : "Price and lead time"}</h2>
      <ActForm key={round} act={kit === undefined ? "Enter this kit" : "Change them"} state={keep} done={done} onSubmit={submit}>
        {kit === undefined ? (
          <>
            <Field label="Maker" name="maker" required maxLength={80} />
            <Field label="Kit" name="name" hint="As the maker calls it, with its number." required maxLength={80} />
          </>
        ) : null}
        <Field label={`Price (${currency})`} name="price" className="max-w-40" inputMode="decimal" maxLength={9} error={problems.price} defaultValue={kit?.priceCents == null ? "" : (kit.priceCents / 100).toFixed(2)} />
        <Field label="Days until an order comes" name="lead" className="max-w-40" inputMode="numeric" maxLength={4} error={problems.lead} defaultValue={kit?.leadDays ?? ""} />
      </ActForm>
    </section>
  );
}

const isProblem = (value: number | null | { problem: string }): value is { problem: string } => typeof value === "object" && value !== null;
