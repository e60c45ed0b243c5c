"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { Button } from "../../../components/button.tsx";
import { Tick } from "../../../components/field.tsx";
import { Icon } from "../../../components/icon.tsx";
import { Plate } from "../../../components/plate.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useRequestId } from "../../../components/use-request-id.ts";
import { countText, listText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import type { Run } from "./queue.ts";
import { WhyNotWashed } from "./why-not-washed.tsx";

const steps = [
  { name: "rinsed", label: "Rinsed in drinking water" },
  { name: "purgedUnderPressure", label: "Purged under pressure" },
  { name: "dry", label: "Dry, inside and out" },
] as const;
type Step = (typeof steps)[number]["name"];
const nothingYet: Readonly<Record<Step, boolean>> = { rinsed: false, purgedUnderPressure: false, dry: false };

type FinishFormProps = { run: Run; onDone: (sentence: string) => void; onClose: () => void };

/** The three steps that end a wash, each ticked by hand, for all sets of the run or some of them. */
export function FinishForm({ run, onDone, onClose }: FinishFormProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [left, setLeft] = useState<ReadonlySet<string>>(new Set());
  const [ticked, setTicked] = useState(nothingYet);
  const chosen = run.sets.filter((set) => !left.has(set.setId));
  const finish = useMutation(
    trpc.washRoom.finish.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          onDone(`${listText(chosen.map((set) => set.tag))}: clean. Cap on, back on the rail.`);
        }),
    }),
  );
  const choose = (setId: string, take: boolean) => setLeft(new Set(take ? [...left].filter((id) => id !== setId) : [...left, setId]));
  return (
    <div className="grid gap-4">
      <fieldset>
        <legend className="mb-2 font-semibold">Which sets?</legend>
        <div className="flex flex-wrap gap-4">
          {run.sets.map((set) => (
            <Tick key={set.setId} size="wash" label={<Plate tag={set.tag} />} checked={!left.has(set.setId)} onChange={(event) => choose(set.setId, event.target.checked)} />
          ))}
        </div>
      </fieldset>
      <fieldset>
        <legend className="mb-2 font-semibold">Done with each of them</legend>
        <div className="grid grid-cols-[repeat(auto-fit,minmax(min(15rem,100%),1fr))] gap-4">
          {steps.map(({ name, label }) => (
            <Tick key={name} size="wash" label={label} checked={ticked[name]} onChange={(event) => setTicked({ ...ticked, [name]: event.target.checked })} />
          ))}
        </div>
      </fieldset>
      <WhyNotWashed state={finish} />
      <div className="flex flex-wrap justify-between gap-4">
        <Button size="wash" onClick={onClose}>
          Not yet
        </Button>
        <Button size="wash" tone="primary" pending={finish.isPending} pendingWords="Being recorded…" refusedBecause={chosen.length === 0 ? "Tick at least one set." : null} onClick={() => finish.mutate({ requestId, runId: run.run, setIds: chosen.map((set) => set.setId), ...ticked })}>
          <Icon name="tick" size={36} /> {countText(chosen.length, "set")} clean
        </Button>
      </div>
    </div>
  );
}
