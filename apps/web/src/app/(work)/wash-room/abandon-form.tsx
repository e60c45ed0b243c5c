"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { WhyNot } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { Choices, Field } from "../../../components/field.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useRequestId } from "../../../components/use-request-id.ts";
import { useTRPC } from "../../../trpc/client.ts";

const reasons = [
  { value: "Put in by mistake", label: "Put in by mistake" },
  { value: "A fault was found", label: "A fault was found" },
  { value: "The bath went wrong", label: "The bath went wrong" },
  { value: "Fell or was soiled again", label: "Fell or was soiled again" },
] as const;
type Reason = (typeof reasons)[number]["value"];

type AbandonFormProps = { setId: string; tag: string; onDone: (sentence: string) => void; onClose: () => void };

/** Takes one set out of its wash before it is clean: back to the queue, with the reason in the record. */
export function AbandonForm({ setId, tag, onDone, onClose }: AbandonFormProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [reason, setReason] = useState<Reason | null>(null);
  const [more, setMore] = useState("");
  const words = [reason, more.trim()].filter((part) => part !== null && part !== "").join(": ");
  const abandon = useMutation(
    trpc.washRoom.abandon.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          onDone(`${tag} is out of the wash and waits to be cleaned again.`);
        }),
    }),
  );
  return (
    <div className="grid gap-4">
      <Choices label={`Why does ${tag} come out unfinished?`} name="reason" size="wash" choices={reasons} value={reason} onChoose={setReason} />
      <Field label="In your own words" value={more} onChange={(event) => setMore(event.target.value)} maxLength={250} />
      <WhyNot state={abandon} />
      <div className="flex flex-wrap justify-between gap-4">
        <Button size="wash" onClick={onClose}>
          Go back
        </Button>
        <Button size="wash" tone="primary" pending={abandon.isPending} pendingWords="Being recorded…" refusedBecause={words === "" ? "Say why first." : null} onClick={() => abandon.mutate({ requestId, setId, words })}>
          Back to the queue
        </Button>
      </div>
    </div>
  );
}
