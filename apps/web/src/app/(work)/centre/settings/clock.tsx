"use client";
import { useMutation } from "@tanstack/react-query";
import { useRouter } from "next/navigation";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { Field } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { Day } from "../../../../components/when.tsx";
import { useHasRole, useWho } from "../../../../components/who.tsx";
import { useTRPC } from "../../../../trpc/client.ts";

/** The server's clock decides what is overdue. After a leap a named person has to say that it is right. */
export function Clock() {
  const trpc = useTRPC();
  const router = useRouter();
  const afterAct = useAfterAct();
  const { clock, today, site } = useWho();
  const isManager = useHasRole("manager");
  const confirm = useMutation(
    trpc.site.confirmClock.mutationOptions({
      onSuccess: (answer) => afterAct(answer, () => router.refresh()),
    }),
  );
  return (
    <section className="sheet grid gap-4" aria-labelledby="clock">
      <h2 id="clock">The clock</h2>
      <p>
        The server says it is <Day day={today} /> in {site.timeZone.replaceAll("_", " ")}.
      </p>
      {clock.ok ? null : (
        <Notice kind="stop" title="Hand-outs are held">
          <p>{clock.sentence ?? "The clock moved in a way that needs a person's word."}</p>
        </Notice>
      )}
      {clock.ok || !isManager ? null : (
        <ActForm act="Confirm that the clock is right" state={confirm} onSubmit={(form) => confirm.mutate({ words: textOf(form, "words") })}>
          <Field label="How you know" name="words" hint="For example: compared with two phones at 08:10. Your name and these words go into the record." required maxLength={300} />
        </ActForm>
      )}
    </section>
  );
}
