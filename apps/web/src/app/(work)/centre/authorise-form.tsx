"use client";
import { useMutation } from "@tanstack/react-query";
import { DayField, Field, Tick } from "../../../components/field.tsx";
import { useWho } from "../../../components/who.tsx";
import { ActForm, textOf } from "../../../components/act-form.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useTRPC } from "../../../trpc/client.ts";
import type { Person } from "./person-sheet.tsx";

/** An authorisation is one technician for one maker, with its days and what proves it. */
export function AuthoriseForm({ person, onDone }: { person: Person; onDone: () => void }) {
  const trpc = useTRPC();
  const { today } = useWho();
  const afterAct = useAfterAct();
  const save = useMutation(trpc.people.authorise.mutationOptions({ onSuccess: (answer) => afterAct(answer, onDone) }));
  const submit = (form: FormData) =>
    save.mutate({ staffId: person.id, maker: textOf(form, "maker"), oxygenClean: form.has("oxygenClean"), from: textOf(form, "from"), until: textOf(form, "until"), evidence: textOf(form, "evidence") });
  return (
    <ActForm act={`Authorise ${person.name}`} state={save} onSubmit={submit}>
      <Field label="Maker" name="maker" hint="As it stands in the models." required maxLength={100} />
      <div className="grid gap-5 sm:grid-cols-2">
        <DayField label="From" name="from" defaultValue={today} required />
        <DayField label="Until, that day included" name="until" required />
      </div>
      <Field label="What proves it" name="evidence" hint="Certificate and its number, or the course and its date." required maxLength={300} />
      <Tick name="oxygenClean" label="Oxygen-clean work too" />
    </ActForm>
  );
}
