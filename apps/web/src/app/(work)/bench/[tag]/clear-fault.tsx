"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { Choices, TextField } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { OpenFault } from "../fault-lines.tsx";

const outcomes = [
  { value: "mended", label: "Mended" },
  { value: "not-found", label: "Looked for and not found" },
] as const;
const yesNo = [
  { value: "no", label: "No" },
  { value: "yes", label: "Yes" },
] as const;

type ClearFaultProps = { fault: OpenFault; mayOpen: boolean; onDone: (sentence: string) => void; onClose: () => void };

/** Clears one fault: what became of it, what was done, and whether the set was taken apart for it. */
export function ClearFault({ fault, mayOpen, onDone, onClose }: ClearFaultProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [outcome, setOutcome] = useState<"mended" | "not-found" | null>(null);
  const [opened, setOpened] = useState<"yes" | "no" | null>(mayOpen ? null : "no");
  const [tried, setTried] = useState(false);
  const clear = useMutation(
    trpc.bench.clearFault.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          onDone(`${fault.code} is cleared.${opened === "yes" ? " The set was opened: it has to be washed, tested and released." : ""}`);
        }),
    }),
  );
  const submit = (form: FormData) => {
    setTried(true);
    if (outcome === null || opened === null) return;
    clear.mutate({ requestId, faultId: fault.id, outcome, words: textOf(form, "words"), opened: opened === "yes" });
  };
  return (
    <ActForm act={`Clear ${fault.code}`} state={clear} onSubmit={submit}>
      <Choices label="What became of it?" name={`outcome-${fault.id}`} choices={outcomes} value={outcome} onChoose={setOutcome} error={tried && outcome === null ? "choose one." : null} />
      <TextField label="What was done" name="words" hint="What was looked at, adjusted or replaced." required maxLength={1000} />
      {mayOpen ? (
        <Choices
          label="Was the set taken apart for it?"
          hint="Yes ends its release: it has to be washed, tested and released again."
          name={`opened-${fault.id}`}
          choices={yesNo}
          value={opened}
          onChoose={setOpened}
          error={tried && opened === null ? "say yes or no." : null}
        />
      ) : (
        <p>If it has to be taken apart, leave it to the technician.</p>
      )}
      <div>
        <Button onClick={onClose}>Leave it open</Button>
      </div>
    </ActForm>
  );
}
