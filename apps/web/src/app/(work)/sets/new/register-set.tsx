"use client";
import { isDay } from "@hangrail/rules/calendar";
import type { Role } from "@hangrail/rules/models";
import { useMutation, useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { Button, ButtonLink } from "../../../../components/button.tsx";
import { Field } from "../../../../components/field.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords, fieldErrors } from "../../../../words.ts";
import { PartFields } from "./part-fields.tsx";

/** `key` tells the components apart while some are taken off the list. */
type Row = { key: number; role: Role };

const usual: readonly Row[] = [
  { key: 0, role: "first-stage" },
  { key: 1, role: "primary" },
  { key: 2, role: "alternate" },
  { key: 3, role: "gauge" },
];
const mostParts = 12;

export function RegisterSet() {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const models = useQuery(trpc.models.list.queryOptions());
  const [rows, setRows] = useState<readonly Row[]>(usual);
  const [made, setMade] = useState<string | null>(null);
  const register = useMutation(
    trpc.sets.register.mutationOptions({
      onSuccess: (answer, { tag }) =>
        afterAct(answer, () => {
          renew();
          setMade(tag);
        }),
    }),
  );
  if (models.error !== null) {
    return (
      <Notice kind="stop" title="Could not be read" announce>
        <p>{errorWords(models.error)}</p>
      </Notice>
    );
  }
  if (models.data === undefined) return <p role="status">Being read…</p>;
  if (made !== null) return <Made tag={made} onAnother={() => { setRows(usual); setMade(null); register.reset(); }} />;

  const submit = (form: FormData) =>
    register.mutate({
      requestId,
      tag: textOf(form, "tag").toUpperCase(),
      parts: rows.map(({ key, role }) => ({
        position: role,
        modelId: textOf(form, `model-${key}`),
        serial: textOf(form, `serial-${key}`),
        boughtOn: dayOrNull(textOf(form, `bought-${key}`)),
        inUseOn: dayOrNull(textOf(form, `use-${key}`)),
      })),
    });
  const change = (key: number, role: Role) => setRows(rows.map((row) => (row.key === key ? { key, role } : row)));
  const add = () => setRows([...rows, { key: Math.max(-1, ...rows.map((row) => row.key)) + 1, role: "inflator-hose" }]);
  return (
    <ActForm act="Register this set" state={register} onSubmit={submit}>
      <Field label="Tag" name="tag" error={fieldErrors(register.error)["tag"]} hint="1 to 20 letters, digits and hyphens, as on the plate. A tag is used once for all time." required maxLength={20} autoCapitalize="characters" spellCheck={false} className="font-plate font-bold" />
      <p className="max-w-prose text-soft">Days that nobody knows stay empty. Without the day it was bought, a component&apos;s limits in months cannot be judged until its first service.</p>
      {rows.map(({ key, role }) => (
        <PartFields key={key} at={key} role={role} models={models.data} onRole={(next) => change(key, next)} onRemove={rows.length === 1 ? null : () => setRows(rows.filter((row) => row.key !== key))} />
      ))}
      <div>
        <Button refusedBecause={rows.length >= mostParts ? `A set has at most ${mostParts} components.` : null} onClick={add}>
          Add a component
        </Button>
      </div>
    </ActForm>
  );
}

function Made({ tag, onAnother }: { tag: string; onAnother: () => void }) {
  return (
    <div className="grid gap-6">
      <Notice kind="ok" announce>
        <p>{tag} is registered. Before it goes out it is inspected, released by a technician and washed.</p>
      </Notice>
      <div className="flex flex-wrap gap-4">
        <ButtonLink href={`/sets/${encodeURIComponent(tag)}`} tone="primary">
          To its page
        </ButtonLink>
        <Button onClick={onAnother}>Register another</Button>
      </div>
    </div>
  );
}

function dayOrNull(text: string): string | null {
  return isDay(text) ? text : null;
}
