"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { WhyNot } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { Confirm } from "../../../../components/confirm.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { useWho } from "../../../../components/who.tsx";
import { useTRPC } from "../../../../trpc/client.ts";
import type { OneSet } from "./set-page.tsx";

/** Staff breathed from the set: it has to be washed again. */
export function BreathTest({ set }: { set: OneSet }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { staff } = useWho();
  const { requestId, renew } = useRequestId();
  const [asking, setAsking] = useState(false);
  const test = useMutation(
    trpc.washRoom.breathTested.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          setAsking(false);
        }),
    }),
  );
  const may = staff.roles.some((role) => role === "desk" || role === "wash-room" || role === "technician");
  if (!may || set.state === "retired" || set.state === "evidence-lock" || set.state === "out") return null;
  return (
    <>
      <Button onClick={() => setAsking(true)}>Breath test by staff</Button>
      <Confirm open={asking} title={`Somebody of the staff breathed from ${set.tag}?`} act="Yes, it needs a wash" pending={test.isPending} onConfirm={() => test.mutate({ requestId, setId: set.setId, words: "" })} onCancel={() => setAsking(false)}>
        <p>It is to be cleaned before the next user. Only the wash takes this back.</p>
        <WhyNot state={test} />
      </Confirm>
    </>
  );
}
