"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf, WhyNot } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { Confirm } from "../../../../components/confirm.tsx";
import { Field } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { countText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Pair } from "./pairings.tsx";

/** An approval taken back: every set with this pair is held from then on. */
export function WithdrawPair({ pair }: { pair: Pair }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const [open, setOpen] = useState(false);
  const [page, setPage] = useState<string | null>(null);
  const withdraw = useMutation(trpc.models.setPairing.mutationOptions({ onSuccess: (answer) => afterAct(answer, () => setPage(null)) }));
  return (
    <>
      <div>
        <Button tone="quiet" aria-expanded={open} onClick={() => setOpen(!open)}>
          Withdraw…<span className="sr-only"> {pair.secondName} on {pair.firstName}</span>
        </Button>
      </div>
      {open ? (
        <ActForm act="Withdraw this approval…" state={{ isPending: false, error: null }} onSubmit={(form) => setPage(textOf(form, "page"))}>
          <Field label="Why, or where the maker says so" name="page" required maxLength={200} />
        </ActForm>
      ) : null}
      <Confirm
        open={page !== null}
        title="Withdraw this approval?"
        act="Withdraw it"
        tone="danger"
        pending={withdraw.isPending}
        onConfirm={() => page !== null && withdraw.mutate({ firstModelId: pair.first, secondModelId: pair.second, approved: false, manualPage: page })}
        onCancel={() => setPage(null)}
      >
        <p>
          {pair.secondName} on {pair.firstName}: {countText(pair.sets, "set")} of this site will be held until refitted or approved again.
        </p>
        <WhyNot state={withdraw} />
      </Confirm>
    </>
  );
}
