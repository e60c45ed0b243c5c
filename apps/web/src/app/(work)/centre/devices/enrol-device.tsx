"use client";
import { useMutation } from "@tanstack/react-query";
import { useRouter } from "next/navigation";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { Field } from "../../../../components/field.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useWho } from "../../../../components/who.tsx";
import { useTRPC } from "../../../../trpc/client.ts";

/** Makes the device in hand one of this site's. */
export function EnrolDevice() {
  const trpc = useTRPC();
  const router = useRouter();
  const afterAct = useAfterAct();
  const { device, site } = useWho();
  const enrol = useMutation(
    trpc.session.enrolDevice.mutationOptions({
      onSuccess: (answer) => afterAct(answer, () => router.refresh()),
    }),
  );
  if (device !== null) {
    return (
      <Notice kind="info" title={`This device is enrolled as "${device.name}"`}>
        <p>It belongs to {site.name}.</p>
      </Notice>
    );
  }
  return (
    <section className="sheet grid gap-4" aria-labelledby="enrol">
      <h2 id="enrol">Enrol this device</h2>
      <ActForm act="Enrol this device" state={enrol} onSubmit={(form) => enrol.mutate({ name: textOf(form, "name") })}>
        <Field label="Name of this device" name="name" hint={`Where it stands, e.g. "Desk tablet". Anybody at ${site.name} can then change over on it by PIN.`} required maxLength={60} />
      </ActForm>
    </section>
  );
}
