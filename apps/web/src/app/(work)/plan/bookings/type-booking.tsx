"use client";
import { CONNECTIONS, type Connection } from "@hangrail/rules/models";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { DayField, Field, SelectField, Tick } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { useWho } from "../../../../components/who.tsx";
import { useTRPC } from "../../../../trpc/client.ts";
import { connectionWords } from "../../../../words.ts";
import { bookingText } from "./bookings.tsx";
import { readOxygen } from "./booking-entry.ts";

/** One booking, typed. */
export function TypeBooking() {
  const trpc = useTRPC();
  const { today } = useWho();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [round, setRound] = useState(0);
  const [done, setDone] = useState<string | null>(null);
  const [problems, setProblems] = useState<{ until?: string; oxygen?: string }>({});
  const make = useMutation(
    trpc.plan.makeBookings.mutationOptions({
      onMutate: () => setDone(null),
      onSuccess: (answer, { bookings: [booking] }) =>
        afterAct(answer, () => {
          setDone(booking === undefined ? "Entered." : `Entered: ${bookingText(booking)}.`);
          setRound(round + 1);
          renew();
        }),
    }),
  );
  const submit = (form: FormData) => {
    const fromOn = textOf(form, "from");
    const untilOn = textOf(form, "until") || fromOn;
    const o2Tenths = readOxygen(textOf(form, "oxygen"));
    const wrong = { ...(untilOn < fromOn ? { until: "The last day is before the first." } : {}), ...(o2Tenths === null ? { oxygen: "Write a percentage from 21 to 100, such as 32." } : {}) };
    setProblems(wrong);
    if (untilOn < fromOn || o2Tenths === null) return;
    const connection = CONNECTIONS.find((one): one is Connection => one === textOf(form, "connection")) ?? null;
    make.mutate({ requestId, bookings: [{ fromOn, untilOn, connection, cold: form.has("cold"), o2Tenths, teaching: form.has("teaching"), sets: Number(textOf(form, "sets")), words: textOf(form, "words"), source: "typed" }] });
  };
  return (
    <section className="sheet grid gap-4" aria-labelledby="type-booking">
      <h2 id="type-booking">Enter a booking</h2>
      <ActForm key={round} act="Enter this booking" state={make} done={done} onSubmit={submit}>
        <div className="grid gap-4 sm:grid-cols-2">
          <DayField label="First day" name="from" required min={today} />
          <DayField label="Last day" name="until" hint="Left empty: one day." min={today} />
          <Field label="How many sets" name="sets" type="number" min={1} max={1000} required />
          <SelectField label="Connection" name="connection" defaultValue="">
            <option value="">any</option>
            {CONNECTIONS.map((connection) => (
              <option key={connection} value={connection}>
                {connectionWords(connection)}
              </option>
            ))}
          </SelectField>
          <Field label="Oxygen in percent" name="oxygen" inputMode="decimal" maxLength={5} required defaultValue="21" error={problems.oxygen} />
          <Field label="In words" name="words" maxLength={200} hint="For example: club weekend. No person's name." />
        </div>
        {problems.until === undefined ? null : (
          <p role="alert" className="font-semibold text-danger">
            Not right yet: {problems.until}
          </p>
        )}
        <div className="grid gap-4 sm:grid-cols-2">
          <Tick label="Cold water, 10 °C or less" name="cold" />
          <Tick label="For teaching" name="teaching" />
        </div>
      </ActForm>
    </section>
  );
}
