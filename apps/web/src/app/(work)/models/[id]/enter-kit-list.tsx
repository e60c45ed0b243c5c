"use client";
import { useMutation, useQuery } from "@tanstack/react-query";
import { useEffect, useRef, useState } from "react";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { Field, SelectField, Tick } from "../../../../components/field.tsx";
import { Link } from "../../../../components/link.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { newRequestId, useRequestId } from "../../../../components/use-request-id.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";
import type { ModelRow } from "../limits-words.ts";
import type { KitListVersion } from "./service-kit-list.tsx";

type Line = { key: string; kit: string; quantity: string };
type EnterKitListProps = { model: ModelRow; now: KitListVersion | null; onAccepted: (sentence: string) => void; onCancel: () => void };

const blank = (): Line => ({ key: newRequestId(), kit: "", quantity: "1" });

/** The kits of one service, or the manual's word that there is none. */
export function EnterKitList({ model, now, onAccepted, onCancel }: EnterKitListProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const kits = useQuery(trpc.kits.list.queryOptions());
  const [lines, setLines] = useState<readonly Line[]>(() => (now === null || now.lines.length === 0 ? [blank()] : now.lines.map(({ kit, quantity }) => ({ key: kit, kit, quantity: String(quantity) }))));
  const [none, setNone] = useState(false);
  const [problem, setProblem] = useState<string | null>(null);
  const top = useRef<HTMLParagraphElement>(null);
  useEffect(() => top.current?.focus(), []);
  const accept = useMutation(
    trpc.models.acceptKits.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          onAccepted(`Accepted. A service of ${model.maker} ${model.name} takes these from now on.`);
        }),
    }),
  );
  const change = (key: string, next: Partial<Line>) => setLines(lines.map((line) => (line.key === key ? { ...line, ...next } : line)));
  const submit = (form: FormData) => {
    const wrong = none ? null : problemOf(lines);
    setProblem(wrong);
    if (wrong === null) accept.mutate({ requestId, modelId: model.id, page: textOf(form, "page"), lines: none ? [] : lines.map(({ kit, quantity }) => ({ kit, quantity: Number(quantity) })) });
  };
  return (
    <ActForm act="Accept this list" state={accept} onSubmit={submit}>
      <p ref={top} tabIndex={-1}>
        What the manual says one service takes. A kit that is not in the list yet is entered <Link href="/kits">under Kits</Link> first.
      </p>
      <Tick label="The manual says that a service takes no kit" checked={none} onChange={(event) => setNone(event.target.checked)} />
      {none
        ? null
        : lines.map((line, at) => (
            <fieldset key={line.key} className="grid gap-3 border-s-4 border-edge ps-4">
              <legend className="font-semibold">Kit {at + 1}</legend>
              <SelectField label="Which" value={line.kit} hint={kits.error !== null ? errorWords(kits.error) : kits.data === undefined ? "Being read…" : kits.data.kits.length === 0 ? "No kit is entered yet." : undefined} onChange={(event) => change(line.key, { kit: event.target.value })}>
                <option value="">choose…</option>
                {kits.data?.kits.map((kit) => (
                  <option key={kit.id} value={kit.id}>
                    {kit.maker} {kit.name}
                  </option>
                ))}
              </SelectField>
              <Field label="How many" className="max-w-40" inputMode="numeric" required maxLength={3} value={line.quantity} onChange={(event) => change(line.key, { quantity: event.target.value })} />
              {lines.length === 1 ? null : (
                <div>
                  <Button tone="quiet" onClick={() => setLines(lines.filter(({ key }) => key !== line.key))}>
                    Leave kit {at + 1} out
                  </Button>
                </div>
              )}
            </fieldset>
          ))}
      {none ? null : (
        <div>
          <Button onClick={() => setLines([...lines, blank()])}>One kit more</Button>
        </div>
      )}
      <Field label="Where it stands" name="page" hint="The manual, its edition and the page." required maxLength={200} />
      {problem === null ? null : (
        <p role="alert" className="font-semibold text-danger">
          {problem}
        </p>
      )}
      <div>
        <Button onClick={onCancel}>Leave it as it is</Button>
      </div>
    </ActForm>
  );
}

function problemOf(lines: readonly Line[]): string | null {
  if (lines.some(({ kit }) => kit === "")) return "Choose each kit, leave the line out, or say that a service takes none.";
  if (new Set(lines.map(({ kit }) => kit)).size < lines.length) return "The same kit stands there twice.";
  return lines.every(({ quantity }) => /^[1-9]\d?$|^100$/.test(quantity.trim())) ? null : "How many of each: a whole number from 1 to 100.";
}
