"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { TextField } from "../../../components/field.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useRequestId } from "../../../components/use-request-id.ts";
import { useHasRole } from "../../../components/who.tsx";
import { partNamer } from "../../../desk-words.ts";
import { countText, listText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import type { QueueItem } from "./queue.tsx";
import { SetLine } from "./set-line.tsx";

/** Stages whose new seats have settled since their service: looked at once more, and recorded in one go. */
export function BeddingChecks({ items, makers }: { items: readonly QueueItem[]; makers: readonly string[] }) {
  const due = items.filter(({ kind, order }) => kind === "bedding-check" && order === null);
  const [done, setDone] = useState<string | null>(null);
  return (
    <section aria-labelledby="bedding" className="grid gap-4">
      <div>
        <h2 id="bedding">Bedding checks due: {countText(due.length, "set")}</h2>
        <p className="text-soft">New seats settle in their first dives. The check holds no set; it finds creep before a diver does.</p>
      </div>
      <p role="status" className="font-semibold empty:hidden">
        {done}
      </p>
      {due.length === 0 ? (
        <p>No bedding check is due.</p>
      ) : (
        <ul className="grid items-start gap-4 xl:grid-cols-2">
          {due.map((item) => (
            <BeddingLine key={item.id} item={item} makers={makers} onDone={setDone} />
          ))}
        </ul>
      )}
    </section>
  );
}

type BeddingLineProps = { item: QueueItem; makers: readonly string[]; onDone: (sentence: string) => void };

function BeddingLine({ item, makers, onDone }: BeddingLineProps) {
  const technician = useHasRole("technician");
  const [open, setOpen] = useState(false);
  const { set, components } = item;
  const nameOf = partNamer(set.parts);
  const wanting = [...new Set(set.parts.filter((part) => components.includes(part.id) && !makers.includes(part.maker)).map((part) => part.maker))];
  return (
    <SetLine set={set}>
      <p className="first-letter:uppercase">{listText(components.map(nameOf))}.</p>
      {set.out !== null ? (
        <p className="text-soft">With a hirer: it is checked when it is back.</p>
      ) : !technician ? null : wanting.length > 0 ? (
        <p className="font-semibold">You are not authorised for {listText(wanting)} today.</p>
      ) : open ? (
        <BeddingForm setId={set.setId} tag={set.tag} components={components} order={null} onDone={onDone} onClose={() => setOpen(false)} />
      ) : (
        <div>
          <Button onClick={() => setOpen(true)} aria-label={`Record the bedding check of ${set.tag}`}>
            Record the check…
          </Button>
        </div>
      )}
    </SetLine>
  );
}

type BeddingFormProps = { setId: string; tag: string; components: readonly string[]; order: string | null; onDone: (sentence: string) => void; onClose?: () => void };

/** The bedding check of these components in one line of words. */
export function BeddingForm({ setId, tag, components, order, onDone, onClose }: BeddingFormProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const record = useMutation(
    trpc.bench.recordWork.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          onDone(`${tag}: bedding check of ${countText(components.length, "component")} recorded. It was breathed, so it goes to the wash room.`);
        }),
    }),
  );
  return (
    <ActForm
      act={`Record the bedding check of ${tag}`}
      state={record}
      onSubmit={(form) => record.mutate({ requestId, setId, kind: "bedding-check", components: [...components], oxygenClean: false, words: textOf(form, "words"), order })}
    >
      <TextField label="As found" name="words" hint="Pressure and creep, efforts, anything adjusted." rows={2} required maxLength={1000} />
      {onClose === undefined ? null : (
        <div>
          <Button onClick={onClose}>Not now</Button>
        </div>
      )}
    </ActForm>
  );
}
