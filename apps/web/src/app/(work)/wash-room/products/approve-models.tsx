"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { Field, Tick } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { countText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { kindWords } from "../../../../words.ts";

type ApproveModelsProps = { product: Outputs["washRoom"]["products"][number]; models: readonly Outputs["models"]["list"][number][]; onClose: () => void };

/** The models whose maker allows the product, ticked off against the care pages that say so. */
export function ApproveModels({ product, models, onClose }: ApproveModelsProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const [round, setRound] = useState(0);
  const [said, setSaid] = useState<string | null>(null);
  const [none, setNone] = useState(false);
  const approve = useMutation(
    trpc.washRoom.approveProduct.mutationOptions({
      onMutate: () => setSaid(null),
      onSuccess: (answer, { modelIds }) =>
        afterAct(answer, () => {
          setSaid(`Recorded for ${countText(modelIds.length, "model")}.`);
          setRound(round + 1);
        }),
    }),
  );
  const pages = new Map(product.disinfectantApprovals.map((one) => [one.modelId, one.manualPage]));
  const submit = (form: FormData) => {
    const modelIds = form.getAll("model").filter((value): value is string => typeof value === "string");
    setNone(modelIds.length === 0);
    if (modelIds.length > 0) approve.mutate({ productId: product.id, modelIds, manualPage: textOf(form, "manualPage") });
  };
  return (
    <ActForm key={round} act="Record: the maker allows it" state={approve} done={said} onSubmit={submit}>
      <fieldset>
        <legend className="mb-2 font-semibold">Models whose maker allows {product.name}</legend>
        <div className="grid gap-4">
          {models.map((model) =>
            pages.has(model.id) ? (
              <p key={model.id} className="flex min-h-12 items-center border-s-4 border-edge ps-3">
                <span>
                  {model.maker} {model.name}, {kindWords(model.kind)}: allowed <span className="text-soft">({pages.get(model.id)})</span>
                </span>
              </p>
            ) : (
              <Tick key={model.id} name="model" value={model.id} label={`${model.maker} ${model.name}, ${kindWords(model.kind)}${model.sets === 0 ? "" : ` (${countText(model.sets, "set")})`}`} />
            ),
          )}
        </div>
        {none ? (
          <p role="alert" className="mt-2 font-semibold text-danger">
            Tick at least one model.
          </p>
        ) : null}
      </fieldset>
      <Field label="Where the maker says so" name="manualPage" hint="Manual or care sheet, its date and page. One page for all that are ticked." required maxLength={200} />
      <div>
        <Button onClick={onClose}>Close the list</Button>
      </div>
    </ActForm>
  );
}
