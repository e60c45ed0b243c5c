"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../../../components/act-form.tsx";
import { Button } from "../../../../../components/button.tsx";
import { Field, TextField } from "../../../../../components/field.tsx";
import { useAfterAct } from "../../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../../components/use-request-id.ts";
import { useHasRole } from "../../../../../components/who.tsx";
import { useTRPC } from "../../../../../trpc/client.ts";
import type { OrderPage } from "./work-order.tsx";

type Acting = { page: OrderPage; onDone: (sentence: string) => void };

/** Done, with the minutes it took; or given up, with why. */
export function Closing({ page, onDone }: Acting) {
  const technician = useHasRole("technician");
  const manager = useHasRole("manager");
  const [dropping, setDropping] = useState(false);
  if (!technician && !manager) return null;
  return (
    <section className="sheet grid gap-4" aria-labelledby="closing">
      <h2 id="closing">{dropping ? "Give the order up" : "Done"}</h2>
      {dropping ? (
        <Drop page={page} onDone={onDone} onClose={() => setDropping(false)} />
      ) : (
        <>
          {page.order.state === "taken" && technician ? <Finish page={page} onDone={onDone} /> : <p>{page.order.state === "parked" ? "It waits for parts. It can be done when it is taken up again." : "It can be done when a technician has taken it to the bench."}</p>}
          <div>
            <Button tone="quiet" onClick={() => setDropping(true)}>
              Give the order up…
            </Button>
          </div>
        </>
      )}
    </section>
  );
}

function Finish({ page: { order, set }, onDone }: Acting) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [problem, setProblem] = useState<string | null>(null);
  const finish = useMutation(
    trpc.workOrders.finish.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          onDone(`The order is done. ${set.tag} is off the bench and waits for its release.`);
        }),
    }),
  );
  const submit = (form: FormData) => {
    const minutes = textOf(form, "minutes");
    const right = /^\d{1,4}$/.test(minutes);
    setProblem(right ? null : "write whole minutes, at most 9999.");
    if (right) finish.mutate({ requestId, orderId: order.id, minutes: Number(minutes), words: textOf(form, "words") });
  };
  return (
    <ActForm act="The work is done" state={finish} onSubmit={submit}>
      <Field label="Minutes at the bench" name="minutes" hint="Roughly. Plans and costs lean on them." inputMode="numeric" error={problem} required maxLength={4} />
      <TextField label="What was done, in words" name="words" required maxLength={1000} />
    </ActForm>
  );
}

function Drop({ page: { order, set }, onDone, onClose }: Acting & { onClose: () => void }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const drop = useMutation(
    trpc.workOrders.drop.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          onDone(`The order is given up. What ${set.tag} needs stands in the queue as before.`);
        }),
    }),
  );
  return (
    <ActForm act="Give it up" state={drop} onSubmit={(form) => drop.mutate({ requestId, orderId: order.id, words: textOf(form, "words") })}>
      <p>The reason for it stays: a fault stays open, what is due stays due. A set that was taken still needs its release.</p>
      <TextField label="Why" name="words" required maxLength={1000} />
      <div>
        <Button onClick={onClose}>Keep the order</Button>
      </div>
    </ActForm>
  );
}
