"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf, WhyNot } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { Confirm } from "../../../../components/confirm.tsx";
import { TextField } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { useHasRole } from "../../../../components/who.tsx";
import { useTRPC } from "../../../../trpc/client.ts";
import type { OneSet } from "./set-page.tsx";

/** The manager takes a set out of the fleet for good; its record stays. */
export function RetireSet({ set }: { set: OneSet }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const manager = useHasRole("manager");
  const { requestId, renew } = useRequestId();
  const [open, setOpen] = useState(false);
  const [words, setWords] = useState<string | null>(null);
  const retire = useMutation(
    trpc.sets.retire.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          setWords(null);
          setOpen(false);
        }),
    }),
  );
  if (!manager) return null;
  return (
    <div className="grid gap-4">
      <div>
        <Button tone="danger" aria-expanded={open} onClick={() => setOpen(!open)}>
          Retire this set
        </Button>
      </div>
      {open ? (
        <ActForm act="Retire…" state={{ isPending: false, error: null }} onSubmit={(form) => setWords(textOf(form, "words"))}>
          <TextField label="Why it leaves the fleet" name="words" hint="Your name and these words go into its record." required maxLength={300} />
        </ActForm>
      ) : null}
      <Confirm open={words !== null} title={`Retire ${set.tag} for good?`} act={`Retire ${set.tag}`} tone="danger" pending={retire.isPending} onConfirm={() => words !== null && retire.mutate({ requestId, setId: set.setId, words })} onCancel={() => setWords(null)}>
        <p>It never goes out again, and its tag is not used again. Its components may be taken off at the bench; its record stays.</p>
        <p className="mt-2">“{words}”</p>
        <WhyNot state={retire} />
      </Confirm>
    </div>
  );
}
