"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { Field } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Pair } from "./pairings.tsx";

/** The technician has found the pair in the maker's manual. */
export function ApprovePair({ pair }: { pair: Pair }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const [open, setOpen] = useState(false);
  const approve = useMutation(trpc.models.setPairing.mutationOptions({ onSuccess: (answer) => afterAct(answer) }));
  return (
    <>
      <div>
        <Button aria-expanded={open} onClick={() => setOpen(!open)}>
          Approve…<span className="sr-only"> {pair.secondName} on {pair.firstName}</span>
        </Button>
      </div>
      {open ? (
        <ActForm act="Approve this pair" state={approve} onSubmit={(form) => approve.mutate({ firstModelId: pair.first, secondModelId: pair.second, approved: true, manualPage: textOf(form, "page") })}>
          <Field label="Where the maker says so" name="page" hint="The manual, its edition and the page." required maxLength={200} />
        </ActForm>
      ) : null}
    </>
  );
}
