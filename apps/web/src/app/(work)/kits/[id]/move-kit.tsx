"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { Choices, Field } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { countText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { readCount, type Kit } from "../kit-words.ts";

const kinds = [
  { value: "received", label: "Some came" },
  { value: "counted", label: "I counted them" },
] as const;

/** What came without an order, or what a count found. */
export function MoveKit({ kit }: { kit: Kit }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [round, setRound] = useState(0);
  const [kind, setKind] = useState<"received" | "counted">("received");
  const [done, setDone] = useState<string | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const move = useMutation(
    trpc.kits.move.mutationOptions({
      onMutate: () => setDone(null),
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          if (answer.answer === "done") setDone(`${countText(answer.stock, "kit")} on the shelf.`);
          setRound(round + 1);
        }),
    }),
  );
  const submit = (form: FormData) => {
    const quantity = readCount(textOf(form, "quantity"), kind === "received" ? 1 : 0, 100_000);
    setProblem(quantity === null ? "say how many." : typeof quantity === "object" ? quantity.problem : null);
    if (typeof quantity !== "number") return;
    const lot = textOf(form, "lot");
    move.mutate({ requestId, kitId: kit.id, kind, quantity, lot: lot === "" ? null : lot, words: textOf(form, "words") });
  };
  return (
    <section className="sheet grid gap-4" aria-labelledby="move-kit">
      <h2 id="move-kit">Received or counted</h2>
      <ActForm key={round} act={kind === "received" ? "Put them on the shelf" : "Record this count"} state={move} done={done} onSubmit={submit}>
        <Choices label="What was it?" name="kind" choices={kinds} value={kind} onChoose={setKind} hint={kind === "counted" ? "Give what lies there now; the difference is written down." : undefined} />
        <Field label={kind === "received" ? "How many came" : "How many lie there"} name="quantity" className="max-w-40" inputMode="numeric" required maxLength={6} error={problem} />
        <Field label="Lot" name="lot" hint="As it stands on the bag: a service asks for it." maxLength={60} />
        <Field label="In words" name="words" maxLength={300} />
      </ActForm>
    </section>
  );
}
