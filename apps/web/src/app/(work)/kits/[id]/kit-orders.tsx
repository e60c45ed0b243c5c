"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { DayField, Field } from "../../../../components/field.tsx";
import { Day } from "../../../../components/when.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { useWho } from "../../../../components/who.tsx";
import { countText, numberText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { comesOn, readCount, type Kit } from "../kit-words.ts";

/** What is on its way, each order with what came of it; and the way to a new one. */
export function KitOrders({ kit }: { kit: Kit }) {
  const [done, setDone] = useState<string | null>(null);
  return (
    <section aria-labelledby="orders" className="grid gap-4">
      <h2 id="orders">Ordered: {countText(kit.ordered, "kit")}</h2>
      {kit.orders.length === 0 ? <p>Nothing is on its way.</p> : null}
      {done === null ? null : <p role="status">{done}</p>}
      <ul className="grid gap-4 lg:grid-cols-2">
        {kit.orders.map((order) => (
          <OpenOrder key={order.id} order={order} onDone={setDone} />
        ))}
      </ul>
      <NewOrder kit={kit} onDone={setDone} />
    </section>
  );
}

function OpenOrder({ order, onDone }: { order: Kit["orders"][number]; onDone: (sentence: string) => void }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { today } = useWho();
  const { requestId } = useRequestId();
  const [problem, setProblem] = useState<string | null>(null);
  const close = useMutation(trpc.kits.closeOrder.mutationOptions({ onSuccess: (answer, { received }) => afterAct(answer, () => onDone(`The order is closed; ${countText(received, "kit")} came.`)) }));
  const submit = (form: FormData) => {
    const received = readCount(textOf(form, "received"), 0, 100_000);
    const lot = textOf(form, "lot");
    setProblem(received === null ? "say how many came; 0 if none will." : typeof received === "object" ? received.problem : null);
    if (typeof received === "number") close.mutate({ requestId, orderId: order.id, received, lot: lot === "" ? null : lot });
  };
  return (
    <li className="sheet grid gap-4">
      <div>
        <h3>
          {numberText(order.quantity)}, expected <Day day={order.expectedOn} today={today} />
        </h3>
        {order.expectedOn < today ? <p className="font-bold">Late: ask where it is.</p> : null}
        <p className="text-soft">
          Ordered <Day day={order.orderedOn} /> by {order.orderedBy}.
        </p>
      </div>
      <ActForm act="Close this order" state={close} onSubmit={submit}>
        <Field label="How many came" name="received" hint="What is missing will not come any more." className="max-w-40" inputMode="numeric" required maxLength={6} defaultValue={order.quantity} error={problem} />
        <Field label="Lot" name="lot" maxLength={60} />
      </ActForm>
    </li>
  );
}

function NewOrder({ kit, onDone }: { kit: Kit; onDone: (sentence: string) => void }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { today } = useWho();
  const { requestId, renew } = useRequestId();
  const [round, setRound] = useState(0);
  const [problem, setProblem] = useState<string | null>(null);
  const order = useMutation(
    trpc.kits.order.mutationOptions({
      onSuccess: (answer, { quantity }) =>
        afterAct(answer, () => {
          renew();
          onDone(`${countText(quantity, "kit")} ordered.`);
          setRound(round + 1);
        }),
    }),
  );
  const submit = (form: FormData) => {
    const quantity = readCount(textOf(form, "quantity"), 1, 100_000);
    setProblem(quantity === null ? "say how many." : typeof quantity === "object" ? quantity.problem : null);
    if (typeof quantity === "number") order.mutate({ requestId, kitId: kit.id, quantity, expectedOn: textOf(form, "expectedOn") });
  };
  const short = Math.max(0, kit.need - kit.stock - kit.ordered);
  return (
    <div className="sheet grid gap-4">
      <h3>Note an order</h3>
      <p className="text-soft">Hangrail sends nothing: order as you always do, and note it here.</p>
      <ActForm key={round} act="Note this order" state={order} onSubmit={submit}>
        <Field label="How many" name="quantity" className="max-w-40" inputMode="numeric" required maxLength={6} defaultValue={short === 0 ? "" : short} error={problem} />
        <DayField label="Expected" name="expectedOn" hint={kit.leadDays === null ? "Its lead time is not known." : `Orders come within ${countText(kit.leadDays, "day")}.`} required min={today} defaultValue={comesOn(today, kit.leadDays)} />
      </ActForm>
    </div>
  );
}
