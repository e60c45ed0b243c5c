"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm } from "../../../../components/act-form.tsx";
import { Field } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { countText, numberText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { HowMuch } from "./how-much.tsx";
import { judgeMix, Strength } from "./strength.tsx";
import { readVolume, typedVolume, type VolumeUnit } from "./volume.ts";
import { VolumeField, type TypedVolume } from "./volume-field.tsx";

export type Product = Outputs["washRoom"]["products"][number];

const empty = (unit: VolumeUnit): TypedVolume => ({ text: "", unit });

/** Label, lot and the two volumes as they were measured, with the strength they give. */
export function MixForm({ product, onMixed }: { product: Product; onMixed: (sentence: string) => void }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [label, setLabel] = useState("");
  const [lot, setLot] = useState("");
  const [volumes, setVolumes] = useState({ product: empty("ml"), water: empty("l") });
  const [tried, setTried] = useState(false);
  const read = { product: readVolume(volumes.product.text, volumes.product.unit), water: readVolume(volumes.water.text, volumes.water.unit) };
  const mix = useMutation(
    trpc.washRoom.mixBath.mutationOptions({
      onSuccess: (answer, { label: name }) =>
        afterAct(answer, () => {
          renew();
          if (answer.answer === "done") onMixed(`${name}: ${numberText(answer.ppm)} ppm of ${product.name}, good for ${countText(product.bathHours, "hour")}. Write the label on the bath.`);
        }),
    }),
  );
  const submit = () => {
    setTried(true);
    if ("wrong" in read.product || "wrong" in read.water) return;
    // What lies outside the label is not sent at all; the record would refuse it too.
    if (outside) return;
    mix.mutate({ requestId, productId: product.id, label: label.trim(), lot: lot.trim() === "" ? null : lot.trim(), productMl: read.product.ml, waterMl: read.water.ml });
  };
  const outside = "ml" in read.product && "ml" in read.water && judgeMix(product, read.product.ml, read.water.ml)?.is !== "within";
  const wrong = (which: "product" | "water") => {
    const volume = read[which];
    return "wrong" in volume && (tried || volumes[which].text !== "") ? volume.wrong : null;
  };
  return (
    <div className="grid items-start gap-8 lg:grid-cols-[3fr_2fr]">
      <section className="sheet text-[1.1rem]" aria-label="What is in the bath">
        <ActForm act="Record this bath" size="wash" state={mix} onSubmit={submit}>
          <Field label="Label on the bath" hint="As it can be told from the others, e.g. Blue tub. It can be scanned later." value={label} onChange={(event) => setLabel(event.target.value)} required maxLength={40} />
          <Field label="Lot on the bottle" value={lot} onChange={(event) => setLot(event.target.value)} maxLength={60} />
          <VolumeField label="Product, measured" name="product" value={volumes.product} error={wrong("product")} onChange={(value) => setVolumes({ ...volumes, product: value })} />
          <VolumeField label="Water, measured" name="water" value={volumes.water} error={wrong("water")} onChange={(value) => setVolumes({ ...volumes, water: value })} />
          <Strength product={product} productMl={"ml" in read.product ? read.product.ml : null} waterMl={"ml" in read.water ? read.water.ml : null} />
          {tried && outside ? (
            <p role="alert" className="font-semibold text-danger">
              Not recorded: a bath outside its label is no bath.
            </p>
          ) : null}
        </ActForm>
      </section>
      <HowMuch product={product} onTake={(needed) => setVolumes({ product: typedVolume(needed.productMl), water: typedVolume(needed.waterMl) })} />
    </div>
  );
}
