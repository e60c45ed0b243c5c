"use client";
import { useMutation } from "@tanstack/react-query";
import { WhyNot } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useRequestId } from "../../../components/use-request-id.ts";
import { useTRPC } from "../../../trpc/client.ts";

type BreathTestedProps = { setId: string; tag: string; onDone: (sentence: string) => void; onClose: () => void };

/** A clean set that staff had in the mouth is a set to clean. */
export function BreathTested({ setId, tag, onDone, onClose }: BreathTestedProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const breathed = useMutation(
    trpc.washRoom.breathTested.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          onDone(`${tag} waits to be cleaned again.`);
        }),
    }),
  );
  return (
    <div className="grid gap-4">
      <p className="text-xl">Somebody of the staff had {tag} in the mouth: it has to be washed again before it goes out.</p>
      <WhyNot state={breathed} />
      <div className="flex flex-wrap justify-between gap-4">
        <Button size="wash" onClick={onClose}>
          Go back
        </Button>
        <Button size="wash" tone="primary" pending={breathed.isPending} pendingWords="Being recorded…" onClick={() => breathed.mutate({ requestId, setId, words: "" })}>
          Staff breathed from it
        </Button>
      </div>
    </div>
  );
}
