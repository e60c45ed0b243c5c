"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf, WhyNot } from "../../../../../components/act-form.tsx";
import { Button } from "../../../../../components/button.tsx";
import { DayField, Field } from "../../../../../components/field.tsx";
import { useAfterAct } from "../../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../../components/use-request-id.ts";
import { Day, Instant } from "../../../../../components/when.tsx";
import { useHasRole, useWho } from "../../../../../components/who.tsx";
import { countText } from "../../../../../format.ts";
import { useTRPC } from "../../../../../trpc/client.ts";
import { orderStateWords } from "../../../../../work-order-words.ts";
import type { OrderPage } from "./work-order.tsx";

type Acting = { page: OrderPage; onDone: (sentence: string) => void };

/** How the order stands, and the step that moves it on. */
export function Standing({ page, onDone }: Acting) {
  const { order, set } = page;
  const { site, today } = useWho();
  const technician = useHasRole("technician");
  return (
    <section className="sheet grid gap-4" aria-labelledby="standing">
      <h2 id="standing" className="first-letter:uppercase">
        {orderStateWords(order.state)}
      </h2>
      <dl className="grid grid-cols-[auto_1fr] gap-x-6 gap-y-1">
        <dt className="text-soft">Asked for</dt>
        <dd>
          <Instant at={order.openedAt} timeZone={site.timeZone} /> by {order.openedBy}
        </dd>
        {order.weekOn === null ? null : (
          <>
            <dt className="text-soft">Planned</dt>
            <dd>
              week of <Day day={order.weekOn} />
            </dd>
          </>
        )}
        {order.takenAt === null ? null : (
          <>
            <dt className="text-soft">Taken</dt>
            <dd>
              <Instant at={order.takenAt} timeZone={site.timeZone} /> by {order.takenBy}
            </dd>
          </>
        )}
        {order.park === null ? null : (
          <>
            <dt className="text-soft">Waits for</dt>
            <dd>
              {order.park.why}
              {order.park.expectedOn === null ? ", nobody knows until when" : ", expected "}
              {order.park.expectedOn === null ? null : <Day day={order.park.expectedOn} today={today} />}; laid aside by {order.park.by}, <Instant at={order.park.at} timeZone={site.timeZone} />
            </dd>
          </>
        )}
        {order.closed === null ? null : (
          <>
            <dt className="text-soft">Closed</dt>
            <dd>
              <Instant at={order.closed.at} timeZone={site.timeZone} /> by {order.closed.by}
              {order.closed.minutes === null ? "" : `, ${countText(order.closed.minutes, "minute")} at the bench`}: “{order.closed.words}”
            </dd>
          </>
        )}
      </dl>
      {!technician ? null : order.state === "waiting" ? set.out !== null ? <p>It is with a hirer. It can be taken to the bench when the desk has taken it back.</p> : <Take page={page} onDone={onDone} /> : null}
      {technician && order.state === "taken" ? <Park page={page} onDone={onDone} /> : null}
      {technician && order.state === "parked" ? <Resume page={page} onDone={onDone} /> : null}
    </section>
  );
}

function Take({ page: { order, set }, onDone }: Acting) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId } = useRequestId();
  const take = useMutation(trpc.workOrders.take.mutationOptions({ onSuccess: (answer) => afterAct(answer, () => onDone(`${set.tag} is on the bench. It comes back only by a release.`)) }));
  return (
    <div className="grid gap-3">
      <div>
        <Button tone="primary" size="desk" pending={take.isPending} pendingWords="Being taken…" onClick={() => take.mutate({ requestId, orderId: order.id })}>
          To the bench
        </Button>
      </div>
      <WhyNot state={take} />
    </div>
  );
}

function Park({ page: { order, set }, onDone }: Acting) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { today } = useWho();
  const { requestId, renew } = useRequestId();
  const [open, setOpen] = useState(false);
  const park = useMutation(
    trpc.workOrders.park.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          setOpen(false);
          onDone(`${set.tag} is laid aside and waits for parts.`);
        }),
    }),
  );
  if (!open) {
    return (
      <div>
        <Button onClick={() => setOpen(true)}>Lay aside until parts come…</Button>
      </div>
    );
  }
  const submit = (form: FormData) => park.mutate({ requestId, orderId: order.id, why: textOf(form, "why"), expectedOn: textOf(form, "expectedOn") || null });
  return (
    <ActForm act="Lay it aside" state={park} onSubmit={submit}>
      <Field label="What is it waiting for?" name="why" hint="The part and how many." required maxLength={300} />
      <DayField label="Expected on" name="expectedOn" min={today} />
      <div>
        <Button onClick={() => setOpen(false)}>Go on working</Button>
      </div>
    </ActForm>
  );
}

function Resume({ page: { order, set }, onDone }: Acting) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const resume = useMutation(
    trpc.workOrders.resume.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          onDone(`${set.tag} is on the bench again.`);
        }),
    }),
  );
  return (
    <div className="grid gap-3">
      <div>
        <Button tone="primary" pending={resume.isPending} onClick={() => resume.mutate({ requestId, orderId: order.id })}>
          The parts are here: go on
        </Button>
      </div>
      <WhyNot state={resume} />
    </div>
  );
}
