"use client";
import { useMutation, useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf, WhyNot } from "../../../../components/act-form.tsx";
import { Confirm } from "../../../../components/confirm.tsx";
import { Field, TextField } from "../../../../components/field.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { useWho } from "../../../../components/who.tsx";
import { instantText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";

/** Whose hands a sealed set went through, and the end of its seal. Shown where it is sealed or once was. */
export function EvidenceCard({ setId, tag, sealed }: { setId: string; tag: string; sealed: boolean }) {
  const trpc = useTRPC();
  const { site, staff } = useWho();
  const custody = useQuery(trpc.evidence.ofSet.queryOptions({ tag }));
  const seals = custody.data?.seals ?? [];
  if (!sealed && seals.length === 0) return null;
  const mayNote = sealed && staff.roles.some((role) => role === "technician" || role === "manager");
  return (
    <section aria-labelledby="evidence" className="sheet grid gap-5">
      <h2 id="evidence">Evidence</h2>
      {sealed ? (
        <Notice kind="warn" title="Sealed as it is">
          <p>Nobody washes, opens, tests, services or hands out this set. Leave cylinder, valve and gauge as they were found, and note each time it goes from one hand to another.</p>
        </Notice>
      ) : null}
      <div>
        <h3>From hand to hand</h3>
        {custody.error !== null ? <p>{errorWords(custody.error)}</p> : null}
        {seals.map((seal) => (
          <div key={seal.at} className="mt-2">
            <p className="font-semibold">
              Sealed {instantText(seal.at, site.timeZone)} by {seal.by}
              {seal.lifted === null ? "" : `; lifted ${instantText(seal.lifted.at, site.timeZone)} by ${seal.lifted.by}, allowed by ${seal.lifted.allowedBy}: ${seal.lifted.words}`}
            </p>
            {seal.custody.length === 0 ? <p>Nothing noted of whose hands it went through.</p> : null}
            <ol className="grid gap-2">
              {seal.custody.map((note) => (
                <li key={note.seq} className="border-t border-hairline pt-2">
                  <strong>
                    {note.from} to {note.to}
                  </strong>
                  , {note.place}. {note.words} <span className="text-soft">Noted by {note.by}, {instantText(note.at, site.timeZone)}.</span>
                </li>
              ))}
            </ol>
          </div>
        ))}
      </div>
      {mayNote ? <NoteForm setId={setId} /> : null}
      {sealed && staff.roles.includes("manager") ? <LiftForm setId={setId} tag={tag} /> : null}
    </section>
  );
}

function NoteForm({ setId }: { setId: string }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [form, setForm] = useState(0);
  const note = useMutation(
    trpc.evidence.noteCustody.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          setForm(form + 1);
        }),
    }),
  );
  return (
    <details className="screen-only">
      <summary className="inline-flex min-h-12 cursor-pointer items-center font-semibold underline underline-offset-4">Note that it was passed on</summary>
      <ActForm key={form} act="Note it" state={note} onSubmit={(data) => note.mutate({ requestId, setId, from: textOf(data, "from"), to: textOf(data, "to"), place: textOf(data, "place"), words: textOf(data, "words") })}>
        <Field label="Who gave it" name="from" required maxLength={120} />
        <Field label="Who took it" name="to" required maxLength={120} />
        <Field label="Where it lies now" name="place" required maxLength={200} />
        <TextField label="In words" name="words" hint="Its state, the number of the bag or seal" maxLength={600} />
      </ActForm>
    </details>
  );
}

function LiftForm({ setId, tag }: { setId: string; tag: string }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [asked, setAsked] = useState<{ allowedBy: string; words: string } | null>(null);
  const lift = useMutation(
    trpc.evidence.lift.mutationOptions({
      onSuccess: (answer) => afterAct(answer, renew),
      onSettled: () => setAsked(null),
    }),
  );
  return (
    <details className="screen-only">
      <summary className="inline-flex min-h-12 cursor-pointer items-center font-semibold underline underline-offset-4">Lift the seal</summary>
      <ActForm act="Lift the seal…" state={{ isPending: lift.isPending, error: null }} onSubmit={(data) => setAsked({ allowedBy: textOf(data, "allowedBy"), words: textOf(data, "words") })}>
        <Field label="Who allowed it" name="allowedBy" hint="The authority or insurer, with the number of their letter" required maxLength={200} />
        <TextField label="Why" name="words" required maxLength={600} />
      </ActForm>
      <WhyNot state={lift} />
      <Confirm open={asked !== null} title={`Lift the seal of ${tag}?`} act="Lift the seal" tone="danger" pending={lift.isPending} onConfirm={() => asked !== null && lift.mutate({ requestId, setId, ...asked })} onCancel={() => setAsked(null)}>
        <p>It cannot be sealed again as it was. The set then has to be washed, tested and released like one that was opened, and its faults stay open.</p>
      </Confirm>
    </details>
  );
}
