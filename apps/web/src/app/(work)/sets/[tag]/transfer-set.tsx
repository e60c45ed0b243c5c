"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { WhyNot } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { Confirm } from "../../../../components/confirm.tsx";
import { SelectField } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { useHasRole, useWho } from "../../../../components/who.tsx";
import { useTRPC } from "../../../../trpc/client.ts";
import type { OneSet } from "./set-page.tsx";

type TransferSetProps = { set: OneSet; onMoved: (siteName: string) => void };

/** The manager moves a set to another site of the centre. */
export function TransferSet({ set, onMoved }: TransferSetProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const manager = useHasRole("manager");
  const { site, sites } = useWho();
  const { requestId, renew } = useRequestId();
  const others = sites.filter((one) => one.id !== site.id);
  const [chosen, setChosen] = useState(others[0]?.id ?? "");
  const [asking, setAsking] = useState(false);
  const to = others.find((one) => one.id === chosen);
  const move = useMutation(
    trpc.sets.transfer.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          setAsking(false);
          onMoved(to?.name ?? "another site");
        }),
    }),
  );
  if (!manager || to === undefined) return null;
  return (
    <div>
      <Button onClick={() => setAsking(true)}>Move to another site</Button>
      <Confirm open={asking} title={`Move ${set.tag} to another site?`} act={`Move it to ${to.name}`} pending={move.isPending} onConfirm={() => move.mutate({ requestId, setId: set.setId, toSiteId: to.id })} onCancel={() => setAsking(false)}>
        <div className="grid gap-4">
          <SelectField label="To" value={chosen} onChange={(event) => setChosen(event.target.value)}>
            {others.map((one) => (
              <option key={one.id} value={one.id}>
                {one.name}
              </option>
            ))}
          </SelectField>
          <p>There it has to be released by a technician and washed before it goes out: it travelled in a bag.</p>
          <WhyNot state={move} />
        </div>
      </Confirm>
    </div>
  );
}
